// Before a motor turns, and while it does: only Space spins it, and any key stops it.
#include <algorithm>
#include <chrono>
#include <utility>

#include "armwise/base/task.hpp"
#include "spin_prompt.hpp"
#include "terminal_modes.hpp"

namespace armwise::ui {

using session::Answer;
using session::Back;
using session::Question;

namespace {

constexpr Duration between_beeps{300};
// Nobody sees a motor start and answers within this time (common practice, no source: a hand needs some 200
// ms): a key so early stops the motor and says nothing.
constexpr Duration fastest_answer{150};
constexpr Duration one_frame{100};

}  // namespace

// Space alone spins: whoever presses another key has something else in mind, or their eyes on the keys.
Task<Answer> SpinPrompt::go(const Question& question) {
  put_go(question);
  while (true) {
    const Key key = co_await prompt_.press();
    if (key.is(" ")) {
      const bool undisturbed = co_await two_beeps();
      if (undisturbed) co_return Answer{std::string("spin")};
      put_go(question);
      live_.trouble("Not spun: a key came. Space spins it.");
    } else if (key.is(key::flip) && scene_.craft() != nullptr) {
      scene_.flip_nose();
      put_go(question);
    } else {
      const Prompt::Common what = co_await prompt_.common(
          question, key, "Look at the craft, then press the space bar. Any key stops the motor.");
      if (what == Prompt::Common::back) co_return Answer{Back{}};
      if (what == Prompt::Common::none) prompt_.refuse(key, "Only Space spins.");
    }
  }
}

void SpinPrompt::put_seen(const Question& question) {
  screen_.header.where.clear();
  if (question.seen > 0 || (question.of > 0 && question.motor.number == 0))
    screen_.header.where = std::to_string(question.seen) + " of " + std::to_string(question.of) + " seen";
}

void SpinPrompt::put_go(const Question& question) {
  scene_.next(question);
  const std::string what = question.motor.number == 0 ? std::string("the next motor") : scene_.spun();
  Question put_so = question;
  std::vector<std::string> keys;
  if (scene_.craft() != nullptr) {
    const bool away = scene_.nose() == NoseSide::away;
    put_seen(question);
    // With the craft the other way round every answer would fit, and be wrong by half a turn.
    if (scene_.nothing_answered() && question.seen == 0)
      put_so.text = std::string("Nose ") + (away ? "away from" : "toward") + " you. " + put_so.text;
    keys.emplace_back(away ? "f it's toward you" : "f it's away from you");
  }
  put_so.text += " Space spins " + what + ".";
  prompt_.put(put_so, std::move(keys));
}

// Eyes go to the craft on the first two; the third comes with the spin. Any key says no.
Task<bool> SpinPrompt::two_beeps() {
  screen_.keys = {"any key: don't"};
  screen_.header.always.clear();
  screen_.question = "Eyes on the craft.";
  live_.refresh();
  for (int beep = 0; beep < 2; ++beep) {
    terminal_.write("\a");
    const std::optional<Key> key = co_await terminal_.key_within(between_beeps);
    if (key) co_return false;
  }
  co_return true;
}

Task<bool> SpinPrompt::watched(craft::Motor motor, Duration within) {
  const NoSignals ctrl_c_is_a_key(terminal_.descriptor());
  std::string who = scene_.spun();
  if (motor.number == 0) who = "A motor";
  if (who.empty()) who = "Motor " + std::to_string(motor.number);
  const auto now = [] { return std::chrono::steady_clock::now(); };
  const auto start = now(), end = start + within;
  early_.reset();
  live_.person_is_asked();
  terminal_.write("\a");
  // One pressed in fright as the motor started must count: it stops it. An answer it is not.
  std::optional<Key> key = co_await terminal_.key_within(Duration{0});
  screen_.error.clear();
  screen_.keys = {"any key stops it"};
  screen_.header.always.clear();
  screen_.question =
      scene_.craft() != nullptr ? "Which arm, which way? Its key stops the motor too." : "Eyes on the craft.";
  while (!key) {
    const auto left = std::chrono::duration_cast<Duration>(end - now());
    if (left.count() <= 0) break;
    scene_.countdown(who, left, within);
    key = co_await terminal_.key_within(std::min(left, one_frame));
    if (key && now() - start >= fastest_answer) early_ = key;
  }
  live_.wait_for({});
  // Whether it stops, the console's answer says, and the person sees.
  scene_.countdown_over(who, key ? "a key" : "time's up");
  co_return key.has_value();
}

}  // namespace armwise::ui
