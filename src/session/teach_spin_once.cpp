// One spin while the commands are being taught. Whatever happens once the command is on its way, the stop
// comes next, and is made sure of.
#include <algorithm>
#include <exception>
#include <utility>

#include "armwise/base/cancellation.hpp"
#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/console/conversation.hpp"
#include "armwise/console/profile_console.hpp"
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
constexpr Duration typing_time{4000}, moment{100};

}  // namespace

// Where the console repeats what is sent, the end of a line that may turn the motor is sent only once the
// echo is right.
Task<Ear::Heard> TaughtSpin::say_with_care(const std::string& step, Duration turns_for) {
  for (int attempt = 1; profile_.open.echo.value_or(false); ++attempt) {
    console::Conversation typing(ear_.release(), profile_, ear_.clock());
    bool right = false;
    std::exception_ptr trouble;
    try {
      right = co_await typing.type(step);
    } catch (...) {
      trouble = std::current_exception();
    }
    ear_.take(typing.release());
    if (trouble) std::rethrow_exception(trouble);
    if (right) break;
    const std::string spoiled = console::spoiled_line_end(profile_);
    co_await ear_.raw(spoiled, answers_at_once);
    if (attempt < 2) continue;
    throw Fault(
        FaultKind::unreadable,
        "the console did not repeat \"" + printable(step) + "\" as it was sent, so it was not carried out",
        "Bytes are lost or changed on the way", "Try another cable and another USB port");
  }
  sentry_.turning(turns_for);
  const std::optional<Duration> longest = answers_at_once;
  if (profile_.open.echo.value_or(false)) co_return co_await ear_.say_typed(step, longest);
  co_return co_await ear_.say(step, longest);
}

// The steps of a spin: from that on which may turn the motor, nothing is waited for longer than a person's
// key may be.
Task<Said> TaughtSpin::say_spin(teach::Typed typed, std::size_t from, bool& late) {
  Said said;
  sentry_.turning(watched_time + static_cast<int>(from) * menu_step + typing_time);
  for (std::size_t i = 0; i < typed.size() && !said.closed; ++i) {
    const std::string step = typed[i];
    Ear::Heard heard;
    if (i < from) {
      // A menu asks its way to the motor, each time with a prompt that is not known yet.
      heard = co_await ear_.say(step);
    } else {
      heard = co_await say_with_care(step,
                                     watched_time + static_cast<int>(typed.size() - i - 1) * answers_at_once);
    }
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

// What comes behind the stop of a console that answers late is the answer to the spin, or to the stop: so it
// is stopped once more when nothing else is under way.
Task<void> TaughtSpin::hear_late_answer(Said& spun) {
  std::string stop;
  for (const console::Step& step : profile_.spin->stop_all.steps)
    stop += step.send.format({}) + ear_.line_end;
  std::string rest = co_await ear_.raw(stop, moment);
  sentry_.stopping(late_answers);
  // The first may have been lost; a second one harms nothing.
  const Duration first = std::min(overdue(), silence_after_late);
  rest += co_await ear_.raw(stop, first);
  if (rest.empty()) tell({"nothing comes back", first});
  for (const std::string& line : teach::split_reply({"", rest}).lines) spun.lines.push_back(line);
  spun.refused = understanding_.is_refusal(spun.lines);
}

void TaughtSpin::tell(const console::Unstopped& unstopped) {
  say_unstopped(person_, unstopped, std::exchange(told_, true));
}

// By the one way in which armwise stops motors; the line is lent to it.
Task<void> TaughtSpin::stop(console::ProfileConsole::Left left) {
  const console::TellUnstopped told_by = [this](const console::Unstopped& unstopped) { tell(unstopped); };
  console::Profile spoken = profile_;
  if (left == console::ProfileConsole::Left::answering_late)
    spoken.timing.reply = std::max(spoken.timing.reply, overdue());
  console::ProfileConsole console(plug_, std::move(spoken), ear_.clock(), sentry_);
  console.take_over(ear_.release(), left);
  std::exception_ptr failed;
  bool line_was_lost = false;
  try {
    line_was_lost = co_await console.stop_all(told_by);
  } catch (...) {
    failed = std::current_exception();
  }
  ear_.take(console.give_back());
  if (failed) std::rethrow_exception(failed);
  if (told_) person_.say(stop_acknowledged_now(), Level::warn, "stop-found");
  if (line_was_lost) throw line_lost_in_a_spin();
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
    using Left = console::ProfileConsole::Left;
    const Left left = trouble || said.closed ? Left::out_of_step
                      : late                 ? Left::answering_late
                                             : Left::in_step;
    try {
      if (!trouble && late) co_await hear_late_answer(said);
    } catch (const Fault&) {
      // The stop finds out.
    } catch (...) {
      trouble = std::current_exception();
      continue;
    }
    try {
      co_await stop(left);
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
