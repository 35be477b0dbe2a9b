// What keeps settings and restarts the controller, and how a restart is seen.
#include <algorithm>
#include <utility>

#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "profile_console_inside.hpp"

namespace armwise::console {
namespace {

// How long a controller may take to go away after it was told to restart.
constexpr Duration departure{2000};
constexpr int most_orders = 2;

Fault asks_instead_of_saving(const std::vector<std::string>& lines) {
  return {FaultKind::left_changed,
          "Told to save, the console asked \"" + printable(lines.back()) + "\", and armwise does not guess",
          "nothing says that the settings are saved",
          "Do not fly it. Add the line that answers to the profile's keep, then run armwise recover"};
}

}  // namespace

// An order to keep or to restart, behind which the controller may restart, and what came of it.
class ProfileConsole::Inside::KeepingOrder {
 public:
  // Outlives it.
  explicit KeepingOrder(Inside& console) : in_(console) {}

  // Throws Fault(refused).
  Task<void> give(const Command& command);
  bool was_answered() const { return end_ == End::answered; }
  bool port_vanished() const { return end_ == End::closed; }
  // True once the controller was seen to have restarted and its console answers.
  Task<bool> see_restart();
  // In step again on the same line, where the reply did not end. Throws Fault(left_changed) where the console
  // cannot be got out of what it asks.
  Task<bool> get_into_step();

  Saved saved() const;
  // After the last order. One that restarts by itself went away on each, and can say no more. Throws Fault
  // unless it restarted.
  void require_restart(bool restarted) const;

 private:
  Task<bool> hear_restart(Instant last);
  bool asks() const { return end_ == End::silent && !reply_.lines.empty(); }

  Inside& in_;
  enum class End { answered, silent, closed };  // the reply's end came; it did not; the port vanished
  End end_ = End::answered;
  Reply reply_;              // what came of it
  bool started_up_ = false;  // a pause longer than in any reply before, and more than the confirmation
};

Saved ProfileConsole::saved() const {
  return inside_->saved;
}

Task<void> ProfileConsole::Inside::KeepingOrder::give(const Command& command) {
  in_.known_mount.reset();
  std::optional<Fault> trouble;
  try {
    reply_ = co_await in_.talk().run_and_listen(command.steps);
  } catch (const Fault& fault) {
    if (fault.kind() == FaultKind::refused) throw;
    trouble = fault;
  }
  if (!trouble) {
    const auto is_no_confirmation = [&](const std::string& line) {
      return !command.confirms || !command.confirms->match(line, in_.profile.case_sensitive);
    };
    started_up_ = in_.talk().paused_unusually() &&
                  std::any_of(reply_.lines.begin(), reply_.lines.end(), is_no_confirmation);
    co_return;
  }
  end_ = trouble->kind() == FaultKind::line_lost ? End::closed : End::silent;
  reply_.lines = in_.talk().heard_at_last();
}

Saved ProfileConsole::Inside::KeepingOrder::saved() const {
  const KeepAbility& ability = *in_.profile.keep;
  const Order order{&ability.keep, {}};
  if (ability.keep.confirms)
    return is_confirmed(in_.profile, order, reply_) ? Saved::acknowledged : Saved::unknown;
  // A console that said something before it went to restart had heard the order.
  const bool last_words = ability.restarts && port_vanished() && !reply_.lines.empty();
  return was_answered() || last_words ? Saved::taken : Saved::unknown;
}

Task<bool> ProfileConsole::Inside::KeepingOrder::get_into_step() {
  bool there = true;
  try {
    if (asks()) {
      co_await in_.talk().leave_question();
    } else {
      co_await in_.talk().resynchronise();
    }
  } catch (const Fault&) {
    there = false;
  }
  if (!there && asks()) throw asks_instead_of_saving(reply_.lines);
  co_return there;
}

// True where the console came back on the same port by itself, as it does after a restart only: it fell
// silent without its prompt, or said more than it was asked, and then its prompt came; or it has to be
// entered anew. Nothing is typed before, or a start-up might take it for a key that stops it.
Task<bool> ProfileConsole::Inside::KeepingOrder::hear_restart(Instant last) {
  if (started_up_) co_return true;
  Conversation& talk = in_.talk();
  Conversation::Start start = co_await talk.hear_start(was_answered() ? departure : last - in_.clock.now());
  if (was_answered() && start.lines.empty()) co_return false;
  bool says_more = !start.lines.empty();
  if (!start.at_top && in_.clock.now() < last) {
    start = co_await talk.hear_start(last - in_.clock.now());
    says_more = says_more || !start.lines.empty();
  }
  co_await talk.open();
  co_return !start.refused && (start.at_top || says_more || talk.was_shut());
}

Task<bool> ProfileConsole::Inside::KeepingOrder::see_restart() {
  const Instant last = in_.clock.now() + in_.profile.timing.restart;
  std::optional<Fault> trouble;
  bool gone = port_vanished();
  try {
    if (!gone) co_return co_await hear_restart(last);
  } catch (const Fault& fault) {
    trouble = fault;
  }
  gone = gone || trouble->kind() == FaultKind::line_lost;
  co_await in_.get_back(last);
  co_return gone;
}

Task<bool> ProfileConsole::Inside::restart() {
  for (int order = 1; order <= most_orders; ++order) {
    KeepingOrder given(*this);
    bool refused = false;
    try {
      co_await given.give(*profile.keep->restart);
    } catch (const Fault&) {
      refused = true;
    }
    if (refused) co_return false;
    const bool seen = co_await given.see_restart();
    if (seen) co_return true;
    // Only an order that was not answered may have been lost.
    if (given.was_answered()) co_return false;
  }
  co_return false;
}

Task<void> ProfileConsole::Inside::get_back(Instant last) {
  std::optional<Fault> trouble;
  do {
    conversation.reset();  // a line that is held keeps its old name taken
    const Duration left = std::max(last - clock.now(), Duration{1000});
    std::unique_ptr<Line> line = co_await plug.reopen(left);
    trouble.reset();
    try {
      co_await talk_on(std::move(line), last);
    } catch (const Fault& fault) {
      trouble = fault;
    }
    // It may have come back as its boot loader first, or not be listening yet.
    while (trouble && trouble->kind() != FaultKind::line_lost && clock.now() < last) {
      trouble.reset();
      try {
        co_await talk().open();
      } catch (const Fault& fault) {
        trouble = fault;
      }
    }
    if (!trouble) co_return;
  } while (clock.now() < last);
  throw Fault(FaultKind::not_back, "the controller is back, but its console does not answer",
              trouble->happened(), "The settings are not verified. Replug it, then run armwise recover");
}

Task<void> ProfileConsole::reopen() {
  Inside& inside = *inside_;
  const Instant last = inside.clock.now() + inside.profile.timing.restart;
  co_await inside.get_back(last);
}

// Keeping twice does no harm, so it may be ordered again. Where the line was lost before the confirmation
// came, the controller may have restarted, or it may only have been unplugged for a moment: then what it runs
// is not what it keeps, and reading back would not show it.
Task<bool> ProfileConsole::keep_and_restart([[maybe_unused]] const MayKeep& permit) {
  Inside& inside = *inside_;
  inside.saved = Saved::unknown;
  const KeepAbility& ability = needed(inside.profile.keep, "keeping the settings");
  for (int order = 1;; ++order) {
    std::optional<Fault> refused;
    Inside::KeepingOrder given(inside);
    try {
      co_await given.give(ability.keep);
    } catch (const Fault& fault) {
      refused = fault;
    }
    if (refused) throw refused->within("while keeping the settings");
    inside.saved = given.saved();
    const bool leaves = ability.restarts || given.port_vanished();
    bool restarted = false;
    if (leaves) restarted = co_await given.see_restart();
    if (inside.saved != Saved::unknown) {
      if (!leaves && ability.restart) restarted = co_await inside.restart();
      co_return restarted;
    }
    if (!leaves) {
      const bool there = co_await given.get_into_step();
      const Instant last = inside.clock.now() + inside.profile.timing.restart;
      if (!there) co_await inside.get_back(last);
    }
    if (order < most_orders) continue;
    given.require_restart(restarted);
    co_return true;
  }
}

void ProfileConsole::Inside::KeepingOrder::require_restart(bool restarted) const {
  if (port_vanished() && !in_.profile.keep->restarts) {
    throw Fault(FaultKind::not_back, "the controller went away twice instead of keeping the settings", {},
                "Unplug it, plug it in again, then run armwise recover");
  }
  if (restarted) return;
  if (asks()) throw asks_instead_of_saving(reply_.lines);
  throw Fault(FaultKind::unreadable,
              "while keeping the settings: the console did not confirm that it kept the settings");
}

Task<bool> ProfileConsole::restart_without_keeping() {
  Inside& inside = *inside_;
  if (!inside.profile.keep || !inside.profile.keep->restart) co_return false;
  co_return co_await inside.restart();
}

// Whatever the console says without having been asked is its start-up.
Task<bool> ProfileConsole::see_restart() {
  Inside& inside = *inside_;
  const Instant last = inside.clock.now() + inside.profile.timing.restart;
  bool gone = !inside.conversation;
  inside.known_mount.reset();
  Conversation::Start start;
  try {
    if (!gone) start = co_await inside.talk().hear_start(inside.profile.timing.restart);
  } catch (const Fault& fault) {
    if (fault.kind() != FaultKind::line_lost) throw;
    gone = true;
  }
  if (gone) {
    co_await inside.get_back(last);
    co_return true;
  }
  if (!start.at_top && start.lines.empty()) co_return false;
  co_await inside.talk().open();
  co_return true;
}

}  // namespace armwise::console
