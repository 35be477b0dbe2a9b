// What turns motors and stops them.
#include <algorithm>
#include <utility>

#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "stopping.hpp"

namespace armwise::console {
namespace {

// While a motor turns no answer is waited for longer: the stop, and the person's key, come first.
constexpr Duration answers_at_once{250};
// Typing an order, its echo, and both once more where it came back wrong: no longer than this.
constexpr Duration longest_typing{10'000};

}  // namespace

Fault motor_may_be_turning(const std::string& why) {
  return Fault(FaultKind::unsafe, "A motor may be turning: the stop was not acknowledged", why,
               "Keep clear and pull the battery plug. Unplugging USB alone does not stop a motor");
}

Task<void> ProfileConsole::spin(craft::Motor motor, double strength, Duration longest,
                                const SpinPermit& permit) {
  Inside& inside = *inside_;
  const SpinAbility& ability = needed(inside.profile.spin, "spinning a motor");
  if (!(strength >= ability.zero && strength <= ability.highest)) {
    throw Fault(
        FaultKind::refused,
        "a throttle of " + number_text(strength, ability.decimals) + " is outside of what the profile allows",
        "Its highest is " + number_text(ability.highest, ability.decimals));
  }
  const Order order{&ability.spin,
                    {{"motor", inside.profile.motor_code(motor)},
                     {"strength", number_text(strength, ability.decimals)},
                     {"milliseconds", std::to_string(longest.count())}}};
  // Getting into step can take seconds, which are not to count as turning.
  if (!inside.talk().in_step()) co_await inside.talk().resynchronise();
  // Nothing is typed where nobody watches; and the way through a menu, and the echo, take time in which
  // nothing turns yet.
  const auto lines = static_cast<int>(order.command->steps.size());
  inside.sentry.turning(longest + std::min((lines + 1) * inside.profile.timing.reply, longest_typing));
  inside.may_be_turning = true;
  inside.unanswered.reset();
  inside.late_trouble.reset();
  inside.answer_to_spin.clear();
  inside.unended_answer.clear();
  const Conversation::Look look = [&inside, &order](const std::string& line) {
    inside.answer_to_spin.push_back(line);
    const bool right = inside.look && inside.look(line);
    // Where the profile has no words for it, nothing in an answer can be wrong yet.
    return right || !order.command->confirms || is_confirmed(inside.profile, order, Reply{{line}});
  };
  const auto& confirms = order.command->confirms;
  const Answers answers = confirms ? Answers(&*confirms, 1) : Answers();
  const std::optional<Reply> reply = co_await inside.talk().run_with_care(
      order.command->steps, order.values, answers_at_once, look, answers, permit);
  if (reply) {
    inside.answer_to_spin = reply->lines;
    inside.require_spinning(order, *reply);
  } else {
    inside.unanswered = order;
    const std::vector<std::string>& heard = inside.talk().heard_at_last();
    if (!heard.empty()) inside.unended_answer = heard.back();
  }
}

void ProfileConsole::Inside::require_spinning(const Order& order, const Reply& reply) const {
  if (is_confirmed(profile, order, reply)) return;
  throw Fault(FaultKind::unreadable, "the console did not confirm that the motor spins");
}

std::optional<Fault> ProfileConsole::late_trouble() const {
  return inside_->late_trouble;
}

void ProfileConsole::look_at_answers(std::function<bool(const std::string&)> look) {
  inside_->look = std::move(look);
}

const std::vector<std::string>& ProfileConsole::answer_to_spin() const {
  return inside_->answer_to_spin;
}

const std::string& ProfileConsole::unended_answer() const {
  return inside_->unended_answer;
}

Task<bool> ProfileConsole::stop_all(const TellUnstopped& tell) {
  Inside& inside = *inside_;
  needed(inside.profile.spin, "stopping the motors");
  Inside::Stopping stopping(inside, tell);
  const bool line_was_lost = co_await stopping.until_acknowledged();
  inside.may_be_turning = false;
  inside.sentry.stopped();
  co_return line_was_lost;
}

}  // namespace armwise::console
