// The spin checks: one motor at a time, until the answers make a wiring.
#include <algorithm>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "bench_flow.hpp"
#include "words.hpp"

namespace armwise::session {
namespace {

constexpr int most_spin_rounds = 6;

}  // namespace

solve::Sighting sighting(craft::Motor motor, const SpinSeen& seen) {
  using Seen = solve::Sighting::Seen;
  switch (seen.what) {
    case SpinSeen::What::one:
      return {motor, Seen::one, seen.place, seen.turn};
    case SpinSeen::What::several:
      return {motor, Seen::several, 0, craft::Turn::cw};
    case SpinSeen::What::none:
    case SpinSeen::What::again:
      break;
  }
  return {motor, Seen::none, 0, craft::Turn::cw};
}

// By which the controller drives its motors at the moment, whatever it reads.
const craft::MotorMap& BenchFlow::map_in_force() const {
  const auto& map = console_.profile().map;
  const bool late = map && map->takes_effect == console::TakesEffect::after_restart;
  return late ? baseline_.map : now_.map;
}

SpinRequest BenchFlow::check_request(craft::Motor motor) const {
  return {motor, motor, map_in_force().pin_of(motor), "spin", "check", false};
}

std::vector<solve::Sighting> BenchFlow::sightings() const {
  std::vector<solve::Sighting> all;
  for (const auto& [motor, seen] : seen_) all.push_back(sighting(motor, seen));
  return all;
}

// Says each contradiction and lists the motors to be spun again; false where the answers make a wiring.
bool BenchFlow::contradicted() {
  const solve::Identified identified = solve::identify(*frame_, map_in_force(), sightings());
  if (const auto* wiring = std::get_if<solve::Wiring>(&identified)) {
    wiring_ = *wiring;
    return false;
  }
  to_spin_.clear();
  for (const solve::Contradiction& contradiction : std::get<std::vector<solve::Contradiction>>(identified)) {
    person_.say(contradiction.sentence, Level::warn);
    for (const craft::Motor again : contradiction.spin_again) {
      if (std::find(to_spin_.begin(), to_spin_.end(), again) == to_spin_.end()) to_spin_.push_back(again);
    }
  }
  std::sort(to_spin_.begin(), to_spin_.end());
  return true;
}

Task<Move> BenchFlow::spin_checks(Entered entered) {
  enter(Phase::find);
  if (again_ && again_->wiring_known) {
    to_spin_.clear();
    co_return pass(entered);
  }
  if (!spin_permit_) throw Fault(FaultKind::internal, "Spin checks without the word that the props are off");
  std::size_t at = 0;
  if (entered == Entered::forwards || to_spin_.empty()) {
    to_spin_.clear();
    for (int i = 0; i < frame_->size(); ++i) to_spin_.push_back(motor(i));
    seen_.clear();
  } else {
    at = to_spin_.size() - 1;  // back from what follows: the last answer is taken again
    spins_.undo(check_request(to_spin_[at]));
  }
  for (int round = 0; round < most_spin_rounds; ++round) {
    while (at < to_spin_.size()) {
      const craft::Motor now = to_spin_[at];
      const SpinRequest request = check_request(now);
      const std::optional<SpinSeen> seen = co_await spins_.check(*frame_, request, *spin_permit_);
      if (!seen && at == 0) co_return Move::back();
      if (!seen) {
        --at;
        spins_.undo(check_request(to_spin_[at]));
        continue;
      }
      seen_[now] = *seen;
      ++at;
    }
    if (!contradicted()) co_return Move::on();
    at = 0;
  }
  // A motor that turns on although told to stop makes every answer "several", and spinning does not help.
  throw Fault(
      FaultKind::mismatch,
      "The answers still contradict each other after " + std::to_string(most_spin_rounds) +
          " rounds of spins",
      "a wire is loose, a speed controller does not answer, or a motor turns on although it was stopped",
      "If anything still turns, pull the battery plug. Then look at the wiring and start again");
}

}  // namespace armwise::session
