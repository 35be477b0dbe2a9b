// One spin while the commands are being taught. Whatever happens once the command is on its way, the stop
// comes next, and is made sure of.
#include <exception>

#include "armwise/base/cancellation.hpp"
#include "armwise/base/fault.hpp"
#include "armwise/console/conversation.hpp"
#include "armwise/teach/command_lesson.hpp"
#include "armwise/teach/listening.hpp"
#include "ceremony.hpp"
#include "teach_flow.hpp"

namespace armwise::session {
namespace {

using console::Values;

constexpr Duration spin_time{1000};
// While a motor turns, its answer is waited for no longer: the stop, and the person's key, come first.
constexpr Duration answers_at_once{250};
constexpr Duration late_answers{15000}, silence_after_late{3500};
constexpr Duration watched_time{2000}, menu_step{6000};
constexpr Duration comes_back_within{20000}, moment{100};

}  // namespace

// The steps of a spin, the last of which turns the motor: then nothing is waited for longer than a person's
// key may be.
Task<Said> TeachFlow::say_spin(Typed typed, console::Sentry& sentry, bool& late) {
  Said said;
  for (std::size_t i = 0; i < typed.size() && !said.closed; ++i) {
    const std::string step = typed[i];
    const bool last = i + 1 == typed.size();
    std::optional<Duration> longest;
    if (last) longest = answers_at_once;
    // A menu asks its way to the motor, each time with a prompt that is not known yet.
    sentry.turning(last ? watched_time : watched_time + menu_step);
    const Ear::Heard heard = co_await ear_.say(step, longest);
    late = heard.late;
    take_step(said, step, heard);
  }
  said.refused = is_refusal(said.lines);
  co_return said;
}

Task<Said> TeachFlow::say_stop() {
  const Values none;
  const Said stopped = co_await say_again(profile_.spin->stop_all.steps, none);
  co_return stopped;
}

// What came behind the stop of a console that answers late is the answer to the spin, or to the stop: so it
// is stopped once more, when nothing else is under way.
Task<Said> TeachFlow::stop_behind_late_answer(console::Sentry& sentry, Said& spun, const Said& stopped) {
  try {
    sentry.turning(late_answers);  // the guard is told to wait: a stop has been written
  } catch (const Fault&) {
    // It is stopping the motor itself.
  }
  spun.lines.insert(spun.lines.end(), stopped.lines.begin(), stopped.lines.end());
  const std::string nothing;
  const std::string rest = co_await ear_.raw(nothing, silence_after_late);
  for (const std::string& line : teach::split_reply({nothing, rest}).lines) spun.lines.push_back(line);
  spun.refused = is_refusal(spun.lines);
  const Said again = co_await say_stop();
  co_return again;
}

// Nothing where it was acknowledged.
Task<std::optional<Fault>> TeachFlow::try_stop(console::Sentry& sentry, Said& spun, bool late) {
  std::optional<Fault> trouble;
  try {
    Said stopped = co_await say_stop();
    if (late && !stopped.closed) stopped = co_await stop_behind_late_answer(sentry, spun, stopped);
    if (stopped.closed) trouble = Fault(FaultKind::line_lost, "the line was lost");
    if (stopped.refused) trouble = Fault(FaultKind::refused, "the console refused it");
  } catch (const Fault& fault) {
    trouble = fault;
  }
  co_return trouble;
}

// A motor may be turning: the stop goes out before anything else, behind what may be left half typed.
Task<std::optional<Fault>> TeachFlow::stop_on_a_new_line(console::Sentry& sentry, Said& spun) {
  std::optional<Fault> trouble;
  try {
    ear_.close();
    std::unique_ptr<console::Line> line = co_await plug_.reopen(comes_back_within);
    ear_.take(std::move(line));
    std::string bytes = console::spoiled_line_end(profile_);
    for (const console::Step& step : profile_.spin->stop_all.steps)
      bytes += step.send.format({}) + ear_.line_end;
    co_await ear_.raw(bytes, moment);
    co_await enter_console();
    trouble = co_await try_stop(sentry, spun, false);
  } catch (const Fault& fault) {
    trouble = fault;
  }
  co_return trouble;
}

// The person can stop a motor that no line reaches, so they are told at once.
Task<void> TeachFlow::stop_for_sure(console::Sentry& sentry, Said& spun, bool late) {
  std::optional<Fault> trouble = co_await try_stop(sentry, spun, late);
  if (!trouble) {
    sentry.stopped();
    co_return;
  }
  person_.say(stop_not_acknowledged(trouble->happened()), Level::danger);
  bool lost = trouble->kind() == FaultKind::line_lost;
  if (!lost) trouble = co_await try_stop(sentry, spun, false);
  if (trouble) {
    lost = true;
    trouble = co_await stop_on_a_new_line(sentry, spun);
  }
  if (trouble) throw motor_may_be_turning(trouble->happened());
  sentry.stopped();
  person_.say("The stop has been acknowledged now: no motor turns.", Level::warn);
  if (lost) throw line_lost_in_a_spin();
}

Task<Said> TeachFlow::spin_once(teach::Reading reading, Values values, const SpinPermit&) {
  console::Sentry& sentry = options_.watched_by(profile_);
  const auto written = teach::written(reading, values);
  if (!written) throw Fault(FaultKind::internal, "the spin that was taught cannot be written");
  person_.say("Now " + motor_words(values.at("motor")) + " spins, at strength " + values.at("strength") +
                  ". Any key stops it.",
              Level::danger);
  std::exception_ptr trouble;
  Said said;
  bool late = false;
  try {
    said = co_await say_spin(*written, sentry, late);
    if (!said.refused && !said.closed) {
      co_await person_.interrupted(*profile_.motor_coded(values.at("motor")), spin_time);
    }
  } catch (...) {
    trouble = std::current_exception();
  }
  // A signal that comes with the stop itself: once more, in spite of it.
  bool stopped = false;
  for (int attempt = 0; attempt < 2 && !stopped; ++attempt) {
    if (trouble) co_await in_spite_of_cancellation();
    try {
      co_await stop_for_sure(sentry, said, late);
      stopped = true;
    } catch (const Fault&) {
      throw;
    } catch (...) {
      if (!trouble) trouble = std::current_exception();
    }
  }
  if (!stopped) throw motor_may_be_turning("the stop was interrupted");
  if (trouble) std::rethrow_exception(trouble);
  co_return said;
}

}  // namespace armwise::session
