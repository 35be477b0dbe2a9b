// What turns motors and stops them.
#include <algorithm>
#include <cmath>
#include <utility>

#include "armwise/base/text.hpp"
#include "profile_console_inside.hpp"

namespace armwise::console {
namespace {

constexpr int most_stops = 5;
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

}  // namespace armwise::console
