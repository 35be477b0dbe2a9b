#include "spin_prompt.hpp"

#include <algorithm>
#include <utility>

#include "armwise/base/task.hpp"
#include "armwise/ui/reading.hpp"
#include "armwise/ui/strip.hpp"
#include "statements.hpp"

namespace armwise::ui {

using session::Answer;
using session::Back;
using session::Question;
using session::SpinSeen;

namespace {

constexpr const char* pair_help =
    "Each arm has two keys that lie like it: the left one for counter-clockwise, the right one for "
    "clockwise, seen "
    "from above. A digit, as on a keypad, says the arm alone. t: tell by a strip of paper. f: the nose "
    "points the "
    "other way. v: teach the keys of your keyboard.";
constexpr const char* arm_help =
    "Press the key at the arm that moved. 5: nothing moved. 0: several moved, or you can't tell. t: tell the "
    "direction by a strip of paper. f: the nose points the other way. v: teach the keys of your keyboard.";
constexpr const char* strip_help =
    "Press the arrow that points, in the picture, the way the paper goes. t: tell the direction by the arrow "
    "keys.";
constexpr const char* turn_help =
    "Look from above. If you only see the far side of the bell: clockwise moves it to the right. t: tell by "
    "a strip "
    "of paper.";

SpinSeen seen_as(SpinSeen::What what) {
  SpinSeen answer;
  answer.what = what;
  return answer;
}

// What a key says without an arm.
std::optional<SpinSeen> seen_by(const Key& key) {
  if (key.is(key::nothing_moved) || key.kind == Key::Kind::middle) return seen_as(SpinSeen::What::none);
  if (key.is(key::several) || key.kind == Key::Kind::insert) return seen_as(SpinSeen::What::several);
  if (key.is(key::again)) return seen_as(SpinSeen::What::again);
  return std::nullopt;
}

bool is_arrow(const Key& key) {
  return key.kind == Key::Kind::left || key.kind == Key::Kind::right || key.kind == Key::Kind::up ||
         key.kind == Key::Kind::down;
}

}  // namespace

Key arrow_for(const craft::Frame& frame, craft::PlaceIndex place, NoseSide nose, craft::Turn turn) {
  for (const Key::Kind kind : {Key::Kind::up, Key::Kind::down, Key::Kind::left, Key::Kind::right}) {
    Key key{kind, {}};
    if (turn_by_strip(frame, place, key, nose) == turn) return key;
  }
  return {};
}

SpinPrompt::SpinPrompt(LiveScreen& live, SpinScene& scene, Prompt& prompt, std::filesystem::path keys_file,
                       std::string letters_trouble)
    : terminal_(live.terminal()),
      live_(live),
      screen_(live.screen),
      scene_(scene),
      prompt_(prompt),
      keys_file_(std::move(keys_file)),
      letters_trouble_(std::move(letters_trouble)) {}

Task<void> SpinPrompt::keep_early_if_alone(const Question& next) {
  if (!early_) co_return;
  const std::optional<Key> more = co_await terminal_.key_within(Duration{0});
  if (more || next.kind != Question::Kind::spin) early_.reset();
}

void SpinPrompt::put_spin(const Question& question) {
  scene_.show_arms(*question.frame);
  Question put_so = question;
  if (scene_.by_strip)
    put_so.text =
        "Which motor spun? Paper tells its direction next. If it's still spinning, pull the battery.";
  prompt_.put(put_so,
              {"Space back to the spin", "5 none", "0 several", scene_.by_strip ? "t no paper" : "t paper"});
}

// After an arm's key: which of the two motors, and which way.
Task<std::optional<SpinSeen>> SpinPrompt::arm_and_turn(const Question& question, Key key) {
  const ArmKeys keys = scene_.keys_of(*question.frame);
  if (!scene_.by_strip) {
    if (const auto whole = keys.find_whole(key))
      co_return SpinSeen{SpinSeen::What::one, whole->place, whole->turn};
  }
  const auto whole = keys.find_whole(key);
  const ArmKeys::Cap* cap = keys.find(key);
  std::optional<craft::PlaceIndex> place;
  if (whole) place = whole->place;
  if (cap != nullptr) {
    const ArmKeys::Cap chosen = *cap;
    place = co_await level(chosen);
  }
  std::optional<SpinSeen> answer;
  if (place) answer = co_await turn(*question.frame, *place);
  co_return answer;
}

Task<Answer> SpinPrompt::spin(const Question& question) {
  if (!letters_trouble_.empty()) {
    session::Statement said;
    said.level = session::Level::warn;
    said.text = std::exchange(letters_trouble_, {});
    live_.tell(said);
  }
  const std::optional<craft::PlaceIndex> arm = std::exchange(arm_said_, std::nullopt);
  if (arm && question.attempt > 1) {
    std::optional<SpinSeen> answer = co_await turn(*question.frame, *arm);
    if (answer) {
      scene_.note(question, *answer);
      co_return *answer;
    }
  }
  std::optional<Key> pressed = std::exchange(early_, std::nullopt);
  if (!pressed) put_spin(question);
  while (true) {
    Key key;
    if (pressed) {
      key = *pressed;
    } else {
      key = co_await prompt_.press();
    }
    const bool was_early = pressed.has_value();
    pressed.reset();
    const ArmKeys keys = scene_.keys_of(*question.frame);
    std::optional<SpinSeen> answer;
    const bool is_arm = keys.find(key) != nullptr || keys.find_whole(key).has_value();
    if (is_arm) {
      answer = co_await arm_and_turn(question, key);
    } else if (!was_early) {
      answer = seen_by(key);
    }
    if (answer) {
      scene_.note(question, *answer);
      co_return *answer;
    }
    if (is_arm || was_early) {
      put_spin(question);
      continue;
    }
    const Prompt::Common what =
        co_await prompt_.common(question, key, keys.has_pairs() ? pair_help : arm_help);
    if (what == Prompt::Common::back) co_return Answer{Back{}};
    if (what == Prompt::Common::handled) continue;
    if (key.is(key::strip)) {
      scene_.by_strip = !scene_.by_strip;
      put_spin(question);
    } else if (key.is(key::flip)) {
      scene_.flip_nose();
      put_spin(question);
    } else if (key.is(key::learn)) {
      const std::string word = co_await learn_letters();
      put_spin(question);
      live_.trouble(word);
    } else if (is_arrow(key)) {
      prompt_.refuse(
          key,
          "First the arm. If that was a key of the numeric keypad, switch NumLock on, or use the letters.");
    } else {
      prompt_.refuse(key, "Press a key that stands in the picture, 5, 0, t or Space.");
    }
  }
}

Task<std::optional<craft::PlaceIndex>> SpinPrompt::level(ArmKeys::Cap cap) {
  if (cap.places.size() == 1) co_return cap.places.front();
  screen_.question = "Which of the two on " + cap.arm + "?";
  screen_.keys = {"up arrow: upper", "down arrow: lower"};
  screen_.header.always = {"u other arm"};
  live_.show();
  while (true) {
    const Key key = co_await prompt_.press();
    if (key.kind == Key::Kind::up || key.kind == Key::Kind::down)
      co_return cap.places[key.kind == Key::Kind::up ? 0 : 1];
    if (key.is(key::back)) co_return std::nullopt;
    prompt_.refuse(key, "Up arrow for the upper motor, down arrow for the lower one.");
  }
}

void SpinPrompt::show_turn(const craft::Frame& frame, craft::PlaceIndex place) {
  screen_.choices.clear();
  screen_.busy.clear();
  screen_.aside.clear();
  screen_.keys = {"Space back to the spin", scene_.by_strip ? "t no paper" : "t paper"};
  screen_.header.always = {"u other arm", "? help"};
  if (!scene_.by_strip) {
    screen_.question = "Which way did " + craft::motor_at(frame.places.at(place)) + " turn, seen from above?";
    scene_.show_turn();
    live_.show();
    return;
  }
  const craft::StripTest test = strip_test(frame, place);
  screen_.question = "Hold a strip of paper to " + craft::motor_at(frame.places.at(place)) + ", " +
                     test.hold + ". Space spins it again. Which way is the strip flicked?";
  const auto way = [&](const std::string& toward, craft::Turn turn) {
    screen_.choices.push_back(
        {{"  " + capital(arrow_for(frame, place, scene_.nose(), turn).in_words()) + ": toward " +
              (toward == "nose" || toward == "tail" ? "the " + toward : toward),
          Ink::plain}});
  };
  way(test.cw_toward, craft::Turn::cw);
  way(test.ccw_toward, craft::Turn::ccw);
  live_.show();
}

Task<std::optional<SpinSeen>> SpinPrompt::turn(const craft::Frame& frame, craft::PlaceIndex place) {
  show_turn(frame, place);
  std::optional<SpinSeen> answer;
  while (true) {
    const Key key = co_await prompt_.press();
    const auto turn = scene_.by_strip ? turn_by_strip(frame, place, key, scene_.nose()) : turn_of(key);
    if (turn) answer = SpinSeen{SpinSeen::What::one, place, *turn};
    if (key.is(key::again)) {
      arm_said_ = place;
      answer = seen_as(SpinSeen::What::again);
    }
    if (answer || key.is(key::back)) break;
    if (key.is(key::strip)) {
      scene_.by_strip = !scene_.by_strip;
      show_turn(frame, place);
    } else if (key.is(key::help)) {
      live_.trouble(scene_.by_strip ? strip_help : turn_help);
    } else {
      prompt_.refuse(key,
                     scene_.by_strip
                         ? "Press the arrow that points, in the picture, the way the paper went."
                         : "Press the left arrow for counter-clockwise or the right arrow for clockwise.");
    }
  }
  screen_.choices.clear();
  // With what was just answered: the next question may be about more than this motor.
  if (answer) scene_.show_arms(frame);
  co_return answer;
}

}  // namespace armwise::ui
