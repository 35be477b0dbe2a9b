#include "taught_spin.hpp"

#include <algorithm>
#include <exception>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/console/conversation.hpp"
#include "armwise/teach/listening.hpp"
#include "armwise/teach/units.hpp"
#include "one_spin.hpp"

namespace armwise::session {
namespace {

constexpr Duration spin_time{1000};
// A step that may turn the motor is not waited for longer: the stop, and the person's key, come first. One
// that only asked the last time may take as long as a spin.
constexpr Duration answers_at_once{250}, asks_at_latest = spin_time;
// How long a reply of this console may take, by how late the answers before it were.
constexpr Duration least_patience{1000}, most_patience{4000};
constexpr Duration menu_step{6000}, watched_time{2000};
constexpr Duration moment{100};

// Whether a line tells of another number in the place of one that was sent.
bool tells_otherwise(const std::string& line, const console::Values& values) {
  std::vector<std::string> numbers = teach::numbers_in(line), missing;
  for (const auto& [blank, sent] : values) {
    const auto same = std::find(numbers.begin(), numbers.end(), sent);
    if (same == numbers.end()) {
      missing.push_back(sent);
    } else {
      numbers.erase(same);
    }
  }
  return std::any_of(missing.begin(), missing.end(), [&](const std::string& sent) {
    return std::any_of(numbers.begin(), numbers.end(), [&](const std::string& number) {
      return number != sent && teach::one_byte_apart(number, sent);
    });
  });
}

}  // namespace

// The last line is the order; nothing is known of its confirmation yet.
console::Profile TaughtSpin::spoken(const Order& order) const {
  console::Profile profile = profile_;
  profile.spin->spin = console::Command();
  profile.spin->spin.steps.push_back({console::Template::literal(order.lines.back()), {}});
  profile.timing.reply =
      std::max(profile.timing.reply, std::clamp(2 * talk_.ear.slowest, least_patience, most_patience));
  return profile;
}

// Where the console repeats what is sent, the end of a line that may turn the motor is sent only once the
// echo is right.
Task<Ear::Heard> TaughtSpin::say_with_care(const Order& order, std::size_t at, const SpinPermit& permit) {
  const std::string& step = order.lines[at];
  std::optional<Duration> longest = answers_at_once;
  if (at + 2 == order.lines.size() && order.asked)
    longest = std::clamp(2 * talk_.ear.slowest, answers_at_once, asks_at_latest);
  if (!profile_.open.echo.value_or(false)) co_return co_await talk_.ear.say(step, longest);
  console::Conversation typing(talk_.ear.release(), profile_, talk_.ear.clock());
  bool right = false;
  std::exception_ptr trouble;
  try {
    right = co_await typing.type(step, permit);
  } catch (...) {
    trouble = std::current_exception();
  }
  talk_.ear.take(typing.release());
  if (trouble) std::rethrow_exception(trouble);
  if (right) co_return co_await talk_.ear.say_typed(step, longest);
  throw Fault(
      FaultKind::unreadable,
      "the console did not repeat \"" + printable(step) + "\" as it was sent, so it was not carried out",
      "Bytes are lost or changed on the way", "Try another cable and another USB port");
}

// A menu asks its way to the motor, each time with a prompt that is not known yet; and what is typed behind
// the step that turns it may be the way out.
Task<void> TaughtSpin::walk(const Order& order, const SpinPermit& permit, Said& said) {
  const auto steps = static_cast<int>(order.lines.size()) - 1;
  if (steps > 0) sentry_.turning(watched_time + steps * menu_step);
  for (std::size_t i = 0; i + 1 < order.lines.size(); ++i) {
    const std::string step = order.lines[i];
    Ear::Heard heard;
    if (i < order.from) {
      heard = co_await talk_.ear.say(step);
    } else {
      heard = co_await say_with_care(order, i, permit);
    }
    talk_.take_question(heard.reply);
    talk_.take_step(said, step, heard, false);
    if (said.closed) throw Fault(FaultKind::line_lost, "the line went away on the way to the order to spin");
  }
}

Task<void> TaughtSpin::take_answer(const Order& order, const console::ProfileConsole& console, Said& said) {
  Ear::Heard heard;
  for (const std::string& line : console.answer_to_spin()) {
    if (line.find(order.lines.back()) == std::string::npos) heard.reply.lines.push_back(line);
  }
  heard.reply.prompt = profile_.open.prompt;
  talk_.take_step(said, order.lines.back(), heard, true);
  // What comes behind the answer to the stop belongs to no command that is taught next.
  const std::string nothing;
  co_await talk_.ear.raw(nothing, moment);
}

Task<Said> TaughtSpin::once(Order order, Go go, const std::set<std::string>& known_answers) {
  Said said;
  console::ProfileConsole console(plug_, spoken(order), talk_.ear.clock(), sentry_);
  console.look_at_answers([&](const std::string& line) {
    if (known_answers.contains(line) || !tells_otherwise(line, order.values)) return true;
    said.otherwise = line;
    throw Fault(FaultKind::mismatch, "the console answered \"" + printable(line) + "\"");
  });
  const std::function<Task<void>()> turn = [&]() -> Task<void> {
    std::exception_ptr trouble;
    try {
      co_await walk(order, go.permit(), said);
    } catch (...) {
      trouble = std::current_exception();
    }
    console.take_over(talk_.ear.release(), !trouble);
    if (trouble) std::rethrow_exception(trouble);
    const double strength = teach::number_of(order.values.at("strength"));
    co_await console.spin(go.motor(), strength, watched_time, go.permit());
  };
  OneSpin spin(console, person_, suspended_);
  std::exception_ptr trouble;
  try {
    said.suspended = co_await spin.run(turn, go.motor(), spin_time);
  } catch (const Fault& fault) {
    said.refused = fault.kind() == FaultKind::refused;
    // Not carried out, as its echo was wrong, or answered by no text: it is stopped, and may be typed again.
    const bool garbled = fault.kind() == FaultKind::unreadable && said.otherwise.empty();
    if (garbled) person_.tell("not-understood", {{"why", fault.sentence()}});
    said.suspended = said.suspended || garbled;
    if (!said.refused && !garbled && said.otherwise.empty()) trouble = std::current_exception();
    if (fault.kind() == FaultKind::unsafe) trouble = std::current_exception();
  } catch (...) {
    trouble = std::current_exception();
  }
  talk_.ear.take(console.give_back());
  if (trouble) std::rethrow_exception(trouble);
  const std::optional<Fault> late = console.late_trouble();
  said.unended = console.unended_answer();
  if (late) said.refused = said.refused || late->kind() == FaultKind::refused;
  co_await take_answer(order, console, said);
  co_return said;
}

}  // namespace armwise::session
