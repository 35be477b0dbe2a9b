// Lessons: stop, spin, sense, numbering.
#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <exception>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"
#include "armwise/teach/units.hpp"
#include "teach_flow.hpp"
#include "words.hpp"

namespace armwise::session {
namespace {

using console::Values;

constexpr Duration spin_time{1000};
constexpr const char* spin_milliseconds = "1300";

std::vector<std::string> words_of(const std::string& text) {
  std::vector<std::string> found;
  std::string word;
  for (const char c : text + " ") {
    if (c != ' ' && c != ',') {
      word += c;
    } else if (!word.empty()) {
      found.push_back(std::exchange(word, {}));
    }
  }
  return found;
}

}  // namespace

Task<void> TeachFlow::learn_stop() {
  if (profile_.spin || !profile_.map || !options_.watched_by) co_return;
  while (true) {
    const auto typed = co_await ask_command(
        "stop-command", "Type the command that stops all motors (nothing turns now; it is tried)");
    if (!typed) co_return;
    const Said said = co_await say(*typed, "stop-command");
    if (said.refused) {
      refuse_or_tell(said);
      continue;
    }
    console::SpinAbility spin;
    spin.stop_all.steps = steps_of(said);
    if (said.lines.size() == 1 && teach::numbers_in(said.lines.front()).empty()) {
      const Values none;
      spin.stop_all.confirms = confirmation_of(said, none);
    }
    profile_.spin = spin;
    co_return;
  }
}

Task<void> TeachFlow::learn_spin() {
  if (!profile_.spin || !profile_.spin->spin.steps.empty()) co_return;
  const auto leave_out = [&](const std::string& why) {
    person_.say(why + " Spinning is left out.", Level::warn);
    profile_.spin.reset();
  };
  const std::vector<Values> there = map_rows();
  if (there.empty()) {
    leave_out("No motor is on any pin.");
    co_return;
  }
  console::SpinAbility& spin = *profile_.spin;
  std::string lowest;
  while (true) {
    const std::string typed =
        co_await ask_text("strength-limits",
                          "Three numbers as this console takes them: the lowest strength at which a motor "
                          "turns, the highest for a spin check, and full strength (\"4 12 100\")");
    if (typed == "skip") {
      leave_out("Without them nothing is spun.");
      co_return;
    }
    const auto numbers = words_of(typed);
    const auto scale =
        numbers.size() == 3 ? teach::strength_scale(numbers[0], numbers[1], numbers[2]) : std::nullopt;
    if (!scale) {
      person_.say("Three numbers that rise are needed.", Level::warn);
      continue;
    }
    spin.zero = scale->zero;
    spin.full = scale->full;
    spin.lowest = scale->lowest;
    spin.standard = scale->standard;
    spin.highest = scale->highest;
    spin.decimals = scale->decimals;
    spin.unit = scale->unit;
    if (spin.per_cent(spin.standard) > 25 || spin.per_cent(spin.highest) > 50) {
      person_.say("That is too strong for a spin check: 25 % at most, 50 % for the highest.", Level::warn);
      continue;
    }
    lowest = numbers[0];
    const bool right =
        co_await confirm("right", "Then the unit is " + spin.unit + ", and the weakest spin is at " +
                                      numbers[0] + ". Is that right?");
    if (right) break;
  }
  for (const std::string& caution : words::cautions()) person_.say(caution, Level::danger);
  Question ceremony;
  ceremony.id = "props-off";
  ceremony.kind = Question::Kind::typed_word;
  ceremony.level = Level::danger;
  ceremony.word = words::props_off;
  ceremony.text = "Are all propellers off, and is the craft fixed down? Type \"" +
                  std::string(words::props_off) + "\" to go on.";
  const std::string sworn = co_await put(ceremony);
  if (sworn != words::props_off) {
    leave_out("The props were not said to be off.");
    co_return;
  }
  spin_permit_ = SpinPermit::props_are_off(sworn);
  // Typed first, read, and sent only once it is understood: a slip must not spin a motor at full strength.
  const std::string motor = there.back().at("motor");
  Values values{{"motor", motor}, {"strength", lowest}, {"milliseconds", spin_milliseconds}};
  Typed first;
  std::optional<teach::CommandLesson> lesson;
  std::string id = "spin-command";
  while (!lesson || !lesson->learned()) {
    const auto typed =
        co_await ask_command(id,
                             "Type the command that spins motor " + values.at("motor") + " at strength " +
                                 values.at("strength") + " (for " + spin_milliseconds +
                                 " ms, where it takes a time). It is not sent before it is understood",
                             values);
    if (!typed) {
      leave_out("No command for it.");
      co_return;
    }
    if (!lesson) {
      std::vector<std::string> must{"motor", "strength"};
      bool timed = false;
      for (const std::string& line : *typed) {
        for (const std::string& number : teach::numbers_in(line))
          timed = timed || number == spin_milliseconds;
      }
      if (timed) must.emplace_back("milliseconds");
      lesson.emplace(must);
      first = *typed;
    }
    teach::CommandLesson::Heard heard = teach::CommandLesson::Heard::contradicts;
    try {
      heard = lesson->add(*typed, values);
    } catch (const Fault& fault) {
      person_.say(fault.sentence(), Level::warn);
    }
    if (heard != teach::CommandLesson::Heard::fits) {
      person_.say(heard == teach::CommandLesson::Heard::lacks
                      ? "I do not see the " + joined(lesson->missing(), " and the ") + " in it."
                      : "That does not fit. Try once more.",
                  Level::warn);
      if (lesson->examples() == 0) lesson.reset();
      continue;
    }
    if (lesson->learned()) break;
    std::vector<Values> others;
    for (const std::string& code : motor_codes()) {
      for (const char* factor : {"1", "7"}) {
        Values other = values;
        other["motor"] = code;
        if (std::string(factor) == "7")
          other["strength"] = spin.decimals > 0 ? "0.07" : std::to_string(static_cast<int>(spin.highest));
        others.push_back(other);
      }
    }
    const auto next = lesson->deciding(others);
    if (!next) {
      leave_out("It could mean several things.");
      co_return;
    }
    values = *next;
    id = "spin-command-again";
  }
  values = {{"motor", motor}, {"strength", lowest}, {"milliseconds", spin_milliseconds}};
  // Prompts of a menu show only when it is walked through.
  spin.spin.steps =
      steps_of(*lesson->learned(), Said{first, std::vector<std::string>(first.size()), {}, false, false});
  console::Sentry& sentry = options_.watched_by(profile_);
  person_.say("Motor " + motor + " spins now, at strength " + lowest + ". Any key stops it.", Level::danger);
  sentry.turning(spin_time + Duration(1000));
  std::exception_ptr trouble;
  Said said;
  try {
    said = co_await say(*teach::written(*lesson->learned(), values), "spin-command");
    if (!said.refused && !said.closed) {
      co_await person_.interrupted(*profile_.motor_coded(motor), spin_time);
    }
  } catch (...) {
    trouble = std::current_exception();
  }
  const Values none;
  const Said stopped = co_await say_again(spin.stop_all.steps, none);
  if (stopped.refused || stopped.closed) {
    throw Fault(FaultKind::unsafe, "the motor may be turning: the stop was not acknowledged", "",
                "Unplug the battery now");
  }
  sentry.stopped();
  if (trouble) std::rethrow_exception(trouble);
  if (said.refused) {
    refuse_or_tell(said);
    leave_out("The console refused the spin.");
    co_return;
  }
  const bool seen = co_await confirm("spin-seen", "Did exactly one motor turn, and stop again?");
  if (!seen) {
    leave_out("Then that was not the command.");
    co_return;
  }
  spin.spin.steps = steps_of(*lesson->learned(), said);
  Values said_back = values;
  if (said.lines.size() == 1 && said.lines.front().find(spin_milliseconds) == std::string::npos)
    said_back.erase("milliseconds");
  spin.spin.confirms = confirmation_of(said, said_back);
}

Task<void> TeachFlow::learn_sense() {
  if (profile_.sense) co_return;
  const auto said =
      co_await learn_question("sense", "Type the command that shows the accelerometer's readings");
  if (!said) co_return;
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
