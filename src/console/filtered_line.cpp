#include "armwise/console/filtered_line.hpp"

#include <algorithm>

#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/console/screen_lines.hpp"
#include "template_text.hpp"

namespace armwise::console {
namespace {

constexpr std::string_view ends_of_lines = "\r\n";
// What a console says at once comes at once; a prompt must not be held back longer than that.
constexpr Duration longest_hold{50};
constexpr std::size_t longest_held = 1024, longest_open = 512, most_left_out = 100;

enum class Fit { none, begun, whole };
struct Taken {
  Fit fit = Fit::none;
  std::size_t end = 0;
};

bool (*class_of(BlankType type))(char) {
  switch (type) {
    case BlankType::letters:
      return is_letter;
    case BlankType::name:
      return is_of_a_name;
    default:
      return is_digit;
  }
}

// As Template::match() of a beginning, which may not have come yet.
Taken stamp_in(const Template& stamp, std::string_view line) {
  std::size_t at = 0;
  const auto go_past = [&](bool (*of)(char)) {
    const std::size_t start = at;
    while (at < line.size() && of(line[at])) ++at;
    return at > start;
  };
  for (const Piece& piece : stamp.pieces()) {
    if (piece.blank) {
      go_past(is_blank);  // numbers may be set flush right
      const bool any = go_past(class_of(piece.type));
      if (at == line.size()) return {Fit::begun, at};
      if (!any) return {};
      continue;
    }
    for (const char c : piece.text) {
      if (at == line.size()) return {Fit::begun, at};
      if (is_blank(c) ? !go_past(is_blank) : lower(line[at]) != lower(c)) return {};
      if (!is_blank(c)) ++at;
    }
  }
  return {Fit::whole, at};
}

// Behind what only colours it; absent where that may go on.
std::optional<std::size_t> behind_colours(std::string_view line) {
  std::size_t at = 0;
  while (at < line.size() && line[at] == '\x1b') {
    const std::size_t end = line.find_first_not_of("[0123456789;", at + 1);
    if (end == std::string_view::npos) return std::nullopt;
    at = end + 1;
  }
  return at;
}

bool may_become(const Template& unasked, std::string_view beginning) {
  const std::string text = lower_case(squeezed(beginning)),
                    first = lower_case(trimmed(unasked.pieces().front().text));
  const std::size_t both = std::min(text.size(), first.size());
  return text.compare(0, both, first, 0, both) == 0;
}

}  // namespace

void LineFilter::begin_anew() {
  held_.clear();
  owed_.clear();
  open_line_.clear();
  passing_ = stamped_ = again_ = line_feed_ = false;
}

bool LineFilter::is_at_prompt() const {
  const std::string_view prompt = trimmed(open_.prompt);
  return !open_.unasked.empty() && !prompt.empty() && trimmed(open_line_) == prompt;
}

// The line that ended last may have been ended by what is said unasked only.
bool LineFilter::may_go_on() const {
  const std::string_view prompt = trimmed(open_.prompt);
  return !open_.unasked.empty() && !open_line_.empty() &&
         (prompt.empty() ? !stamped_ : open_line_.starts_with(prompt));
}

LineFilter::Start LineFilter::start_of(std::string_view line, bool whole) const {
  Start start;
  const auto begin = behind_colours(line);
  start.sure = whole || begin;
  if (!begin) return start;
  std::size_t text = *begin;
  if (open_.stamp) {
    const std::string padded = std::string(line.substr(text)) + (whole ? " " : "");
    const Taken taken = stamp_in(*open_.stamp, padded);
    start.sure = whole || taken.fit != Fit::begun;
    if (taken.fit != Fit::whole) return start;
    text = start.stamp = std::min(text + taken.end, line.size());
  }
  const std::string seen = as_seen(line.substr(text));
  for (const Template& unasked : open_.unasked) {
    if (whole) start.unasked = start.unasked || unasked.match(seen);
    if (!whole && may_become(unasked, seen)) start.sure = false;
  }
  return start;
}

void LineFilter::hold_or_pass_line_ends(std::string& out) {
  const std::size_t count = std::min(held_.find_first_not_of(ends_of_lines), held_.size());
  owed_ += held_.substr(0, count);
  held_.erase(0, count);
  // What is said again stands right behind the line left out.
  if (may_go_on() && !again_) return;
  again_ = false;
  out += std::exchange(owed_, {});
  open_line_.clear();
}

// Absent where that is not to be seen yet.
std::optional<bool> LineFilter::is_said_again(std::size_t stamp) const {
  if (!again_) return false;
  const std::string_view text = std::string_view(held_).substr(stamp, open_line_.size());
  if (text == open_line_) return true;
  const bool goes_on = stamp + text.size() == held_.size() && open_line_.starts_with(text);
  return goes_on ? std::nullopt : std::optional(false);
}

void LineFilter::leave_out(std::size_t stamp, std::size_t end) {
  if (left_out_.size() < most_left_out) left_out_.push_back(as_seen(held_.substr(stamp, end - stamp)));
  line_feed_ = held_[end] == '\r';
  held_.erase(0, end + 1);
  again_ = !open_line_.empty();
}

void LineFilter::pass_line(std::string& out) {
  const std::string_view prompt = trimmed(open_.prompt);
  std::size_t count = std::min(held_.find_first_of(ends_of_lines), held_.size());
  const bool prompt_comes = !open_.unasked.empty() && open_line_.size() < prompt.size() &&
                            (open_line_ + held_.substr(0, count)).starts_with(prompt);
  if (prompt_comes) count = prompt.size() - open_line_.size();
  out += held_.substr(0, count);
  if (open_line_.size() < longest_open) open_line_ += held_.substr(0, count);
  held_.erase(0, count);
  if (!held_.empty() || is_at_prompt()) passing_ = false;
}

// False where more has to come.
bool LineFilter::step(std::string& out) {
  if (held_.empty()) return false;
  if (std::exchange(line_feed_, false)) {
    if (held_.front() == '\n') held_.erase(0, 1);
    return true;
  }
  if (passing_) {
    pass_line(out);
    return true;
  }
  if (ends_of_lines.find(held_.front()) != std::string_view::npos) {
    hold_or_pass_line_ends(out);
    return true;
  }
  const bool behind_prompt = owed_.empty() && !open_line_.empty();
  if (behind_prompt && is_blank(held_.front()) && !again_) {
    out += held_.front();
    open_line_ += held_.front();
    held_.erase(0, 1);
    return true;
  }
  const std::size_t end = held_.find_first_of(ends_of_lines);
  const bool whole = end != std::string::npos;
  const Start start = start_of(std::string_view(held_).substr(0, end), whole);
  if (start.unasked) {
    leave_out(start.stamp, end);
    return true;
  }
  const std::optional<bool> again = is_said_again(start.stamp);
  if (!again) return false;
  if (*again) {
    held_.erase(0, start.stamp + open_line_.size());
    owed_.clear();
    again_ = false;
    passing_ = !is_at_prompt();
    return true;
  }
  if (!start.sure) return false;
  if (!owed_.empty()) open_line_.clear();
  out += std::exchange(owed_, {});
  // Behind a prompt stands what was typed, and nothing is taken off that.
  if (!behind_prompt) held_.erase(0, start.stamp);
  stamped_ = start.stamp > 0;
  again_ = false;
  passing_ = true;
  return true;
}

std::string LineFilter::pass(std::string_view bytes) {
  std::string out;
  held_ += bytes;
  while (step(out)) {
  }
  if (held_.size() > longest_held) out += let_go();
  return out;
}

std::string LineFilter::let_go() {
  const bool behind_prompt = owed_.empty() && !open_line_.empty();
  std::string out = std::exchange(owed_, {});
  if (!out.empty()) open_line_.clear();
  again_ = false;
  if (held_.empty()) return out;
  const std::size_t stamp = start_of(held_, false).stamp;
  if (!behind_prompt) held_.erase(0, stamp);
  stamped_ = stamp > 0;
  passing_ = true;
  while (!held_.empty()) pass_line(out);
  return out;
}

std::string filtered(const Open& open, std::string_view text) {
  LineFilter filter(open);
  std::string out = filter.pass(text);
  return out + filter.let_go();
}

Task<Received> FilteredLine::read(Duration within) {
  const Instant last = clock_.now() + within;
  while (true) {
    const Instant until = filter_.holds() ? std::min(last, held_until_) : last;
    Received received = co_await line_->read(std::max(until - clock_.now(), Duration{0}));
    const bool data = received.status == Received::Status::data;
    if (data) {
      received.bytes = filter_.pass(received.bytes);
      held_until_ = clock_.now() + longest_hold;
    } else if (filter_.holds() &&
               (clock_.now() >= held_until_ || received.status == Received::Status::closed)) {
      received = {Received::Status::data, filter_.let_go()};
    } else if (received.status == Received::Status::closed || clock_.now() >= last) {
      co_return received;
    }
    if (!received.bytes.empty()) co_return received;
  }
}

Task<void> FilteredLine::write(std::string_view bytes, Duration within) {
  co_await line_->write(bytes, within);
}

void FilteredLine::discard_input() {
  line_->discard_input();
  filter_.begin_anew();
}

}  // namespace armwise::console
