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
