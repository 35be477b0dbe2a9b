// The record of what was seen, set and proven.
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/craft/mounts.hpp"
#include "armwise/craft/placed_turn.hpp"
#include "bench_parts.hpp"
#include "questions.hpp"

namespace armwise::session {
namespace {

record::CraftRecord record_of(const Bench& b, const Agreed& agreed, const Verified& verified) {
  const Setup& setup = agreed.wired.setup;
  const std::optional<FoundMount>& mount = agreed.wired.mounted.mount;
  record::CraftRecord made;
  made.made_at = b.clock.date_and_time();
  made.tool_version = b.options.tool_version;
  made.operator_name = b.options.operator_name;
  made.place = b.options.place;
  made.identity = b.ledger.journal().identity();
  made.port = b.options.port;
  made.profile_name = b.profile().name;
  made.frame = setup.frame->name;
  made.scheme = agreed.wired.scheme();
  for (const craft::PlaceIndex place : setup.numbering.place_of_motor)
    made.numbering.push_back(setup.frame->places[place].name);
  for (const auto& [pin, wired] : agreed.plan.wiring_after.at) {
    made.wiring[pin.name] = text(*setup.frame, craft::PlacedTurn{wired.place, wired.turn});
  }
  made.before = b.ledger.before();
  made.after = b.ledger.now();
  if (mount) made.mount_in_words = craft::in_words(mount->rotation);
  if (mount) made.mount_found = mount->words;
  made.flight_sense = verified.flight_sense;
  made.strength_per_cent = b.spins.strength_per_cent();
  made.spin_milliseconds = static_cast<int>(b.options.spin_time.count());
  made.spins = b.spins.log();
  const solve::Interview& interview = verified.inquiry->interview;
  for (std::size_t row = 0; row < verified.inquiry->pins.size(); ++row) {
    made.doubt[verified.inquiry->pins[row].name] =
        interview.belief().row_wrong(interview.verdict(), static_cast<int>(row));
  }
  made.sources["doubt"] = record::Source::computed;
  made.changes = b.ledger.changes();
  made.by_hand = b.by_hand;
  made.warnings = b.warnings;
  for (const auto* phase : {&agreed.wired.warnings, &verified.warnings})
    made.warnings.insert(made.warnings.end(), phase->begin(), phase->end());
  made.kept = b.ledger.kept();
  made.read_back_matches = b.ledger.verified();
  made.proof_spins = verified.proof_spins;
  made.configuration_before = b.ledger.journal().configuration();
  if (mount) made.sources["mount"] = mount->by_sense ? record::Source::computed : record::Source::person;
  made.sources["numbering"] =
      b.profile().numbering_for(*setup.frame) ? record::Source::profile : record::Source::person;
  return made;
}

// Asked only of a craft that is new to the shelf.
Task<std::string> craft_name(Bench& b, const craft::Frame& frame) {
  if (!b.options.craft_name.empty()) co_return b.options.craft_name;
  const std::vector<record::CraftRecord> known = b.store.records_of(b.ledger.journal().identity());
  if (!known.empty()) co_return known.front().craft_name;
  Question question;
  question.id = "craft";
  question.label = "name";
  question.kind = Question::Kind::text;
  question.text = "What is this craft called?";
  question.suggestion = question.marked = frame.name;
  question.may_go_back = false;
  while (true) {
    const Answer answer = co_await b.person.ask(question);
    const auto* text = std::get_if<std::string>(&answer);
    if (text == nullptr) continue;
    const std::string name = printable(trimmed(*text));
    if (!name.empty() && name.size() <= 200) co_return name;
    b.person.tell("name-unfit");
  }
}

// The settings are kept and proven: nothing that fails from here on may lose the record of that. Its file.
Task<std::string> save_configuration_after(Bench& b) {
  const std::string none;
  if (!b.ledger.kept() || !b.profile().whole_configuration) co_return none;
  std::optional<Fault> trouble;
  std::string text;
  try {
    text = co_await b.console.whole_configuration();
  } catch (const Fault& fault) {
    trouble = fault;
  }
  if (!trouble)
    co_return b.store.save_configuration(b.ledger.journal().identity().board, b.clock.date_and_time(), text);
  b.warnings.push_back("The whole configuration could not be read afterwards: " + trouble->happened());
  b.person.tell("configuration-unread", {{"warning", b.warnings.back()}});
  co_return none;
}

}  // namespace

Task<std::string> write_record(Bench& b, const Agreed& agreed, const Verified& verified) {
  const std::string configuration = co_await save_configuration_after(b);
  record::CraftRecord made = record_of(b, agreed, verified);
  made.configuration_after = configuration;
  made.craft_name = made.frame;
  bool named = true;
  try {
    made.craft_name = co_await craft_name(b, agreed.wired.frame());
  } catch (const StoppedByPerson&) {
    named = false;
  } catch (const Fault& fault) {
    if (fault.kind() != FaultKind::usage) throw;
    named = false;  // nothing answers the question
  }
  if (!named) b.person.tell("unnamed");
  b.options.craft_name = made.craft_name;
  made.id = record::file_name_for(made.craft_name) + "-" + made.made_at.substr(0, 10);
  co_return b.store.save_record(made);
}

}  // namespace armwise::session
