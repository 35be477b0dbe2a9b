#include "exchange.hpp"

#include <algorithm>
#include <iterator>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/console/conversation.hpp"

namespace armwise::console {
namespace {

// A pause that tells something is longer than this, and than twice any before.
constexpr Duration least_unusual_pause{200};
// A line without end is no answer to anything.
constexpr std::size_t longest_unended = 4096;

std::string in_seconds(Duration duration) {
  const auto tenths = duration.count() / 100;
  return std::to_string(tenths / 10) + (tenths % 10 != 0 ? "." + std::to_string(tenths % 10) : "") + " s";
}

}  // namespace

void Exchange::look_at_new_lines(ReplyBuffer& buffer) {
  if (!profile_.open.reply_end && look_ == nullptr) return;
  for (const std::string& line : buffer.newly_ended_lines()) {
    framing_.look_at(line);
    if (look_ != nullptr) (*look_)(line);
  }
}

// Nothing where the console fell silent before the reply's end, or where the time given is over.
Task<std::optional<Framing::Ending>> Exchange::read_reply(UnderWay& command, std::optional<Duration> within) {
  ReplyBuffer& buffer = command.buffer;
  const std::string& sent = command.sent;
  const Instant start = clock_.now();
  const Instant last = start + profile_.timing.listing;
  const std::string more_send =
      profile_.open.more_send.empty() ? std::string(line_end_of(profile_)) : profile_.open.more_send;
  command.unfinished = false;
  Instant last_byte = start;
  while (true) {
    std::optional<Framing::Ending> ending = framing_.ending_of(buffer, sent, command.answers);
    const bool more = !ending && framing_.asks_for_more(buffer);
    const Duration patience = ending ? ending->quiet : (more ? profile_.timing.quiet : profile_.timing.reply);
    const Duration left = within ? start + *within - clock_.now() : patience;
    if (left < Duration{0} || (left == Duration{0} && patience > left)) {
      line_.remark_wait(sent, clock_.now() - start, "no longer than that can be waited for it");
      command.unfinished = true;
      co_return std::nullopt;
    }
    if (clock_.now() >= last) {
      throw Fault(FaultKind::no_reply, "the reply to \"" + printable(sent) + "\" did not end within " +
                                           in_seconds(profile_.timing.listing));
    }
    const Duration wait = std::min(left, patience);
    const Received received = co_await line_.read(wait);
    if (received.status == Received::Status::data) {
      command.pause = std::max(command.pause, clock_.now() - std::exchange(last_byte, clock_.now()));
      buffer.add(received.bytes);
      look_at_new_lines(buffer);
    } else if (wait < patience) {
      continue;  // the time given is over
    } else if (more) {
      co_await line_.write(more_send);
      buffer.add("\n");
    } else {
      if (patience == Duration{0}) {
        would_have_waited_until_ = clock_.now() + profile_.timing.quiet;
        line_.remark_wait(sent, clock_.now() - start, "its answer and its end have come");
      } else {
        if (ending) framing_.note_usual(buffer.tail());
        const std::string silence = "silence for " + std::to_string(patience.count()) + " ms";
        line_.remark_wait(sent, clock_.now() - start, ending ? "its end has come, and " + silence : silence);
      }
      co_return ending;
    }
  }
}

Task<void> Exchange::send(const std::string& sent, bool may_settle, Answers answers) {
  sync_.set_in_step(false);
  under_way_.reset();
  const auto until = std::exchange(would_have_waited_until_, std::nullopt);
  const bool right_behind = until && clock_.now() < *until;
  const ReplyBuffer waiting = co_await line_.take_waiting();
  const std::vector<std::string> said = framing_.without_prompts(waiting.lines());
  if (right_behind && !said.empty()) framing_.trust_no_prompt();
  const std::string bytes = sent + std::string(line_end_of(profile_));
  co_await line_.write(bytes);
  heard_at_last_.clear();
  usual_pause_ = std::max(usual_pause_, std::exchange(last_pause_, Duration{0}));
  framing_.begin();
  UnderWay command;
  command.sent = sent;
  command.may_settle = may_settle;
  command.answers = answers;
  command.right_behind = right_behind;
  under_way_ = std::move(command);
}

Task<bool> Exchange::type(const std::string& sent) {
  sync_.set_in_step(false);
  under_way_.reset();
  co_return co_await typed_.type(sent);
}

Task<void> Exchange::enter(const std::string& sent, bool may_settle, Answers answers) {
  co_await line_.end();
  heard_at_last_.clear();
  framing_.begin();
  UnderWay command;
  command.sent = sent;
  command.may_settle = may_settle;
  command.answers = answers;
  command.buffer = typed_.release();
  under_way_ = std::move(command);
}

Task<std::optional<Heard>> Exchange::hear(std::optional<Duration> within) {
  // Owed only where the time is over: whatever else ends the hearing ends the reply, too.
  UnderWay command = std::move(*under_way_);
  under_way_.reset();
  std::optional<Heard> heard;
  try {
    const std::optional<Framing::Ending> ending = co_await read_reply(command, within);
    if (!command.unfinished) heard = co_await heard_of(command, ending);
  } catch (const Fault&) {
    heard_at_last_ = command.buffer.lines();
    framing_.take_out(heard_at_last_, command.sent);
    throw;
  }
  last_pause_ = command.pause;
  if (command.unfinished) {
    command.answers = {};  // whatever is said meanwhile is answered behind it
    heard_at_last_ = command.buffer.lines();
    framing_.take_out(heard_at_last_, command.sent);
    under_way_ = std::move(command);
  }
  co_return heard;
}

bool Exchange::paused_unusually() const {
  return last_pause_ >= std::max(least_unusual_pause, 2 * usual_pause_);
}

Task<bool> Exchange::rests_within(Duration within) {
  if (!under_way_) co_return true;
  UnderWay command = std::move(*under_way_);
  under_way_.reset();
  co_await read_reply(command, within);
  const bool rests = !command.unfinished;
  under_way_ = std::move(command);
  co_return rests;
}

Task<std::vector<std::string>> Exchange::hear_late() {
  UnderWay command = under_way_ ? std::move(*under_way_) : UnderWay();
  under_way_.reset();
  sync_.set_in_step(false);
  // A console that goes on and on must not keep the next stop waiting.
  const std::optional<Duration> longest = 2 * profile_.timing.reply;
  co_await read_reply(command, longest);
  std::vector<std::string> lines = command.buffer.lines();
  framing_.take_out(lines, command.sent);
  co_return lines;
}

Task<Heard> Exchange::heard_of(UnderWay& command, std::optional<Framing::Ending> ending) {
  ReplyBuffer& buffer = command.buffer;
  const std::string& sent = command.sent;
  Heard heard;
  heard.lines = buffer.lines();
  if (ending) {
    heard.prompt = ending->seen.prompt;
    heard.at_top = ending->seen.top;
  } else {
    co_await settle(buffer, sent, command.may_settle, heard);
  }
  heard.bytes = buffer.release() + heard.bytes;  // not a megabyte copied
  if (framing_.echoes().value_or(true)) {
    std::vector<std::string> before;
    const bool echoed = framing_.take_out(heard.lines, sent, &before);
    if (!sent.empty()) framing_.learn_echo(echoed);
    if (command.right_behind && !framing_.without_prompts(std::move(before)).empty())
      framing_.trust_no_prompt();
  }
  framing_.learn_prompts(heard.lines);
  heard.lines = framing_.without_prompts(std::move(heard.lines));
  sync_.set_in_step(true);
  co_return heard;
}

// The console fell silent without the end of its reply. What it said is whole if its last line has ended and
// the sync word comes back behind it: an unsolicited line behind the prompt, or a changed prompt, looks so.
Task<void> Exchange::settle(ReplyBuffer& buffer, const std::string& sent, bool may_settle, Heard& heard) {
  std::vector<std::string> answer = buffer.lines();
  framing_.take_out(answer, sent);
  const std::string tail = buffer.tail();
  const bool whole_lines = tail.empty() || framing_.without_prompts({tail}).empty();
  if (!may_settle || !profile_.open.barrier || answer.empty() || !whole_lines) throw_no_reply(buffer, sent);
  const auto late = co_await sync_.send_word();
  if (!late) throw_no_reply(buffer, sent);
  heard.lines.insert(heard.lines.end(), late->lines.begin(), late->lines.end());
  heard.bytes += late->bytes;
  heard.settled = true;
  heard.at_top = true;
}

void Exchange::throw_no_reply(const ReplyBuffer& buffer, const std::string& sent) const {
  const std::string what = "\"" + printable(sent) + "\"";
  std::vector<std::string> lines = buffer.lines();
  if (lines.empty()) {
    throw Fault(FaultKind::no_reply,
                "no reply to " + what + " came within " + in_seconds(profile_.timing.reply));
  }
  if (framing_.take_out(lines, sent) && lines.empty()) {
    throw Fault(FaultKind::no_reply, "the console repeated " + what + " but did not answer within " +
                                         in_seconds(profile_.timing.reply));
  }
  throw Fault(FaultKind::no_reply, "only part of a reply to " + what + " came",
              "The last that came is \"" + printable(lines.back().substr(0, 80)) + "\"");
}

bool Exchange::anything_answered() const {
  if (!under_way_) return false;
  std::vector<std::string> lines = under_way_->buffer.lines();
  if (!under_way_->buffer.tail().empty() && !lines.empty()) lines.pop_back();
  framing_.take_out(lines, under_way_->sent);
  return !lines.empty();
}

Task<Conversation::Listened> Exchange::hear_line(const std::function<bool(const std::string&)>& is_it,
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
  sync_.set_in_step(false);
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
