// What keeps settings and restarts the controller, and how it is found again.
#include <algorithm>
#include <utility>

#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "profile_console_inside.hpp"

namespace armwise::console {
namespace {

// How long a controller may take to go away after it was told to restart.
constexpr Duration departure{2000};

}  // namespace

// Whether the console still answers on the same line.
Task<bool> ProfileConsole::Inside::still_there() {
  bool there = true;
  try {
    co_await talk().resynchronise();
  } catch (const Fault&) {
    there = false;
  }
  co_return there;
}

// Keeping twice does no harm, so it may be said again.
Task<ProfileConsole::Inside::Kept> ProfileConsole::Inside::keep() {
  const KeepAbility& ability = needed(profile.keep, "keeping the settings");
  const Order order{&ability.keep, {}};
  for (int attempt = 1;; ++attempt) {
    std::optional<Fault> trouble;
    try {
      const Reply reply = co_await talk().run(order.command->steps, order.values);
      if (is_confirmed(profile, order, reply)) co_return Kept{true, ability.restarts};
      trouble = Fault(FaultKind::unreadable, "the console did not confirm that it kept the settings");
    } catch (const Fault& fault) {
      if (fault.kind() == FaultKind::refused) throw fault.within("while keeping the settings");
      trouble = fault;
    }
    // The end of the reply is lost with the line where the controller restarts at once.
    if (trouble->kind() == FaultKind::line_lost) {
      const Reply reply{talk().heard_at_last()};
      co_return Kept{ability.keep.confirms.has_value() && is_confirmed(profile, order, reply), true};
    }
    const bool there = co_await still_there();
    if (!there) co_return Kept{false, true};
    if (attempt == 2) throw trouble->within("while keeping the settings");
  }
}

Task<void> ProfileConsole::Inside::restart() {
  const Command& command = *profile.keep->restart;
  const Values none;
  std::optional<Fault> trouble;
  for (int attempt = 1; attempt <= 2; ++attempt) {
    try {
      co_await talk().run(command.steps, none);
      co_return;
    } catch (const Fault& fault) {
      if (fault.kind() == FaultKind::refused) {
        throw Fault(FaultKind::not_back, "the controller will not restart", fault.why(),
                    "Restart it by hand, then run armwise recover");
      }
      if (fault.kind() == FaultKind::line_lost) co_return;
      trouble = fault;
    }
    const bool there = co_await still_there();
    if (!there) co_return;
  }
}

// Closing the line at once could take the command away from a controller that has not read it yet.
Task<void> ProfileConsole::Inside::wait_for_departure() {
  const Instant last = clock.now() + departure;
  while (clock.now() < last) {
    const Received received = co_await talk().line().read(last - clock.now());
    if (received.status == Received::Status::closed) co_return;
  }
}

Task<void> ProfileConsole::Inside::come_back() {
  const Instant last = clock.now() + profile.timing.restart;
  co_await wait_for_departure();
  co_await get_back(last);
}

Task<void> ProfileConsole::Inside::get_back(Instant last) {
  std::optional<Fault> trouble;
  do {
    conversation.reset();  // a line that is held keeps its old name taken
    const Duration left = std::max(last - clock.now(), Duration{1000});
    std::unique_ptr<Line> line = co_await plug.reopen(left);
    trouble.reset();
    try {
      co_await talk_on(std::move(line));
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

// Where the line was lost before the confirmation came, the controller may have restarted, or it may only
// have been unplugged for a moment: then what it runs is not what it keeps, and reading back would not show
// it.
Task<void> ProfileConsole::keep_and_restart(const KeepPermit&) {
  Inside& inside = *inside_;
  const bool restartable = inside.profile.keep && inside.profile.keep->restart.has_value();
  for (int attempt = 1; attempt <= 2; ++attempt) {
    const Inside::Kept kept = co_await inside.keep();
    if (!kept.gone && restartable) co_await inside.restart();
    if (kept.gone || restartable) co_await inside.come_back();
    if (kept.confirmed) co_return;
    // One that restarts by itself went away on both orders, and can say no more.
    if (attempt == 2 && inside.profile.keep->restarts) co_return;
  }
  throw Fault(FaultKind::not_back, "the controller went away twice instead of keeping the settings", {},
              "Unplug it, plug it in again, then run armwise recover");
}

Task<bool> ProfileConsole::restart_without_keeping() {
  Inside& inside = *inside_;
  if (!inside.profile.keep || !inside.profile.keep->restart) co_return false;
  co_await inside.restart();
  co_await inside.come_back();
  co_return true;
}

}  // namespace armwise::console
