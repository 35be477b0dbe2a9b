// Saving what was proven: the restart, and the read-back.
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/solve/difference.hpp"
#include "bench_parts.hpp"
#include "restart.hpp"
#include "who.hpp"

namespace armwise::session {
namespace {

// What the controller holds now is what counts.
Task<void> read_back(Bench& b, int motors) {
  const console::Identity& identity = b.ledger.journal().identity();
  const console::Identity now = co_await identify_again(b.console, identity);
  if (!now.same_board(identity)) {
    throw Fault(FaultKind::left_changed, "A different controller answers now",
                "it says that it is " + now.in_words() + ", before it was " + identity.in_words(),
                "Plug in the controller of this session, then run armwise recover")
        .as("another-controller");
  }
  std::vector<std::string> differing;
  // What reads otherwise may be a byte that was damaged on the line: it is asked for once more.
  for (int attempt = 0; attempt < 2; ++attempt) {
    const solve::Snapshot read = co_await b.console.snapshot(motors);
    differing = solve::differences_in_words(read, b.ledger.now());
    if (differing.empty()) co_return;
  }
  throw Fault(FaultKind::left_changed, "After the restart, the settings are not what was written",
              joined(differing, "; "), "Do not fly it. Run armwise recover to finish or to go back")
      .as("not-held");
}

// The record says that it is not verified; the journal stays open, so that recover can read it back.
Task<void> end_unverified(Bench& b, const Agreed& agreed, const Verified& verified) {
  const bool saved = b.ledger.keeping();
  const std::string how =
      saved ? unverified(b.console.saved()) : "What's running is right, but we don't know what's saved";
  b.warnings.push_back(how + ": no restart was seen.");
  const std::string file = co_await write_record(b, agreed, verified);
  throw Fault(
      saved ? FaultKind::left_changed : FaultKind::mismatch, how,
      "no restart was seen. The record so far is " + file,
      std::string("Do not fly it. Unplug the battery and USB, plug them in again, then run armwise ") +
          (saved ? "recover" : "bench again"))
      .as("saved-unverified");
}

}  // namespace

// Where nothing was written, and the profile knows no way to save, only the restart tells what is saved.
Task<void> keep(Bench& b, const Agreed& agreed, const Verified& verified) {
  bool restarted = false;
  if (verified.permit) {
    const auto& ability = b.profile().keep;
    const bool restarts = ability && (ability->restarts || ability->restart);
    if (restarts) {
      b.person.tell_wait("saving-restarts", b.profile().timing.restart + b.profile().timing.start);
    } else {
      b.person.tell("saving");
    }
    restarted = co_await b.ledger.keep(*verified.permit);
    if (!restarted) b.person.tell("saved", {{"saved", in_words(b.console.saved())}});
  }
  if (!restarted) restarted = co_await restart_by_hand(b.console, b.person);
  const std::string renamed = b.console.renamed();
  if (!renamed.empty()) b.person.tell("controller-back", {{"words", renamed}});
  co_await read_back(b, agreed.wired.frame().size());
  if (!restarted) co_await end_unverified(b, agreed, verified);
  b.person.tell("read-back");
  b.ledger.read_back_right();
}

}  // namespace armwise::session
