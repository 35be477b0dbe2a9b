// What a mischief looks like from the bench, and what becomes of it.
#include "armwise/practice/mischief.hpp"

namespace armwise::practice {
namespace {

struct Seen {
  std::string_view notice, answer;
};

constexpr std::string_view reads_back = "reads every write back, and undoes all of them where one is wrong";
constexpr std::string_view gives_up =
    "stops waiting after a while, and recover undoes or finishes what was changed";

Seen seen_of(Mischief what) {
  switch (what) {
    case Mischief::none:
      break;
    case Mischief::drop_byte:
    case Mischief::double_byte:
    case Mischief::damage_byte:
      return {"a reply or a refusal that makes no sense, once",
              "reads what counts twice and every write back, and ends with nothing changed where it can't"};
    case Mischief::delay_byte:
      return {"a pause in the middle of a line", "waits for the rest"};
    case Mischief::cut_line:
    case Mischief::stop_reading:
      return {"that nothing answers any more, though the port is there", gives_up};
    case Mischief::vanish_same_name:
    case Mischief::vanish_other_name:
      return {
          "the port going away and coming back, as with a loose plug",
          "waits for it where a motor turned or a setting was changed, and knows it by its serial number"};
    case Mischief::vanish_for_ever:
      return {"the port going away for good", gives_up};
    case Mischief::inject_probe:
      return {"a refusal of something that nobody typed",
              "spoils what is half typed before each stop, and reads every write back"};
    case Mischief::restart_in_write:
      return {"the controller starting anew in the middle of a write",
              "comes back to it and reads which settings it holds"};
    case Mischief::refuse_write:
      return {"a refusal in place of a setting", "undoes what it had written before it"};
    case Mischief::accept_not_store:
    case Mischief::clamp_write:
      return {"nothing: the controller says yes, and holds another value", reads_back};
    case Mischief::store_not_keep:
      return {"nothing, until the old settings are back at the next start",
              "reads everything back after the restart"};
    case Mischief::refuse_keep:
      return {"a refusal to save", "undoes its changes, which the next start would lose"};
    case Mischief::reply_lost:
      return {"one command without an answer", "waits, then looks whether it was carried out"};
    case Mischief::late_answer:
      return {"an answer that comes behind the next command", "counts it to the command that it belongs to"};
    case Mischief::other_motors_line:
      return {"an answer about another motor than was meant", "reads twice and compares"};
    case Mischief::unsolicited:
      return {"a line in the middle of an answer that nobody asked for",
              "passes over it, or ends where it can't tell it from the answer"};
    case Mischief::hostile_bytes:
      return {"a terminal that goes wild", "never prints such bytes as they come"};
    case Mischief::giant_line:
    case Mischief::endless_output:
      return {"an answer that doesn't end", "stops listening at a limit"};
    case Mischief::echo_nothing:
      return {"that what is typed doesn't show any more", "goes by the prompt and the answers"};
    case Mischief::listing_cut_short:
      return {"nothing: the backup is too short, and looks whole",
              "can't tell that either, so look at a backup before you need it"};
    case Mischief::restart_in_listing:
      return {"a backup that breaks off as the controller starts anew", "ends before anything is changed"};
    case Mischief::boot_loader_first:
      return {"another device on the port for some seconds", "waits until the controller is itself again"};
    case Mischief::boot_loader_stuck:
      return {"another device on the port in place of the controller", gives_up};
    case Mischief::another_controller:
      return {"nothing: it looks the same", "compares serial numbers, and leaves the other one alone"};
    case Mischief::never_back:
      return {"that no port comes back after the restart", gives_up};
    case Mischief::swallow_stop:
      return {"a motor that keeps turning, and no answer",
              "says the stop again and again, rings, and tells you to pull the battery"};
    case Mischief::spin_on:
      return {"a motor that keeps turning, though the console says that it stopped",
              "can't see it: your answer says so, and only the battery plug stops it"};
  }
  return {};
}

}  // namespace

MischiefStory story_of(const MischiefKind& kind) {
  const Seen seen = seen_of(kind.what);
  return {kind.words, seen.notice, seen.answer};
}

}  // namespace armwise::practice
