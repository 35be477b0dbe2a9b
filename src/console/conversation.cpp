#include "armwise/console/conversation.hpp"

#include <algorithm>
#include <exception>
#include <optional>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "conversation_inside.hpp"

namespace armwise::console {
namespace {

// A refusal is short, or stands at the top of what it explains; a line deep in a long listing is data.
constexpr std::size_t refusal_within_first = 3;
constexpr std::size_t short_reply = 10;

// Beyond a listing that may still be under way; counted in deadlines of a reply.
constexpr int attempts_take = 10;

Duration longest_way_in(const Profile& profile) {
  return profile.timing.listing + attempts_take * profile.timing.reply;
}

// What names the word that spoils a line is the refusal of that: the guard may have said a stop before this.
std::optional<std::string> refusal_in(const std::vector<std::string>& lines, const Profile& profile) {
  const std::size_t looked_at =
      lines.size() <= short_reply ? lines.size() : std::min(lines.size(), refusal_within_first);
  for (std::size_t i = 0; i < looked_at; ++i) {
    if (lower_case(lines[i]).find(spoiling_word()) != std::string::npos) continue;
    for (const Template& refusal : profile.refusals) {
      if (refusal.match(lines[i], profile.case_sensitive)) return lines[i];
    }
  }
  return std::nullopt;
}

}  // namespace

Duration sure_silence(const Profile& profile) {
  return profile.open.barrier ? 4 * profile.timing.quiet : 2 * profile.timing.reply;
}

void throw_where_refused(const std::string& sent, const Heard& heard, const Profile& profile) {
  const auto refusal = refusal_in(heard.lines, profile);
  if (!refusal) return;
  throw Fault(FaultKind::refused, "the console refused \"" + printable(sent) + "\"",
              "It said: \"" + *refusal + "\"");
}

Conversation::Conversation(std::unique_ptr<Line> line, const Profile& profile, Clock& clock)
    : state_(std::make_unique<State>(std::move(line), profile, clock)) {}
Conversation::~Conversation() = default;

// True where the console may be listening.
Task<bool> Conversation::State::wake(bool with_open_send) {
  const Duration patience = framing.prompts().top().empty() ? 3 * profile.timing.quiet : profile.timing.reply;
  const std::string line_end(line_end_of(profile));
  co_await watched.write(line_end);
  Heard heard = co_await sync.listen(patience);
  if (heard.at_top) was_shut = false;
  if (heard.at_top) co_return true;
  const std::string knock = entering(profile);
  if (with_open_send && !knock.empty()) {
    const bool silent = heard.lines.empty() && heard.prompt.empty();
    co_await watched.write(knock);
    heard = co_await sync.listen(patience);
    was_shut = was_shut && silent && heard.at_top;
    if (heard.at_top) co_return true;
  }
  if (framing.prompts().top().empty()) co_return true;
  co_return co_await sync.go_home();
}

void Conversation::State::throw_not_open() const {
  const std::string name = printable(line->name());
  if (!watched.anything_heard()) {
    throw Fault(FaultKind::no_reply, "nothing answers on " + name,
                "It may be another device, or its console is not the one that the profile \"" + profile.name +
                    "\" describes",
                "Check the port and the profile, unplug the controller, plug it in and try again");
  }
  if (watched.only_noise_heard()) {
    throw Fault(FaultKind::unreadable, "what comes from " + name + " is no text",
                "The speed may be wrong, or it is not the device expected", "Check the port and its speed");
  }
  if (watched.only_echo_heard()) {
    throw Fault(FaultKind::no_reply, name + " repeats what is sent, but does not answer",
                "It may expect another line ending than the profile \"" + profile.name + "\" says",
                "Try line_ending cr, lf or crlf in the profile");
  }
  throw Fault(FaultKind::no_reply,
              "the console on " + name + " does not answer as the profile \"" + profile.name + "\" says",
              profile.open.prompt.empty() ? "The barrier word did not come back"
                                          : "The prompt \"" + profile.open.prompt + "\" did not come",
              "Check the profile, unplug the controller, plug it in and try again");
}

Task<Conversation::State::AtOnce> Conversation::State::get_in_step_at_once(const std::string& first,
                                                                           Console console) {
  co_await watched.write(first);
  const Heard heard = co_await sync.listen(sure_silence(profile));
  const bool anything = !heard.lines.empty() || !heard.prompt.empty();
  const bool awake = framing.prompts().top().empty() ? anything : heard.at_top;
  if (!awake && console == Console::maybe_shut) co_return anything ? AtOnce::talks : AtOnce::silent;
  const bool proven = co_await sync.prove();
  co_return proven ? AtOnce::in_step : AtOnce::talks;
}

Task<void> Conversation::open() {
  State& state = *state_;
  state.line->discard_input();
  state.framing.forget();
  state.sync.set_in_step(false);
  state.exchange.give_up_owed();
  state.watched.forget();
  const bool by_word = state.sync.goes_by_the_word();
  bool talking = true;  // of itself, maybe
  if (by_word) talking = co_await state.sync.listen_to_silence(Duration{0});
  const Duration banner = 3 * state.profile.timing.quiet;
  if (talking) co_await state.sync.listen(banner);
  // What stands half typed may be half an order to spin. Where a console takes it all the same, spoiler and
  // all, the stop is right behind it.
  const std::string first = spoiled_line_end(state.profile) + stop_lines(state.profile);
  bool answered = false;
  const Duration silence = sure_silence(state.profile);
  if (by_word) {
    const State::AtOnce found = co_await state.get_in_step_at_once(first, State::Console::maybe_shut);
    state.was_shut = false;
    if (found == State::AtOnce::in_step) co_return;
    answered = found != State::AtOnce::silent;
  } else {
    co_await state.watched.write(first);
    answered = co_await state.sync.listen_to_silence(silence);
  }
  state.was_shut = !answered && !entering(state.profile).empty();
  const WatchedLine::Limit limit(state.watched, longest_way_in(state.profile));
  for (int attempt = 0; attempt < 3 && !state.watched.time_is_up(); ++attempt) {
    // A console without a prompt shows only by the barrier whether it is open already.
    const bool with_open_send = attempt > 0 || !state.framing.prompts().top().empty();
    const bool awake = co_await state.wake(with_open_send);
    if (!awake) continue;
    const bool proven = co_await state.sync.prove();
    if (proven) co_return;
  }
  state.throw_not_open();
}

std::string Conversation::State::wanted_prompt(const Step& step) const {
  return std::string(trimmed(step.prompt.empty() ? profile.open.prompt : step.prompt));
}

bool Conversation::State::may_settle(const Step& step, bool last) const {
  return last && wanted_prompt(step) == framing.prompts().top();
}

// Throws Fault(refused), or Fault(unreadable) where a menu goes elsewhere.
void Conversation::State::take(const Step& step, const std::string& sent, Heard heard, Reply& reply) const {
  const std::string wanted = wanted_prompt(step);
  throw_where_refused(sent, heard, profile);
  if (!heard.settled && heard.prompt != wanted) {
    throw Fault(FaultKind::unreadable,
                "the console asked \"" + heard.prompt + "\" after \"" + printable(sent) + "\"",
                "The profile expects \"" + wanted + "\" there");
  }
  if (reply.bytes.empty()) {
    reply = Reply{std::move(heard.lines), std::move(heard.bytes)};
    return;
  }
  reply.lines.insert(reply.lines.end(), heard.lines.begin(), heard.lines.end());
  reply.bytes += heard.bytes;
}

// Nothing where the reply to the last step is owed.
Task<std::optional<Reply>> Conversation::State::run(const Steps& steps, const Values& values,
                                                    std::optional<Duration> within, const Look* look,
                                                    OnFailure on_failure, Answers answers) {
  Reply reply;
  give_up_owed();
  const std::vector<std::string> lines = as_sent(steps, values);
  for (std::size_t i = 0; i < steps.size(); ++i) {
    const bool last = i + 1 == steps.size();
    std::exception_ptr failure;
    try {
      if (look != nullptr) {
        co_await send_with_care(steps, i, lines[i], answers);
      } else {
        const bool may = on_failure == OnFailure::recover && may_settle(steps[i], last);
        co_await exchange.send(lines[i], may, answers);
      }
      const std::optional<Duration> patience = last ? within : std::nullopt;
      std::optional<Heard> heard;
      if (look != nullptr && last) {
        heard = co_await hear_with_care(lines[i], *patience, *look);
      } else {
        heard = co_await exchange.hear(patience);
      }
      if (!heard) {
        owed = Owed{steps[i], lines[i], std::move(reply)};
        co_return std::nullopt;
      }
      take(steps[i], lines[i], std::move(*heard), reply);
    } catch (const Fault& fault) {
      const bool refused = fault.kind() == FaultKind::refused && on_failure == OnFailure::send_nothing;
      const bool goes_on = on_failure == OnFailure::recover || refused;
      const bool may_go_home = goes_on && framing.prompts().has_menus();
      if (fault.kind() == FaultKind::line_lost || !may_go_home) throw;
      failure = std::current_exception();
    }
    if (failure) {
      co_await sync.go_home_if_possible();
      std::rethrow_exception(failure);
    }
  }
  co_return reply;
}

Task<Reply> Conversation::run(const Steps& steps, const Values& values, Answers answers) {
  if (!state_->sync.in_step()) co_await resynchronise();
  std::optional<Reply> reply =
      co_await state_->run(steps, values, std::nullopt, nullptr, State::OnFailure::recover, answers);
  co_return std::move(*reply);
}

Task<Reply> Conversation::run_and_listen(const Steps& steps) {
  if (!state_->sync.in_step()) co_await resynchronise();
  const Values none;
  const std::optional<Reply> reply =
      co_await state_->run(steps, none, std::nullopt, nullptr, State::OnFailure::send_nothing);
  co_return *reply;
}

bool Conversation::paused_unusually() const {
  return state_->exchange.paused_unusually();
}

Task<Conversation::Start> Conversation::hear_start(Duration longest,
                                                   std::optional<Duration> longest_silence) {
  Heard heard = co_await state_->sync.hear_start(longest, longest_silence.value_or(longest));
  Start start;
  start.refused = refusal_in(heard.lines, state_->profile).has_value();
  start.lines = std::move(heard.lines);
  start.at_top = heard.at_top;
  co_return start;
}

bool Conversation::was_shut() const {
  return state_->was_shut;
}

Task<std::optional<Reply>> Conversation::run_or_owe(const Steps& steps, const Values& values, Duration within,
                                                    Answers answers) {
  if (!state_->sync.in_step()) co_await resynchronise();
  std::optional<Reply> reply =
      co_await state_->run(steps, values, within, nullptr, State::OnFailure::nothing_at_all, answers);
  co_return reply;
}

const std::vector<std::string>& Conversation::heard_at_last() const {
  return state_->exchange.heard_at_last();
}

Task<void> Conversation::resynchronise(std::optional<Duration> longest) {
  State& state = *state_;
  // A line end alone may only go on with something that was left open, or answer a question that nobody
  // expected.
  const bool may_ask = state.profile.open.abandon || !state.exchange.heard_at_last().empty();
  state.give_up_owed();
  const std::string line_end =
      may_ask ? spoiled_line_end(state.profile) : std::string(line_end_of(state.profile));
  const bool has_barrier = state.profile.open.barrier.has_value();
  const Duration patience = sure_silence(state.profile);
  const WatchedLine::Limit limit(state.watched, longest.value_or(longest_way_in(state.profile)));
  for (int attempt = 0; attempt < 3 && !state.watched.time_is_up(); ++attempt) {
    if (attempt == 0 && state.sync.goes_by_the_word()) {
      const State::AtOnce found = co_await state.get_in_step_at_once(line_end, State::Console::open);
      if (found == State::AtOnce::in_step) co_return;
      continue;
    }
    co_await state.sync.listen_to_silence(patience);
    co_await state.watched.write(line_end);
    const Heard heard = co_await state.sync.listen(patience);
    if (!heard.at_top && state.framing.prompts().has_menus()) co_await state.sync.go_home();
    const bool proven = co_await state.sync.prove();
    if (proven) co_return;
  }
  throw Fault(
      FaultKind::no_reply, "the console did not get back into step after a reply that never came",
      has_barrier ? "It does not answer a harmless question any more" : "Its prompt does not come any more",
      "Unplug the controller, plug it in and try again");
}

Task<void> Conversation::leave_question() {
  State& state = *state_;
  const std::string no_answer = spoiled_line_end(state.profile);
  const WatchedLine::Limit limit(state.watched, longest_way_in(state.profile));
  for (int attempt = 0; attempt < 3 && !state.watched.time_is_up(); ++attempt) {
    co_await state.watched.write(no_answer);
    Heard heard = co_await state.sync.listen(state.profile.timing.reply);
    if (!heard.at_top && state.framing.prompts().has_menus()) heard.at_top = co_await state.sync.go_home();
    if (!heard.at_top && !state.framing.prompts().top().empty()) continue;
    const bool proven = co_await state.sync.prove();
    if (proven) co_return;
  }
  throw Fault(FaultKind::no_reply, "the console goes on asking");
}

std::vector<std::string> Conversation::as_sent(const Steps& steps, const Values& values) {
  std::vector<std::string> lines;
  for (const Step& step : steps) lines.push_back(step.send.format(values));
  return lines;
}

void Conversation::trust_no_prompt() {
  state_->framing.trust_no_prompt();
}

void Conversation::go_on_in_step() {
  state_->sync.set_in_step(true);
}

bool Conversation::in_step() const {
  return state_->sync.in_step();
}

std::unique_ptr<Line> Conversation::release() {
  return state_->line->release();
}

Line& Conversation::line() {
  return *state_->line;
}

}  // namespace armwise::console
