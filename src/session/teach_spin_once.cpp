// One spin while the commands are being taught. Whatever happens once the command is on its way, the stop
// comes next, and is made sure of.
#include <algorithm>
#include <exception>
#include <utility>

#include "armwise/base/cancellation.hpp"
#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"
#include "armwise/console/conversation.hpp"
#include "armwise/teach/listening.hpp"
#include "taught_spin.hpp"

namespace armwise::session {
namespace {

constexpr Duration spin_time{1000};
// While a motor turns, its answer is waited for no longer: the stop, and the person's key, come first.
constexpr Duration answers_at_once{250};
constexpr Duration late_answers{10000}, silence_after_late{3500};
// How long the answer to a stop is waited for, by how late the answers before it were.
constexpr Duration least_patience{1000}, most_patience{4000};
constexpr Duration watched_time{2000}, menu_step{6000};
constexpr Duration comes_back_within{20000}, moment{100};

}  // namespace

// The steps of a spin: from that on which may turn the motor, nothing is waited for longer than a person's
// key may be.
Task<Said> TaughtSpin::say_spin(teach::Typed typed, std::size_t from, bool& late) {
  Said said;
  for (std::size_t i = 0; i < typed.size() && !said.closed; ++i) {
    const std::string step = typed[i];
    const bool may_turn = i >= from;
    std::optional<Duration> longest;
    if (may_turn) longest = answers_at_once;
    // A menu asks its way to the motor, each time with a prompt that is not known yet.
    if (i < from) sentry_.turning(watched_time + menu_step);
    if (i == from) sentry_.turning(watched_time + static_cast<int>(typed.size() - i - 1) * answers_at_once);
    const Ear::Heard heard = co_await ear_.say(step, longest);
    late = late || heard.late;
    understanding_.take_step(said, step, heard);
  }
  said.refused = understanding_.is_refusal(said.lines);
  co_return said;
}

// After so long without a byte nobody may think any more that a stop was heard.
Duration TaughtSpin::overdue() const {
  return std::clamp(2 * ear_.slowest, least_patience, most_patience);
}

// At once, and once for each stop: the person can stop a motor that no line reaches.
void TaughtSpin::say_not_acknowledged(const std::string& why) {
  if (!std::exchange(warned_, true)) person_.say(stop_not_acknowledged(why), Level::danger);
}

// Nobody is asked what to type next while a motor may be turning, whatever the console asks.
Task<Said> TaughtSpin::say_stop() {
  const Duration longest = overdue();
  Said stopped;
  for (const console::Step& step : profile_.spin->stop_all.steps) {
    const std::string line = step.send.format({});
    const Ear::Heard heard = co_await ear_.say(line, longest);
    stopped.closed = heard.closed;
    if (heard.closed) break;
    stopped.prompts.push_back(heard.reply.prompt);
    stopped.lines.insert(stopped.lines.end(), heard.reply.lines.begin(), heard.reply.lines.end());
  }
  stopped.refused = understanding_.is_refusal(stopped.lines);
  co_return stopped;
}

// Silence acknowledges nothing; nor does any other line, where the stop was answered by one when it was
// tried.
std::optional<Fault> TaughtSpin::why_not_acknowledged(const Said& stopped) const {
  if (stopped.closed) return Fault(FaultKind::line_lost, "the line was lost");
  if (stopped.refused) return Fault(FaultKind::refused, "the console refused it");
  const auto& confirms = profile_.spin->stop_all.confirms;
  const std::string prompt = stopped.prompts.empty() ? std::string() : stopped.prompts.back();
  const bool answered = !stopped.lines.empty() || (!trimmed(prompt).empty() && understanding_.is_top(prompt));
  if (!answered) return Fault(FaultKind::no_reply, "nothing came back");
  const bool as_tried =
      !confirms || std::any_of(stopped.lines.begin(), stopped.lines.end(),
                               [&](const std::string& line) { return confirms->match(line).has_value(); });
  if (as_tried) return std::nullopt;
  return Fault(FaultKind::unreadable, "the console answered it otherwise than when it was tried");
}

// What came behind the stop of a console that answers late is the answer to the spin, or to the stop: so it
// is stopped once more, by try_stop(), when nothing else is under way.
Task<void> TaughtSpin::stop_before_late_answer(Said& spun) {
  std::string stop;
  for (const console::Step& step : profile_.spin->stop_all.steps)
    stop += step.send.format({}) + ear_.line_end;
  std::string rest = co_await ear_.raw(stop, moment);
  try {
    sentry_.turning(late_answers);  // the guard is told to wait: a stop has been written
  } catch (const Fault&) {
    // It is stopping the motor itself.
  }
  // The first may have been lost; a second one harms nothing.
  const std::string nothing;
  const Duration first = std::min(overdue(), silence_after_late);
  rest += co_await ear_.raw(stop, first);
  if (rest.empty()) say_not_acknowledged("nothing has come back yet");
  rest += co_await ear_.raw(nothing, silence_after_late - first);
  for (const std::string& line : teach::split_reply({nothing, rest}).lines) spun.lines.push_back(line);
  spun.refused = understanding_.is_refusal(spun.lines);
}

// Behind what may be left half typed, and from wherever in a menu.
Task<void> TaughtSpin::stop_from_anywhere() {
  const std::string bytes = console::spoiled_line_end(profile_) + console::stop_lines(profile_);
  const Duration silence = moment + std::min(ear_.slowest, most_patience);
  co_await ear_.raw(bytes, silence);
}

// Nothing where it was acknowledged.
Task<std::optional<Fault>> TaughtSpin::try_stop(Said& spun, Stop how) {
  std::optional<Fault> trouble;
  try {
    if (how == Stop::before_late_answer) co_await stop_before_late_answer(spun);
    if (how == Stop::from_anywhere) co_await stop_from_anywhere();
    const Said stopped = co_await say_stop();
    trouble = why_not_acknowledged(stopped);
  } catch (const Fault& fault) {
    trouble = fault;
  }
  co_return trouble;
}

// A motor may be turning: the stop goes out before anything else.
Task<std::optional<Fault>> TaughtSpin::stop_on_a_new_line(Said& spun) {
  std::optional<Fault> trouble;
  try {
    ear_.close();
    std::unique_ptr<console::Line> line = co_await plug_.reopen(comes_back_within);
    ear_.take(std::move(line));
    co_await stop_from_anywhere();
    co_await understanding_.enter_console();
    trouble = co_await try_stop(spun, Stop::plainly);
  } catch (const Fault& fault) {
    trouble = fault;
  }
  co_return trouble;
}

Task<void> TaughtSpin::stop_for_sure(Said& spun, Stop how) {
  warned_ = false;
  std::optional<Fault> trouble = co_await try_stop(spun, how);
  if (!trouble && !warned_) {
    sentry_.stopped();
    co_return;
  }
  if (trouble) say_not_acknowledged(trouble->happened());
  bool lost = trouble && trouble->kind() == FaultKind::line_lost;
  if (trouble && !lost) trouble = co_await try_stop(spun, Stop::from_anywhere);
  if (trouble) {
    lost = true;
    trouble = co_await stop_on_a_new_line(spun);
  }
  if (trouble) throw motor_may_be_turning(trouble->happened());
  sentry_.stopped();
  person_.say(stop_acknowledged_now(), Level::warn);
  if (lost) throw line_lost_in_a_spin();
}

Task<Said> TaughtSpin::once(teach::Typed lines, std::size_t from, Go go) {
  std::exception_ptr trouble;
  Said said;
  bool late = false;
  try {
    said = co_await say_spin(lines, from, late);
    if (!said.refused && !said.closed) {
      co_await person_.interrupted(go.motor(), spin_time);
    }
  } catch (...) {
    trouble = std::current_exception();
  }
  // A signal that comes with the stop itself: once more, in spite of it and of any other.
  bool stopped = false;
  for (int attempt = 0; attempt < 2 && !stopped; ++attempt) {
    if (trouble && attempt == 0) co_await in_spite_of_cancellation();
    if (attempt > 0) co_await in_spite_of_every_signal();
    // What was being sent may stand half typed.
    const Stop how = trouble ? Stop::from_anywhere : late ? Stop::before_late_answer : Stop::plainly;
    try {
      co_await stop_for_sure(said, how);
      stopped = true;
    } catch (const Fault&) {
      throw;
    } catch (...) {
      if (!trouble) trouble = std::current_exception();
    }
  }
  if (trouble) co_await in_spite_of_cancellation();
  if (!stopped) throw motor_may_be_turning("the stop was interrupted");
  if (trouble && suspended_ && suspended_()) {
    said.suspended = true;
    trouble = nullptr;
  }
  if (trouble) std::rethrow_exception(trouble);
  co_return said;
}

}  // namespace armwise::session
