#include "armwise/solve/mount_proof.hpp"

#include <algorithm>
#include <cmath>

#include "armwise/base/text.hpp"
#include "mount_likelihood.hpp"
#include "words.hpp"

namespace armwise::solve {
namespace {

using craft::AngleAxis;
using craft::AngleConvention;
using craft::CraftFromBoard;
using craft::Degrees;
using craft::InBoard;
using craft::InCraft;
using craft::InTold;

// Told axes stand in for craft axes: as they should be, if the mount is right.
InCraft as_craft(const InTold& v) {
  return {v.x, v.y, v.z};
}

Pose looks_like(const InTold& reading) {
  return *std::ranges::min_element(
      all_poses, {}, [&](Pose pose) { return angle_between(as_craft(reading), up_in(pose)).value; });
}

PoseProof proof_of(const ProofReading& r, Degrees tolerance) {
  PoseProof proof{r.pose, misfit(r.pose, as_craft(r.reading)), false, {}};
  proof.passes = proof.off <= tolerance;
  const std::string asked = words::capitalised(std::string(in_words(r.pose)));
  if (proof.passes) {
    proof.words = asked + " reads " + std::string(in_words(r.pose)) + ", within " +
                  degrees_text(proof.off.value, 0) + ".";
  } else if (looks_like(r.reading) != r.pose) {
    proof.words = asked + " reads " + std::string(in_words(looks_like(r.reading))) + ".";
  } else {
    proof.words = asked + " reads " + degrees_text(proof.off.value, 0) + " off.";
  }
  return proof;
}

std::optional<Pose> still_needed(std::span<const ProofReading> readings) {
  const auto held = [&](Pose a, Pose b) {
    return std::ranges::any_of(readings, [&](const ProofReading& r) { return r.pose == a || r.pose == b; });
  };
  if (!held(Pose::level, Pose::level)) return Pose::level;
  if (!held(Pose::nose_down, Pose::nose_up)) return Pose::nose_down;
  if (!held(Pose::right_down, Pose::left_down)) return Pose::right_down;
  return std::nullopt;
}

// Told axes as if they were a board's: the mount that is left between it and the craft should be none.
std::vector<PoseReading> as_board(std::span<const ProofReading> readings) {
  std::vector<PoseReading> board;
  for (const ProofReading& r : readings) {
    board.push_back({r.pose, InBoard{r.reading.x, r.reading.y, r.reading.z}});
  }
  return board;
}

struct Hypothesis {
  AngleConvention convention;
  std::string cause;
  int changes = 0;
};

// Every convention that differs from the one used in signs, order or direction, the simplest first.
std::vector<Hypothesis> hypotheses(const AngleConvention& used) {
  std::vector<Hypothesis> all;
  constexpr std::array names{"yaw", "pitch", "roll"};
  std::array order{AngleAxis::yaw, AngleAxis::pitch, AngleAxis::roll};
  do {
    for (unsigned bits = 0; bits < 16; ++bits) {
      Hypothesis h{used, {}, 0};
      std::vector<std::string> causes;
      std::vector<std::string> flipped;
      for (std::size_t axis = 0; axis < 3; ++axis) {
        if ((bits >> axis & 1U) == 0) continue;
        h.convention.signs[axis] = -h.convention.signs[axis];
        flipped.emplace_back(names[axis]);
      }
      if (!flipped.empty()) causes.push_back("counts " + words::listed(flipped) + " the other way round");
      if (bits & 8U) {
        h.convention.craft_to_board = !used.craft_to_board;
        causes.emplace_back(
            "means the opposite rotation (from craft to board instead of from board to craft)");
      }
      if (order != used.order) {
        h.convention.order = order;
        causes.push_back("applies its angles in the order " + angle_order_name(order));
      }
      h.changes = static_cast<int>(flipped.size()) + (bits & 8U ? 1 : 0) + (order != used.order ? 1 : 0);
      if (h.changes == 0) continue;
      h.cause = "The console seems to be one that " + words::listed(causes) + ".";
      all.push_back(h);
    }
  } while (std::ranges::next_permutation(order).found);
  std::ranges::stable_sort(all, {}, &Hypothesis::changes);
  return all;
}

// By the numbers, whole turns apart, and not by what they turn: at gimbal lock different numbers are the same
// mount in one convention and different ones in another.
bool same_numbers(const craft::ConsoleAngles& a, const craft::ConsoleAngles& b, double per_degree) {
  const auto apart = [&](double x, double y) {
    return std::abs(wrapped(Degrees{(x - y) / per_degree}).value);
  };
  return std::max({apart(a.yaw, b.yaw), apart(a.pitch, b.pitch), apart(a.roll, b.roll)}) < 1e-6;
}

// Causes that explain what the controller now does, each with what to tell it instead.
std::vector<MountCandidate> candidates_for(const CraftFromBoard& effect, const WrittenMount& written,
                                           Degrees tolerance) {
  std::vector<MountCandidate> candidates;
  const AngleConvention& used = written.convention;
  for (const Hypothesis& h : hypotheses(used)) {
    if (angle_between(craft_from_board(h.convention, written.told), effect) > tolerance) continue;
    const craft::ConsoleAngles tell = console_angles(h.convention, written.true_mount);
    // Two causes that call for the same numbers are tried once, and the numbers that failed not again.
    const auto same = [&](const craft::ConsoleAngles& other) {
      return same_numbers(tell, other, used.per_degree);
    };
    if (same(written.told) || std::ranges::any_of(candidates, same, &MountCandidate::tell)) continue;
    candidates.push_back({h.cause, h.convention, tell});
  }
  return candidates;
}

void add_words(MountProof& proof, const std::string& verdict) {
  proof.words = verdict;
  for (const PoseProof& pose : proof.poses) proof.words += " " + pose.words;
}

MountProof disproven(MountProof proof, const CraftFromBoard& left, const WrittenMount& written,
                     Degrees tolerance) {
  // told <- board is (craft <- told) undone after craft <- board; told axes stand for craft axes here.
  const craft::Matrix3 effect = left.matrix().transposed() * written.true_mount.matrix();
  proof.candidates = candidates_for(CraftFromBoard(effect), written, tolerance);
  add_words(proof, "The mount does not read as it should.");
  if (proof.candidates.empty()) {
    proof.words +=
        " No other sign or order of the angles explains that: find the mount again from the start.";
  } else {
    proof.words += " " + proof.candidates.front().cause;
  }
  return proof;
}

MountProof not_readable(MountProof proof, const MountNotFound& refused) {
  add_words(proof, "The mount is not proven. " + refused.sentence);
  if (refused.why != MountNotFound::Why::mirrored) {
    proof.next_pose = refused.hold_again.front();
    return proof;
  }
  for (const std::string& likely : refused.likely) proof.words += " " + likely;
  return proof;
}

}  // namespace

MountProof prove_mount(std::span<const ProofReading> readings, const WrittenMount& written,
                       const ProofLimits& limits) {
  MountProof proof;
  const std::vector<PoseReading> board = as_board(readings);
  for (const PoseReading& r : without(sensor_offset(board), board)) {
    const Degrees tolerance = is_tilt(r.pose) ? limits.tolerance : limits.level + written.lean;
    proof.poses.push_back(proof_of({r.pose, {r.reading.x, r.reading.y, r.reading.z}}, tolerance));
  }
  const MountAnswer answer = mount_from_poses(board, limits.mount);
  if (const auto* refused = std::get_if<MountNotFound>(&answer))
    return not_readable(std::move(proof), *refused);
  const MountFound& left = std::get<MountFound>(answer);
  const bool as_written = left.nearest.rotation.angle().value < 1e-6 && !left.between_names;
  if (!as_written && (left.certain || left.between_names)) {
    return disproven(std::move(proof), left.free, written, limits.tolerance);
  }
  proof.next_pose = still_needed(readings);
  if (!proof.next_pose) proof.next_pose = left.next_pose;
  // The mount is the right one, and one pose was held badly.
  const auto failed = std::ranges::find(proof.poses, false, &PoseProof::passes);
  if (!proof.next_pose && failed != proof.poses.end()) proof.next_pose = failed->pose;
  proof.proven = !proof.next_pose;
  add_words(proof, proof.proven ? "The mount is proven." : "Not sure of the mount yet.");
  if (proof.next_pose) proof.words += " Hold the craft " + std::string(in_words(*proof.next_pose)) + " too.";
  return proof;
}

TurnCheck check_turn_to_the_right(std::span<const std::array<double, 3>> gyro) {
  // A hand turns a craft at 30 degrees a second and more; a third of that on average counts. By judgement.
  constexpr double least = 10;
  std::array<double, 3> mean{};
  for (const auto& sample : gyro) {
    for (std::size_t i = 0; i < 3; ++i) mean[i] += sample[i] / static_cast<double>(gyro.size());
  }
  const double across = std::max(std::abs(mean[0]), std::abs(mean[1]));
  if (std::max(across, std::abs(mean[2])) < least) {
    return {
        TurnCheck::Result::too_little,
        "The gyro saw no turn to speak of. Turn the nose to the right by a quarter turn, briskly, while it "
        "measures."};
  }
  if (std::abs(mean[2]) <= across) {
    const bool roll = std::abs(mean[0]) > std::abs(mean[1]);
    return {TurnCheck::Result::other_axis,
            std::string("Turning the nose to the right reads as ") + (roll ? "roll" : "pitch") +
                " on the gyro: the mount that the controller uses is not the true "
                "one, or the craft was not held level."};
  }
  if (mean[2] < 0) {
    return {TurnCheck::Result::reversed,
            "Turning the nose to the right reads as a turn to the left on the gyro: the controller takes the "
            "board "
            "for upside down, or the profile gives the gyro's yaw the wrong sign (sense.axes)."};
  }
  return {TurnCheck::Result::right,
          "Turning the nose to the right reads as a turn to the right on the gyro."};
}

}  // namespace armwise::solve
