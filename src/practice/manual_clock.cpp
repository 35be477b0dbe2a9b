#include "armwise/practice/manual_clock.hpp"

#include <array>
#include <cstdio>

#include "armwise/base/task.hpp"

namespace armwise::practice {

Task<void> ManualClock::sleep(Duration duration) {
  wind(duration);
  co_return;
}

std::string ManualClock::date_and_time() const {
  const auto seconds = std::chrono::duration_cast<std::chrono::seconds>(now_).count() % 86400;
  std::array<char, 32> text{};
  std::snprintf(text.data(), text.size(), "2026-11-25T%02d:%02d:%02d+00:00", static_cast<int>(seconds / 3600),
                static_cast<int>(seconds / 60 % 60), static_cast<int>(seconds % 60));
  return text.data();
}

}  // namespace armwise::practice
