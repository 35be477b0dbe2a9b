// An order to spin, whose line is ended only once its echo is right; its stop; and what both are answered,
// however late.
#include <algorithm>
#include <exception>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "conversation_inside.hpp"

namespace armwise::console {
namespace {

// A stop that was lost on the way leaves a motor turning: behind a reply that is late it is said again so
// soon.
constexpr Duration stopped_again_after{500};

// An answer to an order to spin that is not its confirmation is not waited for longer.
constexpr Duration unclear_for_at_most{80};

// Where what stop_now() was answered begins: behind the prompt that ends the reply before it, or with the
// word that spoils, which comes back as its echo or its refusal.
std::vector<std::string>::iterator first_of_the_stop(std::vector<std::string>& lines,
                                                     const std::string& prompt) {
  return std::find_if(lines.begin(), lines.end(), [&](const std::string& line) {
    const bool at_prompt = !prompt.empty() && line.starts_with(prompt) && line.size() > prompt.size();
    return at_prompt || lower_case(line).find(spoiling_word()) != std::string::npos;
  });
}

// What stands on its line before the word that spoils: a question, where it is no prompt.
std::string before_the_stop(const std::string& line, const Prompts& prompts) {
  const std::size_t word = lower_case(line).find(spoiling_word());
  const std::string_view before =
      trimmed(std::string_view(line).substr(0, word == std::string::npos ? 0 : word));
  return prompts.at_end_of(before) ? std::string() : std::string(before);
}

class LineWatch {
 public:
  LineWatch(Exchange& exchange, const std::function<void(const std::string&)>& look) : exchange_(exchange) {
    exchange_.watch_lines(&look);
  }
  ~LineWatch() { exchange_.watch_lines(nullptr); }
  LineWatch(const LineWatch&) = delete;
  LineWatch& operator=(const LineWatch&) = delete;

 private:
  Exchange& exchange_;
};

}  // namespace

// Its end is sent only where the line came back as it was sent.
Task<void> Conversation::State::send_with_care(const Steps& steps, std::size_t at, const std::string& sent,
                                               Answers answers) {
  const bool last = at + 1 == steps.size();
  const bool right = co_await exchange.type(sent);
  if (!right) {
    // One that has stopped repeating what is sent would be waited for in vain again.
    if (exchange.nothing_came_back()) framing.forget_echo();
    watched.take_as_unended();
    const std::string nothing;
    co_await watched.write(nothing);  // which puts the end behind what is half written
    co_await sync.listen_to_silence(sure_silence(profile));
    misheard = true;
    throw Fault(
        FaultKind::unreadable,
        "the console did not repeat \"" + printable(sent) + "\" as it was sent, so it was not carried out",
        "Bytes are lost or changed on the way", "Try another cable and another USB port");
  }
  co_await exchange.enter(sent, may_settle(steps[at], last), answers);
}

// What answers otherwise than it should may have understood otherwise, too: so much is said at once.
Task<std::optional<Heard>> Conversation::State::hear_with_care(const std::string& sent, Duration within,
                                                               const Look& look) {
  bool confirmed = false;
  const std::function<void(const std::string&)> looked = [&](const std::string& ended) {
    confirmed = look(ended) || confirmed;
  };
  const LineWatch watch(exchange, looked);
  const Duration at_first = std::min(within, unclear_for_at_most);
  std::optional<Heard> heard = co_await exchange.hear(at_first);
  if (!heard && !confirmed && exchange.anything_answered()) {
    throw Fault(FaultKind::unreadable,
                "the console's answer to \"" + printable(sent) + "\" is none that the profile knows");
  }
  if (!heard && within > at_first) heard = co_await exchange.hear(within - at_first);
  co_return heard;
}

Task<std::optional<Reply>> Conversation::run_with_care(const Steps& steps, const Values& values,
                                                       Duration within, const Look& look, Answers answers,
                                                       const SpinPermit&) {
  for (int attempt = 1;; ++attempt) {
    if (!state_->sync.in_step()) co_await resynchronise();
    state_->misheard = false;
    std::exception_ptr failure;
    std::optional<Reply> reply;
    try {
      reply = co_await state_->run(steps, values, within, &look, State::OnFailure::recover, answers);
    } catch (const Fault&) {
      failure = std::current_exception();
    }
    if (!failure) co_return reply;
    // What was misheard was not carried out; from the top, once.
    if (!state_->misheard || attempt == 2) std::rethrow_exception(failure);
  }
}

std::optional<bool> Conversation::echoes() const {
  return state_->framing.echoes();
}

Task<Conversation::Listened> Conversation::hear_line(const std::function<bool(const std::string&)>& is_it,
                                                     Duration within) {
  state_->owed.reset();
  co_return co_await state_->exchange.hear_line(is_it, within);
}

bool Conversation::owed() const {
  return state_->owed.has_value();
}

Task<Conversation::Late> Conversation::hear_owed() {
  State& state = *state_;
  const State::Owed owed = std::move(*state.owed);
  state.owed.reset();
  const bool rests = co_await state.exchange.rests_within(stopped_again_after);
  if (!rests) co_await stop_now();
  std::vector<std::string> lines = co_await state.exchange.hear_late();
  auto behind = first_of_the_stop(lines, state.framing.prompts().top());
  const bool told_apart = behind != lines.end();
  if (!told_apart) {
    // It may be under way, or lost: a second one harms nothing, and a lost one leaves a motor turning.
    co_await stop_now();
    const bool anything_came = !lines.empty();
    const std::vector<std::string> more = co_await state.exchange.hear_late();
    const auto end = static_cast<std::ptrdiff_t>(lines.size());
    lines.insert(lines.end(), more.begin(), more.end());
    // Where nothing had come before, this may be the owed reply, later still.
    behind = anything_came ? lines.begin() + end : first_of_the_stop(lines, state.framing.prompts().top());
  }
  Late late;
  if (behind != lines.end()) late.unended = before_the_stop(*behind, state.framing.prompts());
  for (std::string& line : lines) line = std::string(behind_prompts(line, state.framing.prompts().top()));
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

Task<void> Conversation::stop_now(Where where) {
  State& state = *state_;
  const std::string stop = stop_lines(state.profile);
  const std::string spoiled = spoiled_line_end(state.profile);
  std::string bytes = spoiled;
  // Where the profile knows the way out, it has been gone already.
  if (where == Where::half_way && !state.profile.open.abandon) bytes += line_end_of(state.profile);
  bytes += stop;
  // Some consoles are entered by an empty line; where that repeats the last command, it is the stop.
  if (where == Where::from_outside)
    bytes += std::string(line_end_of(state.profile)) + entering(state.profile) + spoiled + stop;
  state.sync.set_in_step(false);
  co_await state.watched.write(bytes);
  state.watched.expect_something();
}

Conversation::SilenceWatch::SilenceWatch(Conversation& conversation, const std::function<void()>& silent,
                                         Duration longest)
    : conversation_(conversation) {
  conversation_.state_->watched.watch_silence(&silent, longest);
}

Conversation::SilenceWatch::~SilenceWatch() {
  conversation_.state_->watched.watch_silence(nullptr, Duration{0});
}

Task<bool> Conversation::type(const std::string& line, const SpinPermit&) {
  co_return co_await state_->exchange.type(line);
}

}  // namespace armwise::console
