// What was found, what is to be changed, and the writing of it.
#include <exception>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/solve/difference.hpp"
#include "bench_flow.hpp"
#include "words.hpp"

namespace armwise::session {
namespace {

using What = record::JournalEntry::What;

}  // namespace

Task<Move> BenchFlow::tell_what_was_found(Entered entered) {
  if (entered == Entered::backwards) co_return Move::back();
  enter(Phase::plan);
  way_out_.reset();
  Statement found;
  found.kind = Statement::Kind::found;
  found.views.push_back(words::view_of(*frame_, now_.map, wiring_, scheme_, "as it is now"));
  found.text = again_ && again_->wiring_known
                   ? "This is how it is wired, by the record of " + again_->record.made_at + "."
                   : "This is how it is wired.";
  person_.tell(found);
  co_return Move::on();
}

void BenchFlow::make_plan() {
  solve::Wanted wanted;
  wanted.scheme = way_out_.value_or(scheme_);
  wanted.numbering = numbering_;
  if (mount_) wanted.mount = mount_->angles;
  plan_ = solve::plan(*frame_, now_, wiring_, wanted);
}

// Where every turn is opposite there are two ways out, and only the person knows which is meant.
Task<std::optional<Move>> BenchFlow::choose_way_out() {
  const craft::PropScheme other_scheme = craft::other(scheme_);
  Question question;
  question.id = "all-opposite";
  question.kind = Question::Kind::choose;
  question.text = "Every motor turns the other way round from what " + std::string(in_words(scheme_)) +
                  " wants. Which way out?";
  question.choices = {
      {"reverse", "reverse all the motors and fly " + std::string(in_words(scheme_))},
      {"change-over", "leave the motors as they turn and fly " + std::string(in_words(other_scheme)) +
                          " (the propellers go on accordingly)"}};
  const Answer answer = co_await person_.ask(question);
  if (std::holds_alternative<Back>(answer)) co_return Move::back();
  way_out_ = std::get<std::string>(answer) == "change-over" ? other_scheme : scheme_;
  co_return std::nullopt;
}

void BenchFlow::show_plan() {
  Statement shown;
  shown.kind = Statement::Kind::plan;
  shown.plan = &plan_;
  const craft::PropScheme scheme = way_out_.value_or(scheme_);
  shown.views.push_back(words::view_of(*frame_, now_.map, wiring_, scheme, "as it is now"));
  shown.views.push_back(
      words::view_of(*frame_, plan_.map_after, plan_.wiring_after, scheme, "as it will be"));
  std::string sentences =
      plan_.changes.empty() ? "No setting needs to change." : "To be changed, in this order:";
  int number = 0;
  for (const solve::Change& change : plan_.changes) {
    sentences += "\n" + std::to_string(++number) + ". " + words::change(change) + ". " + change.reason;
    for (const std::string& line : console_.lines_for(change)) shown.console_lines.push_back(line);
  }
  for (const solve::HandWork& work : plan_.by_hand) sentences += "\nBy hand: " + work.instruction;
  shown.text = std::move(sentences);
  const solve::FlightSense now = flight_sense(now_.map, wiring_, now_, false);
  const solve::FlightSense then =
      flight_sense(plan_.map_after, plan_.wiring_after, solve::with_changes(now_, plan_.changes), true);
  words::add_verdict(shown.views.front(), now);
  words::add_verdict(shown.views.back(), then);
  person_.tell(shown);
  words::say_why(person_, "Without these changes: " + now.words);
  words::say_why(person_, "With them: " + then.words);
}

void BenchFlow::open_journal() {
  if (journal_) return;
  journal_ = store_.start_journal(identity_.board, clock_.date_and_time());
  record::JournalEntry began;
  began.what = What::began;
  began.when = clock_.date_and_time();
  began.text = options_.port;
  began.identity = identity_;
  began.profile_name = console_.profile().name;
  journal_->append(began);
  record::JournalEntry saved;
  saved.what = What::configuration_saved;
  saved.when = began.when;
  saved.text = configuration_before_;
  journal_->append(saved);
}

void BenchFlow::begin_journal() {
  open_journal();
  journal_plan(plan_.changes);
}

void BenchFlow::journal_plan(const std::vector<solve::Change>& changes) {
  record::JournalEntry planned;
  planned.what = What::planned;
  planned.when = clock_.date_and_time();
  planned.before = baseline_;
  planned.after = solve::with_changes(now_, changes);
  for (const solve::Change& change : changes) {
    for (const std::string& line : console_.lines_for(change)) planned.lines.push_back(line);
  }
  journal_->append(planned);
}

Task<Move> BenchFlow::agree_to_plan(Entered entered) {
  if (entered == Entered::backwards && plan_.empty() && !way_out_) co_return Move::back();
  make_plan();
  if (plan_.every_turn_opposite && !way_out_ && (!plan_.by_hand.empty() || !plan_.changes.empty())) {
    const std::optional<Move> move = co_await choose_way_out();
    if (move) co_return *move;
    make_plan();
  }
  show_plan();
  if (options_.dry_run) {
    person_.say("Dry run: nothing has been written. These are all the lines that the real run would send.");
    result_.ending = BenchResult::Ending::planned_only;
    co_return Move::finish();
  }
  if (plan_.changes.empty()) co_return Move::on();
  Question question;
  question.id = "plan";
  question.about_settings = true;
  question.kind = Question::Kind::confirm;
  question.level = Level::warn;
  question.plan = &plan_;
  question.text = "Write these changes? Nothing is saved until you've checked every motor again.";
  const Answer answer = co_await person_.ask(question);
  if (std::holds_alternative<Back>(answer)) {
    if (!way_out_) co_return Move::back();
    way_out_.reset();
    co_return Move::to("plan");
  }
  if (std::get<std::string>(answer) != "yes") throw StoppedByPerson();
  co_return Move::on();
}

Task<Move> BenchFlow::write(Entered entered) {
  if (entered == Entered::backwards) co_return Move::back();
  enter(Phase::write);
  proof_.clear();
  // What was played back may be all that there was to change: recover is to know what it came to.
  if (plan_.changes.empty() && played_) journal_plan({});
  if (plan_.changes.empty()) co_return Move::on();
  const WritePermit permit = WritePermit::plan_agreed("the plan shown");
  begin_journal();
  anything_written_ = true;
  std::optional<Fault> trouble;
  try {
    co_await writer_.write(plan_.changes, permit, *journal_);
  } catch (const Fault& fault) {
    trouble = fault;
  }
  if (trouble) {
    throw Fault(trouble->kind(), "A change could not be written: " + trouble->happened(), trouble->why(),
                trouble->next());
  }
  for (const solve::Change& change : plan_.changes) {
    changes_.push_back({words::change(change) + ": " + change.reason, console_.lines_for(change)});
  }
  now_ = solve::with_changes(now_, plan_.changes);
  co_return Move::on();
}

Task<Move> BenchFlow::work_by_hand(Entered entered) {
  if (plan_.by_hand.empty()) co_return pass(entered);
  for (const solve::HandWork& work : plan_.by_hand) person_.say(work.instruction, Level::warn);
  Question question;
  question.id = "by-hand";
  question.kind = Question::Kind::confirm;
  question.level = Level::warn;
  question.may_go_back = false;
  question.text =
      "Unplug the battery before you touch a motor or a wire, do this, and plug it in again. Is it done?";
  const Answer answer = co_await person_.ask(question);
  if (std::holds_alternative<Back>(answer)) co_return Move::back();
  if (std::get<std::string>(answer) != "yes") throw StoppedByPerson();
  for (const solve::HandWork& work : plan_.by_hand) by_hand_.push_back(work.instruction);
  co_return Move::on();
}

}  // namespace armwise::session
