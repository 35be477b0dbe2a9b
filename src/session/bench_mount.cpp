// How the board is mounted: found, proven after it was told, and weighed with the rest: will it hold itself?
#include <algorithm>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/solve/difference.hpp"
#include "bench_flow.hpp"
#include "words.hpp"

namespace armwise::session {
namespace {

using solve::Pose;

constexpr int most_turns = 3;

// As far as eyes can tell, which choose among headings 45 degrees apart.
bool agree(const craft::CraftFromBoard& seen, const craft::CraftFromBoard& set) {
  return angle_between(seen, set).value <= 22.5;
}

bool differ_in_mount(const solve::Snapshot& a, const solve::Snapshot& b) {
  const std::vector<solve::Change> changes = solve::difference(a, b, "");
  return std::any_of(changes.begin(), changes.end(), [](const solve::Change& change) {
    return std::holds_alternative<solve::SetMount>(change.what);
  });
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

}  // namespace

// Before the battery is connected: the craft is in the person's hands.
Task<Move> BenchFlow::find_mount(Entered entered) {
  const console::Profile& profile = console_.profile();
  if (again_ && mount_) co_return pass(entered);
  if (again_ || options_.mount == MountWish::leave || !profile.mount || !before_.mount)
    co_return co_await look_at_mount(entered);
  if (profile.sense) {
    if (entered == Entered::forwards)
      person_.say(
          "First, the board's mount: hold the craft in a few ways. How far you tip it does not matter.");
    mount_ = co_await mount_finder_.by_poses(options_.mount == MountWish::exact);
  } else {
    const MountFinder::Looked looked = co_await mount_finder_.by_arrow(false);
    mount_ = looked.mount;
  }
  if (!mount_) co_return Move::back();
  co_return Move::on();
}

// Where the mount is neither measured nor set, the person's eyes still tell whether the craft would flip.
Task<Move> BenchFlow::look_at_mount(Entered entered) {
  if (entered == Entered::forwards) {
    person_.say(before_.mount ? "The board's mount is left as it is set."
                              : "armwise cannot set the board's mount on this controller.",
                Level::warn);
  }
  const MountFinder::Looked looked = co_await mount_finder_.by_arrow(true);
  if (looked.back) co_return Move::back();
  mount_seen_ = looked.mount;
  co_return Move::on();
}

bool BenchFlow::mount_is_late() const {
  const auto& mount = console_.profile().mount;
  return mount && mount->takes_effect == console::TakesEffect::after_restart;
}

bool BenchFlow::mount_is_to_be_proven() const {
  return mount_ && (!again_ || again_->prove_mount);
}

void BenchFlow::mount_not_proven(const std::string& why) const {
  throw Fault(FaultKind::mismatch, "The mount could not be proven, so it is not kept", why,
              "Look at how the board sits, and start again; --exact is for a board at no usual angle, and "
              "--leave-mount leaves the mount alone");
}

// The same poses again, as the controller now reads them. Sets `proof`; a move where the person wants back.
Task<std::optional<Move>> BenchFlow::prove_mount_once(solve::MountProof& proof) {
  const console::MountAbility& ability = *console_.profile().mount;
  const craft::ToldFromBoard set(*now_.mount);
  const craft::AngleConvention convention = ability.convention();
  const solve::WrittenMount written{mount_->rotation, convention, craft::theirs_from(convention, *now_.mount),
                                    mount_->lean};
  std::vector<Pose> wanted{Pose::level, Pose::nose_down, Pose::right_down};
  std::vector<solve::ProofReading> readings;
  for (std::size_t at = 0; at < wanted.size(); ++at) {
    const std::optional<solve::PoseReading> reading = co_await mount_finder_.measure(wanted[at], "pose");
    if (!reading && at == 0) co_return Move::back();
    if (!reading) {
      readings.pop_back();
      at -= 2;
      continue;
    }
    readings.push_back({wanted[at], set * reading->reading});
    if (at + 1 < wanted.size()) continue;
    const std::vector<solve::ProofReading> latest = latest_of_each(readings);
    proof = solve::prove_mount(latest, written);
    if (!proof.proven && !proof.next_pose) add_if_misread(latest, proof);
    if (proof.next_pose && wanted.size() < solve::all_poses.size()) wanted.push_back(*proof.next_pose);
  }
  co_return std::nullopt;
}

// The profile may be wrong about whether the readings are turned by the set mount. Then no other mount puts
// it right, and none is proposed.
void BenchFlow::add_if_misread(const std::vector<solve::ProofReading>& readings,
                               solve::MountProof& proof) const {
  if (!mount_->by_sense || !before_.mount) return;
  const craft::ToldFromBoard set(*now_.mount);
  std::vector<solve::PoseReading> as_board;
  as_board.reserve(readings.size());
  for (const solve::ProofReading& reading : readings)
    as_board.push_back(solve::before_mount(reading.pose, reading.reading, set));
  const solve::MountAnswer answer = solve::mount_from_poses(as_board);
  const auto* found = std::get_if<solve::MountFound>(&answer);
  const bool after_mount = console_.profile().sense->after_mount;
  if (found == nullptr || !solve::readings_are_the_other_way({mount_->rotation, *before_.mount},
                                                             {found->free, *now_.mount}, after_mount))
    return;
  proof.candidates.clear();
  proof.words +=
      after_mount
          ? " The readings did not change with the set mount, and the profile says that they do: its "
            "sense.after_mount should be false. Nothing that was found of the mount counts until then."
          : " The readings changed with the set mount, and the profile says that they do not: its "
            "sense.after_mount should be true. Nothing that was found of the mount counts until then.";
}

Task<void> BenchFlow::try_mount(const solve::MountCandidate& candidate) {
  const craft::AngleConvention convention = console_.profile().mount->convention();
  const craft::YawPitchRoll told = craft::ours_from(convention, candidate.tell);
  const std::vector<solve::Change> changes{
      {solve::SetMount{*now_.mount, told}, "The proof of the mount failed; " + candidate.cause}};
  const WritePermit permit = WritePermit::plan_agreed("the plan shown, and a trial of the mount");
  // What recover would finish is what is proven in the end, not what was planned at first.
  journal_plan(changes);
  anything_written_ = true;
  co_await writer_.write(changes, permit, *journal_);
  changes_.push_back(
      {words::change(changes.front()) + ". " + candidate.cause, console_.lines_for(changes.front())});
  warnings_.push_back("The profile's angle convention does not fit this controller: " + candidate.cause);
  now_ = solve::with_changes(now_, changes);
}

Task<Move> BenchFlow::prove_mount_by_poses() {
  person_.say(
      "Now the proof of the mount: the same poses again, as the controller now reads them. No motor is spun "
      "meanwhile; unplug the battery first if the craft is awkward to hold with it.");
  std::vector<solve::MountCandidate> to_try;
  bool first = true;
  while (true) {
    solve::MountProof proof;
    const std::optional<Move> move = co_await prove_mount_once(proof);
    if (move) co_return *move;
    person_.say(proof.words, proof.proven ? Level::info : Level::warn);
    if (proof.proven) {
      mount_proven_ = true;
      co_return Move::on();
    }
    if (first) to_try = proof.candidates;
    first = false;
    if (to_try.empty() || !journal_) mount_not_proven(proof.words);
    const solve::MountCandidate candidate = to_try.front();
    to_try.erase(to_try.begin());
    Question question;
    question.id = "try-mount";
    question.kind = Question::Kind::confirm;
    question.level = Level::warn;
    question.text =
        candidate.cause + " Shall that be tried? It is proven by poses again before anything is kept.";
    const Answer answer = co_await person_.ask(question);
    if (std::holds_alternative<Back>(answer)) co_return Move::back();
    if (std::get<std::string>(answer) != "yes") mount_not_proven(proof.words);
    co_await try_mount(candidate);
  }
}

// Where the readings do not show what the controller makes of its mount, the person's display does.
Task<std::optional<Move>> BenchFlow::ask_display() {
  Question question;
  question.id = "display";
  question.kind = Question::Kind::choose;
  question.text =
      "If you have a display that shows the craft's attitude as the controller sees it: tip the nose down, "
      "then "
      "the right side down. Does the display follow?";
  question.choices = {{"follows", "it shows nose down and right side down, as the craft is held"},
                      {"wrong", "it shows something else"},
                      {"none", "there is no such display at hand"}};
  const Answer answer = co_await person_.ask(question);
  if (std::holds_alternative<Back>(answer)) co_return Move::back();
  const std::string said = std::get<std::string>(answer);
  if (said == "wrong") mount_not_proven("the display showed another attitude than the craft had");
  if (said == "none") {
    warnings_.emplace_back(
        "armwise could not see how the controller uses its mount: check an attitude display before the first "
        "flight.");
    person_.say(warnings_.back(), Level::warn);
  }
  display_follows_ = said == "follows";
  co_return std::nullopt;
}

Task<std::optional<Move>> BenchFlow::check_turn() {
  const craft::ToldFromBoard set(*now_.mount);
  for (int attempt = 0; attempt < most_turns; ++attempt) {
    const auto rates = co_await mount_finder_.turn_to_the_right();
    if (!rates) co_return Move::back();
    std::vector<std::array<double, 3>> told;
    for (const std::array<double, 3>& rate : *rates) {
      const craft::InTold turned = set * craft::InBoard{rate[0], rate[1], rate[2]};
      told.push_back({turned.x, turned.y, turned.z});
    }
    const solve::TurnCheck check = solve::check_turn_to_the_right(told);
    const bool right = check.result == solve::TurnCheck::Result::right;
    person_.say(check.words, right ? Level::info : Level::warn);
    if (right) co_return std::nullopt;
    const bool last = attempt + 1 == most_turns;
    if (last || check.result != solve::TurnCheck::Result::too_little) mount_not_proven(check.words);
  }
  co_return std::nullopt;
}

Task<Move> BenchFlow::prove_mount(Entered entered) {
  if (!now_.mount) {
    const std::optional<Move> display = co_await ask_display();
    co_return display ? *display : Move::on();
  }
  if (!mount_is_to_be_proven() || (mount_is_late() && differ_in_mount(baseline_, now_)))
    co_return pass(entered);
  const auto& sense = console_.profile().sense;
  if (sense) {
    const Move move = co_await prove_mount_by_poses();
    if (move.kind != Move::Kind::on) co_return move;
    if (sense->per_dps > 0) {
      const std::optional<Move> turn = co_await check_turn();
      if (turn) co_return *turn;
    }
  }
  if (!sense || !sense->after_mount) {
    const std::optional<Move> display = co_await ask_display();
    if (display) co_return *display;
  }
  co_return Move::on();
}

Task<Move> BenchFlow::prove_mount_after_restart(Entered) {
  if (!mount_is_to_be_proven() || mount_proven_ || !mount_is_late()) co_return Move::on();
  if (console_.profile().sense) {
    solve::MountProof proof;
    std::optional<Move> move;
    do {
      move = co_await prove_mount_once(proof);
    } while (move);  // what is kept already is not gone back on
    person_.say(proof.words, proof.proven ? Level::info : Level::warn);
    if (!proof.proven) {
      throw Fault(FaultKind::left_changed, "The mount that the controller now keeps does not pass its proof",
                  proof.words, "Do not fly it. Run bench again, with --leave-mount or another profile");
    }
    mount_proven_ = true;
    co_return Move::on();
  }
  std::optional<Move> display;
  do {
    display = co_await ask_display();
  } while (display);
  co_return Move::on();
}

// What the craft does when its controller answers a disturbance. The true mount counts as the one that is
// set where it was not found out, and once the proof has shown that the controller reads every pose right.
solve::FlightSense BenchFlow::flight_sense(const craft::MotorMap& map, const solve::Wiring& wiring,
                                           const solve::Snapshot& settings, bool as_planned) const {
  solve::ConfiguredCraft configured;
  configured.frame = frame_;
  configured.motors = solve::motors_of(map, wiring, frame_->size());
  configured.numbering = numbering_;
  configured.wanted_scheme = way_out_.value_or(scheme_);
  configured.believed_scheme = settings.props.value_or(*configured.wanted_scheme);
  const craft::YawPitchRoll set = settings.mount.value_or(craft::YawPitchRoll{});
  configured.set_mount = craft::ToldFromBoard(set);
  configured.true_mount = craft::CraftFromBoard(set);
  configured.mount_known = mount_ || mount_seen_ || display_follows_;
  if (mount_) configured.true_mount = mount_->rotation;
  if (!mount_ && mount_seen_ && !display_follows_ && !agree(mount_seen_->rotation, configured.true_mount))
    configured.true_mount = mount_seen_->rotation;
  if (as_planned && mount_proven_)
    configured.set_mount = craft::ToldFromBoard(mount_->rotation.yaw_pitch_roll());
  return solve::flight_sense(configured);
}

Task<Move> BenchFlow::weigh_flight(Entered entered) {
  if (entered == Entered::backwards) co_return Move::back();
  const solve::FlightSense sense = flight_sense(plan_.map_after, plan_.wiring_after, now_, true);
  flight_sense_words_ = sense.words;
  using Verdict = solve::FlightSense::Verdict;
  const bool as_designed = sense.verdict == Verdict::as_designed;
  person_.say(sense.words, as_designed && sense.mount_known ? Level::info : Level::danger);
  if (sense.verdict == Verdict::will_not_hold || sense.verdict == Verdict::unsteady) {
    throw Fault(FaultKind::mismatch, "The craft would flip with these settings, so nothing is saved",
                sense.words, "Check the frame, the mount and the motor directions, and start again");
  }
  if (!mount_) {
    warnings_.push_back(display_follows_ ? "The board's mount was not measured; an attitude display followed."
                        : mount_seen_
                            ? "The board's mount was not measured. By eye: " + mount_seen_->words + "."
                            : "Nobody checked how the board sits: " + sense.words);
  }
  if (as_designed) co_return Move::on();
  Question question;
  question.id = "flight-sense";
  question.kind = Question::Kind::confirm;
  question.level = Level::danger;
  question.text = "It should fly, but not as designed. Go on?";
  const Answer answer = co_await person_.ask(question);
  if (std::holds_alternative<Back>(answer)) co_return Move::back();
  if (std::get<std::string>(answer) != "yes") throw StoppedByPerson();
  warnings_.push_back("Kept although not as designed: " + sense.words);
  co_return Move::on();
}

}  // namespace armwise::session
