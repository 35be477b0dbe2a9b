// What the guard process would have done, told from the times at which it was spoken to.
#pragma once

#include <algorithm>
#include <optional>

#include "armwise/base/clock.hpp"
#include "armwise/console/sentry.hpp"
#include "armwise/link/guard.hpp"
#include "armwise/practice/controller.hpp"

namespace armwise::test {

class GuardOnPaper : public console::Sentry {
 public:
  explicit GuardOnPaper(Clock& clock) : clock_(clock) {}
  void turning(Duration longest) override {
    look();
    if (!turning_) ++turned;
    turning_ = true;
    until_ = clock_.now() + longest + link::GuardTiming().grace;
  }
  void stopping(Duration longest) override {
    look();
    until_ = clock_.now() + longest + link::GuardTiming().grace;
  }
  void stopped() override {
    look();
    turning_ = false;
  }
  bool is_turning() const { return turning_; }  // as far as it was told
  int turned = 0;
  bool stepped_in = false;  // since a stop was not reported in time

 private:
  void look() { stepped_in = stepped_in || (turning_ && clock_.now() > until_); }

  Clock& clock_;
  bool turning_ = false;
  Instant until_{0};
};

// The longest that a motor was left turning between an order to spin and the stop, by what the controller
// heard.
inline Duration longest_spin(const practice::PracticeController& controller) {
  using What = practice::Happened::What;
  Duration longest{0};
  bool turns = false;
  Instant since{0};
  for (const practice::Happened& one : controller.history()) {
    if (one.what == What::spun && !turns) since = one.at;
    if (one.what == What::spun) turns = true;
    if (one.what != What::stopped || !turns) continue;
    longest = std::max(longest, one.at - since);
    turns = false;
  }
  return longest;
}

// Whether an order to spin has been heard, and no stop since.
inline bool was_left_turning(const practice::PracticeController& controller) {
  using What = practice::Happened::What;
  bool turns = false;
  for (const practice::Happened& one : controller.history()) {
    if (one.what == What::spun) turns = true;
    if (one.what == What::stopped) turns = false;
  }
  return turns;
}

}  // namespace armwise::test
