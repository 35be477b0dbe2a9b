// A question to a line that has died, in each of the ways in which lines die, is given up in bounded time.
#include <gtest/gtest.h>

#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/console/profile_console.hpp"
#include "console/hand_controllers.hpp"
#include "support/hand_console.hpp"
#include "support/manual_clock.hpp"
#include "support/scripted_plug.hpp"

namespace armwise::console::dead_line_test {
namespace {

enum class Death { silence, echo, drip, drip_of_lines, flood };

// A right controller until it dies; then a line on which nothing, or nothing of use, comes.
class Dying : public test::FarSide {
 public:
  explicit Dying(test::HandConsole& alive) : alive_(alive) {}

  std::optional<Death> death;
  test::ScriptedLine* line = nullptr;

  std::vector<test::Chunk> receive(std::string_view bytes) override {
    if (!death) return alive_.receive(bytes);
    switch (*death) {
      case Death::silence:
        return {};
      case Death::echo:
        return {{std::string(bytes), Duration{1}}};
      case Death::drip:
        return for_an_hour("x", Duration{900});
      case Death::drip_of_lines:
        return for_an_hour("lamp 1 is lit\r\n", Duration{900});
      case Death::flood:
        return for_an_hour(std::string(115, 'x') + "\r\n", Duration{10});
    }
    return {};
  }

 private:
  std::vector<test::Chunk> for_an_hour(const std::string& bytes, Duration between) {
    if (!std::exchange(begun_, true))
      for (Duration at{0}; at < std::chrono::hours{1}; at += between) line->come(bytes, between);
    return {};
  }
  test::HandConsole& alive_;
  bool begun_ = false;
};

class DyingPlug : public Plug {
 public:
  DyingPlug(test::ManualClock& clock, Dying& far_side) : clock_(clock), far_side_(far_side) {}
  Task<std::unique_ptr<Line>> open() override {
    auto line = std::make_unique<test::ScriptedLine>(clock_, far_side_);
    far_side_.line = line.get();
    co_return line;
  }
  Task<std::unique_ptr<Line>> reopen(Duration) override { return open(); }
  std::string renamed() const override { return ""; }
  std::string identity() const override { return "a port"; }

 private:
  test::ManualClock& clock_;
  Dying& far_side_;
};

struct Case {
  const char* name;
  Death death;
  Duration at_most;
};
void PrintTo(const Case& shown, std::ostream* out) {
  *out << shown.name;
}

class DeadLine : public testing::TestWithParam<Case> {
 protected:
  DeadLine()
      : alive([this](const std::string& command) { return fell.answer(command); }),
        dying(alive),
        plug(clock, dying),
        console(plug, load_profile_file(std::filesystem::path(ARMWISE_FIXTURES) / "profiles" / "fell.json"),
                clock, sentry) {
    alive.answer_gives_prompt = [this] { return fell.at; };
  }
  Duration time_of_failing(const std::function<void()>& doing) {
    const Instant start = clock.now();
    EXPECT_THROW(doing(), Fault);
    return clock.now() - start;
  }

  test::Fell fell;
  test::ManualClock clock;
  test::HandConsole alive;
  Dying dying;
  DyingPlug plug;
  test::NotingSentry sentry;
  ProfileConsole console;
};

TEST_P(DeadLine, TheWholeConfigurationIsGivenUp) {
  test::run(console.open());
  ASSERT_FALSE(test::run(console.whole_configuration()).empty());
  dying.death = GetParam().death;
  const Duration took = time_of_failing([this] { test::run(console.whole_configuration()); });
  EXPECT_LE(took, GetParam().at_most);
}

TEST_P(DeadLine, OpeningIsGivenUp) {
  dying.death = GetParam().death;
  const Duration took = time_of_failing([this] { test::run(console.open()); });
  EXPECT_LE(took, std::chrono::seconds{45});
}

INSTANTIATE_TEST_SUITE_P(Deaths, DeadLine,
                         testing::Values(Case{"silence", Death::silence, std::chrono::seconds{10}},
                                         Case{"only an echo", Death::echo, std::chrono::seconds{40}},
                                         Case{"a byte now and then", Death::drip, std::chrono::seconds{60}},
                                         Case{"a line now and then", Death::drip_of_lines,
                                              std::chrono::seconds{60}},
                                         Case{"output without end", Death::flood, std::chrono::seconds{60}}));

}  // namespace
}  // namespace armwise::console::dead_line_test
