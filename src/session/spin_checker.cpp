#include "spin_checker.hpp"

#include <algorithm>
#include <boost/asio/error.hpp>
#include <boost/system/system_error.hpp>
#include <exception>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "words.hpp"

namespace armwise::session {
namespace {

// After so many spins of one motor without an answer the safety word is asked for again.
constexpr int spins_before_word = 5;
// The console's own bound lies a little later than ours, so that it never cuts a spin that is watched.
constexpr Duration bound_margin{500};
// A motor that did not move is tried with this much more each time, up to the profile's highest.
constexpr double stronger_each_time = 0.25;

double standard_strength(const console::Profile& profile, std::optional<double> per_cent) {
  if (!profile.spin || profile.spin->spin.steps.empty() || profile.spin->stop_all.steps.empty()) {
    throw Fault(FaultKind::bad_profile,
                "The profile " + profile.name + " does not say how a motor is spun and stopped",
                "without a spin nobody can tell which motor is which",
                "Teach it: armwise teach --from the profile's file")
        .as("spin-not-in-profile");
  }
  const console::SpinAbility& spin = *profile.spin;
  if (!per_cent) return spin.standard;
  const double wanted = spin.zero + *per_cent / 100.0 * (spin.full - spin.zero);
  const auto [low, high] = std::minmax(spin.lowest, spin.highest);
  if (wanted < low || wanted > high) {
    throw Fault(FaultKind::usage, "A spin at throttle " + std::to_string(*per_cent) + " % is not allowed",
                "the profile allows from " + std::to_string(spin.per_cent(low)) + " % to " +
                    std::to_string(spin.per_cent(high)) + " %",
                "Choose --throttle within these limits")
        .as("strength-not-allowed");
  }
  return wanted;
}

}  // namespace

SpinChecker::SpinChecker(console::Console& console, Person& person, std::optional<double> strength_per_cent,
                         Duration spin_time, std::function<bool()> suspended)
    : console_(console),
      person_(person),
      standard_strength_(standard_strength(console.profile(), strength_per_cent)),
      spin_time_(spin_time),
      suspended_(std::move(suspended)),
      spin_(console, person, suspended_) {}

double SpinChecker::strength_per_cent() const {
  return console_.profile().spin->per_cent(standard_strength_);
}

double SpinChecker::strength(int motionless) const {
  const console::SpinAbility& spin = *console_.profile().spin;
  const double wanted =
      spin.zero + (standard_strength_ - spin.zero) * (1.0 + stronger_each_time * motionless);
  return std::clamp(wanted, std::min(spin.lowest, spin.highest), std::max(spin.lowest, spin.highest));
}

void SpinChecker::tell_if_stronger(double before, double now) {
  const console::SpinAbility& spin = *console_.profile().spin;
  const auto in_words = [&](double strength) {
    std::string text = number_text(spin.per_cent(strength), 1);
    if (text.ends_with(".0")) text.resize(text.size() - 2);
    return text;
  };
  const std::string last = in_words(before), next = in_words(now);
  if (next != last) person_.tell("stronger", {{"throttle", next}, {"before", last}});
}

// `shown`: 0 where the person is not told which it is.
Task<void> SpinChecker::spin_once(Go go, craft::Motor shown, double strength) {
  spun_ = true;
  const std::function<Task<void>()> turn = [&] {
    return console_.spin(go.motor(), strength, spin_time_ + bound_margin, go.permit());
  };
  co_await spin_.run(turn, shown, spin_time_);
  // A refusal that came too late to be waited for while the motor might turn.
  const std::optional<Fault> late = console_.late_trouble();
  if (late) throw Fault(*late);
}

Task<void> SpinChecker::ask_for_the_word_again() {
  const bool sworn = co_await swear_props_off_again(person_, spins_before_word);
  if (!sworn) {
    throw Fault(FaultKind::usage, "You didn't say that the propellers are off",
                "the answer was not the word asked for", "See that they are off, then start again")
        .as("props-not-off");
  }
}

// How often this pin was spun in this phase, answered with `seen`; absent: whatever was answered.
int SpinChecker::spins_of(const SpinRequest& request, std::optional<SpinSeen::What> seen) const {
  return static_cast<int>(std::count_if(log_.begin(), log_.end(), [&](const Spun& spun) {
    if (spun.entry.phase != request.phase || spun.entry.pin != request.pin.name) return false;
    const auto* answer = std::get_if<SpinSeen>(&spun.answer);
    if (seen) return answer != nullptr && answer->what == *seen;
    return solve::needs_spin(spun.ask.way);
  }));
}

// Whoever ends the session here may do so since a motor turns on, though the console has acknowledged the
// stop.
Task<Answer> SpinChecker::spin_and_ask(const craft::Frame& frame, const SpinRequest& request,
                                       const Question& question, double strength, const SpinPermit& permit) {
  try {
    const BeforeSpin before{before_spin(frame, request), request.seen, request.of};
    std::optional<Go> go =
        co_await ask_for_go(person_, request.commanded, question.motor, question.pin, permit, before);
    if (!go) co_return Answer{Back{}};
    co_await spin_once(std::move(*go), question.motor, strength);
    const Answer answer = co_await person_.ask(question);
    co_return answer;
  } catch (const StoppedByPerson& stop) {
    if (!spun_) throw;
    end_unseen(stop.how());
  } catch (const boost::system::system_error& error) {
    // So ends whatever a signal cancels.
    if (!spun_ || error.code() != boost::asio::error::operation_aborted) throw;
    end_unseen(StoppedByPerson::How::interrupted);
  }
}

void SpinChecker::end_unseen(StoppedByPerson::How how) {
  person_.tell("still-turning");
  throw StoppedByPerson(how,
                        "the console has acknowledged the stop, and the controller is as it was before.");
}

// A motor that the stop does not name would turn on.
void SpinChecker::require_a_stop_for_each(const craft::Frame& frame) const {
  const std::vector<craft::Motor> stopped = console_.profile().motors_stopped_one_by_one();
  if (stopped.empty()) return;
  std::vector<std::string> left_on;
  for (std::size_t number = 1; number <= frame.places.size(); ++number) {
    const craft::Motor motor{static_cast<int>(number)};
    if (std::find(stopped.begin(), stopped.end(), motor) == stopped.end())
      left_on.push_back(std::to_string(number));
  }
  if (left_on.empty()) return;
  throw Fault(FaultKind::bad_profile,
              "The profile's stop names " + words::count(stopped.size(), "motor", "motors") +
                  ", and this craft has " + std::to_string(frame.places.size()),
              "motor " + joined(left_on, ", ") + " would keep turning",
              "Teach the stop on this craft: armwise teach")
      .as("stop-of-fewer-motors");
}

Task<std::optional<Heard>> SpinChecker::check(const craft::Frame& frame, const SpinRequest& request,
                                              const SpinPermit& permit) {
  const bool spins = solve::needs_spin(request.ask.way);
  if (spins) require_a_stop_for_each(frame);
  Question question = question_about(frame, request);
  for (question.attempt = 1;; ++question.attempt) {
    double used = 0;
    Answer answer;
    if (spins) {
      const int spun = spins_of(request, {});
      if (spun > 0 && spun % spins_before_word == 0) co_await ask_for_the_word_again();
      const int motionless = spins_of(request, SpinSeen::What::none);
      used = strength(motionless);
      if (motionless > 0) tell_if_stronger(strength(motionless - 1), used);
      answer = co_await spin_and_ask(frame, request, question, used, permit);
    } else {
      answer = co_await person_.ask(question);
    }
    if (std::holds_alternative<Back>(answer)) co_return std::nullopt;
    note(request, question, answer, used);
    const auto* seen = std::get_if<SpinSeen>(&answer);
    if (seen != nullptr && seen->what == SpinSeen::What::several) {
      person_.tell("still-turning");
      co_await spin_.stop();
    }
    if (seen == nullptr || seen->what != SpinSeen::What::again) {
      Heard heard{answer, std::exchange(taken_back_, {})};
      co_return heard;
    }
  }
}

void SpinChecker::note(const SpinRequest& request, const Question& question, const Answer& answer,
                       double used) {
  record::SpinEntry entry;
  entry.phase = request.phase;
  entry.motor = request.shown.number;
  entry.pin = request.pin.name;
  entry.attempt = question.attempt;
  if (used > 0) entry.strength_per_cent = console_.profile().spin->per_cent(used);
  if (const auto* seen = std::get_if<SpinSeen>(&answer)) {
    entry.seen = text(*question.frame, *seen);
  } else {
    entry.question = question.id;
    entry.seen = std::get<std::string>(answer);
  }
  log_.push_back({std::move(entry), request.ask, answer});
}

std::vector<record::SpinEntry> SpinChecker::log() const {
  std::vector<record::SpinEntry> entries;
  for (const Spun& spun : log_) entries.push_back(spun.entry);
  return entries;
}

void SpinChecker::undo(const SpinRequest& request) {
  const Answer again = SpinSeen{SpinSeen::What::again, 0, craft::Turn::cw};
  for (auto spun = log_.rbegin(); spun != log_.rend(); ++spun) {
    if (spun->entry.phase != request.phase || spun->entry.pin != request.pin.name ||
        spun->ask.way != request.ask.way || spun->answer == again)
      continue;
    spun->entry.undone = true;
    taken_back_.emplace_back(spun->ask, spun->answer);
    return;
  }
}

}  // namespace armwise::session
