// A line that is sent in two, its end only once the console has repeated the rest of it rightly; and
// listening for one line, wherever it comes.
#include <algorithm>
#include <string_view>
#include <utility>

#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/console/conversation.hpp"
#include "talk.hpp"

namespace armwise::console {
namespace {

// A console that repeats each key does so at once; one that repeats whole lines would be waited for in vain.
constexpr Duration first_key_within{200};
// A line without end is no answer to anything.
constexpr std::size_t longest_unended = 4096;

std::string without_blanks(std::string text) {
  std::erase_if(text, [](char c) { return c == ' ' || c == '\t'; });
  return text;
}

}  // namespace

// Character by character; only a console that wraps its lines is taken more loosely about blanks. No line end
// was sent yet, so nothing may stand behind it.
bool Talk::is_echo_of(const std::string& sent) const {
  const auto same = [&](std::string_view came) {
    return trimmed(came) == trimmed(sent) || behind_prompts(came, framing_.prompts().top()) == trimmed(sent);
  };
  if (same(typed_.tail())) return true;
  const std::vector<std::string> lines = typed_.lines();
  if (lines.size() < 2) return false;
  std::string all;
  for (const std::string& line : lines) all += line;
  return without_blanks(all) == without_blanks(sent);
}

// So far it is right, and the rest may be on its way.
bool Talk::may_become_echo_of(const std::string& sent) const {
  return sent.starts_with(behind_prompts(typed_.tail(), framing_.prompts().top()));
}

Task<bool> Talk::type(const std::string& sent) {
  in_step_ = false;
  under_way_.reset();
  typed_ = ReplyBuffer();
  co_await discard_waiting();
  co_await line_.write_unended(sent);
  if (!framing_.echoes().value_or(false) || key_by_key_ == false) co_return true;
  while (!is_echo_of(sent)) {
    const bool begun = !typed_.empty();
    // Nothing turns yet, so what may still come is waited for; what is wrong already does not get right.
    Duration patience = begun ? Framing::mid_line_patience * profile_.timing.quiet : first_key_within;
    if ((begun && may_become_echo_of(sent)) || key_by_key_ == true) patience = profile_.timing.reply;
    const Received received = co_await line_.read(patience);
    if (received.status == Received::Status::data) {
      typed_.add(received.bytes);
      continue;
    }
    if (begun || key_by_key_ == true) co_return false;
    key_by_key_ = false;
    co_return true;
  }
  key_by_key_ = true;
  co_return true;
}

Task<void> Talk::enter(const std::string& sent, bool may_settle, Answers answers) {
  co_await line_.end();
  heard_at_last_.clear();
  framing_.begin();
  UnderWay command;
  command.sent = sent;
  command.may_settle = may_settle;
  command.answers = answers;
  command.buffer = std::exchange(typed_, ReplyBuffer());
  under_way_ = std::move(command);
}

Task<void> Talk::spoil(Duration silence) {
  line_.take_as_unended();
  const std::string nothing;
  co_await line_.write(nothing);  // which puts the end behind what is half written
  co_await listen_to_silence(silence);
}

bool Talk::anything_answered() const {
  if (!under_way_) return false;
  std::vector<std::string> lines = under_way_->buffer.lines();
  if (!under_way_->buffer.tail().empty() && !lines.empty()) lines.pop_back();
  framing_.take_out(lines, under_way_->sent);
  return !lines.empty();
}

Task<Conversation::Listened> Talk::hear_line(const std::function<bool(const std::string&)>& is_it,
                                             Duration within) {
  const Instant last = line_.no_later_than(within);
  const auto said_so = [&](const std::string& line) {
    return is_it(std::string(behind_prompts(line, framing_.prompts().top())));
  };
  Conversation::Listened listened;
  std::string unended;
  if (under_way_) {
    std::vector<std::string> lines = under_way_->buffer.lines();
    unended = under_way_->buffer.tail();
    listened.anything = !lines.empty();
    // Its end is still to come, and it must not be heard twice.
    if (!unended.empty() && !lines.empty()) lines.pop_back();
    for (const std::string& line : lines) listened.found = listened.found || said_so(line);
  }
  under_way_.reset();
  in_step_ = false;
  while (!listened.found && clock_.now() <= last) {
    const Received received = co_await line_.read(std::max(last - clock_.now(), Duration{0}));
    if (received.status != Received::Status::data) break;
    listened.anything = true;
    unended += received.bytes;
    for (std::size_t end = 0; (end = unended.find_first_of("\r\n")) != std::string::npos;) {
      const std::string line = printable(std::string_view(unended).substr(0, end));
      unended.erase(0, end + 1);
      listened.found = listened.found || (!line.empty() && said_so(line));
    }
    if (unended.size() > longest_unended) unended.erase(0, unended.size() - longest_unended);
  }
  co_return listened;
}

}  // namespace armwise::console
