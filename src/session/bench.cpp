#include "armwise/session/bench.hpp"

#include <exception>
#include <utility>

#include "armwise/base/cancellation.hpp"
#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"
#include "armwise/console/whole_configuration.hpp"
#include "bench_parts.hpp"
#include "cut_off.hpp"
#include "phases.hpp"
#include "who.hpp"
#include "words.hpp"

namespace armwise::session {
namespace {

// Told again whenever a phase runs again, so that it is right also after going back.
void enter(const Bench& b, Phase phase, const craft::Frame* frame = nullptr) {
  const std::string of = b.options.craft_name.empty() ? std::string() : " " + b.options.craft_name;
  tell_phase(b.person, b.command + (frame == nullptr ? of : " " + frame->name), phase);
}

// What was checked, what was not, and what to do with it.
void tell_done(const Bench& b, const Agreed& agreed, const Verified& verified, const std::string& file) {
  const std::string& name = b.options.craft_name;
  Statement done =
      statement_of("done", {{"ok", "true"}, {"record", file}, {"craft", name}}, Statement::Kind::done);
  done.views.push_back(words::view_of(agreed.wired.frame(), agreed.plan.map_after, agreed.plan.wiring_after,
                                      agreed.wired.scheme(), ""));
  const auto motors = static_cast<std::size_t>(verified.proof_spins);
  done.marks.push_back(
      {true, words::count(motors, "motor", "motors") + " checked: right arm, right direction"});
  done.marks.push_back({verified.mount_proven, verified.mount_proven
                                                   ? "board mount set; poses agree with it, twice"
                                                   : "the board's mount was not checked by poses"});
  done.marks.push_back({b.ledger.verified(), "saved, restarted, read back: the same"});
  if (!b.options.caveat.empty()) done.marks.push_back({false, b.options.caveat});
  for (const std::string& warning : verified.warnings) done.marks.push_back({false, warning});
  const std::string reapply = "armwise reapply \"" + name + "\"" + b.options.reached_by;
  std::string sheet = "armwise sheet \"" + name + "\"";
  sheet.resize(reapply.size(), ' ');
  done.next = {sheet + "   the sheet to print", reapply + "   after a firmware update"};
  b.person.tell(done);
}

// Where it comes from what is known before anything is planned.
using FindOut = std::function<Task<Wired>(Recall&)>;

// The session as the person lives it. From one phase to the next nobody goes back.
Task<BenchResult> from_first_to_last(Bench& b, const FindOut& find_out) {
  enter(b, Phase::find);
  co_await meet(b);
  const auto find_out_and_agree = [&](Recall& r) -> Task<std::optional<Agreed>> {
    enter(b, Phase::find);
    Wired wired = co_await find_out(r);
    enter(b, Phase::plan, &wired.frame());
    tell_what_was_found(b, r, wired);
    co_return co_await agree(b, r, std::move(wired));
  };
  std::optional<Agreed> agreed = co_await phase(b.person, find_out_and_agree);
  Verified verified;
  while (agreed) {
    const craft::Frame* frame = &agreed->wired.frame();
    enter(b, Phase::write, frame);
    if (agreed->permit) {
      co_await b.ledger.write(agreed->plan.changes, *agreed->permit);
    } else {
      b.ledger.plan_nothing_more();
    }
    co_await work_by_hand(b, *agreed);
    enter(b, Phase::check, frame);
    const auto verify_it = [&](Recall& r) { return verify(b, r, *agreed); };
    verified = co_await phase(b.person, verify_it);
    if (!verified.otherwise) {
      enter(b, Phase::save, frame);
      co_await keep(b, *agreed, verified);
      co_await verify_after_restart(b, *agreed, verified);
    }
    if (!verified.otherwise) break;
    Wired wired = agreed->wired;
    wired.inquiry = *verified.inquiry;
    wired.wiring = believed(wired.inquiry);
    enter(b, Phase::plan, frame);
    const auto agree_anew = [&](Recall& r) { return agree(b, r, wired); };
    agreed = co_await phase(b.person, agree_anew);
  }
  if (!agreed) co_return BenchResult{BenchResult::Ending::planned_only, {}};
  b.ledger.all_done();
  BenchResult result;
  result.record_file = co_await write_record(b, *agreed, verified);
  tell_done(b, *agreed, verified, result.record_file);
  co_await b.console.leave();
  co_return result;
}

// Whatever ends it, what was written and not kept is taken back.
Task<BenchResult> or_take_back(Bench& b, FindOut find_out) {
  std::exception_ptr trouble;
  BenchResult result;
  try {
    result = co_await from_first_to_last(b, find_out);
  } catch (...) {
    trouble = std::current_exception();
  }
  // Once cancelled, even a coroutine that has not begun would not be entered.
  if (trouble) {
    co_await in_spite_of_cancellation();
    co_await b.ledger.end_early(trouble);
  }
  co_return result;
}

Bench bench_with(console::Console& console, Person& person, record::Store& store, Clock& clock,
                 const BenchOptions& options) {
  return {console,
          person,
          store,
          clock,
          options,
          SpinChecker(console, person, options.strength_per_cent, options.spin_time, options.suspended),
          Ledger(console, person, store, clock, options.port)};
}

void refuse_open_session(Bench& b, const console::Identity& identity) {
  for (const record::OpenSession& open : b.store.open_sessions()) {
    if (!may_be_with(open, identity)) continue;
    if (const auto trial = trial_in(open)) {
      throw Fault(FaultKind::left_changed, "armwise teach was cut off while it was trying another value",
                  trial->text, "Run armwise recover first: it says what puts it back")
          .as("trial-left-over");
    }
    throw Fault(
        FaultKind::left_changed,
        identity_in(open)
            ? "An earlier session with this controller was cut off while it was changing settings"
            : "An earlier session was cut off, perhaps with this controller: its journal does not say",
        open.damage.empty() ? "its journal is " + open.journal : open.damage,
        "Run armwise recover first: it finishes or undoes that session, or sets a damaged journal aside")
        .as("session-left-over");
  }
}

}  // namespace

Task<BenchResult> bench(console::Console& console, Person& person, record::Store& store, Clock& clock,
                        const BenchOptions& options) {
  Bench b = bench_with(console, person, store, clock, options);
  const FindOut find_out = [&b](Recall& r) { return investigate(b, r); };
  co_return co_await or_take_back(b, find_out);
}

Task<BenchResult> reapply(console::Console& console, Person& person, record::Store& store, Clock& clock,
                          const record::CraftRecord& record, const ReapplyOptions& options) {
  Bench b = bench_with(console, person, store, clock, options.bench);
  b.options.craft_name = record.craft_name;
  b.command = "reapply";
  const FindOut find_out = [&](Recall& r) { return recalled(b, r, record, options.configuration); };
  co_return co_await or_take_back(b, find_out);
}

Task<void> meet(Bench& b) {
  co_await b.console.open();
  const console::Identity identity = co_await identify_surely(b.console);
  std::string who;
  for (const std::string& part : {identity.board, identity.firmware, identity.version})
    if (!part.empty()) who += (who.empty() ? "" : " ") + printable(part);
  if (who.empty()) {
    b.person.tell("controller-nameless");
  } else {
    b.person.tell("controller", {{"who", who}, {"serial", printable(identity.serial)}});
  }
  // Whatever ends this, it is this controller that the session was with.
  b.ledger.journal().met(identity, b.profile().name, {});
  refuse_open_session(b, identity);
  if (!b.options.caveat.empty()) b.warnings.push_back(b.options.caveat);
  if (!b.options.dry_run) b.store.require_room();
  if (!b.profile().whole_configuration) {
    b.warnings.emplace_back("The whole configuration was not saved: the profile has no command for it.");
    b.person.tell("configuration-unsaved");
    co_return;
  }
  b.person.tell_wait("backing-up", b.profile().timing.listing);
  const std::string text = co_await b.console.whole_configuration();
  const std::string file = b.store.save_configuration(identity.board, b.clock.date_and_time(), text);
  b.ledger.journal().met(identity, b.profile().name, file);
  const std::size_t lines = console::configuration_lines(text).size();
  b.person.tell("configuration-saved", {{"lines", std::to_string(lines)}, {"file", file}});
}

}  // namespace armwise::session
