// How a session ends before its end: with the controller as before, or with words that say how it stands.
#include <exception>
#include <utility>

#include "armwise/base/cancellation.hpp"
#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "ledger.hpp"
#include "restart.hpp"
#include "who.hpp"
#include "writer.hpp"

namespace armwise::session {
namespace {

std::string what_may_help(FaultKind kind) {
  if (kind == FaultKind::refused) return "Its manual may say when it takes this; then start again";
  if (kind == FaultKind::mismatch)
    return "Set it by hand in the console and read it back: if it still differs, the controller can't take "
           "it";
  return "Look at the cable and its plugs, unplug the controller and plug it in, then start again";
}

std::string why(const std::optional<Fault>& fault) {
  if (!fault) return "it was stopped";
  return fault->happened() + (fault->why().empty() ? "" : " (" + fault->why() + ")");
}

}  // namespace

Task<void> Ledger::end_early(std::exception_ptr trouble) {
  // From here on no signal cuts anything short: each wait has its own limit.
  co_await in_spite_of_every_signal();
  const std::optional<Fault> fault = fault_in(trouble);
  const bool all_proven = stage_ == Stage::done;
  if (keeping()) {
    if (fault && fault->kind() == FaultKind::left_changed) std::rethrow_exception(trouble);
    if (fault && fault->kind() == FaultKind::not_back) {
      throw Fault(FaultKind::not_back, unverified(console_.saved()), why(fault),
                  "Do not fly it. Unplug the controller and plug it in, then run armwise recover")
          .as("saved-unverified");
    }
    throw Fault(FaultKind::left_changed, unverified(console_.saved()), why(fault),
                "Do not fly it. Replug the controller, then run armwise recover")
        .as("saved-unverified");
  }
  if (undo_) {
    co_await get_everything_back(fault);
  } else {
    journal_.close("nothing was written or saved");
  }
  if (kept_ && !(fault && fault->kind() == FaultKind::left_changed)) {
    const bool unsafe = fault && fault->kind() == FaultKind::unsafe;
    throw Fault(FaultKind::left_changed,
                all_proven ? "The new settings are saved and proven, but there is no record of it"
                           : "The new settings are saved, but were not checked once more",
                why(fault),
                std::string(unsafe ? "Keep clear and pull the battery plug. " : "") +
                    (all_proven ? "Run armwise bench again: it makes the record"
                                : "Do not fly it. Run armwise bench again: it proves every motor"))
        .as("saved-unrecorded");
  }
  if (fault && fault->next().empty()) {
    throw Fault(fault->kind(), fault->happened(), fault->why(),
                "The controller is as it was before. " + what_may_help(fault->kind()))
        .as(fault->id());
  }
  std::rethrow_exception(trouble);
}

// Whether the controller of this session answers; waits once for it where the line is gone. Throws
// Fault(line_lost, not_back) where it is not there, Fault(mismatch) where another one is.
Task<void> Ledger::reach_again() {
  console::Identity now = journal_.identity();
  bool lost = false;
  try {
    now = co_await identify_again(console_, journal_.identity());
  } catch (const Fault& fault) {
    // An answer that cannot be read comes from the same controller still.
    lost = fault.kind() == FaultKind::line_lost;
  }
  if (lost) {
    person_.tell_wait("line-gone", console_.profile().timing.restart);
    co_await console_.reopen();
    now = co_await identify_again(console_, journal_.identity());
  }
  if (!now.same_board(journal_.identity())) {
    throw Fault(FaultKind::mismatch, "another controller answers than before",
                "it says that it is " + now.in_words());
  }
}

// One try.
Task<void> Ledger::take_it_back() {
  co_await reach_again();
  bool restarted = false;
  if (played_) person_.tell_wait("restarting", console_.profile().timing.restart);
  if (played_) restarted = co_await console_.restart_without_keeping();
  Writer writer(console_, person_, clock_);
  co_await writer.take_back(baseline_, undo_.value(), journal_.open(), "the session ended early");
  if (played_ && !restarted) {
    const std::vector<std::string> before = store_.read_configuration(journal_.configuration());
    const MayPlay permit = undo_.value();
    Player player(console_, person_);
    co_await player.play_before(before, permit);
  }
  played_ = false;
}

Task<void> Ledger::get_everything_back(std::optional<Fault> ended_by) {
  std::optional<Fault> trouble;
  for (int attempt = 0; attempt < 2; ++attempt) {
    trouble.reset();
    try {
      co_await take_it_back();
    } catch (const Fault& fault) {
      trouble = fault;
    }
    if (!trouble || trouble->kind() != FaultKind::line_lost) break;
  }
  if (!trouble) {
    undo_.reset();
    journal_.close("taken back");
    co_return;
  }
  const bool unsafe = ended_by && ended_by->kind() == FaultKind::unsafe;
  const bool says_what_stands = trouble->kind() == FaultKind::left_changed;
  throw Fault(FaultKind::left_changed,
              unsafe ? "A motor may be turning, and the controller could not be set back to what it was"
                     : "The controller could not be set back to what it was",
              says_what_stands ? trouble->why() : why(trouble),
              std::string(unsafe ? "Keep clear and pull the battery plug. " : "") +
                  "Nothing is saved. Replug the controller, then run armwise recover")
      .as("not-undone");
}

}  // namespace armwise::session
