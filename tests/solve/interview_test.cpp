// Whole sessions with simulated people. The large runs are tests/benchmarks/wrong_answers.
#include "armwise/solve/interview.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <fstream>
#include <nlohmann/json.hpp>
#include <numeric>

#include "answering_people.hpp"
#include "support/sweep.hpp"

namespace armwise::solve::interview_test {
namespace {

using craft::Turn;

struct Subject {
  explicit Subject(const char* name) : frame(*craft::frame_named(name)) {
    craft::Numbering numbering;
    numbering.place_of_motor.resize(frame.places.size());
    std::iota(numbering.place_of_motor.begin(), numbering.place_of_motor.end(), 0U);
    tables = Belief::tables(frame, numbering);
  }
  const craft::Frame& frame;
  std::shared_ptr<const BeliefTables> tables;
};

Rows wiring_at(const craft::Frame& frame, const std::array<int, most_rows>& places, unsigned turns) {
  Rows rows{};
  for (std::size_t row = 0; row < frame.places.size(); ++row) {
    rows[row] = {static_cast<craft::PlaceIndex>(places[row]),
                 (turns >> row & 1U) != 0 ? Turn::cw : Turn::ccw};
  }
  return rows;
}

// Every `step`th of all wirings and directions, answered without a slip.
void expect_two_spins_each(const char* name, int step) {
  const Subject subject(name);
  std::array<int, most_rows> places{};
  std::iota(places.begin(), places.end(), 0);
  const unsigned directions = 1U << subject.frame.places.size();
  long at = 0, tried = 0, wrong = 0, longer = 0;
  do {
    for (unsigned turns = 0; turns < directions; ++turns) {
      if (at++ % step != test::first_of(step)) continue;
      ++tried;
      const Rows truth = wiring_at(subject.frame, places, turns);
      const Ending ending =
          interviewed(subject.tables, 1e-4, subject.frame, {}, truth, static_cast<std::uint64_t>(at));
      wrong += !ending.kept || !ending.right;
      longer += ending.spins != 2 * subject.frame.size();
    }
  } while (std::next_permutation(places.begin(), places.begin() + subject.frame.size()));
  EXPECT_GT(tried, 100);
  EXPECT_EQ(wrong, 0) << "of " << tried;
  EXPECT_EQ(longer, 0) << "of " << tried;
}

Rows drawn(const craft::Frame& frame, Random& dice) {
  std::array<int, most_rows> places{};
  std::iota(places.begin(), places.end(), 0);
  for (std::size_t i = frame.places.size(); i > 1; --i) std::swap(places[i - 1], places[dice.below(i)]);
  return wiring_at(frame, places, static_cast<unsigned>(dice.next()));
}

TEST(Interviews, TakeTwoSpinsOfEachMotorWhereEveryAnswerIsRight) {
  expect_two_spins_each("quad-x", 1);                     // all 384
  expect_two_spins_each("hex-x", test::one_in(7, 2111));  // in turn all 46,080
  // Of the 10,321,920 of octo-x some by lot; ARMWISE_SESSIONS=1000000 so many.
  const char* wanted = std::getenv("ARMWISE_SESSIONS");
  const long count = wanted != nullptr ? std::atol(wanted) : test::sanitized ? 30 : 1000;
  const Subject subject("octo-x");
  Random dice(8);
  long wrong = 0, longer = 0;
  for (long session = 0; session < count; ++session) {
    const Rows truth = drawn(subject.frame, dice);
    const Ending ending = interviewed(subject.tables, 1e-4, subject.frame, {}, truth, dice.next());
    wrong += !ending.kept || !ending.right;
    longer += ending.spins != 2 * subject.frame.size();
  }
  EXPECT_EQ(wrong, 0) << "of " << count;
  EXPECT_EQ(longer, 0) << "of " << count;
}

struct Kept {
  int wrong = 0, given_up = 0;
  double spins = 0;
};

Kept sessions(const Subject& subject, const PersonKind& kind, int count, double sure = 1e-4) {
  Kept kept;
  for (int session = 0; session < count; ++session) {
    Random dice(static_cast<std::uint64_t>(session) + 1);
    const Rows truth = drawn(subject.frame, dice);
    const Ending ending = interviewed(subject.tables, sure, subject.frame, kind, truth, dice.next());
    kept.wrong += ending.kept && !ending.right;
    kept.given_up += !ending.kept;
    kept.spins += static_cast<double>(ending.spins) / count;
  }
  return kept;
}

// Each of them is kept wrong by the plain way in every session.
TEST(Interviews, EndRightWithWhoeverSeesTheCraftOtherwiseAllAlong) {
  const Subject subject("quad-x");
  for (int view = 1; view < views; ++view) {
    PersonKind kind;
    kind.view = view_at(view);
    const Kept kept = sessions(subject, kind, 100);
    EXPECT_EQ(kept.wrong, 0) << view;
    EXPECT_EQ(kept.given_up, 0) << view;
    Random dice(3);
    const Rows truth = drawn(subject.frame, dice);
    const Ending plain = plainly(subject.frame, kind, truth, 3);
    EXPECT_TRUE(plain.kept && !plain.right) << view;
  }
}

TEST(Interviews, EndRightAtTwoInAHundredWrongAnswers) {
  const Subject subject("quad-x");
  PersonKind kind;
  kind.wrong = 0.02;
  const Kept kept = sessions(subject, kind, 3000);
  EXPECT_EQ(kept.wrong, 0);
  EXPECT_LE(kept.spins, 2.5 * 4);
  const Kept surer = sessions(subject, kind, 500, 1e-6);
  EXPECT_EQ(surer.wrong, 0);
  EXPECT_LE(surer.spins, 4.0 * 4);
  EXPECT_GT(surer.spins, kept.spins);
}

TEST(Interviews, AskInAnotherOrderAndAboutNoMotorTwiceRunning) {
  const Subject subject("hex-x");
  for (std::uint32_t seed = 0; seed < 200; ++seed) {
    Interview interview(subject.tables, 1e-4, seed);
    Random dice(seed);
    const Rows truth = drawn(subject.frame, dice);
    const PersonKind kind;
    Person person(subject.frame, kind, truth, dice);
    std::vector<int> first, check;
    for (;;) {
      const Interview::Next next = interview.next();
      if (next.step == Interview::Step::done) break;
      if (next.step == Interview::Step::write) {
        interview.written();
        continue;
      }
      ASSERT_EQ(next.step, Interview::Step::ask);
      if (next.ask.way == Way::look) (interview.checking() ? check : first).push_back(next.ask.row);
      const auto said = person.answer(next.ask, interview.checking(), truth);
      said ? interview.answered(*said) : interview.unanswered();
    }
    ASSERT_EQ(check.size(), 6U);
    EXPECT_NE(first, check);
  }
}

// Computed outside (../fixtures/check-values.json, "bijection"): each arm said once and wrong with p, all
// alike; and directions of which as many must be said cw as ccw. Here by the simulated people whose plain way
// is the baseline of the figures in DEVELOPERS.md, with one round and no belief.
TEST(PlainWay, LetsThroughWhatWasComputed) {
  std::ifstream file(std::string(ARMWISE_FIXTURES) + "/check-values.json");
  const nlohmann::json values = nlohmann::json::parse(file);
  int compared = 0;
  for (const auto& row : values.at("bijection")) {
    const int size = row.at("N").get<int>();
    const double p = row.at("p").get<double>();
    if (p < 0.05) continue;  // too rare to be counted in a test
    const craft::Frame& frame = *craft::frame_named(size == 4 ? "quad-x" : size == 6 ? "hex-x" : "octo-x");
    PersonKind kind;
    kind.wrong = 2 * p;  // half of the wrong answers are about the arm
    kind.left_right = kind.front_rear = 0;
    Rows truth{};
    for (int i = 0; i < size; ++i) {
      truth[static_cast<std::size_t>(i)] = {static_cast<craft::PlaceIndex>(i),
                                            frame.places[static_cast<std::size_t>(i)].turn_props_in};
    }
    constexpr int count = 40000;
    int arms = 0, turns = 0;
    Random dice(static_cast<std::uint64_t>(size) * 1000 + static_cast<std::uint64_t>(1000 * p));
    for (int session = 0; session < count; ++session) {
      Person person(frame, kind, truth, dice);
      unsigned named = 0;
      int clockwise = 0, wrong_arms = 0, wrong_turns = 0;
      for (int motor = 0; motor < size; ++motor) {
        const auto said = person.answer({Way::look, motor, 0, Why::in_turn}, false, truth);
        named |= 1U << said->place;
        clockwise += said->turn == Turn::cw;
        wrong_arms += said->place != truth[static_cast<std::size_t>(motor)].place;
        wrong_turns += said->turn != truth[static_cast<std::size_t>(motor)].turn;
      }
      arms += wrong_arms > 0 && named == (1U << static_cast<unsigned>(size)) - 1;
      turns += wrong_turns > 0 && clockwise == size / 2;
    }
    const auto expect_near = [&](int counted, double chance) {
      const double expected = chance * count;
      EXPECT_NEAR(counted, expected, 4 * std::sqrt(expected) + 1) << size << " motors, p = " << p;
    };
    expect_near(arms, row.at("undetected_uniform").get<double>());
    expect_near(turns, row.at("spin_undetected_balanced").get<double>());
    ++compared;
  }
  EXPECT_EQ(compared, 12);
}

}  // namespace
}  // namespace armwise::solve::interview_test
