// Lessons: sense and numbering.
#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"
#include "armwise/teach/units.hpp"
#include "teach_flow.hpp"

namespace armwise::session {
namespace {

using console::Values;

// Five readings while somebody holds a craft still.
constexpr Duration latest_for_sense{500};

}  // namespace

Task<void> TeachFlow::learn_sense() {
  if (profile_.sense) co_return;
  const auto said =
      co_await learn_question("sense", "Type the command that shows the accelerometer's readings");
  if (!said) co_return;
  if (ear_.slowest > latest_for_sense) {
    person_.say(
        "Its answers come too late to measure how the craft is held; sense is left out, and you say how "
        "the board is mounted.",
        Level::warn);
    co_return;
  }
  const std::vector<std::string> names{"x", "y", "z"};
  for (const teach::NumbersReading& reading : teach::number_readings(said->lines, names)) {
    const bool right =
        co_await confirm("right", "I read x " + reading.values.at("x") + ", y " + reading.values.at("y") +
                                      ", z " + reading.values.at("z") + ". Is that right?");
    if (!right) continue;
    console::SenseAbility sense;
    sense.read.lines = reading.lines;
    sense.read.steps = steps_of(*said);
    profile_.sense = sense;
    co_await learn_axes();
    co_return;
  }
}

// Held in three ways, each axis shows itself, its sign, and how much 1 g is.
Task<void> TeachFlow::learn_axes() {
  struct Held {
    const char* pose;
    const char* words;
    std::size_t axis;  // of ours, that points down then
  };
  const std::array<Held, 3> poses{Held{"level", "level, the board's arrow to the front", 2},
                                  Held{"nose-down", "the board's arrow straight down", 0},
                                  Held{"right-side-down", "the right edge of the board straight down", 1}};
  std::array<std::array<double, 3>, 3> read_in{};
  double length = 0;
  for (std::size_t i = 0; i < poses.size(); ++i) {
    Question question;
    question.id = "pose";
    question.kind = Question::Kind::pose;
    question.pose = poses.at(i).pose;
    question.text = std::string("Hold the board so: ") + poses.at(i).words;
    co_await put(question);
    const teach::Lines lines = co_await read(profile_.sense->read);
    Values values;
    for (const Values& row : teach::rows_read(profile_.sense->read, lines, false))
      values.insert(row.begin(), row.end());
    if (values.size() < 3) {
      person_.say("The readings cannot be read any more; sense is left out.", Level::warn);
      profile_.sense.reset();
      co_return;
    }
    std::size_t k = 0;
    double square = 0;
    for (const char* name : {"x", "y", "z"}) {
      const double value = std::strtod(values.at(name).c_str(), nullptr);
      read_in.at(i).at(k++) = value;
      square += value * value;
    }
    length += std::sqrt(square) / 3;
  }
  profile_.sense->per_g = teach::units_per_g(length);
  // Specific force: the axis that points down reads -1 g. An odd number of mirrored axes is gravity's sign.
  std::array<int, 3> column{-1, -1, -1}, sign{1, 1, 1};
  for (std::size_t i = 0; i < poses.size(); ++i) {
    const auto& values = read_in.at(i);
    std::size_t largest = 0;
    for (std::size_t k = 1; k < 3; ++k) {
      if (std::abs(values.at(k)) > std::abs(values.at(largest))) largest = k;
    }
    if (column.at(largest) >= 0) {
      person_.say("Two ways of holding it gave the same axis; sense is left out.", Level::warn);
      profile_.sense.reset();
      co_return;
    }
    column.at(largest) = static_cast<int>(poses.at(i).axis);
    sign.at(largest) = values.at(largest) < 0 ? 1 : -1;
  }
  const bool even = (column[0] == 0 && column[1] == 1) || (column[0] == 1 && column[1] == 2) ||
                    (column[0] == 2 && column[1] == 0);
  const int handed = (even ? 1 : -1) * sign[0] * sign[1] * sign[2];
  profile_.sense->specific_force = handed > 0;
  for (std::size_t k = 0; k < 3; ++k) {
    const int its = handed > 0 ? sign.at(k) : -sign.at(k);
    profile_.sense->axes.at(k) = std::string(its < 0 ? "-" : "") + static_cast<char>('x' + column.at(k));
  }
}

Task<void> TeachFlow::learn_numbering() {
  std::string frame_name = options_.frame;
  if (frame_name.empty()) {
    std::vector<Choice> choices;
    for (const craft::Frame& frame : craft::frames()) choices.push_back({frame.name, frame.description});
    choices.push_back({"skip", "ask when it is needed"});
    frame_name = co_await choose("frame", "For which frame do you have this controller's diagram?", choices);
  }
  const craft::Frame* frame = craft::frame_named(frame_name);
  if (frame == nullptr || profile_.numbering.contains(frame_name)) co_return;
  std::vector<std::string> places;
  for (int motor = 1; motor <= frame->size(); ++motor) {
    Question question;
    question.id = "numbering";
    question.kind = Question::Kind::choose;
    question.frame = frame;
    question.motor = craft::Motor{motor};
    question.text = "Where does this controller's diagram put motor " + std::to_string(motor) + "?";
    for (const craft::Place& place : frame->places) {
      if (std::find(places.begin(), places.end(), place.name) == places.end())
        question.choices.push_back({place.name, place.name});
    }
    question.choices.push_back({"skip", "ask when it is needed"});
    const std::string answer = co_await put(question);
    const auto place = frame->find(answer);
    if (!place) co_return;
    places.push_back(frame->places[*place].name);
  }
  profile_.numbering[frame_name] = places;
}

}  // namespace armwise::session
