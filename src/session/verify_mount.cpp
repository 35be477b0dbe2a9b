// The proof of the mount after it was told: the same poses again, or the person's own display; and what flies
// with all of it.
#include <algorithm>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/session/consent.hpp"
#include "armwise/solve/difference.hpp"
#include "armwise/solve/mount_convention.hpp"
#include "armwise/solve/mount_proof.hpp"
#include "bench_parts.hpp"
#include "questions.hpp"
#include "words.hpp"

namespace armwise::session {
namespace {

using solve::Pose;

constexpr int most_turns = 3;

// As far as eyes can tell, which choose among headings 45 degrees apart.
bool agree_by_eye(const craft::CraftFromBoard& seen, const craft::CraftFromBoard& set) {
  return angle_between(seen, set).value <= 22.5;
}

// A pose that was held again counts as it was held last.
std::vector<solve::ProofReading> latest_of_each(const std::vector<solve::ProofReading>& readings) {
  std::vector<solve::ProofReading> latest;
  for (const solve::ProofReading& reading : readings) {
    std::erase_if(latest, [&](const solve::ProofReading& old) { return old.pose == reading.pose; });
    latest.push_back(reading);
  }
  return latest;
}

[[noreturn]] void mount_not_proven(const std::string& why) {
  throw Fault(FaultKind::mismatch, "The mount could not be proven, so it is not saved", why,
              "Check how the board is mounted, then start again. --exact is for an odd angle, --leave-mount "
              "leaves the mount alone")
      .as("mount-refuted");
}

// The profile may be wrong about whether the readings are turned by the set mount. Then no other mount puts
// it right, and none is proposed.
void add_if_misread(const Bench& b, const FoundMount& mount, const craft::YawPitchRoll& told,
                    const std::vector<solve::ProofReading>& readings, solve::MountProof& proof) {
  if (!mount.by_sense || !b.ledger.before().mount) return;
  const craft::ToldFromBoard set(told);
  std::vector<solve::PoseReading> as_board;
  as_board.reserve(readings.size());
  for (const solve::ProofReading& reading : readings)
    as_board.push_back(solve::before_mount(reading.pose, reading.reading, set));
  const solve::MountAnswer answer = solve::mount_from_poses(as_board);
  const auto* found = std::get_if<solve::MountFound>(&answer);
  const bool after_mount = b.profile().sense->after_mount;
  if (found == nullptr || !solve::readings_are_the_other_way({mount.rotation, *b.ledger.before().mount},
                                                             {found->free, told}, after_mount))
    return;
  proof.candidates.clear();
  proof.words += after_mount
                     ? " The profile says the readings follow the set mount; they don't. Set "
                       "sense.after_mount to false and start again: the mount found so far doesn't count."
                     : " The profile says the readings don't follow the set mount; they do. Set "
                       "sense.after_mount to true and start again: the mount found so far doesn't count.";
}

// The same poses again, as the controller now reads them.
Task<solve::MountProof> hold_again(const Bench& b, Recall& r, const FoundMount& mount,
                                   craft::YawPitchRoll told) {
  const craft::ToldFromBoard set(told);
  const craft::AngleConvention convention = b.profile().mount->convention();
  const solve::WrittenMount written{mount.rotation, convention, craft::theirs_from(convention, told),
                                    mount.lean};
  MountFinder finder(b.console, r, b.clock);
  std::vector<Pose> wanted{Pose::level, Pose::nose_down, Pose::right_down};
  std::vector<solve::ProofReading> readings;
  std::vector<solve::PoseReading> held;
  solve::MountProof proof;
  while (readings.size() < wanted.size()) {
    const Pose pose = wanted[readings.size()];
    // The battery comes out first.
    const solve::PoseReading reading = co_await finder.measure(pose, held, MountFinder::First::on_a_key);
    held.push_back(reading);
    readings.push_back({pose, set * reading.reading});
    if (readings.size() < wanted.size()) continue;
    const std::vector<solve::ProofReading> latest = latest_of_each(readings);
    proof = solve::prove_mount(latest, written);
    if (!proof.proven && !proof.next_pose) add_if_misread(b, mount, told, latest, proof);
    if (proof.next_pose && wanted.size() < solve::all_poses.size()) wanted.push_back(*proof.next_pose);
  }
  co_return proof;
}

// Told to the controller in place of the planned one. Absent: the person would rather not.
Task<std::optional<solve::Snapshot>> try_mount(Bench& b, Recall& r, const solve::MountCandidate& candidate,
                                               const solve::Snapshot& settings) {
  const craft::AngleConvention convention = b.profile().mount->convention();
  const craft::YawPitchRoll told = craft::ours_from(convention, candidate.tell);
  const std::vector<solve::Change> changes{
      {solve::SetMount{*settings.mount, told}, "The proof of the mount failed; " + candidate.cause}};
  const Question question = yes_or_no(
      "try-mount", candidate.cause + " Try that? The poses check it again before anything is saved.");
  const std::optional<WritePermit> permit = co_await ask_to_write(r, question, b.ledger.lines_for(changes));
  if (!permit) co_return std::nullopt;
  const auto trial = [&]() -> Task<solve::Snapshot> {
    co_await b.ledger.write(changes, *permit);
    b.warnings.push_back("The profile's angle convention does not fit this controller: " + candidate.cause);
    co_return b.ledger.now();
  };
  const solve::Snapshot now = co_await r.for_good<solve::Snapshot>(trial);
  co_return now;
}

// Readings that stay the board's own show how it sits, and nothing of what the controller makes of it.
void tell_proof(const Bench& b, Recall& r, const solve::MountProof& proof) {
  if (proof.proven && !b.profile().sense->after_mount) {
    r.tell("mount-agrees");
    return;
  }
  r.tell(proof.proven ? StatementId("mount-proven") : StatementId("mount-not-proven"),
         {{"proof", proof.words}});
}

Task<void> prove_by_poses(Bench& b, Recall& r, const FoundMount& mount, MountVerified& verified) {
  r.tell("poses-again");
  std::vector<solve::MountCandidate> to_try;
  for (bool first = true;; first = false) {
    const solve::MountProof proof = co_await hold_again(b, r, mount, *verified.settings.mount);
    tell_proof(b, r, proof);
    if (proof.proven) break;
    if (first) to_try = proof.candidates;
    if (to_try.empty() || !b.ledger.journal().is_open()) mount_not_proven(proof.words);
    const solve::MountCandidate candidate = to_try.front();
    to_try.erase(to_try.begin());
    const std::optional<solve::Snapshot> now = co_await try_mount(b, r, candidate, verified.settings);
    if (!now) mount_not_proven(proof.words);
    verified.settings = *now;
  }
  verified.proven = true;
}

// Where the readings do not show what the controller makes of its mount, the person's display does.
Task<void> ask_display(Recall& r, MountVerified& verified) {
  Question question = one_of(
      "display", "Got an attitude display? Tip the nose down, then the right side. Does it follow?",
      {{"follows", "both times"}, {"wrong", "it shows something else"}, {"none", "no display at hand"}});
  question.marked = "none";
  const std::string said = co_await answer_to(r, question);
  if (said == "wrong") mount_not_proven("the display showed something else than how the craft was held");
  if (said == "none") {
    verified.warnings.emplace_back(
        "Not seen: whether the controller uses its mount. Check its attitude display before you fly.");
  }
  verified.unseen = said == "none";
  verified.display_follows = said == "follows";
}

Task<void> check_turn(const Bench& b, Recall& r, craft::YawPitchRoll told) {
  const craft::ToldFromBoard set(told);
  MountFinder finder(b.console, r, b.clock);
  for (int attempt = 1;; ++attempt) {
    const std::vector<std::array<double, 3>> rates = co_await finder.turn_to_the_right();
    std::vector<std::array<double, 3>> as_told;
    for (const std::array<double, 3>& rate : rates) {
      const craft::InTold turned = set * craft::InBoard{rate[0], rate[1], rate[2]};
      as_told.push_back({turned.x, turned.y, turned.z});
    }
    const solve::TurnCheck check = solve::check_turn_to_the_right(as_told);
    const bool right = check.result == solve::TurnCheck::Result::right;
    r.tell(right ? StatementId("turn-right") : StatementId("turn-wrong"), {{"check", check.words}});
    if (right) co_return;
    if (attempt == most_turns || check.result != solve::TurnCheck::Result::too_little)
      mount_not_proven(check.words);
  }
}

}  // namespace

bool differ_in_mount(const solve::Snapshot& a, const solve::Snapshot& b) {
  const std::vector<solve::Change> changes = solve::difference(a, b, "");
  return std::any_of(changes.begin(), changes.end(), [](const solve::Change& change) {
    return std::holds_alternative<solve::SetMount>(change.what);
  });
}

Task<MountVerified> verify_mount(Bench& b, Recall& r, const Agreed& agreed) {
  MountVerified verified;
  verified.settings = agreed.after;
  if (!agreed.after.mount) {
    co_await ask_display(r, verified);
    co_return verified;
  }
  const Mounted& mounted = agreed.wired.mounted;
  const auto& ability = b.profile().mount;
  const bool late = ability && ability->takes_effect == console::TakesEffect::after_restart;
  if (!mounted.mount || !mounted.to_be_proven || (late && differ_in_mount(b.ledger.baseline(), agreed.after)))
    co_return verified;
  const auto& sense = b.profile().sense;
  if (sense) {
    co_await prove_by_poses(b, r, *mounted.mount, verified);
    if (sense->per_dps > 0) co_await check_turn(b, r, *verified.settings.mount);
  }
  if (!sense || !sense->after_mount) co_await ask_display(r, verified);
  co_return verified;
}

// True where the poses prove it.
Task<bool> verify_mount_after_restart(Bench& b, Recall& r, const Agreed& agreed) {
  if (!b.profile().sense) {
    MountVerified verified;
    co_await ask_display(r, verified);
    for (const std::string& warning : verified.warnings) r.tell("mount-unseen", {{"warning", warning}});
    b.warnings.insert(b.warnings.end(), verified.warnings.begin(), verified.warnings.end());
    co_return false;
  }
  const solve::MountProof proof =
      co_await hold_again(b, r, *agreed.wired.mounted.mount, *b.ledger.now().mount);
  tell_proof(b, r, proof);
  if (!proof.proven) {
    throw Fault(FaultKind::left_changed, "The saved mount does not pass its check", proof.words,
                "Do not fly it. Run bench again, with --leave-mount or another profile")
        .as("saved-mount-not-proven");
  }
  co_return true;
}

// The true mount counts as the one that is set where it was not found out, and once the proof has shown that
// the controller reads every pose right.
solve::FlightSense flight_sense(const Wired& wired, const MountVerified& verified, const craft::MotorMap& map,
                                const solve::Wiring& wiring, const solve::Snapshot& settings) {
  const Mounted& mounted = wired.mounted;
  solve::ConfiguredCraft configured;
  configured.frame = wired.setup.frame;
  configured.motors = solve::motors_of(map, wiring, wired.frame().size());
  configured.numbering = wired.setup.numbering;
  configured.wanted_scheme = wired.scheme();
  configured.believed_scheme = settings.props.value_or(*configured.wanted_scheme);
  const craft::YawPitchRoll set = settings.mount.value_or(craft::YawPitchRoll{});
  configured.set_mount = craft::ToldFromBoard(set);
  configured.true_mount = craft::CraftFromBoard(set);
  configured.mount_known = mounted.mount || mounted.by_eye || verified.display_follows;
  if (mounted.mount) configured.true_mount = mounted.mount->rotation;
  if (!mounted.mount && mounted.by_eye && !verified.display_follows &&
      !agree_by_eye(mounted.by_eye->rotation, configured.true_mount))
    configured.true_mount = mounted.by_eye->rotation;
  if (verified.proven) configured.set_mount = craft::ToldFromBoard(mounted.mount->rotation.yaw_pitch_roll());
  return solve::flight_sense(configured);
}

}  // namespace armwise::session
