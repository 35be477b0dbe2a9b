#include "armwise/solve/wahba.hpp"

#include <gtest/gtest.h>

#include "craft/check_values.hpp"

namespace armwise::solve::wahba_test {
namespace {

using craft::angles_from;
using craft::CraftFromBoard;
using craft::fixture;
using craft::InBoard;
using craft::InCraft;
using craft::largest_difference;
using craft::Matrix3;
using craft::matrix_from;
using nlohmann::json;

const json& check_values() {
  static const json values = fixture("check-values.json");
  return values;
}

json worked(const std::string& id) {
  for (const json& entry : check_values().at("attitude_from_vectors")) {
    if (entry.at("id") == id) return entry;
  }
  return {};
}

InCraft in_craft(const json& v) {
  return {v.at(0), v.at(1), v.at(2)};
}
InBoard in_board(const json& v) {
  return {v.at(0), v.at(1), v.at(2)};
}

std::vector<DirectionPair> pairs(const json& to, const json& from, bool normalise = true) {
  std::vector<DirectionPair> all;
  for (std::size_t i = 0; i < to.size(); ++i) {
    DirectionPair pair{in_craft(to[i]), in_board(from[i]), 1};
    if (normalise) pair = {unit(pair.in_craft), unit(pair.in_board), 1};
    all.push_back(pair);
  }
  return all;
}

// TRIAD: the first pair exactly, of the others only what lies across it.
DirectionFit first_exact(std::vector<DirectionPair> all) {
  const InCraft to = unit(all[0].in_craft);
  const InBoard from = unit(all[0].in_board);
  for (std::size_t i = 1; i < all.size(); ++i) {
    all[i].in_craft = unit(across(all[i].in_craft, to));
    all[i].in_board = unit(across(all[i].in_board, from));
  }
  all[0] = {to, from, 1};
  return fit_directions(all);
}

double rssd(const CraftFromBoard& fitted, const std::vector<DirectionPair>& all) {
  double squares = 0;
  for (const DirectionPair& pair : all) {
    const InCraft miss = pair.in_craft - fitted * pair.in_board;
    squares += dot(miss, miss);
  }
  return std::sqrt(squares);
}

// W1, W3. Source: astralib's tests of Schaub's lecture examples.
TEST(FitDirections, WithTheFirstPairExactIsTriad) {
  for (const std::string id : {"W1", "W3"}) {
    const json entry = worked(id);
    const DirectionFit fit = first_exact(pairs(entry.at("b"), entry.at("r")));
    EXPECT_LT(largest_difference(fit.craft_from_board.matrix(), matrix_from(entry.at("A_b_from_r"))), 1e-8)
        << id;
  }
  const json w1 = worked("W1");
  const CraftFromBoard truth(CraftFromBoard(angles_from(w1.at("true_321_deg"))).matrix().transposed());
  const DirectionFit fit = first_exact(pairs(w1.at("b"), w1.at("r")));
  EXPECT_NEAR(angle_between(fit.craft_from_board, truth).value, w1.at("error_vs_true_deg"), 1e-6);
}

// W2. Source: astralib's tests (Davenport's q-method, which solves the same problem).
TEST(FitDirections, EqualWeightsAgreeWithTheQMethod) {
  const json w1 = worked("W1");
  const json w2 = worked("W2");
  const DirectionFit fit = fit_directions(pairs(w1.at("b"), w1.at("r")));
  EXPECT_LT(largest_difference(fit.craft_from_board.matrix(), matrix_from(w2.at("A_b_from_r"))), 1e-7);
  // Printed scalar first; the passive quaternion of astralib is ours turned round.
  const craft::Quaternion q = fit.craft_from_board.inverse().quaternion();
  const json printed = w2.at("q_scalar_first");
  EXPECT_NEAR(q.w, printed[0].get<double>(), 1e-7);
  EXPECT_NEAR(q.x, printed[1].get<double>(), 1e-7);
  EXPECT_NEAR(q.y, printed[2].get<double>(), 1e-7);
  EXPECT_NEAR(q.z, printed[3].get<double>(), 1e-7);
}

// W4. Source: astralib's tests (q-method with weights 2 and 1).
TEST(FitDirections, WeightsCount) {
  const json w3 = worked("W3");
  const json w4 = worked("W4");
  auto weighted = pairs(w3.at("b"), w3.at("r"));
  weighted[0].weight = 2;
  const DirectionFit fit = fit_directions(weighted);
  EXPECT_LT(largest_difference(fit.craft_from_board.matrix(), matrix_from(w4.at("A_b_from_r"))), 1e-7);
}

// W5. Source: inputs from Schaub's problem 3.39, result computed with scipy: the least accurate is found.
TEST(FitDirections, TheWorstOfFourIsFound) {
  const json w5 = worked("W5");
  const DirectionFit fit = fit_directions(pairs(w5.at("b"), w5.at("r")));
  EXPECT_LT(largest_difference(fit.craft_from_board.matrix(), matrix_from(w5.at("A_b_from_r"))), 1e-9);
  EXPECT_NEAR(fit.root_sum_squared, w5.at("rssd"), 1e-9);
  for (std::size_t i = 0; i < 4; ++i) EXPECT_NEAR(fit.residuals[i].value, w5.at("residual_deg")[i], 1e-5);
}

// W6. Source: scipy, docstring of Rotation.align_vectors.
TEST(FitDirections, LengthsCountAsWeightsDo) {
  const json w6 = worked("W6");
  const DirectionFit fit = fit_directions(pairs(w6.at("a"), w6.at("b"), false));
  EXPECT_LT(largest_difference(fit.craft_from_board.matrix(), matrix_from(w6.at("R_a_from_b"))), 1e-12);
  EXPECT_NEAR(fit.root_sum_squared, w6.at("rssd"), 1e-12);
}

// W7. Source: scipy, test_align_vectors_improper_rotation (a regression there).
TEST(FitDirections, TwoPairsNeverGiveAReflection) {
  const json w7 = worked("W7");
  const DirectionFit fit = fit_directions(pairs(w7.at("a"), w7.at("b"), false));
  EXPECT_NEAR(fit.craft_from_board.matrix().determinant(), 1, 1e-12);
  EXPECT_LT(fit.root_sum_squared, w7.at("tol"));
  EXPECT_FALSE(fit.mirrored);
}

// W8, W9. Source: scipy, test_align_vectors_align_constrain.
TEST(FitDirections, AnInfiniteFirstWeightIsTriad) {
  const json w8 = worked("W8");
  const auto eight = pairs(w8.at("a"), w8.at("b"), false);
  const CraftFromBoard fitted = first_exact(eight).craft_from_board;
  EXPECT_LT(largest_difference(fitted.matrix(), matrix_from(w8.at("A_a_from_b_computed"))), 1e-9);
  EXPECT_NEAR(rssd(fitted, eight), w8.at("rssd"), 1e-12);
  const json w9 = worked("W9");
  const auto nine = pairs(w9.at("a"), w9.at("b"), false);
  EXPECT_LT(largest_difference(first_exact(nine).craft_from_board.matrix(), matrix_from(w9.at("R_a_from_b"))),
            1e-12);
  EXPECT_NEAR(rssd(first_exact(nine).craft_from_board, nine), w9.at("rssd"), 1e-12);
}

// Source: scipy Rotation.align_vectors, see scripts/reference-rotations.
TEST(FitDirections, AgreesWithTheReferenceLibrary) {
  const json reference = fixture("reference-rotations.json");
  for (const json& entry : reference.at("fits")) {
    auto weighted = pairs(entry.at("a"), entry.at("b"), false);
    for (std::size_t i = 0; i < weighted.size(); ++i) weighted[i].weight = entry.at("weights")[i];
    const DirectionFit fit = fit_directions(weighted);
    EXPECT_LT(largest_difference(fit.craft_from_board.matrix(), matrix_from(entry.at("a_from_b"))), 1e-9);
    EXPECT_NEAR(fit.root_sum_squared, entry.at("rssd"), 1e-7);
  }
}

// Cases A to E by plain Wahba. Source: check-values.json "our_poses", computed with scipy 1.10.1.
TEST(FitDirections, PosesTakenForRightAngles) {
  int compared = 0;
  for (const json& entry : check_values().at("our_poses")) {
    if (!entry.contains("body_refs")) continue;
    const DirectionFit fit = fit_directions(pairs(entry.at("body_refs"), entry.at("sensor_raw")));
    EXPECT_LT(largest_difference(fit.craft_from_board.matrix(), matrix_from(entry.at("R_body_from_sensor"))),
              1e-8)
        << entry.at("name");
    EXPECT_EQ(fit.mirrored, entry.value("det_UVt", 1) < 0) << entry.at("name");
    for (std::size_t i = 0; i < fit.residuals.size(); ++i) {
      EXPECT_NEAR(fit.residuals[i].value, entry.at("residual_deg")[i], 1e-5) << entry.at("name");
    }
    ++compared;
  }
  EXPECT_EQ(compared, 6);
}

TEST(FitDirections, OneDirectionOnlyIsUndetermined) {
  const std::vector<DirectionPair> one{{InCraft{0, 0, 1}, InBoard{0, 1, 0}, 1},
                                       {InCraft{0, 0, -1}, InBoard{0, -1, 0}, 1}};
  EXPECT_TRUE(fit_directions(one).undetermined);
}

}  // namespace
}  // namespace armwise::solve::wahba_test
