// Lessons: sense and numbering.
#include <algorithm>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "teach_flow.hpp"

namespace armwise::session {
namespace {

using console::Values;

// Five readings while somebody holds a craft still.
constexpr Duration latest_for_sense{500};
constexpr std::size_t most_sense_ways = 3;

}  // namespace

Task<void> TeachFlow::learn_sense() {
  if (profile_.sense) co_return;
  const auto said =
      co_await learn_question("sense", "Type the command that shows the accelerometer's readings");
  if (!said) co_return;
  if (ear_.slowest > latest_for_sense) {
    leave_out_sense(
        "Its answers come too late to measure how the craft is held; you say how the board is mounted then.");
    co_return;
  }
  const std::vector<std::string> names{"x", "y", "z"};
  console::SenseAbility sense;
  sense.read.steps = steps_of(*said);
  // Those that nothing contradicts yet: what is base 16 may show in the next reading only.
  sense_ways_ = teach::number_readings(said->lines, names);
  for (std::size_t tried = 0; !sense_ways_.empty() && tried < most_sense_ways; ++tried) {
    const Values values = sense_ways_.front().values;
    const bool right = co_await confirm("right", "I read x " + values.at("x") + ", y " + values.at("y") +
                                                     ", z " + values.at("z") + ". Is that right?");
    if (right) break;
    std::erase_if(sense_ways_, [&](const teach::NumbersReading& way) { return way.values == values; });
    if (tried + 1 == most_sense_ways) sense_ways_.clear();
  }
  if (sense_ways_.empty()) {
    const auto shown = co_await point_at_numbers(said->lines, names);
    if (!shown) co_return;
    sense_ways_.push_back(*shown);
  }
  sense.read.lines = sense_ways_.front().lines;
  profile_.sense = sense;
  co_await learn_axes();
}

// The numbers of the accelerometer, by the first way that reads this and all before; absent where none does.
std::optional<teach::Numbers> TeachFlow::sensed_in(const teach::Lines& lines) {
  sensed_.push_back(lines);
  while (!sense_ways_.empty()) {
    profile_.sense->read.lines = sense_ways_.front().lines;
    const bool all = std::all_of(sensed_.begin(), sensed_.end(), [&](const teach::Lines& each) {
      return teach::numbers_read(profile_.sense->read, each).has_value();
    });
    if (all) break;
    sense_ways_.erase(sense_ways_.begin());
  }
  return teach::numbers_read(profile_.sense->read, lines);
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
    question.text = "Where does this controller's diagram put " +
                    motor_words(profile_.motor_code(craft::Motor{motor})) + "?";
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
