#include "support/replay.hpp"

#include <gtest/gtest.h>

#include <filesystem>

#include "armwise/console/profile_console.hpp"
#include "support/manual_clock.hpp"
#include "support/scripted_plug.hpp"

namespace armwise::console::replay_test {
namespace {

using Case = std::tuple<const char*, std::size_t>;
class Written : public testing::TestWithParam<Case> {};

TEST_P(Written, IsSpokenToTheLetter) {
  const std::filesystem::path fixtures(ARMWISE_FIXTURES);
  test::Replay replay(
      (fixtures / "conversations" / (std::string(std::get<0>(GetParam())) + ".json")).string());
  test::ManualClock clock;
  test::ScriptedPlug plug(clock, replay);
  plug.chunk_size = std::get<1>(GetParam());
  test::NotingSentry sentry;
  const auto profile = replay.script()["profile"].get<std::string>() + ".json";
  ProfileConsole console(plug, load_profile_file(fixtures / "profiles" / profile), clock, sentry);
  test::run(console.open());
  try {
    const solve::Snapshot snapshot = test::run(console.snapshot(4));
    std::vector<std::string> pins;
    for (const craft::Pin& pin : snapshot.map.pins) pins.push_back(pin.name);
    EXPECT_EQ(pins, replay.script().value("wants", std::vector<std::string>{}));
  } catch (const Fault& fault) {
    EXPECT_EQ(name(fault.kind()), replay.script().value("fault", "none")) << fault.sentence();
  }
  EXPECT_TRUE(replay.is_over());
}

INSTANTIATE_TEST_SUITE_P(Conversations, Written,
                         testing::Combine(testing::Values("moor-map-with-interruptions", "moor-late-answer",
                                                          "moor-list-cut-short"),
                                          testing::Values(1U, 3U, 1000U)));

}  // namespace
}  // namespace armwise::console::replay_test
