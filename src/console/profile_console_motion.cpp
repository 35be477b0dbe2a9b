// What turns motors and stops them, and what keeps settings and restarts the controller.
#include <algorithm>
#include <cmath>
#include <utility>

#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "profile_console_inside.hpp"

namespace armwise::console {
namespace {

constexpr int most_stops = 5;
// How long a controller may take to go away after it was told to restart.
constexpr Duration departure{2000};
// While a motor turns no answer is waited for longer: the stop, and the person's key, come first.
constexpr Duration answers_at_once{250};
// How many answers it may take until a stop is known to have been heard: that to the spin and its own; or all
// that getting into step takes.
constexpr int two_answers = 2;
constexpr int answers_into_step = 6;
// However late a console answers: the guard is not held back longer for it, each time a stop was written.
constexpr Duration longest_held_back{10'000};

// A console that repeats what is sent would seem to confirm such a stop before it carried it out.
bool is_confirmed_by_its_echo(const Profile& profile, const Command& stop) {
  const std::vector<std::string> sent = Conversation::as_sent(stop.steps, {});
  return stop.confirms && std::any_of(sent.begin(), sent.end(), [&](const std::string& line) {
           return stop.confirms->match(line, profile.case_sensitive).has_value();
         });
}

}  // namespace

Task<void> ProfileConsole::spin(craft::Motor motor, double strength, Duration longest, const SpinPermit&) {
  Inside& inside = *inside_;
  const SpinAbility& ability = needed(inside.profile.spin, "spinning a motor");
  if (!(strength >= ability.zero && strength <= ability.highest)) {
    throw Fault(
        FaultKind::refused,
        "a strength of " + number_text(strength, ability.decimals) + " is outside of what the profile allows",
        "Its highest is " + number_text(ability.highest, ability.decimals));
  }
  const Order order{&ability.spin,
                    {{"motor", inside.profile.motor_code(motor)},
                     {"strength", number_text(strength, ability.decimals)},
                     {"milliseconds", std::to_string(longest.count())}}};
  // Getting into step can take seconds, which are not to count as turning.
  if (!inside.talk().in_step()) co_await inside.talk().resynchronise();
  // The way through a menu takes time, too, in which nothing turns yet.
  const auto menus = static_cast<int>(order.command->steps.size()) - 1;
  const std::function<void()> now_it_turns = [&inside, menus, longest] {
    if (menus > 0) inside.sentry.turning(longest);
  };
  inside.sentry.turning(longest + std::min(menus * inside.profile.timing.reply, longest_held_back));
  inside.may_be_turning = true;
  inside.unanswered.reset();
  inside.late_trouble.reset();
  const std::optional<Reply> reply =
      co_await inside.talk().run_or_owe(order.command->steps, order.values, answers_at_once, now_it_turns);
  if (reply) {
    inside.require_spinning(order, *reply);
  } else {
    inside.unanswered = order;
  }
}

void ProfileConsole::Inside::require_spinning(const Order& order, const Reply& reply) const {
  if (is_confirmed(profile, order, reply)) return;
  throw Fault(FaultKind::unreadable, "the console did not confirm that the motor spins");
}

std::optional<Fault> ProfileConsole::late_trouble() const {
  return inside_->late_trouble;
}

// Without words to know it by, or with words that its echo holds, only another stop makes sure; and so where
// the answer to the spin has not been seen, which may hold the same words. What of it stands among the echoes
// of the stop is put where it belongs.
bool ProfileConsole::Inside::confirms_the_stop(const Order& spin, Conversation::Late& late) const {
  const Order stop{&profile.spin->stop_all, {}};
  const auto tells_of_the_spin = [&](const std::string& line) {
    const auto& confirms = spin.command->confirms;
    return confirms && confirms->match(line, profile.case_sensitive).has_value();
  };
  std::vector<std::string>&owed = late.owed.lines, &behind = late.behind.lines;
  const auto end_of_it = std::find_if(behind.rbegin(), behind.rend(), tells_of_the_spin).base();
  owed.insert(owed.end(), behind.begin(), end_of_it);
  behind.erase(behind.begin(), end_of_it);
  if (!stop.command->confirms || is_confirmed_by_its_echo(profile, *stop.command)) return false;
  if (std::none_of(owed.begin(), owed.end(), tells_of_the_spin)) return false;
  return is_confirmed(profile, stop, late.behind);
}

// The stop goes out at once; then the answer to the spin is read, and what the stop answered. True where
// that confirms the stop.
Task<bool> ProfileConsole::Inside::stop_before_the_answer() {
  const Order spin = *std::exchange(unanswered, std::nullopt);
  co_await talk().stop_now();
  watch_for_the_stops_answer(two_answers);
  bool acknowledged = false;
  try {
    Conversation::Late late = co_await talk().hear_owed();
    acknowledged = confirms_the_stop(spin, late);
    late_trouble = late.refused;
    // Without prompt and echo, the refusal may be that of the word which spoils: the spin was heard then.
    const bool spins = !spin.command->confirms || is_confirmed(profile, spin, late.owed);
    if (!late.told_apart && spins) late_trouble.reset();
    if (!late_trouble) require_spinning(spin, late.owed);
  } catch (const Fault& fault) {
    if (fault.kind() == FaultKind::line_lost) throw;
    late_trouble = fault;
  }
  co_return acknowledged;
}

// A stop has been written whole, and it is this console that takes its time: until it has answered, the guard
// is told to wait for so many answers.
void ProfileConsole::Inside::watch_for_the_stops_answer(int answers) {
  try {
    sentry.turning(std::min(answers * profile.timing.reply, longest_held_back));
  } catch (const Fault&) {
    // It is stopping the motor itself, or dead, and then that is known already: nothing is spun here.
  }
}

// Nothing where the stop was acknowledged.
Task<std::optional<Fault>> ProfileConsole::Inside::stop_once(const std::function<void()>& silent) {
  std::optional<Fault> trouble;
  const Order order{&profile.spin->stop_all, {}};
  try {
    const Conversation::SilenceWatch watch(talk(), silent);
    const bool slow = unanswered && talk().owed();
    if (slow) {
      const bool acknowledged = co_await stop_before_the_answer();
      if (acknowledged) co_return trouble;
    }
    // Getting into step takes time that a turning motor must not have.
    if (!talk().in_step()) co_await talk().stop_now();
    if (slow) watch_for_the_stops_answer(answers_into_step);
    const Reply reply = co_await talk().run(order.command->steps, order.values);
    if (!is_confirmed(profile, order, reply)) {
      trouble = Fault(FaultKind::unreadable, "the console answered the stop with something else");
    }
  } catch (const Fault& fault) {
    trouble = fault;
  }
  co_return trouble;
}

Task<std::optional<Fault>> ProfileConsole::try_stop(const std::function<void()>& silent) {
  Inside& inside = *inside_;
  needed(inside.profile.spin, "stopping the motors");
  const std::optional<Fault> trouble = co_await inside.stop_once(silent);
  if (!trouble) {
    inside.may_be_turning = false;
    inside.sentry.stopped();
  }
  co_return trouble;
}

Task<void> ProfileConsole::stop_all() {
  std::optional<Fault> trouble;
  const std::function<void()> nobody;
  for (int attempt = 0; attempt < most_stops; ++attempt) {
    trouble = co_await try_stop(nobody);
    if (!trouble) co_return;
    if (trouble->kind() == FaultKind::line_lost) break;
  }
  throw Fault(FaultKind::unsafe, "a motor may be turning: the stop was not acknowledged", trouble->happened(),
              "Keep clear and pull the battery. Unplugging USB alone does not stop a motor");
}

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
