#include "armwise/session/bench.hpp"

#include <exception>
#include <utility>

#include "armwise/base/cancellation.hpp"
#include "armwise/base/fault.hpp"
#include "armwise/console/whole_configuration.hpp"
#include "bench_flow.hpp"
#include "cut_off.hpp"
#include "who.hpp"
#include "words.hpp"

namespace armwise::session {

Task<BenchResult> bench(console::Console& console, Person& person, record::Store& store, Clock& clock,
                        const BenchOptions& options) {
  BenchFlow flow(console, person, store, clock, options);
  co_return co_await flow.run();
}

BenchFlow::BenchFlow(console::Console& console, Person& person, record::Store& store, Clock& clock,
                     const BenchOptions& options)
    : console_(console),
      person_(person),
      store_(store),
      clock_(clock),
      options_(options),
      spins_(console, person, options.strength_per_cent, options.spin_time, options.suspended),
      writer_(console, person, clock),
      player_(console, person),
      mount_finder_(console, person, clock) {}

// The session as the person lives it, top to bottom.
std::vector<Station> BenchFlow::stations() {
  const auto at = [this](const char* name, Task<Move> (BenchFlow::*visit)(Entered),
                         bool no_way_back = false) {
    return Station{name, [this, visit](Entered entered) { return (this->*visit)(entered); }, no_way_back};
  };
  return {
      at("frame", &BenchFlow::choose_frame),
      at("props", &BenchFlow::choose_props),
      at("settings", &BenchFlow::read_settings),
      at("numbering", &BenchFlow::ask_numbering),
      at("props-off", &BenchFlow::take_props_off),
      at("mount", &BenchFlow::find_mount),
      at("battery", &BenchFlow::connect_battery),
      at("spins", &BenchFlow::spin_checks),
      at("found", &BenchFlow::tell_what_was_found),
      at("plan", &BenchFlow::agree_to_plan),
      at("write", &BenchFlow::write),
      at("by-hand", &BenchFlow::work_by_hand),
      at("proof", &BenchFlow::prove, true),
      at("mount-proof", &BenchFlow::prove_mount),
      at("flight-sense", &BenchFlow::weigh_flight),
      at("keep?", &BenchFlow::agree_to_keep),
      at("keep", &BenchFlow::keep, true),
      at("proof-after-restart", &BenchFlow::prove_after_restart, true),
      at("mount-proof-after-restart", &BenchFlow::prove_mount_after_restart, true),
      at("record", &BenchFlow::record_it, true),
  };
}

Task<BenchResult> BenchFlow::run() {
  std::exception_ptr trouble;
  try {
    co_await meet();
    const std::vector<Station> all = again_ ? stations_from_record() : stations();
    co_await walk(all, [this] { person_.say("There is nothing to go back to from here.", Level::warn); });
  } catch (...) {
    trouble = std::current_exception();
  }
  // Once cancelled, even a coroutine that has not begun would not be entered.
  if (trouble) {
    co_await in_spite_of_cancellation();
    co_await end_early(trouble);
  }
  co_return result_;
}

void BenchFlow::enter(Phase phase) {
  const std::string about = again_ ? "reapply " + again_->record.craft_name : "bench";
  tell_phase(person_, frame_ == nullptr || again_ ? about : about + " " + frame_->name, phase);
}

Task<void> BenchFlow::meet() {
  enter(Phase::find);
  co_await console_.open();
  identity_ = co_await identify_surely(console_);
  const std::string who = identity_.in_words();
  person_.say(who.empty() ? "The controller answers; it does not say what it is."
                          : "The controller answers: " + who + ".");
  refuse_open_session();
  if (!options_.dry_run) store_.require_room();
  if (console_.profile().whole_configuration) {
    const std::string text = co_await console_.whole_configuration();
    configuration_before_ = store_.save_configuration(identity_.board, clock_.date_and_time(), text);
    const std::size_t lines = console::configuration_lines(text).size();
    person_.say("Its whole configuration (" + words::count(lines, "line", "lines") + ") is saved in " +
                configuration_before_ + ".");
  } else {
    person_.say(
        "The profile has no command that prints the whole configuration: only the settings that armwise "
        "changes can be put back.",
        Level::warn);
    warnings_.emplace_back("The whole configuration was not saved: the profile has no command for it.");
  }
}

void BenchFlow::refuse_open_session() {
  for (const record::OpenSession& open : store_.open_sessions()) {
    if (!may_be_with(open, identity_)) continue;
    if (const auto trial = trial_in(open)) {
      throw Fault(FaultKind::left_changed, "armwise teach was cut off while it was trying another value",
                  trial->text, "Run armwise recover first: it says what puts it back");
    }
    throw Fault(
        FaultKind::left_changed,
        identity_in(open)
            ? "An earlier session with this controller was cut off while it was changing settings"
            : "An earlier session was cut off, perhaps with this controller: its journal does not say",
        open.damage.empty() ? "its journal is " + open.journal : open.damage,
        "Run armwise recover first: it finishes that session or takes it back, or sets a damaged "
        "journal aside");
  }
}

}  // namespace armwise::session
