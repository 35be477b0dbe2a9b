// Saving what was proven: consent, the restart, the read-back, and the record.
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/craft/mounts.hpp"
#include "armwise/solve/difference.hpp"
#include "bench_flow.hpp"
#include "restart.hpp"
#include "who.hpp"
#include "words.hpp"

namespace armwise::session {

using What = record::JournalEntry::What;

namespace {

bool can_restart(const console::Profile& profile) {
  return profile.keep && (profile.keep->restarts || profile.keep->restart);
}

}  // namespace

// Also where nothing had to be changed: what runs may have been typed and never saved.
Task<Move> BenchFlow::agree_to_keep(Entered entered) {
  if (!anything_written_ && !console_.profile().keep) co_return pass(entered);
  enter(Phase::save);
  if (entered == Entered::forwards) note(What::proven);
  Question question;
  question.id = "keep";
  question.about_settings = true;
  question.kind = Question::Kind::confirm;
  question.level = Level::warn;
  question.text =
      std::string(anything_written_ ? "Save for good?"
                                    : "Nothing had to change. Save it all the same, in case what "
                                      "runs was never saved?") +
      (can_restart(console_.profile()) ? " The controller restarts" : " You restart the controller") +
      ", and everything is read back.";
  const Answer answer = co_await person_.ask(question);
  if (std::holds_alternative<Back>(answer)) co_return Move::back();
  if (std::get<std::string>(answer) != "yes") throw StoppedByPerson();
  co_return Move::on();
}

// True where the controller was seen to restart. Where nothing was written, and the profile knows no way to
// save, only the restart tells what is saved.
Task<bool> BenchFlow::save_and_restart() {
  if (!anything_written_ && !console_.profile().keep) co_return false;
  const KeepPermit permit = KeepPermit::proven_and_agreed("every arm proven, keep agreed");
  if (!journal_) {
    begin_journal();
    note(What::proven);
  }
  note(What::keeping);
  keeping_ = true;
  person_.say(can_restart(console_.profile()) ? "Saving; then the controller restarts." : "Saving.");
  bool restarted = false;
  std::optional<Fault> trouble;
  try {
    restarted = co_await console_.keep_and_restart(permit);
  } catch (const Fault& fault) {
    trouble = fault;
  }
  if (trouble && trouble->kind() == FaultKind::refused) keeping_ = false;
  if (trouble) throw *trouble;
  kept_ = console_.saved() == console::Saved::acknowledged;
  if (kept_) note(What::kept);
  co_return restarted;
}

Task<Move> BenchFlow::keep(Entered) {
  bool restarted = co_await save_and_restart();
  if (!restarted) {
    if (keeping_) person_.say(in_words(console_.saved()) + ".");
    restarted = co_await restart_by_hand(console_, person_);
  }
  const std::string renamed = console_.renamed();
  if (!renamed.empty()) person_.say(renamed);
  co_await read_back();
  if (!restarted) co_await end_unverified();
  person_.say("Read back after the restart: everything is as it was written.");
  note(What::verified);
  kept_ = keeping_;
  verified_ = true;
  keeping_ = false;
  anything_written_ = false;
  played_ = false;
  baseline_ = now_;
  close_journal("kept and verified");
  co_return Move::on();
}

// What the controller holds now is what counts.
Task<void> BenchFlow::read_back() {
  const console::Identity now = co_await identify_again(console_, identity_);
  if (!now.same_board(identity_)) {
    throw Fault(FaultKind::left_changed, "Another controller answers than before",
                "it says that it is " + now.in_words() + ", before it was " + identity_.in_words(),
                "Plug in the controller of this session, then run armwise recover");
  }
  std::vector<std::string> differing;
  // What reads otherwise may be a byte that was damaged on the line: it is asked for once more.
  for (int attempt = 0; attempt < 2; ++attempt) {
    const solve::Snapshot read = co_await console_.snapshot(frame_->size());
    differing = solve::differences_in_words(read, now_);
    if (differing.empty()) break;
  }
  if (!differing.empty()) {
    throw Fault(FaultKind::left_changed, "After the restart the controller does not hold what was written",
                joined(differing, "; "), "Do not fly it. Run armwise recover to finish or to go back");
  }
}

// The record says that it is not verified; the journal stays open, so that recover can read it back.
Task<void> BenchFlow::end_unverified() {
  const std::string how =
      keeping_ ? unverified(console_.saved()) : "What runs is right, but what is saved is not known";
  warnings_.push_back(how + ": no restart was seen.");
  co_await write_record();
  throw Fault(
      keeping_ ? FaultKind::left_changed : FaultKind::mismatch, how,
      "no restart was seen. The record so far is " + result_.record_file,
      std::string("Do not fly it. Unplug the battery and USB, plug them in again, then run armwise ") +
          (keeping_ ? "recover" : "bench again"));
}

record::CraftRecord BenchFlow::make_record() const {
  record::CraftRecord made;
  made.made_at = clock_.date_and_time();
  made.tool_version = options_.tool_version;
  made.operator_name = options_.operator_name;
  made.place = options_.place;
  made.identity = identity_;
  made.port = options_.port;
  made.profile_name = console_.profile().name;
  made.frame = frame_->name;
  made.scheme = way_out_.value_or(scheme_);
  for (const craft::PlaceIndex place : numbering_.place_of_motor)
    made.numbering.push_back(frame_->places[place].name);
  for (const auto& [pin, wired] : plan_.wiring_after.at) {
    made.wiring[pin.name] = frame_->places[wired.place].name + " " + std::string(name(wired.turn));
  }
  made.before = before_;
  made.after = now_;
  if (mount_) made.mount_in_words = craft::in_words(mount_->rotation);
  if (mount_) made.mount_found = mount_->words;
  made.flight_sense = flight_sense_words_;
  made.strength_per_cent = spins_.strength_per_cent();
  made.spin_milliseconds = static_cast<int>(options_.spin_time.count());
  made.spins = spins_.log();
  made.changes = changes_;
  made.by_hand = by_hand_;
  made.warnings = warnings_;
  made.kept = kept_;
  made.read_back_matches = verified_;
  made.proof_spins = static_cast<int>(proof_.size());
  made.configuration_before = configuration_before_;
  made.configuration_after = configuration_after_;
  if (mount_) made.sources["mount"] = mount_->by_sense ? record::Source::computed : record::Source::person;
  made.sources["numbering"] =
      console_.profile().numbering_for(*frame_) ? record::Source::profile : record::Source::person;
  return made;
}

// Asked only of a craft that is new to the shelf.
Task<std::string> BenchFlow::craft_name() {
  if (!options_.craft_name.empty()) co_return options_.craft_name;
  const std::vector<record::CraftRecord> known = store_.records_of(identity_);
  if (!known.empty()) co_return known.front().craft_name;
  Question question;
  question.id = "craft";
  question.kind = Question::Kind::text;
  question.text = "What is this craft called?";
  question.suggestion = question.marked = frame_->name;
  question.may_go_back = false;
  while (true) {
    const Answer answer = co_await person_.ask(question);
    const auto* text = std::get_if<std::string>(&answer);
    if (text == nullptr) continue;
    const std::string name = printable(trimmed(*text));
    if (!name.empty() && name.size() <= 200) co_return name;
    person_.say("A name has at least one character and at most 200 bytes.", Level::warn);
  }
}

// The settings are kept and proven: nothing that fails from here on may lose the record of that.
Task<void> BenchFlow::save_configuration_after() {
  if (!kept_ || !console_.profile().whole_configuration) co_return;
  std::optional<Fault> trouble;
  std::string text;
  try {
    text = co_await console_.whole_configuration();
  } catch (const Fault& fault) {
    trouble = fault;
  }
  if (trouble) {
    warnings_.push_back("The whole configuration could not be read afterwards: " + trouble->happened());
    person_.say(warnings_.back(), Level::warn);
    co_return;
  }
  configuration_after_ = store_.save_configuration(identity_.board, clock_.date_and_time(), text);
}

Task<void> BenchFlow::write_record() {
  co_await save_configuration_after();
  record::CraftRecord made = make_record();
  made.craft_name = frame_->name;
  bool named = true;
  try {
    made.craft_name = co_await craft_name();
  } catch (const StoppedByPerson&) {
    named = false;
  } catch (const Fault& fault) {
    if (fault.kind() != FaultKind::usage) throw;
    named = false;  // nothing answers the question
  }
  if (!named)
    person_.say("All but the name was done, so the record goes by the name of the frame.", Level::warn);
  made.id = record::file_name_for(made.craft_name) + "-" + made.made_at.substr(0, 10);
  made_name_ = made.craft_name;
  result_.record_file = store_.save_record(made);
}

Task<Move> BenchFlow::record_it(Entered) {
  all_proven_ = true;
  co_await write_record();
  Statement done;
  done.kind = Statement::Kind::done;
  done.text = "Done and proven. The record is " + result_.record_file +
              ". First flight: low, short, away from people. Local rules and your parts' manuals come first.";
  done.facts = {{"ok", "true"}, {"record", result_.record_file}, {"craft", made_name_}};
  done.views.push_back(
      words::view_of(*frame_, plan_.map_after, plan_.wiring_after, way_out_.value_or(scheme_), ""));
  const std::string motors = words::count(proof_.size(), "motor", "motors");
  done.marks.push_back({true, motors + " checked: right arm, right direction"});
  if (mount_proven_) {
    done.marks.push_back({true, "board mount set, and checked by poses"});
  } else if (display_follows_) {
    done.marks.push_back({true, "attitude display follows the craft"});
  } else {
    done.marks.push_back({false, "how the board sits was not checked: look at an attitude display"});
  }
  done.marks.push_back({verified_, "saved, restarted, read back: the same"});
  done.next = {"armwise sheet \"" + made_name_ + "\"     the sheet to print",
               "armwise reapply \"" + made_name_ + "\"   after a firmware update"};
  person_.tell(done);
  co_await console_.leave();
  co_return Move::finish();
}

}  // namespace armwise::session
