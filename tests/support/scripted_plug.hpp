// A plug whose lines all lead to the same far side; and a sentry that notes what it is told.
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/console/line.hpp"
#include "armwise/console/sentry.hpp"
#include "support/scripted_line.hpp"

namespace armwise::test {

class ScriptedPlug : public console::Plug {
 public:
  ScriptedPlug(ManualClock& clock, FarSide& far_side) : clock_(clock), far_side_(far_side) {}

  std::size_t chunk_size = 1'000'000;
  bool never_back = false;
  int opened = 0, reopened = 0;
  ScriptedLine* line = nullptr;  // the one in use

  Task<std::unique_ptr<console::Line>> open() override {
    ++opened;
    co_return make_line();
  }
  Task<std::unique_ptr<console::Line>> reopen(Duration within) override {
    ++reopened;
    if (never_back) {
      clock_.advance(within);
      throw Fault(FaultKind::not_back, "the controller with serial number 7 did not come back");
    }
    clock_.advance(Duration{500});
    co_return make_line();
  }
  std::string renamed() const override { return reopened > 0 ? "it is now /dev/scripted1" : ""; }
  std::string identity() const override { return "scripted port"; }

 private:
  std::unique_ptr<console::Line> make_line() {
    auto made = std::make_unique<ScriptedLine>(clock_, far_side_);
    made->chunk_size = chunk_size;
    line = made.get();
    return made;
  }

  ManualClock& clock_;
  FarSide& far_side_;
};

class NotingSentry : public console::Sentry {
 public:
  std::vector<std::string> told;
  bool nobody_watches = false;

  void turning(Duration longest) override {
    if (nobody_watches) throw Fault(FaultKind::unsafe, "nobody watches over the motors");
    told.push_back("turning " + std::to_string(longest.count()));
  }
  void stopping(Duration /*longest*/) override {
    if (told.empty() || told.back() != "stopping") told.emplace_back("stopping");
  }
  void stopped() override { told.emplace_back("stopped"); }
};

}  // namespace armwise::test
