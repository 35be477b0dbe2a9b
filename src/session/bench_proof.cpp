// The proof: every motor spun again, and the person is not told what is expected.
#include <algorithm>
#include <utility>
#include <variant>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/solve/difference.hpp"
#include "bench_flow.hpp"
#include "words.hpp"

namespace armwise::session {
namespace {

constexpr int most_proof_rounds = 5;

template <typename Setting>
bool differ_in(const solve::Snapshot& a, const solve::Snapshot& b) {
  const std::vector<solve::Change> changes = solve::difference(a, b, "");
  return std::any_of(changes.begin(), changes.end(), [](const solve::Change& change) {
    return std::holds_alternative<Setting>(change.what);
  });
}

}  // namespace

// A console that applies its map only after the restart still drives each pin by the old motor number: the
// pin is what is proven. A pin that nothing drives yet has to wait for the restart.
std::vector<BenchFlow::Expected> BenchFlow::expected_now(bool restarted) const {
  const console::Profile& profile = console_.profile();
  const bool old_map =
      !restarted && profile.map && profile.map->takes_effect == console::TakesEffect::after_restart;
  const bool old_turns = !restarted && differ_in<solve::SetTurn>(baseline_, now_) && profile.turn &&
                         (profile.turn->takes_effect == console::TakesEffect::after_restart ||
                          (old_map && profile.turn->key == solve::TurnKey::motor));
  std::vector<Expected> all;
  for (int i = 0; i < frame_->size(); ++i) {
    Expected expected;
    expected.motor = motor(i);
    expected.pin = plan_.map_after.pin_of(expected.motor);
    expected.commanded = old_map ? baseline_.map.motor_on(expected.pin) : expected.motor;
    expected.wired = plan_.wiring_after.at.at(expected.pin);
    expected.turn_known = !old_turns;
    if (expected.commanded.number != 0) all.push_back(std::move(expected));
  }
  return all;
}

// Also where nothing had to change: what was read at first may never have been in force.
bool BenchFlow::needs_proof_after_restart() const {
  const console::Profile& profile = console_.profile();
  const auto late = [](const auto& ability) {
    return ability && ability->takes_effect == console::TakesEffect::after_restart;
  };
  return late(profile.map) || late(profile.turn);
}

bool BenchFlow::proven(const Expected& expected, const SpinSeen& seen) const {
  return seen.what == SpinSeen::What::one && seen.place == expected.wired.place &&
         (!expected.turn_known || seen.turn == expected.wired.turn);
}

// Spins every motor in `pending` from `first` on; absent: all were answered, else what the person or the flow
// wants.
Task<std::optional<Move>> BenchFlow::prove_each(std::vector<Expected> pending, std::string phase,
                                                std::size_t first) {
  std::map<craft::Pin, int> tries;
  for (std::size_t at = first; at < pending.size();) {
    const Expected& expected = pending[at];
    const SpinRequest request{expected.commanded, expected.motor, expected.pin, "prove", phase, true};
    const std::optional<SpinSeen> seen = co_await spins_.check(*frame_, request, *spin_permit_);
    if (!seen) {
      if (at == 0) co_return Move::back();
      --at;
      spins_.undo({pending[at].commanded, pending[at].motor, pending[at].pin, "prove", phase, true});
      continue;
    }
    proof_[expected.pin] = *seen;
    // One slip of the tongue is no reason to plan anew, and asking again must not give the answer away.
    if (!proven(expected, *seen) && tries[expected.pin]++ == 0) {
      person_.say("Once more, to be sure.");
      continue;
    }
    ++at;
  }
  co_return std::nullopt;
}

Task<Move> BenchFlow::prove_all(bool restarted, std::string phase, Entered entered) {
  const std::vector<Expected> all = expected_now(restarted);
  std::vector<Expected> pending = all;
  std::size_t first = 0;
  if (entered == Entered::forwards || all.empty() || proof_.size() != all.size()) {
    proof_.clear();
  } else {
    first = all.size() - 1;  // back from what follows: the last answer is taken again
    spins_.undo({all[first].commanded, all[first].motor, all[first].pin, "prove", phase, true});
  }
  for (int round = 0; round < most_proof_rounds; ++round) {
    const std::optional<Move> move = co_await prove_each(pending, phase, std::exchange(first, 0));
    if (move) co_return *move;
    const bool good = std::all_of(all.begin(), all.end(), [&](const Expected& expected) {
      return proven(expected, proof_.at(expected.pin));
    });
    if (good) {
      person_.say("Proven: " + words::count(all.size(), "motor sits", "motors sit") +
                  " where the controller believes, and each turns as it should.");
      co_return Move::on();
    }
    pending = contradicted_proof(all);
    if (pending.empty()) co_return Move::to("plan");
  }
  throw Fault(FaultKind::mismatch, "The proof does not come to an end",
              "the answers contradict each other again and again",
              "Have a second person look at the motors, and start again");
}

// Says what does not match. What is to be spun again, or nothing where the new answers are a wiring of
// their own: then that wiring is what is planned with.
std::vector<BenchFlow::Expected> BenchFlow::contradicted_proof(const std::vector<Expected>& all) {
  std::vector<solve::Sighting> sightings;
  for (const Expected& expected : all) {
    SpinSeen seen = proof_.at(expected.pin);
    if (!expected.turn_known) seen.turn = expected.wired.turn;
    sightings.push_back(sighting(expected.motor, seen));
    if (!proven(expected, proof_.at(expected.pin))) {
      const std::string wanted =
          frame_->places[expected.wired.place].name + " " + std::string(name(expected.wired.turn));
      person_.say(words::motor_on(expected.motor, expected.pin) + " does not do what it should: expected " +
                      wanted + ", seen " + words::seen(*frame_, proof_.at(expected.pin)) + ".",
                  Level::warn);
    }
  }
  const solve::Identified identified = solve::identify(*frame_, plan_.map_after, sightings);
  if (const auto* wiring = std::get_if<solve::Wiring>(&identified)) {
    wiring_ = *wiring;
    person_.say("These answers fit together, so the plan is made again from them. Nothing has been kept.",
                Level::warn);
    return {};
  }
  std::vector<Expected> again;
  for (const solve::Contradiction& contradiction : std::get<std::vector<solve::Contradiction>>(identified)) {
    person_.say(contradiction.sentence, Level::warn);
    for (const Expected& expected : all) {
      const auto& motors = contradiction.spin_again;
      const bool listed = std::find(motors.begin(), motors.end(), expected.motor) != motors.end();
      const bool known = std::any_of(again.begin(), again.end(),
                                     [&](const Expected& other) { return other.motor == expected.motor; });
      if (listed && !known) again.push_back(expected);
    }
  }
  return again;
}

Task<Move> BenchFlow::prove(Entered entered) {
  enter(Phase::check);
  if (entered == Entered::forwards) {
    person_.say("Now the proof: every motor is spun again. Say what you see; what is expected is not shown.");
  }
  co_return co_await prove_all(false, "proof", entered);
}

Task<Move> BenchFlow::prove_after_restart(Entered) {
  if (!needs_proof_after_restart()) co_return Move::on();
  person_.say(
      "This controller applies its map or its turning directions only after a restart, so every motor is "
      "proven "
      "once more, as it now is. Are the props still off?",
      Level::warn);
  const Move move = co_await prove_all(true, "proof-after-restart", Entered::forwards);
  co_return move;
}

}  // namespace armwise::session
