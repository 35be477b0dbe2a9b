#include "armwise/solve/write_order.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <deque>
#include <fstream>
#include <map>
#include <nlohmann/json.hpp>
#include <numeric>

#include "armwise/base/fault.hpp"
#include "fake_table.hpp"
#include "support/sweep.hpp"

namespace armwise::solve::write_order_test {
namespace {

using craft::Motor;
using craft::MotorMap;
using craft::Pin;

MotorMap map_of(const std::vector<std::string>& pins) {
  MotorMap map;
  for (const std::string& pin : pins) map.pins.push_back(Pin{pin});
  return map;
}

MotorMap permuted(const std::vector<int>& order) {
  MotorMap map;
  for (const int pin : order) map.pins.push_back(Pin{"P" + std::to_string(pin + 1)});
  return map;
}

// Every write tried on a console that refuses what its rules forbid. The number of writes.
int proven(const MotorMap& now, const MotorMap& wanted, MapRules rules) {
  FakeTable table(now, rules);
  for (const MapWrite& write : write_order(now, wanted, rules)) {
    EXPECT_EQ(table.write(write), "") << in_words(rules) << ", write " << table.writes();
  }
  EXPECT_EQ(table.listed(), listed(wanted)) << in_words(rules);
  return table.writes();
}

// "3+1": the lengths of the cycles, longest first.
std::string type_of(const std::vector<int>& order) {
  std::vector<int> lengths;
  std::vector<bool> seen(order.size());
  for (std::size_t start = 0; start < order.size(); ++start) {
    int length = 0;
    for (std::size_t at = start; !seen[at]; at = static_cast<std::size_t>(order[at])) {
      seen[at] = true;
      ++length;
    }
    if (length > 0) lengths.push_back(length);
  }
  std::sort(lengths.rbegin(), lengths.rend());
  std::string text;
  for (const int length : lengths) text += (text.empty() ? "" : "+") + std::to_string(length);
  return text;
}

nlohmann::json published(int motors) {
  std::ifstream file(ARMWISE_FIXTURES "/check-values.json");
  return nlohmann::json::parse(file).at("permutations").at(std::to_string(motors));
}

struct Tally {
  long total = 0;
  int most = 0;
  std::map<std::string, int> histogram;
  std::map<std::string, int> writes_of_type;
  std::map<std::string, int> count_of_type;
};

Tally tally(int motors, MapRules rules) {
  Tally tally;
  std::vector<int> order(static_cast<std::size_t>(motors));
  std::iota(order.begin(), order.end(), 0);
  const MotorMap now = permuted(order);
  do {
    const int writes = proven(now, permuted(order), rules);
    tally.total += writes;
    tally.most = std::max(tally.most, writes);
    ++tally.histogram[std::to_string(writes)];
    const std::string type = type_of(order);
    ++tally.count_of_type[type];
    const auto [first, fresh] = tally.writes_of_type.emplace(type, writes);
    EXPECT_EQ(first->second, writes) << "two of type " << type << " differ";
  } while (std::next_permutation(order.begin(), order.end()));
  return tally;
}

class EveryPermutation : public testing::TestWithParam<int> {};

// Source: fixtures/check-values.json, permutations: computed from the cycle types, and the minimum confirmed
// there by an exhaustive breadth-first search for 4, 6 and 8 motors.
TEST_P(EveryPermutation, TakesAsFewWritesAsPublished) {
  const nlohmann::json reference = published(GetParam());
  for (const MapRules rules : every_rule) {
    SCOPED_TRACE(in_words(rules));
    const bool shared = rules.shared_meanwhile;
    const Tally found = tally(GetParam(), rules);
    EXPECT_EQ(found.total, reference.at(shared ? "sum_writes_dup" : "sum_writes_nodup").get<long>());
    const auto histogram = reference.at(shared ? "hist_dup" : "hist_nodup").get<std::map<std::string, int>>();
    EXPECT_EQ(found.histogram, histogram);
    EXPECT_EQ(found.most, shared ? GetParam() : reference.at("max_nodup").get<int>());
    EXPECT_EQ(found.count_of_type.size(), reference.at("rows").size());
    for (const auto& row : reference.at("rows")) {
      const auto type = row.at("type").get<std::string>();
      EXPECT_EQ(found.count_of_type.at(type), row.at("count").get<int>()) << type;
      EXPECT_EQ(found.writes_of_type.at(type),
                row.at(shared ? "writes_dup_allowed" : "writes_no_dup").get<int>())
          << type;
    }
  }
}

INSTANTIATE_TEST_SUITE_P(Motors, EveryPermutation, testing::Values(4, 6, 8));

// A search of its own over every state of a small table: three motors, four pins.
class Search {
 public:
  using State = std::vector<int>;  // per motor: its pin; per pin: its motor; 0: none

  explicit Search(MapRules rules) : rules_(rules) {}

  State state_of(const MotorMap& map) const {
    State state(rules_.kept == MapKept::per_motor ? 3 : 4, 0);
    for (int i = 0; i < map.size(); ++i) {
      const std::string& pin = map.pins[static_cast<std::size_t>(i)].name;
      if (pin.empty()) continue;
      const int number = std::stoi(pin.substr(1));
      if (rules_.kept == MapKept::per_motor) {
        state[static_cast<std::size_t>(i)] = number;
      } else {
        state[static_cast<std::size_t>(number - 1)] = i + 1;
      }
    }
    return state;
  }

  // The fewest writes from `start` to each state that can be reached.
  std::map<State, int> distances(const State& start) const {
    std::map<State, int> far{{start, 0}};
    std::deque<State> open{start};
    const int values = rules_.kept == MapKept::per_motor ? 4 : 3;
    while (!open.empty()) {
      const State state = open.front();
      open.pop_front();
      for (std::size_t at = 0; at < state.size(); ++at) {
        for (int value = 0; value <= values; ++value) {
          State next = state;
          next[at] = 0;
          const bool taken = std::find(next.begin(), next.end(), value) != next.end();
          if (value != 0 && taken && !rules_.shared_meanwhile) continue;
          next[at] = value;
          if (far.emplace(next, far.at(state) + 1).second) open.push_back(next);
        }
      }
    }
    return far;
  }

 private:
  MapRules rules_;
};

std::vector<MotorMap> every_small_map() {
  const std::vector<std::string> pins{"", "P1", "P2", "P3", "P4"};
  std::vector<MotorMap> maps;
  for (const auto& a : pins) {
    for (const auto& b : pins) {
      for (const auto& c : pins) {
        const bool twice = (!a.empty() && (a == b || a == c)) || (!b.empty() && b == c);
        if (!twice) maps.push_back(map_of({a, b, c}));
      }
    }
  }
  return maps;
}

TEST(WriteOrder, TakesAsFewWritesAsASearchOfEveryWay) {
  const std::vector<MotorMap> maps = every_small_map();
  ASSERT_EQ(maps.size(), 73U);  // sum over k of C(3,k) C(4,k) k!
  test::InTurn in_turn(test::every);
  for (const MapRules rules : every_rule) {
    const Search search(rules);
    for (const MotorMap& now : maps) {
      if (in_turn.is_left_out()) continue;
      const auto distances = search.distances(search.state_of(now));
      for (const MotorMap& wanted : maps) {
        EXPECT_EQ(proven(now, wanted, rules), distances.at(search.state_of(wanted))) << in_words(rules);
      }
    }
  }
}

TEST(WriteOrder, FreesOneOfACycleAndGoesRound) {
  const std::vector<MapWrite> writes =
      write_order(map_of({"P1", "P2", "P3"}), map_of({"P2", "P3", "P1"}), {MapKept::per_motor, false});
  const std::vector<MapWrite> expected{{MapWrite::Kind::free, Motor{1}, Pin{"P1"}},
                                       {MapWrite::Kind::put, Motor{3}, Pin{"P1"}},
                                       {MapWrite::Kind::put, Motor{2}, Pin{"P3"}},
                                       {MapWrite::Kind::put, Motor{1}, Pin{"P2"}}};
  EXPECT_EQ(writes, expected);
}

TEST(WriteOrder, StartsAChainAtItsUnusedPin) {
  const std::vector<MapWrite> expected{{MapWrite::Kind::put, Motor{3}, Pin{"P9"}},
                                       {MapWrite::Kind::put, Motor{2}, Pin{"P3"}},
                                       {MapWrite::Kind::put, Motor{1}, Pin{"P2"}}};
  for (const bool shared : {true, false}) {
    EXPECT_EQ(
        write_order(map_of({"P1", "P2", "P3"}), map_of({"P2", "P3", "P9"}), {MapKept::per_motor, shared}),
        expected);
  }
}

TEST(WriteOrder, EmptiesThePinThatAChainLeavesWhereAMotorIsKeptForEachPin) {
  const std::vector<MapWrite> expected{{MapWrite::Kind::free, Motor{1}, Pin{"P1"}},
                                       {MapWrite::Kind::put, Motor{1}, Pin{"P2"}},
                                       {MapWrite::Kind::put, Motor{2}, Pin{"P9"}}};
  for (const bool shared : {true, false}) {
    EXPECT_EQ(write_order(map_of({"P1", "P2"}), map_of({"P2", "P9"}), {MapKept::per_pin, shared}), expected);
  }
}

TEST(WriteOrder, SharesAPinOnlyWhereACycleCannotDoWithout) {
  const MotorMap now = map_of({"P1", "P2", "P3", "P4"});
  const MotorMap wanted = map_of({"P2", "P1", "P5", "P3"});
  std::map<int, std::string> state = listed(now);
  int shared_moments = 0;
  for (const MapWrite& write : write_order(now, wanted, {MapKept::per_motor, true})) {
    for (const auto& [motor, pin] : state) shared_moments += pin == write.pin.name ? 1 : 0;
    state[write.motor.number] = write.pin.name;
  }
  EXPECT_EQ(shared_moments, 1);
}

TEST(WriteOrder, LeavesMotorsBeyondTheWantedMapWhereTheyAre) {
  const MotorMap now = map_of({"P1", "P2", "P8", "P9"});
  for (const MapRules rules : every_rule) {
    FakeTable table(now, rules);
    for (const MapWrite& write : write_order(now, map_of({"P2", "P1"}), rules)) {
      EXPECT_LE(write.motor.number, 2);
      EXPECT_EQ(table.write(write), "");
    }
    EXPECT_EQ(table.listed(), listed(map_of({"P2", "P1", "P8", "P9"})));
  }
}

TEST(WriteOrder, LeavesAMotorBeyondTheWantedMapWithoutAPinThatIsNeeded) {
  const MotorMap now = map_of({"P1", "P2", "P8", "P9"});
  for (const MapRules rules : every_rule) {
    FakeTable table(now, rules);
    for (const MapWrite& write : write_order(now, map_of({"P1", "P8"}), rules))
      EXPECT_EQ(table.write(write), "");
    EXPECT_EQ(table.listed(), listed(map_of({"P1", "P8", "", "P9"}))) << in_words(rules);
  }
}

TEST(WriteOrder, RefusesOnePinForTwoMotors) {
  for (const MapRules rules : every_rule) {
    try {
      write_order(map_of({"P1", "P2"}), map_of({"P2", "P2"}), rules);
      FAIL() << in_words(rules);
    } catch (const Fault& fault) {
      EXPECT_EQ(fault.kind(), FaultKind::mismatch);
      EXPECT_EQ(fault.sentence(),
                "Pin P2 is wanted for motor 1 and for motor 2. A pin can drive one motor only. Give each "
                "motor a pin of its own and try again.");
    }
  }
}

// So that whatever was found can be put back.
TEST(WriteOrder, LeavesTwoMotorsThatWereFoundOnOnePin) {
  const MotorMap now = map_of({"P1", "P2", "P7", "P7"});
  const MotorMap wanted = map_of({"P2", "P1", "P7", "P7"});
  EXPECT_EQ(proven(now, wanted, {MapKept::per_motor, true}), 2);
}

TEST(WriteOrder, PartsTwoMotorsThatWereFoundOnOnePin) {
  EXPECT_EQ(proven(map_of({"P1", "P1", "P3"}), map_of({"P2", "P3", "P1"}), {MapKept::per_motor, true}), 3);
}

TEST(WriteOrder, WritesNothingWhereNothingDiffers) {
  for (const MapRules rules : every_rule) {
    EXPECT_TRUE(write_order(map_of({"P4", "", "P1"}), map_of({"P4", "", "P1"}), rules).empty());
    EXPECT_TRUE(write_order({}, {}, rules).empty());
  }
}

}  // namespace
}  // namespace armwise::solve::write_order_test
