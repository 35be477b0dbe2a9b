#include "ear.hpp"

#include <algorithm>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"

namespace armwise::session {
namespace {

constexpr Duration write_time{2000};
// Long enough for an answer that is late, for nobody has said yet how late this console's answers are.
constexpr Duration first_byte{4000};
constexpr Duration long_silence{700};
constexpr Duration short_silence{60};
constexpr Duration prompt_silence{1200};
constexpr Duration between_words{2000};  // about how far a long reply has come
// A start-up that says nothing for so long has come to its end.
constexpr Duration silence_of_a_start{5000};
// As much as is read of a reply once the console is known.
constexpr std::size_t longest_reply = std::size_t{1} << 20U;
constexpr std::size_t longest_prompt = 200, longest_looked_into = 16384;

// Behind the last line end.
std::size_t start_of_last_line(const std::string& received) {
  const std::size_t end = received.find_last_of("\r\n");
  return end == std::string::npos ? 0 : end + 1;
}

std::string last_line(const std::string& received) {
  const std::size_t start = start_of_last_line(received);
  // No prompt is so long, and a line of a megabyte would be read again with every byte that comes.
  const std::size_t from =
      received.size() - start > longest_prompt ? received.size() - longest_prompt : start;
  return printable(std::string_view(received).substr(from));
}

bool asks_for_more(const std::string& received) {
  const std::string last = lower_case(last_line(received));
  return last.find("more") != std::string::npos || last.find("press") != std::string::npos;
}

// What ends without a line end, and is more than the echo, is most likely a prompt that is not known yet:
// that of a menu.
bool asks_something(const teach::Exchange& exchange) {
  if (exchange.received.size() - start_of_last_line(exchange.received) > longest_prompt) return false;
  const std::string last(trimmed(last_line(exchange.received)));
  return !last.empty() && !last.ends_with(exchange.sent);
}

// Anything but an echo. Whoever sends so much has answered; reading it all again each time would take for
// ever.
bool is_answer(const teach::Exchange& exchange, bool glued) {
  if (exchange.received.size() > longest_looked_into) return true;
  return !teach::split_reply(exchange, glued).lines.empty();
}

bool has_lines(const teach::Exchange& exchange, std::size_t lines) {
  return exchange.received.ends_with('\n') && teach::split_reply(exchange).lines.size() >= lines;
}

}  // namespace

console::FilteredLine& Ear::line() const {
  if (!line_)
    throw Fault(FaultKind::line_lost, "the line to the controller is closed", "It did not come back");
  return *line_;
}

bool Ear::ends_in_prompt(const std::string& received) const {
  const std::string last(trimmed(last_line(received)));
  return std::any_of(prompts.begin(), prompts.end(), [&](const std::string& prompt) {
    return !trimmed(prompt).empty() && last.ends_with(trimmed(prompt));
  });
}

// By a prompt, or by the line that ends each reply.
bool Ear::has_ended(const std::string& received) const {
  if (!prompts.empty() || !reply_end) return ends_in_prompt(received);
  const std::size_t end = received.find_last_not_of("\r\n");
  return end != std::string::npos && end + 1 < received.size() &&
         reply_end->match(last_line(received.substr(0, end + 1)));
}

// A page stop that was met before needs no silence to be known by.
bool Ear::stopped_for_more(const std::string& received) const {
  return !more.empty() && trimmed(last_line(received)) == more;
}

Task<std::string> Ear::raw(const std::string& bytes, Duration silence, Duration longest) {
  if (!bytes.empty()) co_await line().write(bytes, write_time);
  std::string received;
  const Instant last = clock_.now() + longest;
  while (clock_.now() < last) {
    const console::Received got = co_await line().read(std::min(silence, last - clock_.now()));
    if (got.status != console::Received::Status::data) break;
    received += got.bytes;
    if (received.size() > longest_reply) break;
  }
  co_return received;
}

Task<Ear::Heard> Ear::say(const std::string& sent, std::optional<Duration> longest, std::size_t lines) {
  line().discard_input();
  const std::string bytes = sent + line_end;
  co_await line().write(bytes, write_time);
  co_return co_await hear(sent, longest, lines);
}

Task<Ear::Heard> Ear::say_typed(const std::string& sent, std::optional<Duration> longest) {
  co_await line().write(line_end, write_time);
  co_return co_await hear(sent, longest, 0);
}

Task<Ear::Heard> Ear::hear(const std::string& sent, std::optional<Duration> longest, std::size_t lines) {
  Heard heard;
  line().take_left_out();
  teach::Exchange exchange{echo_in_capitals ? upper_case(sent) : sent, {}};
  const Instant start = clock_.now();
  Instant told = start;
  bool answered = false;
  std::optional<std::size_t> page;  // where the one begins that was asked for last
  while (exchange.received.size() < longest_reply) {
    if (prompts.empty() && lines > 0 && has_lines(exchange, lines)) break;
    const bool ended = has_ended(exchange.received);
    Duration patience = ended || stopped_for_more(exchange.received) ? short_silence
                        : answered && prompts.empty()                ? long_silence
                        : answered && asks_something(exchange)       ? prompt_silence
                                                                     : first_byte;
    const Duration left = longest ? start + *longest - clock_.now() : patience;
    heard.late = left < patience && !ended;
    if (left <= Duration(0)) break;
    patience = std::min(patience, left);
    const console::Received got = co_await line().read(patience);
    if (got.status == console::Received::Status::closed) {
      heard.closed = true;
      break;
    }
    if (got.status == console::Received::Status::data) {
      exchange.received += got.bytes;
      if (is_long && clock_.now() - told >= between_words) {
        told = clock_.now();
        is_long(
            static_cast<std::size_t>(std::count(exchange.received.begin(), exchange.received.end(), '\n')));
      }
      if (!answered && (is_answer(exchange, glued_echo) || ends_in_prompt(exchange.received) ||
                        asks_something(exchange))) {
        answered = true;
        slowest = std::max(slowest, clock_.now() - start);
      }
      continue;
    }
    if (heard.late) break;
    if (!ended && asks_for_more(exchange.received)) {
      const std::string stopped_with(trimmed(last_line(exchange.received)));
      const std::size_t end = start_of_last_line(exchange.received);
      // Nothing new came: it is a prompt with such a word in it, and would be answered for ever.
      if (page && trimmed(std::string_view(exchange.received).substr(*page, end - *page)).empty()) {
        if (more == stopped_with) more.clear();
        break;
      }
      more = stopped_with;
      exchange.received.resize(end);
      page = end;
      const std::string next = more_send.empty() ? line_end : more_send;
      co_await line().write(next, write_time);
      continue;
    }
    break;
  }
  const char* silence = has_ended(exchange.received) ? "its end has come, and silence" : "silence";
  const char* why = heard.late ? "no longer than that can be waited for it" : silence;
  line().remark_wait(sent, clock_.now() - start, heard.closed ? "the port went away" : why);
  heard.reply = teach::split_reply(exchange, glued_echo);
  heard.received = std::move(exchange.received);
  heard.left_out = line().take_left_out();
  co_return heard;
}

Task<bool> Ear::goes_away(Duration within) {
  const Instant deadline = clock_.now() + within;
  while (clock_.now() < deadline) {
    const console::Received got = co_await line().read(deadline - clock_.now());
    if (got.status == console::Received::Status::closed) co_return true;
    if (got.status == console::Received::Status::quiet) break;
  }
  co_return false;
}

Task<void> Ear::hear_start(Duration longest) {
  const Instant deadline = clock_.now() + longest;
  std::string received;
  while (clock_.now() < deadline && received.size() < longest_reply) {
    const bool prompt = ends_in_prompt(received);
    const Duration left = deadline - clock_.now();
    const Duration patience = std::min(prompt ? prompt_silence : silence_of_a_start, left);
    const console::Received got = co_await line().read(patience);
    if (got.status == console::Received::Status::closed) co_return;
    if (got.status == console::Received::Status::quiet) co_return;
    received += got.bytes;
  }
}

}  // namespace armwise::session
