#include "talk.hpp"

#include <algorithm>
#include <iterator>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/console/conversation.hpp"
#include "echo.hpp"

namespace armwise::console {
namespace {

constexpr std::size_t kept_for_diagnosis = 4096;

// A pause that tells something is longer than this, and than twice any before.
constexpr Duration least_unusual_pause{200};

std::string without_numbers(std::string text) {
  std::erase_if(text, [](char c) { return c >= '0' && c <= '9'; });
  return text;
}

bool begins_like(const Template& answer, const std::string& prompt) {
  const std::vector<Piece>& pieces = answer.pieces();
  return !prompt.empty() && !pieces.empty() && !pieces.front().blank &&
         pieces.front().text.starts_with(prompt);
}

std::string in_seconds(Duration duration) {
  const auto tenths = duration.count() / 100;
  return std::to_string(tenths / 10) + (tenths % 10 != 0 ? "." + std::to_string(tenths % 10) : "") + " s";
}

}  // namespace

Talk::Talk(Line& line, const Profile& profile, Clock& clock)
    : line_(line), profile_(profile), clock_(clock), prompts_(profile), echo_(profile.open.echo) {}

void Talk::forget() {
  echo_ = profile_.open.echo;
  in_step_ = false;
  under_way_.reset();
  first_heard_ = ReplyBuffer();
  first_written_.clear();
}

void Talk::watch_silence(const std::function<void()>* silent, Duration longest) {
  silent_ = silent;
  longest_silence_ = longest;
  silent_at_.reset();
  expect_something();
}

void Talk::expect_something() {
  if (silent_ != nullptr && *silent_ && !silent_at_) silent_at_ = clock_.now() + longest_silence_;
}

// A wait in which the silence gets too long is gone on with once that has been told.
Task<Received> Talk::read_watched(Duration within) {
  const Instant last = clock_.now() + within;
  if (silent_at_ && *silent_at_ <= last) {
    const Duration until_told = std::max(*silent_at_ - clock_.now(), Duration{0});
    Received received = co_await line_.read(until_told);
    if (received.status != Received::Status::quiet) {
      silent_at_.reset();
      co_return received;
    }
    silent_at_.reset();
    (*std::exchange(silent_, nullptr))();
  }
  Received received = co_await line_.read(std::max(last - clock_.now(), Duration{0}));
  if (received.status != Received::Status::quiet) silent_at_.reset();
  co_return received;
}

Task<Received> Talk::read(Duration within) {
  Received received = co_await read_watched(within);
  if (received.status == Received::Status::closed) {
    in_step_ = false;
    throw Fault(FaultKind::line_lost, printable(line_.name()) + " went away",
                "The controller was unplugged, or it restarted");
  }
  if (received.status == Received::Status::data && first_heard_.size() < kept_for_diagnosis) {
    first_heard_.add(std::string_view(received.bytes).substr(0, kept_for_diagnosis));
  }
  co_return received;
}

Task<void> Talk::write(const std::string& bytes) {
  // What was taken of a line that failed must not be completed by this one.
  const std::string all = half_written_ ? spoiled_line_end(profile_) + bytes : bytes;
  if (first_written_.size() < kept_for_diagnosis) first_written_ += all;
  half_written_ = true;
  co_await line_.write(all, profile_.timing.reply);
  half_written_ = false;
}

// What a console said by itself since the last reply belongs to no command.
Task<std::vector<std::string>> Talk::discard_waiting() {
  ReplyBuffer bounded;
  while (true) {
    const Received received = co_await read(Duration{0});
    if (received.status != Received::Status::data) break;
    bounded.add(received.bytes);
  }
  co_return without_prompts(bounded.lines());
}

// The prompt, at the start of a line that says more.
bool Talk::stands_inside(const std::vector<std::string>& reply) const {
  return std::any_of(reply.begin(), reply.end(), [&](const std::string& line) {
    return !prompts_.top().empty() && line.starts_with(prompts_.top()) &&
           !behind_prompts(line, prompts_.top()).empty();
  });
}

bool Talk::is_usual_prompt(const PromptSeen& seen, const std::string& tail) const {
  return seen.line_start || (!usual_tail_.empty() && without_numbers(tail) == usual_tail_);
}

bool Talk::is_answered(const UnderWay& command, const std::vector<std::string>& lines) const {
  if (!trusts_prompts_ || !echo_) return false;
  return std::any_of(command.answers.begin(), command.answers.end(), [&](const Template& answer) {
    return !begins_like(answer, prompts_.top()) &&
           std::any_of(lines.begin(), lines.end(), [&](const std::string& line) {
             return answer.match(line, profile_.case_sensitive).has_value();
           });
  });
}

std::optional<Talk::Ending> Talk::ending_of(const UnderWay& command) const {
  const Duration quiet = profile_.timing.quiet, at_once{0};
  if (prompts_.top().empty() && end_line_seen_) {
    const bool answered = is_answered(command, command.buffer.first_lines());
    return Ending{{"", true, true}, answered ? at_once : quiet};
  }
  const std::string tail = command.buffer.tail();
  const std::optional<PromptSeen> seen = prompts_.at_end_of(tail);
  if (!seen) return std::nullopt;
  if (seen->top && profile_.open.reply_end && !end_line_seen_) return std::nullopt;
  std::vector<std::string> lines = command.buffer.first_lines();
  if (echo_.value_or(false)) {
    // A prompt before the echo is one from before: an answer is still to come.
    if (!take_out_echo(lines, command.sent, prompts_.top(), echo_known()))
      return Ending{*seen, profile_.timing.reply};
  }
  if (seen->top && is_usual_prompt(*seen, tail) && is_answered(command, lines)) return Ending{*seen, at_once};
  return Ending{*seen, seen->line_start ? quiet : mid_line_patience * quiet};
}

bool Talk::asks_for_more(const ReplyBuffer& buffer) const {
  const std::string_view more = trimmed(profile_.open.more);
  return !more.empty() && buffer.tail().ends_with(more);
}

void Talk::look_at_new_lines(ReplyBuffer& buffer) {
  if (!profile_.open.reply_end && look_ == nullptr) return;
  for (const std::string& line : buffer.newly_ended_lines()) {
    if (profile_.open.reply_end && profile_.open.reply_end->match(line, profile_.case_sensitive)) {
      end_line_seen_ = true;
    }
    if (look_ != nullptr) (*look_)(line);
  }
}

void Talk::note_waited(const UnderWay& command, Instant since, const std::string& why) {
  const Duration waited = clock_.now() - since;
  line_.remark("waited " + std::to_string(waited.count()) + " ms for the reply to \"" + command.sent + "\"",
               why);
}

// Nothing where the console fell silent before the reply's end, or where the time given is over.
Task<std::optional<Talk::Ending>> Talk::read_reply(UnderWay& command, std::optional<Duration> within) {
  ReplyBuffer& buffer = command.buffer;
  const std::string& sent = command.sent;
  const Instant start = clock_.now();
  const Instant last = start + profile_.timing.listing;
  const std::string more_send =
      profile_.open.more_send.empty() ? std::string(line_end_of(profile_)) : profile_.open.more_send;
  command.unfinished = false;
  Instant last_byte = start;
  while (true) {
    std::optional<Ending> ending = ending_of(command);
    const bool more = !ending && asks_for_more(buffer);
    const Duration patience = ending ? ending->quiet : (more ? profile_.timing.quiet : profile_.timing.reply);
    const Duration left = within ? start + *within - clock_.now() : patience;
    if (left < Duration{0} || (left == Duration{0} && patience > left)) {
      note_waited(command, start, "no longer than that can be waited for it");
      command.unfinished = true;
      co_return std::nullopt;
    }
    if (clock_.now() >= last) {
      throw Fault(FaultKind::no_reply, "the reply to \"" + printable(sent) + "\" did not end within " +
                                           in_seconds(profile_.timing.listing));
    }
    const Duration wait = std::min(left, patience);
    const Received received = co_await read(wait);
    if (received.status == Received::Status::data) {
      command.pause = std::max(command.pause, clock_.now() - std::exchange(last_byte, clock_.now()));
      buffer.add(received.bytes);
      look_at_new_lines(buffer);
    } else if (wait < patience) {
      continue;  // the time given is over
    } else if (more) {
      co_await write(more_send);
      buffer.add("\n");
    } else {
      if (patience == Duration{0}) {
        would_have_waited_until_ = clock_.now() + profile_.timing.quiet;
        note_waited(command, start, "its answer and its end have come");
      } else {
        if (ending) usual_tail_ = without_numbers(buffer.tail());
        const std::string silence = "silence for " + std::to_string(patience.count()) + " ms";
        note_waited(command, start, ending ? "its end has come, and " + silence : silence);
      }
      co_return ending;
    }
  }
}

Task<void> Talk::send(const std::string& sent, bool may_settle, Answers answers) {
  in_step_ = false;
  under_way_.reset();
  const auto until = std::exchange(would_have_waited_until_, std::nullopt);
  const bool right_behind = until && clock_.now() < *until;
  const std::vector<std::string> said = co_await discard_waiting();
  if (right_behind && !said.empty()) trusts_prompts_ = false;
  const std::string bytes = sent + std::string(line_end_of(profile_));
  co_await write(bytes);
  heard_at_last_.clear();
  usual_pause_ = std::max(usual_pause_, std::exchange(last_pause_, Duration{0}));
  end_line_seen_ = false;
  UnderWay command;
  command.sent = sent;
  command.may_settle = may_settle;
  command.answers = answers;
  command.right_behind = right_behind;
  under_way_ = std::move(command);
}

Task<std::optional<Heard>> Talk::hear(std::optional<Duration> within) {
  // Owed only where the time is over: whatever else ends the hearing ends the reply, too.
  UnderWay command = std::move(*under_way_);
  under_way_.reset();
  std::optional<Heard> heard;
  try {
    const std::optional<Ending> ending = co_await read_reply(command, within);
    if (!command.unfinished) heard = co_await heard_of(command, ending);
  } catch (const Fault&) {
    heard_at_last_ = command.buffer.lines();
    take_out_echo(heard_at_last_, command.sent, prompts_.top(), echo_known());
    throw;
  }
  last_pause_ = command.pause;
  if (command.unfinished) {
    command.answers = {};  // whatever is said meanwhile is answered behind it
    under_way_ = std::move(command);
  }
  co_return heard;
}

bool Talk::paused_unusually() const {
  return last_pause_ >= std::max(least_unusual_pause, 2 * usual_pause_);
}

Task<bool> Talk::rests_within(Duration within) {
  if (!under_way_) co_return true;
  UnderWay command = std::move(*under_way_);
  under_way_.reset();
  co_await read_reply(command, within);
  const bool rests = !command.unfinished;
  under_way_ = std::move(command);
  co_return rests;
}

Task<std::vector<std::string>> Talk::hear_late() {
  UnderWay command = under_way_ ? std::move(*under_way_) : UnderWay();
  under_way_.reset();
  in_step_ = false;
  // A console that goes on and on must not keep the next stop waiting.
  const std::optional<Duration> longest = 2 * profile_.timing.reply;
  co_await read_reply(command, longest);
  std::vector<std::string> lines = command.buffer.lines();
  take_out_echo(lines, command.sent, prompts_.top(), echo_known());
  co_return lines;
}

Task<Heard> Talk::heard_of(UnderWay& command, std::optional<Ending> ending) {
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
  if (echo_.value_or(true)) {
    std::vector<std::string> before;
    const bool echoed = take_out_echo(heard.lines, sent, prompts_.top(), echo_known(), &before);
    if (!sent.empty()) learn_echo(echoed);
    if (command.right_behind && !without_prompts(std::move(before)).empty()) trusts_prompts_ = false;
  }
  if (stands_inside(heard.lines)) trusts_prompts_ = false;
  heard.lines = without_prompts(std::move(heard.lines));
  in_step_ = true;
  co_return heard;
}

// The console fell silent without the end of its reply. What it said is whole if its last line has ended and
// a barrier word comes back behind it: an unsolicited line behind the prompt, or a changed prompt, looks so.
Task<void> Talk::settle(ReplyBuffer& buffer, const std::string& sent, bool may_settle, Heard& heard) {
  std::vector<std::string> answer = buffer.lines();
  take_out_echo(answer, sent, prompts_.top(), echo_known());
  const std::string tail = buffer.tail();
  const bool whole_lines = tail.empty() || without_prompts({tail}).empty();
  if (!may_settle || !profile_.open.barrier || answer.empty() || !whole_lines) throw_no_reply(buffer, sent);
  const auto late = co_await barrier();
  if (!late) throw_no_reply(buffer, sent);
  heard.lines.insert(heard.lines.end(), late->lines.begin(), late->lines.end());
  heard.bytes += late->bytes;
  heard.settled = true;
  heard.at_top = true;
}

void Talk::throw_no_reply(const ReplyBuffer& buffer, const std::string& sent) const {
  const std::string what = "\"" + printable(sent) + "\"";
  std::vector<std::string> lines = buffer.lines();
  if (lines.empty()) {
    throw Fault(FaultKind::no_reply,
                "no reply to " + what + " came within " + in_seconds(profile_.timing.reply));
  }
  if (take_out_echo(lines, sent, prompts_.top(), echo_known()) && lines.empty()) {
    throw Fault(FaultKind::no_reply, "the console repeated " + what + " but did not answer within " +
                                         in_seconds(profile_.timing.reply));
  }
  throw Fault(FaultKind::no_reply, "only part of a reply to " + what + " came",
              "The last that came is \"" + printable(lines.back().substr(0, 80)) + "\"");
}

// Only the prompts themselves, and the page stops; text that merely starts like a prompt may be data.
std::vector<std::string> Talk::without_prompts(std::vector<std::string> lines) const {
  const std::string_view more = trimmed(profile_.open.more);
  for (std::string& line : lines) {
    if (!more.empty() && line.starts_with(more)) line.erase(0, more.size());
  }
  if (!lines.empty()) {
    std::string& last = lines.back();
    const auto seen = prompts_.at_end_of(trimmed(last));
    if (seen) last = std::string(trimmed(last.substr(0, last.rfind(seen->prompt))));
  }
  std::erase_if(lines,
                [&](const std::string& line) { return trimmed(line).empty() || prompts_.is_prompt(line); });
  return lines;
}

// A console that was known to echo and does not any more would be waited for in vain at each reply.
void Talk::learn_echo(bool echoed) {
  missing_echoes_ = echoed ? 0 : missing_echoes_ + 1;
  if (!echo_) {
    echo_ = echoed;
  } else if (*echo_ && missing_echoes_ >= 2) {
    echo_.reset();
  }
}

bool Talk::only_echo_heard() const {
  const std::vector<std::string> lines = first_heard_.lines();
  ReplyBuffer written;
  written.add(first_written_);
  const std::vector<std::string> sent = written.lines();
  return !lines.empty() && std::all_of(lines.begin(), lines.end(), [&](const std::string& line) {
    return std::find(sent.begin(), sent.end(), trimmed(line)) != sent.end();
  });
}

}  // namespace armwise::console
