// Every wiring of a quad, and samples of the other frames, through the real session and conversation code.
#include <gtest/gtest.h>

#include <algorithm>
#include <numeric>
#include <random>
#include <string>

#include "armwise/session/bench.hpp"
#include "support/practice_session.hpp"
#include "support/sweep.hpp"

namespace armwise::test::every_wiring_test {
namespace {

session::BenchOptions options_for(const craft::Frame& frame, craft::PropScheme scheme) {
  session::BenchOptions options;
  options.frame = frame.name;
  options.scheme = scheme;
  options.craft_name = "test craft";
  options.mount = session::MountWish::leave;  // mount_test.cpp finds mounts
  return options;
}

// Runs one session and expects it to end kept and right, with one spin a motor for the check and one for the
// proof, and no motor left turning.
void expect_right(const std::string& dialect, const craft::Frame& frame, craft::PropScheme scheme,
                  const std::vector<practice::Soldered>& wiring, int spins_a_motor = 2) {
  PracticeSession session(dialect, craft_with(frame, wiring));
  const Outcome outcome = session.bench(options_for(frame, scheme));
  ASSERT_FALSE(outcome.fault) << dialect << ": " << outcome.fault->sentence();
  ASSERT_TRUE(outcome.result) << dialect;
  EXPECT_EQ(outcome.result->ending, session::BenchResult::Ending::proven);
  EXPECT_TRUE(session.kept_right(frame, scheme)) << dialect << " " << frame.name;
  EXPECT_GE(session.spins(), spins_a_motor * frame.size()) << dialect << " " << frame.name;
  // Two motors on one arm: of some wirings of these one more spin is needed to be sure.
  const bool coaxial = std::adjacent_find(frame.places.begin(), frame.places.end(),
                                          [](const craft::Place& a, const craft::Place& b) {
                                            return a.arm == b.arm;
                                          }) != frame.places.end();
  const int more = coaxial ? 1 : 0;
  EXPECT_LE(session.spins(), spins_a_motor * frame.size() + more) << dialect << " " << frame.name;
  EXPECT_FALSE(session.anything_turns());
  ASSERT_EQ(session.store.records.size(), 1U);
  EXPECT_TRUE(session.store.records[0].read_back_matches);
  EXPECT_EQ(session.store.records[0].proof_spins, frame.size());
}

class EveryQuadWiring : public ::testing::TestWithParam<const char*> {};

TEST_P(EveryQuadWiring, EndsRightWithFourAndFourSpins) {
  const craft::Frame& frame = *craft::frame_named("quad-x");
  std::vector<craft::PlaceIndex> places(4);
  std::iota(places.begin(), places.end(), craft::PlaceIndex{0});
  int sessions = 0, number = 0;
  do {
    for (unsigned turns = 0; turns < 16; ++turns) {
      if (number++ % every != first_of(every)) continue;
      std::vector<practice::Soldered> wiring;
      for (std::size_t i = 0; i < 4; ++i) {
        wiring.push_back({places[i], ((turns >> i) & 1U) != 0 ? craft::Turn::ccw : craft::Turn::cw});
      }
      for (const craft::PropScheme scheme : {craft::PropScheme::in, craft::PropScheme::out}) {
        expect_right(GetParam(), frame, scheme, wiring);
        if (HasFatalFailure()) return;
        ++sessions;
      }
    }
  } while (std::next_permutation(places.begin(), places.end()));
  EXPECT_GE(sessions, 24 * 16 * 2 / every);
}

INSTANTIATE_TEST_SUITE_P(Dialects, EveryQuadWiring, ::testing::Values("tarn", "sedge", "fell", "brook"));

class OtherFrames : public ::testing::TestWithParam<const char*> {};

TEST_P(OtherFrames, ASampleOfWiringsEndsRight) {
  const craft::Frame& frame = *craft::frame_named(GetParam());
  constexpr std::array dialects{"tarn", "sedge", "fell", "brook"};
  std::mt19937 random(20261125);
  std::vector<craft::PlaceIndex> places(frame.places.size());
  std::iota(places.begin(), places.end(), craft::PlaceIndex{0});
  const int step = one_in(5, 87);
  for (int i = 0; i < 2000; ++i) {
    std::shuffle(places.begin(), places.end(), random);
    std::vector<practice::Soldered> wiring;
    for (const craft::PlaceIndex place : places) {
      wiring.push_back({place, (random() & 1U) != 0 ? craft::Turn::ccw : craft::Turn::cw});
    }
    const craft::PropScheme scheme = (random() & 1U) != 0 ? craft::PropScheme::out : craft::PropScheme::in;
    if (i % step != first_of(step)) continue;
    expect_right(dialects[static_cast<std::size_t>(i) % dialects.size()], frame, scheme, wiring);
    if (HasFatalFailure()) return;
  }
}

INSTANTIATE_TEST_SUITE_P(Frames, OtherFrames,
                         ::testing::Values("quad-plus", "quad-wide", "hex-x", "hex-plus", "octo-x",
                                           "octo-plus", "y6", "x8"));

// A console that applies everything only after the restart: proven before it keeps, and once more after.
TEST(AfterRestart, EveryQuadMapEndsRightAndIsProvenOnceMore) {
  const craft::Frame& frame = *craft::frame_named("quad-x");
  std::vector<craft::PlaceIndex> places(4);
  std::iota(places.begin(), places.end(), craft::PlaceIndex{0});
  int number = 0;
  do {
    for (unsigned turns = 0; turns < 16; ++turns) {
      if (number++ % every != first_of(every)) continue;
      std::vector<practice::Soldered> wiring;
      for (std::size_t i = 0; i < 4; ++i) {
        wiring.push_back({places[i], ((turns >> i) & 1U) != 0 ? craft::Turn::ccw : craft::Turn::cw});
      }
      PracticeSession session("moor", craft_with(frame, wiring));
      const Outcome outcome = session.bench(options_for(frame, craft::PropScheme::in));
      ASSERT_FALSE(outcome.fault) << outcome.fault->sentence();
      EXPECT_TRUE(session.kept_right(frame, craft::PropScheme::in));
      EXPECT_LE(session.spins(), 12);  // checked, proven before the restart and after it
    }
  } while (std::next_permutation(places.begin(), places.end()));
}

}  // namespace
}  // namespace armwise::test::every_wiring_test
