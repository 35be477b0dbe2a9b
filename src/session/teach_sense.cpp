// Lessons: sense and numbering.
#include <algorithm>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "teach_axes.hpp"

namespace armwise::session {
namespace {

using console::Values;

constexpr std::size_t most_sense_ways = 3;
// Five readings while somebody holds a craft still. The machine may have been busy: the quickest counts.
constexpr Duration latest_for_sense{500};
constexpr int most_late = 3;

Task<bool> answers_in_time(Teaching& t, console::Steps steps) {
  const Duration slowest = t.talk.ear.slowest;
  const Values none;
  bool in_time = false;
  for (int attempt = 0; attempt < most_late && !in_time; ++attempt) {
    t.talk.ear.slowest = Duration(0);
    co_await t.talk.say_again(steps, none);
    in_time = t.talk.ear.slowest <= latest_for_sense;
  }
  t.talk.ear.slowest = std::max(slowest, t.talk.ear.slowest);
  co_return in_time;
}

}  // namespace

std::string axes_in_words(const Values& values) {
  return "x " + values.at("x") + ", y " + values.at("y") + ", z " + values.at("z");
}

Task<void> learn_sense(Teaching& t) {
  if (t.draft.profile.sense) co_return;
  const auto said =
      co_await learn_question(t, "sense", "Type the command that shows the accelerometer's readings");
  if (!said) co_return;
  const bool in_time = co_await answers_in_time(t, t.talk.steps_of(*said));
  if (!in_time) {
    leave_out_sense(t, "sense-too-late");
    co_return;
  }
  const std::vector<std::string> names{"x", "y", "z"};
  console::SenseAbility sense;
  // Those that nothing contradicts yet: what is base 16 may show in the next reading only.
  std::vector<teach::NumbersReading> ways = teach::number_readings(said->lines, names);
  for (std::size_t tried = 0; !ways.empty() && tried < most_sense_ways; ++tried) {
    const Values values = ways.front().values;
    const bool right =
        co_await t.person.confirm("right", "I read " + axes_in_words(values) + ". Is that right?");
    if (right) break;
    std::erase_if(ways, [&](const teach::NumbersReading& way) { return way.values == values; });
    if (tried + 1 == most_sense_ways) ways.clear();
  }
  if (ways.empty()) {
    const auto shown = co_await point_at_numbers(t, said->lines, names);
    if (!shown) co_return;
    ways.push_back(*shown);
  }
  sense.read = ways.front().list;
  sense.read.steps = t.talk.steps_of(*said);
  t.draft.profile.sense = sense;
  co_await learn_axes(t, ways);
}

Task<void> learn_numbering(Teaching& t) {
  console::Profile& profile = t.draft.profile;
  std::string frame_name = t.options.frame;
  if (frame_name.empty()) {
    std::vector<Choice> choices;
    for (const craft::Frame& frame : craft::frames()) choices.push_back({frame.name, frame.description});
    choices.push_back({"skip", "ask when it is needed"});
    frame_name =
        co_await t.person.choose("frame", "For which frame do you have this controller's diagram?", choices);
  }
  const craft::Frame* frame = craft::frame_named(frame_name);
  if (frame == nullptr || profile.numbering.contains(frame_name)) co_return;
  std::vector<std::string> places;
  for (int motor = 1; motor <= frame->size(); ++motor) {
    Question question;
    question.id = "numbering";
    question.kind = Question::Kind::choose;
    question.frame = frame;
    question.motor = craft::Motor{motor};
    question.text = "Where does this controller's diagram put " +
                    t.draft.motor_words(profile.motor_code(craft::Motor{motor})) + "?";
    for (const craft::Place& place : frame->places) {
      if (std::find(places.begin(), places.end(), place.name) == places.end())
        question.choices.push_back({place.name, place.name});
    }
    question.choices.push_back({"skip", "ask when it is needed"});
    const std::string answer = co_await t.person.put(question);
    const auto place = frame->find(answer);
    if (!place) co_return;
    places.push_back(frame->places[*place].name);
  }
  profile.numbering[frame_name] = places;
}

}  // namespace armwise::session
