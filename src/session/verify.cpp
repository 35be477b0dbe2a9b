// The proof: every motor spun again, and the person is not told what is expected; then the mount, what would
// fly, and whether to keep it.
#include <algorithm>
#include <utility>
#include <variant>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/session/consent.hpp"
#include "armwise/solve/difference.hpp"
#include "bench_parts.hpp"
#include "questions.hpp"
#include "spin_rounds.hpp"
#include "words.hpp"

namespace armwise::session {
namespace {

template <typename Setting>
bool differ_in(const solve::Snapshot& a, const solve::Snapshot& b) {
  const std::vector<solve::Change> changes = solve::difference(a, b, "");
  return std::any_of(changes.begin(), changes.end(), [](const solve::Change& change) {
    return std::holds_alternative<Setting>(change.what);
  });
}

template <typename Ability>
bool is_late(const std::optional<Ability>& ability) {
  return ability && ability->takes_effect == console::TakesEffect::after_restart;
}

// A console that applies its map only after the restart still drives each pin by the old motor number: the
// pin is what is proven. A pin that nothing drives yet has to wait for the restart.
std::vector<Driven> driven_now(const Bench& b, const Agreed& agreed, const Inquiry& inquiry, bool old_map) {
  std::vector<Driven> driven;
  for (const craft::Pin& pin : inquiry.pins) {
    const craft::Motor planned = agreed.plan.map_after.motor_on(pin);
    driven.push_back({old_map ? b.ledger.baseline().map.motor_on(pin) : planned, planned});
  }
  return driven;
}

// As it is once the plan is written.
SpinPolicy proof_of(const Bench& b, const Agreed& agreed) {
  const console::Profile& profile = b.profile();
  const bool old_map = is_late(profile.map);
  const bool old_turns = differ_in<solve::SetTurn>(b.ledger.baseline(), agreed.after) && profile.turn &&
                         (is_late(profile.turn) || (old_map && profile.turn->key == solve::TurnKey::motor));
  Inquiry inquiry = agreed.wired.inquiry;
  reverse_as_planned(inquiry, agreed.wired.wiring, agreed.plan.wiring_after);
  if (!old_turns) inquiry.reversed_now = inquiry.reversed;
  std::vector<Driven> driven = driven_now(b, agreed, inquiry, old_map);
  unsigned can_spin = 0;
  for (std::size_t row = 0; row < driven.size(); ++row)
    can_spin |= driven[row].commanded.number != 0 ? 1U << row : 0U;
  inquiry.interview.written(can_spin);
  return {agreed.wired.frame(), std::move(inquiry), std::move(driven), "proof"};
}

// As it is after the restart.
SpinPolicy proof_again(const Bench& b, const Agreed& agreed, Inquiry inquiry) {
  inquiry.reversed_now = inquiry.reversed;
  inquiry.interview.restarted();
  std::vector<Driven> driven = driven_now(b, agreed, inquiry, false);
  return {agreed.wired.frame(), std::move(inquiry), std::move(driven), "proof-after-restart"};
}

// True where each motor does what it should; else `verified` says what else they do.
Task<bool> prove_motors(Bench& b, Recall& r, const Agreed& agreed, SpinPolicy& policy, Verified& verified) {
  co_await spin_rounds(r, b.spins, agreed.wired.frame(), agreed.wired.permit, policy);
  verified.inquiry = policy.inquiry();
  verified.proof_spins = policy.checked();
  verified.otherwise = policy.otherwise();
  if (verified.otherwise) co_return false;
  r.tell("motors-proven", {{"motors", std::to_string(verified.proof_spins)}});
  co_return true;
}

Task<void> weigh_flight(Recall& r, const Agreed& agreed, const MountVerified& mount, Verified& verified) {
  const solve::FlightSense sense =
      flight_sense(agreed.wired, mount, agreed.plan.map_after, agreed.plan.wiring_after, mount.settings);
  verified.flight_sense = sense.words;
  using Verdict = solve::FlightSense::Verdict;
  const bool as_designed = sense.verdict == Verdict::as_designed;
  if (as_designed && sense.mount_known && mount.unseen) {
    r.tell("flies-if-used", {{"sense", words::in_mid_sentence(sense.words)}});
  } else {
    r.tell(as_designed && sense.mount_known ? StatementId("flies") : StatementId("flies-perhaps"),
           {{"sense", sense.words}});
  }
  if (sense.verdict == Verdict::will_not_hold || sense.verdict == Verdict::unsteady) {
    throw Fault(FaultKind::mismatch, "The craft would flip with these settings, so nothing is saved",
                sense.words, "Check the frame, the mount and the motor directions, and start again")
        .as("would-flip");
  }
  const Mounted& mounted = agreed.wired.mounted;
  if (!mounted.mount) {
    verified.warnings.push_back(
        mount.display_follows ? "The board's mount was not measured; an attitude display followed."
        : mounted.by_eye      ? "The board's mount was not measured. By eye: " + mounted.by_eye->words + "."
                              : "Nobody checked how the board sits: " + sense.words);
  }
  if (as_designed) co_return;
  Question question = yes_or_no("flight-sense", "It may fly, badly: expect wobble. Carry on?", Level::danger);
  co_await require_yes(r, std::move(question));
  verified.warnings.push_back("Saved although not as designed: " + sense.words);
}

// Also where nothing had to be changed: what runs may have been typed and never saved.
Task<std::optional<KeepPermit>> agree_to_keep(Bench& b, Recall& r) {
  const std::optional<console::KeepAbility>& ability = b.profile().keep;
  if (!b.ledger.anything_written() && !ability) co_return std::nullopt;
  const auto noted = [&b]() -> Task<bool> {
    b.ledger.journal().note(record::JournalEntry::What::proven);
    co_return true;
  };
  co_await r.once<bool>(noted);
  const bool restarts = ability && (ability->restarts || ability->restart);
  Question question = yes_or_no(
      "keep", std::string(b.ledger.anything_written()
                              ? "Save for good?"
                              : "Nothing had to change. Save anyway, in case what runs was never saved?") +
                  (restarts ? " The controller restarts" : " You restart the controller") +
                  ", and we read everything back.");
  question.label = "save";
  question.about_settings = true;
  const std::optional<KeepPermit> permit = co_await ask_to_keep(r, question);
  if (!permit) throw StoppedByPerson();
  co_return permit;
}

}  // namespace

Task<Verified> verify(Bench& b, Recall& r, const Agreed& agreed) {
  Verified verified;
  SpinPolicy policy = proof_of(b, agreed);
  if (policy.to_check() < agreed.wired.frame().size()) {
    const auto spins = static_cast<std::size_t>(policy.to_check());
    r.tell("check-changed", {{"spins", words::count(spins, "spin", "spins")}});
  } else {
    r.tell("check-begins");
  }
  const bool proven = co_await prove_motors(b, r, agreed, policy, verified);
  if (!proven) co_return verified;
  const MountVerified mount = co_await verify_mount(b, r, agreed);
  verified.mount_proven = mount.proven;
  verified.warnings = mount.warnings;
  co_await weigh_flight(r, agreed, mount, verified);
  verified.permit = co_await agree_to_keep(b, r);
  co_return verified;
}

// Also where nothing had to change: what was read at first may never have been in force.
Task<void> verify_after_restart(Bench& b, const Agreed& agreed, Verified& verified) {
  if (is_late(b.profile().map) || is_late(b.profile().turn)) {
    const std::optional<Inquiry> before = verified.inquiry;
    const auto motors = [&](Recall& r) -> Task<bool> {
      r.tell("check-again");
      SpinPolicy policy = proof_again(b, agreed, *before);
      co_return co_await prove_motors(b, r, agreed, policy, verified);
    };
    const bool proven = co_await phase(b.person, motors);
    if (!proven) co_return;
  }
  const Mounted& mounted = agreed.wired.mounted;
  if (!mounted.mount || !mounted.to_be_proven || verified.mount_proven || !is_late(b.profile().mount))
    co_return;
  const auto mount = [&](Recall& r) { return verify_mount_after_restart(b, r, agreed); };
  verified.mount_proven = co_await phase(b.person, mount);
}

}  // namespace armwise::session
