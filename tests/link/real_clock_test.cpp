#include "armwise/link/real_clock.hpp"

#include <gtest/gtest.h>

#include <cstdlib>
#include <ctime>

#include "run.hpp"

namespace armwise::link::real_clock_test {
namespace {

using namespace std::chrono_literals;

TEST(RealClock, SleepsAtLeastAsLongAsAsked) {
  boost::asio::io_context loop;
  RealClock clock(loop.get_executor());
  const Instant before = clock.now();
  testing::run(loop, clock.sleep(20ms));
  EXPECT_GE(clock.now() - before, 20ms);
  EXPECT_LT(clock.now() - before, 5s);
}

// ISO 8601-1, extended format with an offset from UTC.
TEST(RealClock, TellsLocalTimeWithItsOffset) {
  boost::asio::io_context loop;
  const RealClock clock(loop.get_executor());
  setenv("TZ", "XXX-5:30", 1);  // POSIX: west is positive
  tzset();
  const time_t now = std::time(nullptr);
  const std::string text = clock.date_and_time();
  tm read{};
  const char* const offset = strptime(text.c_str(), "%Y-%m-%dT%H:%M:%S", &read);
  ASSERT_NE(offset, nullptr) << text;
  EXPECT_STREQ(offset, "+05:30");
  EXPECT_LE(std::abs(std::difftime(timegm(&read) - (5 * 60 + 30) * 60, now)), 2);
  unsetenv("TZ");
  tzset();
}

}  // namespace
}  // namespace armwise::link::real_clock_test
