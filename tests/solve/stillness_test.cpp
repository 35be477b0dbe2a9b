#include "armwise/solve/stillness.hpp"

#include <gtest/gtest.h>

#include <limits>
#include <vector>

namespace armwise::solve::stillness_test {
namespace {

using craft::InBoard;

std::vector<SenseSample> steady(std::size_t count, const InBoard& reading = {0, 0, -1}) {
  return std::vector<SenseSample>(count, SenseSample{reading, std::array{0.0, 0.0, 0.0}});
}

NotStill refused(const std::vector<SenseSample>& samples, double seconds = 0.5) {
  return std::get<NotStill>(held_still(samples, seconds));
}

TEST(HeldStill, AveragesWhatIsStill) {
  auto samples = steady(50);
  for (std::size_t i = 0; i < 50; ++i) samples[i].acceleration.x = i % 2 ? 0.02 : -0.02;
  const auto still = std::get<StillReading>(held_still(samples, 0.5));
  EXPECT_NEAR(still.average.x, 0, 1e-12);
  EXPECT_NEAR(still.average.z, -1, 1e-12);
  EXPECT_NEAR(still.spread, 0.02, 1e-12);
}

TEST(HeldStill, TooFewReadingsOrTooShortATime) {
  EXPECT_EQ(refused(steady(4)).why, NotStill::Why::too_few);
  EXPECT_EQ(refused(steady(50), 0.1).why, NotStill::Why::too_few);
  EXPECT_EQ(refused({}).why, NotStill::Why::too_few);
}

TEST(HeldStill, ShakingIsMotion) {
  auto samples = steady(50);
  for (std::size_t i = 0; i < 50; ++i) samples[i].acceleration.y = i % 2 ? 0.1 : -0.1;
  const NotStill moving = refused(samples);
  EXPECT_EQ(moving.why, NotStill::Why::moving);
  EXPECT_EQ(moving.sentence,
            "The craft was moving while it was measured (readings spread by 0.10 g). Rest it "
            "against something and hold it still for half a second.");
}

TEST(HeldStill, ASlowDriftIsMotionThoughItSpreadsLittle) {
  auto samples = steady(50);
  for (std::size_t i = 0; i < 50; ++i) samples[i].acceleration.y = 0.0025 * static_cast<double>(i);
  EXPECT_NE(refused(samples).sentence.find("drifted"), std::string::npos);
}

TEST(HeldStill, TurningAboutTheVerticalIsSeenByTheGyroOnly) {
  auto samples = steady(50);
  for (SenseSample& sample : samples) sample.gyro = {0, 0, 40};
  EXPECT_NE(refused(samples).sentence.find("40 degrees a second"), std::string::npos);
}

TEST(HeldStill, ANormThatIsNotOneG) {
  const NotStill scaled = refused(steady(50, {0, 0, -9.8}));
  EXPECT_EQ(scaled.why, NotStill::Why::not_one_g);
  EXPECT_NE(scaled.sentence.find("9.80 g"), std::string::npos);
  EXPECT_NE(scaled.sentence.find("sense.per_g"), std::string::npos);
}

TEST(HeldStill, AReadingThatIsNoNumberIsRefused) {
  auto samples = steady(50);
  samples[3].acceleration.x = std::numeric_limits<double>::quiet_NaN();
  EXPECT_TRUE(std::holds_alternative<NotStill>(held_still(samples, 0.5)));
}

}  // namespace
}  // namespace armwise::solve::stillness_test
