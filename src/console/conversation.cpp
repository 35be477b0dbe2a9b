#include "armwise/console/conversation.hpp"

#include <algorithm>
#include <exception>
#include <optional>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"
#include "talk.hpp"

namespace armwise::console {
namespace {

// A refusal is short, or stands at the top of what it explains; a line deep in a long listing is data.
constexpr std::size_t refusal_within_first = 3;
constexpr std::size_t short_reply = 10;

// No digit, which would make a number larger; no unit, exponent or hexadecimal digit, which would make
// another number; no answer to a question of yes or no.
constexpr std::string_view spoiler = "qzqz";

// A stop that was lost on the way leaves a motor turning: behind a reply that is late it is said again so
// soon.
constexpr Duration stopped_again_after{500};

// Beyond a listing that may still be under way; counted in deadlines of a reply.
constexpr int attempts_take = 10;

Duration longest_way_in(const Profile& profile) {
  return profile.timing.listing + attempts_take * profile.timing.reply;
}

// Without a word that tells, only a long silence tells that no late answer is under way.
Duration sure_silence(const Profile& profile) {
  return profile.open.barrier ? 4 * profile.timing.quiet : 2 * profile.timing.reply;
}

std::optional<std::string> refusal_in(const std::vector<std::string>& lines, const Profile& profile) {
  const std::size_t looked_at =
      lines.size() <= short_reply ? lines.size() : std::min(lines.size(), refusal_within_first);
  for (std::size_t i = 0; i < looked_at; ++i) {
    for (const Template& refusal : profile.refusals) {
      if (refusal.match(lines[i], profile.case_sensitive)) return lines[i];
    }
  }
  return std::nullopt;
}

void throw_where_refused(const std::string& sent, const Heard& heard, const Profile& profile) {
  const auto refusal = refusal_in(heard.lines, profile);
  if (!refusal) return;
  throw Fault(FaultKind::refused, "the console refused \"" + printable(sent) + "\"",
              "It said: \"" + *refusal + "\"");
}

std::string without_prompt(const std::string& line, const std::string& prompt) {
  const bool has = !prompt.empty() && line.starts_with(prompt);
  return std::string(trimmed(has ? line.substr(prompt.size()) : line));
}

// Where what stop_now() was answered begins: behind the prompt that ends the reply before it, or with the
// word that spoils, which comes back as its echo or its refusal.
std::vector<std::string>::iterator first_of_the_stop(std::vector<std::string>& lines,
                                                     const std::string& prompt) {
  return std::find_if(lines.begin(), lines.end(), [&](const std::string& line) {
    const bool at_prompt = !prompt.empty() && line.starts_with(prompt) && line.size() > prompt.size();
    return at_prompt || lower_case(line).find(spoiler) != std::string::npos;
  });
}

}  // namespace

std::string_view line_end_of(const Profile& profile) {
  switch (profile.open.line_ending) {
    case LineEnding::cr:
      return "\r";
    case LineEnding::lf:
      return "\n";
    case LineEnding::crlf:
      return "\r\n";
  }
  return "\n";
}

std::string entering(const Profile& profile) {
  const std::string& send = profile.open.send;
  if (send.empty()) return {};
  const bool is_key = static_cast<unsigned char>(send.back()) < ' ';
  return is_key ? send : send + std::string(line_end_of(profile));
}

std::string spoiled_line_end(const Profile& profile) {
  return std::string(spoiler) + std::string(line_end_of(profile));
}

std::string stop_lines(const Profile& profile) {
  if (!profile.spin) return {};
  const std::string end(line_end_of(profile));
  std::string stop;
  for (const Step& step : profile.spin->stop_all.steps) stop += step.send.format({}) + end;
  if (profile.open.home.empty()) return stop;
  // It may be heard from inside the menu, or only from the top: so both.
  const std::string home = profile.open.home + end;
  return stop + home + home + home + stop;
}

struct Conversation::State {
  State(std::unique_ptr<Line> opened, const Profile& spoken, Clock& clock)
      : line(std::move(opened)), profile(spoken), talk(*line, spoken, clock) {}

  std::unique_ptr<Line> line;
  const Profile& profile;
  Talk talk;

  Task<bool> wake(bool with_open_send);
  bool may_settle(const Step& step, bool last) const;
  Task<std::optional<Reply>> run(const Steps& steps, const Values& values, std::optional<Duration> within,
                                 const std::function<void()>& before_last);
  void take(const Step& step, const std::string& sent, const Heard& heard, Reply& reply) const;
  std::string wanted_prompt(const Step& step) const;
  // The step whose reply is owed, and what the steps before it answered.
  struct Owed {
    Step step;
    std::string sent;
    Reply before;
  };
  std::optional<Owed> owed;
  void give_up_owed() {
    owed.reset();
    talk.give_up_owed();
  }
  void throw_not_open() const;
};

Conversation::Conversation(std::unique_ptr<Line> line, const Profile& profile, Clock& clock)
    : state_(std::make_unique<State>(std::move(line), profile, clock)) {}
Conversation::~Conversation() = default;

// True where the console may be listening.
Task<bool> Conversation::State::wake(bool with_open_send) {
  const Duration patience = talk.prompts().top().empty() ? 3 * profile.timing.quiet : profile.timing.reply;
  const std::string line_end(line_end_of(profile));
  co_await talk.write(line_end);
  Heard heard = co_await talk.listen(patience);
  if (heard.at_top) co_return true;
  const std::string knock = entering(profile);
  if (with_open_send && !knock.empty()) {
    co_await talk.write(knock);
    heard = co_await talk.listen(patience);
    if (heard.at_top) co_return true;
  }
  if (talk.prompts().top().empty()) co_return true;
  co_return co_await talk.go_home();
}

void Conversation::State::throw_not_open() const {
  const std::string name = printable(line->name());
  if (!talk.anything_heard()) {
    throw Fault(FaultKind::no_reply, "nothing answers on " + name,
                "It may be another device, or its console is not the one that the profile \"" + profile.name +
                    "\" describes",
                "Check the port and the profile, unplug the controller, plug it in and try again");
  }
  if (talk.only_noise_heard()) {
    throw Fault(FaultKind::unreadable, "what comes from " + name + " is no text",
                "The speed may be wrong, or it is not the device expected", "Check the port and its speed");
  }
  if (talk.only_echo_heard()) {
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

Task<void> Conversation::open() {
  State& state = *state_;
  state.line->discard_input();
  state.talk.forget();
  const Duration banner = 3 * state.profile.timing.quiet;
  co_await state.talk.listen(banner);
  // What stands half typed may be half an order to spin. Where a console takes it all the same, spoiler and
  // all, the stop is right behind it.
  const std::string first = spoiled_line_end(state.profile) + stop_lines(state.profile);
  co_await state.talk.write(first);
  const Duration silence = sure_silence(state.profile);
  co_await state.talk.listen_to_silence(silence);
  const Talk::Limit limit(state.talk, longest_way_in(state.profile));
  for (int attempt = 0; attempt < 3 && !state.talk.time_is_up(); ++attempt) {
    // A console without a prompt shows only by the barrier whether it is open already.
    const bool with_open_send = attempt > 0 || !state.talk.prompts().top().empty();
    const bool awake = co_await state.wake(with_open_send);
    if (!awake) continue;
    const bool proven = co_await state.talk.prove();
    if (proven) co_return;
  }
  state.throw_not_open();
}

std::string Conversation::State::wanted_prompt(const Step& step) const {
  return std::string(trimmed(step.prompt.empty() ? profile.open.prompt : step.prompt));
}

bool Conversation::State::may_settle(const Step& step, bool last) const {
  return last && wanted_prompt(step) == talk.prompts().top();
}

// Throws Fault(refused), or Fault(unreadable) where a menu goes elsewhere.
void Conversation::State::take(const Step& step, const std::string& sent, const Heard& heard,
                               Reply& reply) const {
  const std::string wanted = wanted_prompt(step);
  throw_where_refused(sent, heard, profile);
  if (!heard.settled && heard.prompt != wanted) {
    throw Fault(FaultKind::unreadable,
                "the console asked \"" + heard.prompt + "\" after \"" + printable(sent) + "\"",
                "The profile expects \"" + wanted + "\" there");
  }
  reply.lines.insert(reply.lines.end(), heard.lines.begin(), heard.lines.end());
  reply.bytes += heard.bytes;
}

// Nothing where the reply to the last step is owed.
Task<std::optional<Reply>> Conversation::State::run(const Steps& steps, const Values& values,
                                                    std::optional<Duration> within,
                                                    const std::function<void()>& before_last) {
  Reply reply;
  give_up_owed();
  const std::vector<std::string> lines = as_sent(steps, values);
  for (std::size_t i = 0; i < steps.size(); ++i) {
    const bool last = i + 1 == steps.size();
    std::exception_ptr failure;
    try {
      if (last && before_last) before_last();
      co_await talk.send(lines[i], may_settle(steps[i], last));
      const std::optional<Duration> patience = last ? within : std::nullopt;
      const std::optional<Heard> heard = co_await talk.hear(patience);
      if (!heard) {
        owed = Owed{steps[i], lines[i], std::move(reply)};
        co_return std::nullopt;
      }
      take(steps[i], lines[i], *heard, reply);
    } catch (const Fault& fault) {
      if (fault.kind() == FaultKind::line_lost || !talk.prompts().has_menus()) throw;
      failure = std::current_exception();
    }
    if (failure) {
      co_await talk.go_home_if_possible();
      std::rethrow_exception(failure);
    }
  }
  co_return reply;
}

Task<Reply> Conversation::run(const Steps& steps, const Values& values) {
  if (!state_->talk.in_step()) co_await resynchronise();
  const std::function<void()> nothing;
  const std::optional<Reply> reply = co_await state_->run(steps, values, std::nullopt, nothing);
  co_return *reply;
}

Task<std::optional<Reply>> Conversation::run_or_owe(const Steps& steps, const Values& values, Duration within,
                                                    const std::function<void()>& before_last) {
  if (!state_->talk.in_step()) co_await resynchronise();
  const std::optional<Reply> reply = co_await state_->run(steps, values, within, before_last);
  co_return reply;
}

bool Conversation::owed() const {
  return state_->owed.has_value();
}

Task<Conversation::Late> Conversation::hear_owed() {
  State& state = *state_;
  const State::Owed owed = std::move(*state.owed);
  state.owed.reset();
  const bool rests = co_await state.talk.rests_within(stopped_again_after);
  if (!rests) co_await stop_now();
  std::vector<std::string> lines = co_await state.talk.hear_late();
  auto behind = first_of_the_stop(lines, state.talk.prompts().top());
  const bool told_apart = behind != lines.end();
  if (!told_apart) {
    // It may be under way, or lost: a second one harms nothing, and a lost one leaves a motor turning.
    co_await stop_now();
    const bool anything_came = !lines.empty();
    const std::vector<std::string> more = co_await state.talk.hear_late();
    const auto end = static_cast<std::ptrdiff_t>(lines.size());
    lines.insert(lines.end(), more.begin(), more.end());
    // Where nothing had come before, this may be the owed reply, later still.
    behind = anything_came ? lines.begin() + end : first_of_the_stop(lines, state.talk.prompts().top());
  }
  for (std::string& line : lines) line = without_prompt(line, state.talk.prompts().top());
  Late late;
  late.told_apart = told_apart;
  late.owed = owed.before;
  late.owed.lines.insert(late.owed.lines.end(), lines.begin(), behind);
  late.behind.lines.assign(behind, lines.end());
  const Heard heard{late.owed.lines, "", true, false};
  try {
    throw_where_refused(owed.sent, heard, state.profile);
  } catch (const Fault& fault) {
    late.refused = fault;
  }
  co_return late;
}

const std::vector<std::string>& Conversation::heard_at_last() const {
  return state_->talk.heard_at_last();
}

Task<void> Conversation::resynchronise() {
  State& state = *state_;
  state.give_up_owed();
  const std::string line_end(line_end_of(state.profile));
  const bool has_barrier = state.profile.open.barrier.has_value();
  const Duration patience = sure_silence(state.profile);
  const Talk::Limit limit(state.talk, longest_way_in(state.profile));
  for (int attempt = 0; attempt < 3 && !state.talk.time_is_up(); ++attempt) {
    co_await state.talk.listen_to_silence(patience);
    co_await state.talk.write(line_end);
    const Heard heard = co_await state.talk.listen(patience);
    if (!heard.at_top && state.talk.prompts().has_menus()) co_await state.talk.go_home();
    const bool proven = co_await state.talk.prove();
    if (proven) co_return;
  }
  throw Fault(
      FaultKind::no_reply, "the console did not get back into step after a reply that never came",
      has_barrier ? "It does not answer a harmless question any more" : "Its prompt does not come any more",
      "Unplug the controller, plug it in and try again");
}

Task<void> Conversation::stop_now() {
  State& state = *state_;
  const std::string bytes = spoiled_line_end(state.profile) + stop_lines(state.profile);
  state.talk.fall_out_of_step();
  co_await state.talk.write(bytes);
  state.talk.expect_something();
}

Conversation::SilenceWatch::SilenceWatch(Conversation& conversation, const std::function<void()>& silent)
    : conversation_(conversation) {
  conversation_.state_->talk.watch_silence(&silent);
}

Conversation::SilenceWatch::~SilenceWatch() {
  conversation_.state_->talk.watch_silence(nullptr);
}

std::vector<std::string> Conversation::as_sent(const Steps& steps, const Values& values) {
  std::vector<std::string> lines;
  for (const Step& step : steps) lines.push_back(step.send.format(values));
  return lines;
}

bool Conversation::in_step() const {
  return state_->talk.in_step();
}

std::unique_ptr<Line> Conversation::release() {
  return std::move(state_->line);
}

Line& Conversation::line() {
  return *state_->line;
}

}  // namespace armwise::console
