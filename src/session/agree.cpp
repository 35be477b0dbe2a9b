// What was found, what is to be changed, and the person's word for it.
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/console/mount_text.hpp"
#include "armwise/session/consent.hpp"
#include "armwise/solve/difference.hpp"
#include "bench_parts.hpp"
#include "questions.hpp"
#include "words.hpp"

namespace armwise::session {
namespace {

solve::Plan plan_for(const Bench& b, const Wired& wired) {
  solve::Wanted wanted;
  wanted.scheme = wired.scheme();
  wanted.numbering = wired.setup.numbering;
  if (wired.mounted.mount) wanted.mount = console::mount_as_held(b.profile(), wired.mounted.mount->angles);
  return solve::plan(wired.frame(), b.ledger.now(), wired.wiring, wanted);
}

// Where every turn is opposite there are two ways out, and only the person knows which is meant.
Task<craft::PropScheme> choose_way_out(Recall& r, craft::PropScheme scheme) {
  const craft::PropScheme other_scheme = craft::other(scheme);
  const Question question =
      one_of("all-opposite",
             "Every motor turns the wrong way for " + std::string(in_words(scheme)) + ". What do you want?",
             {{"reverse", "reverse all motors, and fly " + std::string(in_words(scheme))},
              {"change-over", "leave them, and fly " + std::string(in_words(other_scheme))}});
  const std::string said = co_await answer_to(r, question);
  co_return said == "change-over" ? other_scheme : scheme;
}

void show_plan(const Bench& b, Recall& r, const Wired& wired, const solve::Plan& plan) {
  const solve::Snapshot& now = b.ledger.now();
  Statement shown = statement_of(plan.changes.empty() ? StatementId("plan-empty") : StatementId("plan"), {},
                                 Statement::Kind::plan);
  shown.plan = &plan;
  shown.views.push_back(words::view_of(wired.frame(), now.map, wired.wiring, wired.scheme(), "as it is now"));
  shown.views.push_back(
      words::view_of(wired.frame(), plan.map_after, plan.wiring_after, wired.scheme(), "as it will be"));
  int number = 0;
  for (const solve::Change& change : plan.changes)
    shown.text += "\n" + std::to_string(++number) + ". " + words::change(change) + ". " + change.reason;
  shown.console_lines = b.ledger.lines_for(plan.changes);
  for (const solve::HandWork& work : plan.by_hand) shown.text += "\nBy hand: " + work.instruction;
  const MountVerified nothing_yet;
  const solve::FlightSense as_it_is = flight_sense(wired, nothing_yet, now.map, wired.wiring, now);
  const solve::FlightSense after = flight_sense(wired, nothing_yet, plan.map_after, plan.wiring_after,
                                                solve::with_changes(now, plan.changes));
  words::add_verdict(shown.views.front(), as_it_is);
  words::add_verdict(shown.views.back(), after);
  r.tell(shown);
  words::say_why(r, "sense-now", {{"sense", as_it_is.words}});
  words::say_why(r, "sense-after", {{"sense", after.words}});
}

}  // namespace

void tell_what_was_found(const Bench& b, Recall& r, const Wired& wired) {
  Statement found =
      statement_of(wired.by_record.empty() ? StatementId("found") : StatementId("found-in-record"),
                   {{"made", wired.by_record.substr(0, 10)}}, Statement::Kind::found);
  found.views.push_back(
      words::view_of(wired.frame(), b.ledger.now().map, wired.wiring, wired.setup.scheme, "as it is now"));
  r.tell(found);
}

Task<std::optional<Agreed>> agree(Bench& b, Recall& r, Wired wired) {
  solve::Plan plan = plan_for(b, wired);
  if (plan.every_turn_opposite && !wired.way_out && !plan.empty()) {
    wired.way_out = co_await choose_way_out(r, wired.setup.scheme);
    plan = plan_for(b, wired);
  }
  show_plan(b, r, wired, plan);
  if (b.options.dry_run) {
    r.tell("dry-run");
    co_return std::nullopt;
  }
  Agreed agreed{std::move(wired), std::move(plan), {}, {}};
  agreed.after = solve::with_changes(b.ledger.now(), agreed.plan.changes);
  if (agreed.plan.changes.empty()) co_return agreed;
  Question question = yes_or_no("plan", "Write these changes? Nothing is saved until they're checked.");
  question.label = "write";
  question.plan = &agreed.plan;
  question.about_settings = true;
  agreed.permit = co_await ask_to_write(r, question, b.ledger.lines_for(agreed.plan.changes));
  if (!agreed.permit) throw StoppedByPerson();
  co_return agreed;
}

Task<void> work_by_hand(Bench& b, const Agreed& agreed) {
  if (agreed.plan.by_hand.empty()) co_return;
  for (const solve::HandWork& work : agreed.plan.by_hand)
    b.person.tell("work-by-hand", {{"work", work.instruction}});
  Question question = yes_or_no("by-hand", "Unplug the battery, do this, plug it in again. Done?");
  question.may_go_back = false;
  const auto done = [&question](Recall& r) -> Task<bool> {
    co_await require_yes(r, question);
    co_return true;
  };
  co_await phase(b.person, done);
  for (const solve::HandWork& work : agreed.plan.by_hand) b.by_hand.push_back(work.instruction);
}

}  // namespace armwise::session
