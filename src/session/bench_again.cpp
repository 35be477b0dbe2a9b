// The same again from a record: what is known is not asked, and all of it is proven.
#include <algorithm>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/craft/mounts.hpp"
#include "armwise/solve/difference.hpp"
#include "armwise/solve/recall.hpp"
#include "bench_flow.hpp"
#include "who.hpp"

namespace armwise::session {
namespace {

BenchOptions as_recorded(BenchOptions options, const record::CraftRecord& record) {
  options.frame = record.frame;
  options.scheme = record.scheme;
  options.craft_name = record.craft_name;
  return options;
}

// What says that two boards are the same one: a serial number, the console's or the port's. A firmware may
// name itself, and even the board, as it likes.
bool surely_same(const console::Identity& a, const console::Identity& b) {
  if (!a.serial.empty() && !b.serial.empty()) return a.serial == b.serial;
  return !a.port_identity.empty() && a.port_identity == b.port_identity;
}

std::string differing_in(const console::Identity& recorded, const console::Identity& now) {
  std::vector<std::string> parts;
  const auto compare = [&](const char* what, const std::string& then, const std::string& here) {
    if (then == here) return;
    parts.push_back(std::string(what) + " " + (here.empty() ? "not said" : printable(here)) + " instead of " +
                    (then.empty() ? "not said" : printable(then)));
  };
  compare("board", recorded.board, now.board);
  compare("firmware", recorded.firmware, now.firmware);
  compare("version", recorded.version, now.version);
  compare("serial number", recorded.serial, now.serial);
  compare("port", recorded.port_identity, now.port_identity);
  return joined(parts, ", ");
}

}  // namespace

Task<BenchResult> reapply(console::Console& console, Person& person, record::Store& store, Clock& clock,
                          const record::CraftRecord& record, const ReapplyOptions& options) {
  BenchFlow flow(console, person, store, clock, options, record);
  co_return co_await flow.run();
}

Task<std::optional<Fault>> misfit(console::Console& console, int motors) {
  std::optional<Fault> trouble;
  try {
    co_await console.open();
    co_await identify_surely(console);
    co_await console.snapshot(motors);
  } catch (const Fault& fault) {
    const FaultKind kind = fault.kind();
    if (kind != FaultKind::no_reply && kind != FaultKind::unreadable && kind != FaultKind::refused) throw;
    trouble = fault;
  }
  co_return trouble;
}

solve::Wiring wiring_of(const craft::Frame& frame, const record::CraftRecord& record) {
  solve::Wiring wiring;
  for (const auto& [pin, at] : record.wiring) {
    const std::size_t space = at.find(' ');
    const auto place = frame.find(at.substr(0, space));
    const auto turn = space == std::string::npos ? std::nullopt : craft::turn_named(at.substr(space + 1));
    if (!place || !turn) {
      throw Fault(FaultKind::bad_data, "The record says of pin " + printable(pin) + ": " + printable(at),
                  "that is no place of a " + frame.name + " with a turn", "Use another record, or run bench");
    }
    wiring.at[craft::Pin{pin}] = {*place, *turn, std::nullopt};
  }
  return wiring;
}

BenchFlow::BenchFlow(console::Console& console, Person& person, record::Store& store, Clock& clock,
                     const ReapplyOptions& options, const record::CraftRecord& record)
    : BenchFlow(console, person, store, clock, as_recorded(options.bench, record)) {
  again_ = Again{record, options.configuration};
}

std::vector<Station> BenchFlow::stations_from_record() {
  std::vector<Station> all;
  const auto at = [&](const char* name, Task<Move> (BenchFlow::*visit)(Entered)) {
    all.push_back({name, [this, visit](Entered entered) { return (this->*visit)(entered); }, false});
  };
  at("board", &BenchFlow::match_board);
  at("frame", &BenchFlow::choose_frame);
  at("props", &BenchFlow::choose_props);
  at("settings", &BenchFlow::read_settings);
  at("numbering", &BenchFlow::ask_numbering);
  at("whole", &BenchFlow::play_whole);
  at("recall", &BenchFlow::recall_wiring);
  // From here on as on the first day.
  const std::vector<Station> first_day = stations();
  const auto safe = std::find_if(first_day.begin(), first_day.end(),
                                 [](const Station& s) { return s.name == "props-off"; });
  std::copy(safe, first_day.end(), std::back_inserter(all));
  return all;
}

Task<Move> BenchFlow::match_board(Entered entered) {
  if (entered == Entered::backwards) co_return Move::back();
  const record::CraftRecord& record = again_->record;
  const std::string differing = differing_in(record.identity, identity_);
  person_.say("The record is of " + printable(record.craft_name) + ", a " + printable(record.frame) +
              ", made on " + printable(record.made_at) + ".");
  if (surely_same(record.identity, identity_)) {
    person_.say(differing.empty() ? "It is the same board, as it was then."
                                  : "It is the same board, but not as it was then: " + differing + ".");
    co_return Move::on();
  }
  Question question;
  question.id = "other-board";
  question.kind = Question::Kind::confirm;
  question.level = Level::warn;
  question.text = "This seems to be another board than in the record: " +
                  (differing.empty() ? std::string("neither says a serial number") : differing) +
                  ". Does it sit in that craft, on the same wires? Every arm is proven all the same.";
  const Answer answer = co_await person_.ask(question);
  if (std::holds_alternative<Back>(answer)) co_return Move::back();
  if (std::get<std::string>(answer) != "yes") throw StoppedByPerson();
  warnings_.push_back("Taken over from the record of another board: " + differing + ".");
  co_return Move::on();
}

// Which motor number sits where is the firmware's own affair: another profile says it itself, or it is asked.
std::optional<craft::Numbering> BenchFlow::numbering_of_record() const {
  const record::CraftRecord& record = again_->record;
  if (record.profile_name != console_.profile().name) return std::nullopt;
  craft::Numbering numbering;
  for (const std::string& name : record.numbering) {
    const auto place = frame_->find(name);
    if (!place) return std::nullopt;
    numbering.place_of_motor.push_back(*place);
  }
  if (numbering.place_of_motor.size() != frame_->places.size()) return std::nullopt;
  return numbering;
}

Task<Move> BenchFlow::recall_wiring(Entered entered) {
  if (entered == Entered::backwards) co_return Move::back();
  const record::CraftRecord& record = again_->record;
  const solve::Recalled recalled = solve::recall(*frame_, wiring_of(*frame_, record), record.after, now_);
  again_->wiring_known = !recalled.other_names;
  if (recalled.other_names) {
    person_.say(
        "This console has other names for its pins than the record, so each motor is spun once to find out "
        "which is which.",
        Level::warn);
  } else {
    wiring_ = recalled.wiring;
    tell_differences();
  }
  if (recalled.turns_uncertain) {
    person_.say(
        "One of the two consoles cannot set which way a motor turns, so the recorded directions may not "
        "hold: "
        "the proof shows it.",
        Level::warn);
  }
  recall_mount();
  co_return Move::on();
}

void BenchFlow::tell_differences() const {
  const solve::Snapshot& then = again_->record.after;
  // Another profile has its own numbering and its own words for turns: the plan says what has to change.
  if (again_->record.profile_name != console_.profile().name) {
    person_.say("The record was made with the profile " + printable(again_->record.profile_name) +
                "; this one is " + printable(console_.profile().name) +
                ". Wires and mount are taken from the record, the rest from this console.");
    return;
  }
  const std::vector<std::string> differing = solve::differences_in_words(now_, then);
  person_.say(differing.empty() ? "The controller holds all that the record says."
                                : "Against the record: " + joined(differing, "; ") + ".",
              differing.empty() ? Level::info : Level::warn);
}

void BenchFlow::recall_mount() {
  const record::CraftRecord& record = again_->record;
  mount_.reset();
  if (options_.mount == MountWish::leave || !console_.profile().mount || !now_.mount) return;
  if (!record.after.mount) {
    warnings_.emplace_back("The record does not say how the board is mounted: that setting was left alone.");
    person_.say(warnings_.back(), Level::warn);
    return;
  }
  FoundMount known;
  known.angles = *record.after.mount;
  known.rotation = craft::CraftFromBoard(known.angles);
  known.lean = solve::MountLimits().lean;  // what was let pass on the first day
  known.words = "as in the record of " + record.made_at +
                (record.mount_found.empty() || !console_.profile().sense ? "" : ", and poses again");
  mount_ = known;
  // What nobody had found out then is set as it was set then, and says no more than it said.
  again_->prove_mount = !record.mount_found.empty();
}

}  // namespace armwise::session
