// What turns motors and stops them.
#include <algorithm>
#include <utility>

#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "profile_console_inside.hpp"

namespace armwise::console {
namespace {

// While a motor turns no answer is waited for longer: the stop, and the person's key, come first.
constexpr Duration answers_at_once{250};
// A console that has shown itself quick is said the stop again so soon, and then at growing intervals.
constexpr Duration again_after{250}, again_at_longest{500};
// So soon the person is told that a quick console has acknowledged no stop; and then again.
constexpr Duration told_after{500}, told_again_after{2000};
// The stop is tried for so long, on whatever line leads to the controller.
constexpr Duration tried_for{30'000};
// Getting into step, in deadlines of a reply: long enough where only silence tells that no answer is under
// way.
constexpr int replies_into_step = 6;
// The guard is told so often that the tool goes on stopping; with the replies that may be waited for, longer
// than any wait between.
constexpr Duration held_back{10'000};
constexpr Duration opened_anew_after{8000};
constexpr Duration one_look_for_the_port{2000}, rest_between_looks{250};

// A console that repeats what is sent would seem to confirm such a stop before it carried it out.
bool is_confirmed_by_its_echo(const Profile& profile, const Command& stop) {
  const std::vector<std::string> sent = Conversation::as_sent(stop.steps, {});
  return stop.confirms && std::any_of(sent.begin(), sent.end(), [&](const std::string& line) {
           return stop.confirms->match(line, profile.case_sensitive).has_value();
         });
}

}  // namespace

Task<void> ProfileConsole::spin(craft::Motor motor, double strength, Duration longest,
                                const SpinPermit& permit) {
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
  // Nothing is typed where nobody watches. The way through a menu, and the echo, take time in which nothing
  // turns yet: the watch begins again when it does.
  const auto lines = static_cast<int>(order.command->steps.size());
  inside.sentry.turning(std::min(longest + lines * inside.profile.timing.reply, held_back));
  inside.may_be_turning = true;
  inside.unanswered.reset();
  inside.late_trouble.reset();
  Conversation::Care care;
  care.before_it_turns = [&inside, longest] { inside.sentry.turning(longest); };
  care.look = [&inside, &order](const std::string& line) {
    const Reply reply{{line}};
    return order.command->confirms && is_confirmed(inside.profile, order, reply);
  };
  const std::optional<Reply> reply =
      co_await inside.talk().run_with_care(order.command->steps, order.values, answers_at_once, care, permit);
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

// Told by its words, wherever they come, once a stop has been written. Where an echo reads like them, the
// second of two such lines tells, with no word that spoils between them: that comes back before each stop
// that is said again.
Task<Conversation::Listened> ProfileConsole::Inside::hear_the_stop(Duration within) {
  const Command& stop = profile.spin->stop_all;
  const bool like_its_echo = talk().echoes() != false && is_confirmed_by_its_echo(profile, stop);
  const std::string spoiled(trimmed(spoiled_line_end(profile)));
  const std::function<bool(const std::string&)> is_it = [&](const std::string& line) {
    if (line == spoiled) echo_seen = false;
    if (!stop.confirms || !stop.confirms->match(line, profile.case_sensitive)) return false;
    const bool counts = !like_its_echo || (profile.open.home.empty() && echo_seen);
    echo_seen = true;
    return counts && !unanswered;
  };
  const Conversation::Listened listened = co_await talk().hear_line(is_it, within);
  co_return listened;
}

// Says it wherever the console is, and once more in an exchange of its own where its words alone do not tell.
Task<void> ProfileConsole::Inside::say_the_stop(Duration patience, Conversation::Where where) {
  const Order order{&profile.spin->stop_all, {}};
  if (!talk().in_step()) {
    co_await talk().stop_now(where);
    const Conversation::Listened listened = co_await hear_the_stop(patience);
    if (listened.found) co_return;
    if (!listened.anything) throw Fault(FaultKind::no_reply, "nothing comes back");
    // Getting into step takes time that a turning motor must not have: the stop has gone before.
    co_await talk().resynchronise(replies_into_step * profile.timing.reply);
  }
  const std::optional<Reply> reply = co_await talk().run_or_owe(order.command->steps, order.values, patience);
  if (reply && is_confirmed(profile, order, *reply)) co_return;
  if (reply) throw Fault(FaultKind::unreadable, "the console answered the stop with something else");
  co_await talk().stop_now();
  const Conversation::Listened listened = co_await hear_the_stop(patience);
  if (!listened.found) throw Fault(FaultKind::no_reply, "the console has not answered the stop");
}

// Nothing where the stop was acknowledged.
Task<std::optional<Fault>> ProfileConsole::Inside::stop_once(Stopping& now) {
  std::optional<Fault> trouble;
  try {
    const Conversation::SilenceWatch watch(talk(), now.silent, now.tell_after);
    bool acknowledged = false;
    if (unanswered && talk().owed()) acknowledged = co_await stop_before_the_answer();
    if (!acknowledged) co_await say_the_stop(now.patience, now.where);
  } catch (const Fault& fault) {
    trouble = fault;
  }
  co_return trouble;
}

void ProfileConsole::Inside::Stopping::say(const std::string& why, Instant at) {
  if (at < next_told) return;
  next_told = at + told_again_after;
  told = true;
  if (tell) tell({why, at - began});
}

// Nothing where the same controller is back; the first thing sent to it was the stop.
Task<std::optional<Fault>> ProfileConsole::Inside::look_for_it() {
  std::optional<Fault> trouble;
  const Instant began = clock.now();
  try {
    conversation.reset();  // a line that is held keeps its old name taken
    std::unique_ptr<Line> line = co_await plug.reopen(one_look_for_the_port);
    conversation = std::make_unique<Conversation>(std::move(line), profile, clock);
    unanswered.reset();
    co_await conversation->stop_now(Conversation::Where::from_outside);
  } catch (const Fault& fault) {
    trouble = fault;
  }
  // Where looking fails at once, as with two alike, it is not done without rest.
  if (trouble && clock.now() - began < rest_between_looks) co_await clock.sleep(rest_between_looks);
  co_return trouble;
}

Task<bool> ProfileConsole::stop_all(const TellUnstopped& tell) {
  Inside& inside = *inside_;
  needed(inside.profile.spin, "stopping the motors");
  const bool slow = inside.unanswered.has_value() || inside.answers_late;
  const Duration reply = inside.profile.timing.reply;
  Inside::Stopping now{tell, inside.clock.now(), slow ? reply : told_after, slow ? reply : again_after};
  now.next_told = now.began + now.tell_after;
  now.opened = now.began;
  inside.echo_seen = false;
  now.silent = [&] { now.say("nothing comes back", inside.clock.now()); };
  bool was_lost = false;
  while (true) {
    inside.sentry.stopping(held_back + replies_into_step * reply);
    std::optional<Fault> trouble;
    if (now.lost) {
      trouble = co_await inside.look_for_it();
      now.lost = trouble.has_value();
      now.where = Conversation::Where::from_outside;
      now.opened = inside.clock.now();
    } else {
      trouble = co_await inside.stop_once(now);
      if (!trouble) break;
      // A console that was left, or whose port hangs, is found again only on a line that is opened anew.
      const bool hangs = inside.clock.now() - now.opened >= opened_anew_after;
      now.lost = trouble->kind() == FaultKind::line_lost || hangs;
      now.patience = std::max(now.patience, std::min(2 * now.patience, again_at_longest));
    }
    was_lost = was_lost || now.lost;
    if (now.lost && !now.told) now.next_told = inside.clock.now();
    if (!trouble) continue;
    now.say(trouble->happened(), inside.clock.now());
    if (inside.clock.now() >= now.began + tried_for) {
      throw Fault(FaultKind::unsafe, "A motor may be turning: the stop was not acknowledged",
                  trouble->happened(),
                  "Keep clear and pull the battery plug. Unplugging USB alone does not stop a motor");
    }
  }
  inside.may_be_turning = false;
  inside.sentry.stopped();
  co_return was_lost;
}

}  // namespace armwise::console
