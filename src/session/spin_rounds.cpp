#include "spin_rounds.hpp"

#include <algorithm>
#include <utility>
#include <variant>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/craft/placed_turn.hpp"
#include "words.hpp"

namespace armwise::session {
namespace {

constexpr int most_check_rounds = 6, most_proof_rounds = 5;

solve::Sighting sighting(craft::Motor motor, const SpinSeen& seen) {
  using Seen = solve::Sighting::Seen;
  if (seen.what == SpinSeen::What::one) return {motor, Seen::one, seen.place, seen.turn};
  return {motor, seen.what == SpinSeen::What::several ? Seen::several : Seen::none, 0, craft::Turn::cw};
}

// Says each contradiction; the motors to be spun again, in order.
std::vector<craft::Motor> to_spin_again(const solve::Identified& identified, std::vector<Statement>& told) {
  std::vector<craft::Motor> again;
  for (const solve::Contradiction& contradiction : std::get<std::vector<solve::Contradiction>>(identified)) {
    told.push_back(statement_of("spin-contradiction", {{"why", contradiction.sentence}}));
    for (const craft::Motor motor : contradiction.spin_again) {
      if (std::find(again.begin(), again.end(), motor) == again.end()) again.push_back(motor);
    }
  }
  return again;
}

}  // namespace

Task<void> spin_rounds(Recall& recall, SpinChecker& spins, const craft::Frame& frame,
                       const SpinPermit& permit, SpinPolicy& policy) {
  while (const std::optional<SpinRequest> request = policy.next()) {
    const auto spin = [&]() { return spins.check(frame, *request, permit); };
    const std::function<void()> undone = [&spins, what = *request] { spins.undo(what); };
    const SpinSeen seen = co_await recall.answered<SpinSeen>(spin, undone);
    for (const Statement& statement : policy.take(seen)) recall.tell(statement);
  }
}

CheckRounds::CheckRounds(const craft::Frame& frame, craft::MotorMap map)
    : frame_(frame), map_(std::move(map)) {
  for (int number = 1; number <= frame.size(); ++number) to_spin_.push_back(craft::Motor{number});
}

std::optional<SpinRequest> CheckRounds::next() const {
  // A motor that turns on although told to stop makes every answer "several", and spinning does not help.
  if (round_ == most_check_rounds) {
    throw Fault(
        FaultKind::mismatch,
        "The answers still contradict each other after " + std::to_string(most_check_rounds) +
            " rounds of spins",
        "a wire is loose, a speed controller does not answer, or a motor turns on although it was stopped",
        "If anything still turns, pull the battery plug. Then look at the wiring and start again")
        .as("answers-contradict");
  }
  if (at_ == to_spin_.size()) return std::nullopt;
  const craft::Motor motor = to_spin_[at_];
  return SpinRequest{motor, motor, map_.pin_of(motor), "spin", "check", false};
}

std::vector<Statement> CheckRounds::take(const SpinSeen& seen) {
  seen_[to_spin_[at_++]] = seen;
  std::vector<Statement> told;
  if (at_ < to_spin_.size()) return told;
  std::vector<solve::Sighting> sightings;
  for (const auto& [motor, what] : seen_) sightings.push_back(sighting(motor, what));
  const solve::Identified identified = solve::identify(frame_, map_, sightings);
  if (const auto* wiring = std::get_if<solve::Wiring>(&identified)) {
    wiring_ = *wiring;
    return told;
  }
  to_spin_ = to_spin_again(identified, told);
  std::sort(to_spin_.begin(), to_spin_.end());
  at_ = 0;
  ++round_;
  return told;
}

ProofRounds::ProofRounds(const craft::Frame& frame, craft::MotorMap map, std::vector<Expected> all,
                         std::string phase)
    : frame_(frame), map_(std::move(map)), all_(std::move(all)), pending_(all_), phase_(std::move(phase)) {}

std::optional<SpinRequest> ProofRounds::next() const {
  if (round_ == most_proof_rounds) {
    throw Fault(FaultKind::mismatch, "The answers never agreed, so the wiring could not be proven",
                "the answers contradict each other again and again",
                "Have a second person look at the motors, and start again")
        .as("answers-contradict");
  }
  if (at_ == pending_.size()) return std::nullopt;
  const Expected& expected = pending_[at_];
  return SpinRequest{expected.commanded, expected.motor, expected.pin, "prove", phase_, true};
}

bool ProofRounds::proven(const Expected& expected) const {
  const SpinSeen& seen = seen_.at(expected.pin);
  return seen.what == SpinSeen::What::one && seen.place == expected.wired.place &&
         (!expected.turn_known || seen.turn == expected.wired.turn);
}

std::vector<Statement> ProofRounds::take(const SpinSeen& seen) {
  const Expected& expected = pending_[at_];
  seen_[expected.pin] = seen;
  // One slip of the tongue is no reason to plan anew, and asking again must not give the answer away.
  if (!proven(expected) && tries_[expected.pin]++ == 0) return {statement_of("once-more")};
  if (++at_ < pending_.size()) return {};
  return end_round();
}

// Says what does not match, and what is to be spun again.
std::vector<Statement> ProofRounds::end_round() {
  std::vector<Statement> told;
  std::vector<solve::Sighting> sightings;
  for (const Expected& expected : all_) {
    SpinSeen seen = seen_.at(expected.pin);
    if (!proven(expected)) {
      const std::string wanted = text(frame_, craft::PlacedTurn{expected.wired.place, expected.wired.turn});
      told.push_back(statement_of("motor-not-proven", {{"motor", std::to_string(expected.motor.number)},
                                                       {"pin", words::pin_in_words(expected.pin)},
                                                       {"expected", wanted},
                                                       {"seen", words::seen(frame_, seen)}}));
    }
    if (!expected.turn_known) seen.turn = expected.wired.turn;
    sightings.push_back(sighting(expected.motor, seen));
  }
  if (told.empty()) return told;
  const solve::Identified identified = solve::identify(frame_, map_, sightings);
  if (const auto* wiring = std::get_if<solve::Wiring>(&identified)) {
    otherwise_ = *wiring;
    told.push_back(statement_of("plan-again"));
    return told;
  }
  const std::vector<craft::Motor> again = to_spin_again(identified, told);
  pending_.clear();
  for (const craft::Motor motor : again) {
    const auto found = std::find_if(all_.begin(), all_.end(),
                                    [&](const Expected& expected) { return expected.motor == motor; });
    if (found != all_.end()) pending_.push_back(*found);
  }
  at_ = 0;
  ++round_;
  tries_.clear();
  return told;
}

}  // namespace armwise::session
