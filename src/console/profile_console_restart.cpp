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

Saved ProfileConsole::saved() const {
  return inside_->saved;
}

Task<ProfileConsole::Inside::Given> ProfileConsole::Inside::give(const Command& command) {
  Given given;
  known_mount.reset();
  std::optional<Fault> trouble;
  try {
    given.reply = co_await talk().run_and_listen(command.steps);
  } catch (const Fault& fault) {
    if (fault.kind() == FaultKind::refused) throw;
    trouble = fault;
  }
  if (!trouble) {
    const auto is_no_confirmation = [&](const std::string& line) {
      return !command.confirms || !command.confirms->match(line, profile.case_sensitive);
    };
    const std::vector<std::string>& lines = given.reply.lines;
    given.started_up =
        talk().paused_unusually() && std::any_of(lines.begin(), lines.end(), is_no_confirmation);
    co_return given;
  }
  given.end = trouble->kind() == FaultKind::line_lost ? Given::End::closed : Given::End::silent;
  given.reply.lines = talk().heard_at_last();
  co_return given;
}

Saved ProfileConsole::Inside::saved_by(const Given& given) const {
  const KeepAbility& ability = *profile.keep;
  const Order order{&ability.keep, {}};
  if (ability.keep.confirms)
    return is_confirmed(profile, order, given.reply) ? Saved::acknowledged : Saved::unknown;
  // A console that said something before it went to restart had heard the order.
  const bool last_words = ability.restarts && given.end == Given::End::closed && !given.reply.lines.empty();
  return given.end == Given::End::answered || last_words ? Saved::taken : Saved::unknown;
}

// In step again on the same line, after an order whose reply did not end. Throws Fault(left_changed) where
// the console cannot be got out of what it asks.
Task<bool> ProfileConsole::Inside::get_into_step(const Given& given) {
  const bool asks = given.end == Given::End::silent && !given.reply.lines.empty();
  bool there = true;
  try {
    if (asks) {
      co_await talk().leave_question();
    } else {
      co_await talk().resynchronise();
    }
  } catch (const Fault&) {
    there = false;
  }
  if (!there && asks) throw asks_instead_of_saving(given.reply.lines);
  co_return there;
}

// True where the console came back on the same port by itself, as it does after a restart only: it fell
// silent without its prompt, or said more than it was asked, and then its prompt came; or it has to be
// entered anew. Nothing is typed before, or a start-up might take it for a key that stops it.
Task<bool> ProfileConsole::Inside::hear_restart(const Given& given, Instant last) {
  const bool answered = given.end == Given::End::answered;
  if (given.started_up) co_return true;
  Conversation::Start start = co_await talk().hear_start(answered ? departure : last - clock.now());
  if (answered && start.lines.empty()) co_return false;
  bool says_more = !start.lines.empty();
  if (!start.at_top && clock.now() < last) {
    start = co_await talk().hear_start(last - clock.now());
    says_more = says_more || !start.lines.empty();
  }
  co_await talk().open();
  co_return !start.refused && (start.at_top || says_more || talk().was_shut());
}

// After an order behind which the controller may restart: true once it was seen to have restarted and its
// console answers.
Task<bool> ProfileConsole::Inside::see_restart_after(const Given& given) {
  const Instant last = clock.now() + profile.timing.restart;
  std::optional<Fault> trouble;
  bool gone = given.end == Given::End::closed;
  try {
    if (!gone) co_return co_await hear_restart(given, last);
  } catch (const Fault& fault) {
    trouble = fault;
  }
  gone = gone || trouble->kind() == FaultKind::line_lost;
  co_await get_back(last);
  co_return gone;
}

Task<bool> ProfileConsole::Inside::restart() {
  for (int order = 1; order <= most_orders; ++order) {
    Given given;
    bool refused = false;
    try {
      given = co_await give(*profile.keep->restart);
    } catch (const Fault&) {
      refused = true;
    }
    if (refused) co_return false;
    const bool seen = co_await see_restart_after(given);
    if (seen) co_return true;
    // Only an order that was not answered may have been lost.
    if (given.end == Given::End::answered) co_return false;
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
    Inside::Given given;
    try {
      given = co_await inside.give(ability.keep);
    } catch (const Fault& fault) {
      refused = fault;
    }
    if (refused) throw refused->within("while keeping the settings");
    inside.saved = inside.saved_by(given);
    const bool leaves = ability.restarts || given.end == Inside::Given::End::closed;
    bool restarted = false;
    if (leaves) restarted = co_await inside.see_restart_after(given);
    if (inside.saved != Saved::unknown) {
      if (!leaves && ability.restart) restarted = co_await inside.restart();
      co_return restarted;
    }
    if (!leaves) {
      const bool there = co_await inside.get_into_step(given);
      const Instant last = inside.clock.now() + inside.profile.timing.restart;
      if (!there) co_await inside.get_back(last);
    }
    if (order == most_orders) co_return inside.not_saved(given, restarted);
  }
}

// After the last order to keep. One that restarts by itself went away on each, and can say no more.
bool ProfileConsole::Inside::not_saved(const Given& given, bool restarted) const {
  if (given.end == Given::End::closed && !profile.keep->restarts) {
    throw Fault(FaultKind::not_back, "the controller went away twice instead of keeping the settings", {},
                "Unplug it, plug it in again, then run armwise recover");
  }
  if (restarted) return true;
  if (given.end == Given::End::silent && !given.reply.lines.empty())
    throw asks_instead_of_saving(given.reply.lines);
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
