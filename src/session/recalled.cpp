// What is known out of a record: not found out again, but all of it proven.
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/craft/mounts.hpp"
#include "armwise/craft/placed_turn.hpp"
#include "armwise/solve/difference.hpp"
#include "armwise/solve/recall.hpp"
#include "bench_parts.hpp"
#include "questions.hpp"
#include "who.hpp"

namespace armwise::session {
namespace {

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

Task<void> match_board(const Bench& b, Recall& r, const record::CraftRecord& record,
                       std::vector<std::string>& warnings) {
  const console::Identity& identity = b.ledger.journal().identity();
  const std::string differing = differing_in(record.identity, identity);
  r.tell("record", {{"craft", printable(record.craft_name)},
                    {"frame", printable(record.frame)},
                    {"made", printable(record.made_at.substr(0, 10))}});
  if (surely_same(record.identity, identity)) {
    r.tell(differing.empty() ? StatementId("same-board") : StatementId("same-board-changed"),
           {{"differences", differing}});
    co_return;
  }
  Question question = yes_or_no(
      "other-board", "This doesn't look like the board in the record: " +
                         (differing.empty() ? std::string("neither says a serial number") : differing) +
                         ". Does it sit in that craft, on the same wires? Every arm is checked anyway.");
  co_await require_yes(r, std::move(question));
  warnings.push_back("Taken over from the record of another board: " + differing + ".");
}

void tell_differences(const Bench& b, Recall& r, const record::CraftRecord& record) {
  // Another profile has its own numbering and its own words for turns: the plan says what has to change.
  if (record.profile_name != b.profile().name) {
    r.tell("other-profile",
           {{"recorded", printable(record.profile_name)}, {"profile", printable(b.profile().name)}});
    return;
  }
  const std::vector<std::string> differing = solve::differences_in_words(b.ledger.now(), record.after);
  r.tell(differing.empty() ? StatementId("as-recorded") : StatementId("not-as-recorded"),
         {{"differences", joined(differing, "; ")}});
}

solve::Recalled recall_wiring(const Bench& b, Recall& r, const craft::Frame& frame,
                              const record::CraftRecord& record) {
  solve::Recalled known = solve::recall(frame, wiring_of(frame, record), record.after, b.ledger.now());
  if (known.other_names) {
    r.tell("other-pins");
  } else {
    tell_differences(b, r, record);
  }
  if (known.turns_uncertain) {
    r.tell("directions-unsettable");
  }
  return known;
}

Mounted recall_mount(const Bench& b, Recall& r, const record::CraftRecord& record,
                     std::vector<std::string>& warnings) {
  Mounted mounted;
  if (b.options.mount == MountWish::leave || !b.profile().mount || !b.ledger.now().mount) return mounted;
  if (!record.after.mount) {
    warnings.emplace_back("The record does not say how the board is mounted: that setting was left alone.");
    r.tell("mount-unrecorded", {{"warning", warnings.back()}});
    return mounted;
  }
  FoundMount known;
  known.angles = *record.after.mount;
  known.rotation = craft::CraftFromBoard(known.angles);
  known.lean = solve::MountLimits().lean;  // what was let pass on the first day
  known.words = "as in the record of " + record.made_at.substr(0, 10) +
                (record.mount_found.empty() || !b.profile().sense ? "" : ", and poses again");
  mounted.mount = known;
  // What nobody had found out then is set as it was set then, and says no more than it said.
  mounted.to_be_proven = !record.mount_found.empty();
  return mounted;
}

}  // namespace

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
    const std::optional<craft::PlacedTurn> known = craft::placed_turn_named(frame, at);
    if (!known) {
      throw Fault(FaultKind::bad_data, "The record says of pin " + printable(pin) + ": " + printable(at),
                  "that is no place of a " + frame.name + " with a turn", "Use another record, or run bench");
    }
    wiring.at[craft::Pin{pin}] = {known->place, known->turn, std::nullopt};
  }
  return wiring;
}

// Which motor number sits where is the firmware's own affair: another profile says it itself, or it is asked.
std::optional<craft::Numbering> numbering_of(const record::CraftRecord& record,
                                             const console::Profile& profile, const craft::Frame& frame) {
  if (record.profile_name != profile.name) return std::nullopt;
  craft::Numbering numbering;
  for (const std::string& name : record.numbering) {
    const auto place = frame.find(name);
    if (!place) return std::nullopt;
    numbering.place_of_motor.push_back(*place);
  }
  if (numbering.place_of_motor.size() != frame.places.size()) return std::nullopt;
  return numbering;
}

Task<Wired> recalled(Bench& b, Recall& r, const record::CraftRecord& record,
                     const std::vector<std::string>& configuration) {
  std::vector<std::string> warnings;
  co_await match_board(b, r, record, warnings);
  const Setup setup = co_await set_up(b, r, record.frame, record.scheme, &record);
  if (!configuration.empty()) {
    const std::vector<std::string> more = co_await play_whole(b, r, *setup.frame, record, configuration);
    warnings.insert(warnings.end(), more.begin(), more.end());
  }
  const solve::Recalled known = recall_wiring(b, r, *setup.frame, record);
  Mounted mounted = recall_mount(b, r, record, warnings);
  const SpinPermit permit = co_await take_props_off(r, setup);
  if (!mounted.mount) mounted = co_await look_at_mount(b, r);
  co_await connect_battery(r);
  if (!known.other_names) {
    const Inquiry recorded =
        inquiry_into(*setup.frame, setup.numbering, known.wiring, b.options.sure, b.options.order);
    co_return Wired{setup, permit, mounted, known.wiring, recorded, record.made_at, {}, warnings};
  }
  const Inquiry inquiry = co_await check_spins(b, r, setup, permit);
  co_return Wired{setup, permit, mounted, believed(inquiry), inquiry, {}, {}, warnings};
}

}  // namespace armwise::session
