#include "predict_lines.hpp"

#include <algorithm>
#include <memory>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"
#include "armwise/console/profile_console.hpp"
#include "armwise/console/sentry.hpp"

namespace armwise::app {
namespace {

// Nothing is plugged in here: only the words of a console are wanted.
class NoPlug : public console::Plug {
 public:
  Task<std::unique_ptr<console::Line>> open() override { co_return refuse(); }
  Task<std::unique_ptr<console::Line>> reopen(Duration) override { co_return refuse(); }
  std::string renamed() const override { return {}; }
  std::string identity() const override { return {}; }

 private:
  static std::unique_ptr<console::Line> refuse() {
    throw Fault(FaultKind::internal, "predict does not talk to a controller");
  }
};
class NoClock : public Clock {
 public:
  Instant now() const override { return Instant{0}; }
  Task<void> sleep(Duration) override { co_return; }
  std::string date_and_time() const override { return {}; }
};
class NoSentry : public console::Sentry {
 public:
  void turning(Duration) override {}
  void stopped() override {}
};

// A number, since a profile may say that a pin is one, and none that a console would count to.
std::string stand_in(int motor) {
  return std::to_string(770077000 + motor);
}

std::string to_fill_in(int motor) {
  return "<motor " + std::to_string(motor) + "'s pin>";
}

std::string filled(std::string text, int motors) {
  for (int motor = 1; motor <= motors; ++motor) {
    const std::string sought = stand_in(motor);
    for (std::size_t at = text.find(sought); at != std::string::npos; at = text.find(sought))
      text.replace(at, sought.size(), to_fill_in(motor));
  }
  return text;
}

solve::Plan plan_on(const console::Profile& profile, const solve::PredictRequest& request) {
  const solve::Prediction prediction = solve::predict(request);
  solve::Snapshot now = prediction.now;
  now.turn_key = profile.turn && profile.turn->set ? profile.turn->key : solve::TurnKey::not_settable;
  now.turns.assign(profile.turn ? request.frame->places.size() : 0, craft::Turn::cw);
  if (profile.map) now.map_rules = profile.map->rules;
  if (!profile.props) now.props.reset();
  if (!profile.mount || !profile.mount->settable()) now.mount.reset();
  return solve::plan(*request.frame, now, prediction.wiring, prediction.wanted);
}

// How to see which pin each motor has, where one line without a blank asks for it.
std::string where_to_look(const console::Profile& profile) {
  if (!profile.map) return {};
  const auto& steps = profile.map->list.steps;
  const bool plain =
      steps.size() == 1 && std::ranges::none_of(steps[0].send.pieces(), &console::Piece::blank);
  return plain ? " (\"" + steps[0].send.format({}) + "\" shows it)" : "";
}

bool sets_a_turn(const solve::Change& change) {
  return std::holds_alternative<solve::SetTurn>(change.what);
}

}  // namespace

PredictedLines lines_for(const console::Profile& profile, const solve::PredictRequest& request) {
  const int motors = request.frame->size();
  solve::PredictRequest named = request;
  for (int motor = 1; motor <= motors && request.pins.empty(); ++motor)
    named.pins.push_back({stand_in(motor)});
  const solve::Plan plan = plan_on(profile, named);
  NoPlug plug;
  NoClock clock;
  NoSentry sentry;
  const console::ProfileConsole console(plug, profile, clock, sentry);
  PredictedLines out;
  bool any_to_fill_in = false;
  for (const solve::Change& change : plan.changes) {
    try {
      for (const std::string& line : console.lines_for(change)) {
        out.lines.push_back(filled(line, motors));
        any_to_fill_in = any_to_fill_in || out.lines.back() != line;
      }
    } catch (const Fault& fault) {
      out.remarks.push_back(filled(change.reason, motors) + " " + fault.sentence());
    }
  }
  if (!profile.numbering_for(*request.frame)) {
    out.remarks.push_back(
        "The profile does not say which motor sits where on " + request.frame->name +
        ": they are numbered clockwise from the nose here. Check that before you send anything.");
  }
  if (any_to_fill_in) {
    out.remarks.push_back("Fill in before you send them: for " + to_fill_in(1) +
                          " and its like, the pin that this motor has now" + where_to_look(profile) +
                          ". Or name all pins here: --pins P1,P2,…");
  }
  if (std::ranges::any_of(plan.changes, sets_a_turn)) {
    out.remarks.push_back("This assumes every motor is set to \"" + profile.turn_code(craft::Turn::cw) +
                          "\" now: if one reads differently, send the other word for that motor.");
  }
  for (const solve::HandWork& work : plan.by_hand)
    out.remarks.push_back("By hand: " + filled(work.instruction, motors));
  return out;
}

}  // namespace armwise::app
