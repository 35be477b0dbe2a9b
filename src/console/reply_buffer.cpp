#include "reply_buffer.hpp"

#include <algorithm>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"

namespace armwise::console {
namespace {

constexpr std::string_view line_ends = "\r\n";
constexpr std::size_t longest_prompt = 1024;
constexpr std::size_t longest_beginning = 16UL << 10U;

// A line that is drawn once more over itself, as some consoles do with each key: ESC [ K, or J, right behind
// a carriage return or before it.
bool erases(std::string_view escape) {
  if (!escape.starts_with("\x1b[")) return false;
  const std::size_t end = escape.find_first_not_of("0123456789", 2);
  return end != std::string_view::npos && (escape[end] == 'K' || escape[end] == 'J');
}

bool is_drawn_over(std::string_view line, std::string_view behind) {
  if (!behind.starts_with('\r')) return false;
  const std::size_t last = line.rfind('\x1b');
  return erases(behind.substr(1)) ||
         (last != std::string_view::npos && last + 5 > line.size() && last > 0 && erases(line.substr(last)));
}

}  // namespace

std::string as_seen(std::string_view raw, bool with_blanks) {
  std::string kept;
  for (const char c : raw) {
    if (c != '\b') {
      kept += c;
    } else if (!kept.empty()) {
      kept.pop_back();
    }
  }
  std::string seen = printable(kept);
  if (!with_blanks) seen.erase(std::min(seen.find_last_not_of(' ') + 1, seen.size()));
  return seen;
}

std::vector<std::string> lines_in(std::string_view bytes) {
  std::vector<std::string> all;
  // A megabyte of lines is not to be held twice while this grows.
  all.reserve(static_cast<std::size_t>(std::count(bytes.begin(), bytes.end(), '\n')) + 1);
  for (std::size_t start = 0; start < bytes.size();) {
    const std::size_t end = std::min(bytes.find_first_of(line_ends, start), bytes.size());
    const std::string_view line = bytes.substr(start, end - start);
    const std::string seen = as_seen(line);
    // A copy takes no more room than it needs.
    if (!seen.empty() && !is_drawn_over(line, bytes.substr(end))) all.push_back(seen);
    start = end + 1;
  }
  return all;
}

void ReplyBuffer::add(std::string_view bytes) {
  const std::size_t last_end = bytes.find_last_of(line_ends);
  if (last_end != std::string_view::npos) line_start_ = bytes_.size() + last_end + 1;
  bytes_ += bytes;
  if (bytes_.size() - line_start_ > longest_line) {
    throw Fault(FaultKind::unreadable, "the console sent a line longer than 64 KiB",
                "It may not be a text console, or the line is faulty", "Unplug it, plug it in and try again");
  }
  if (bytes_.size() > longest_reply) {
    throw Fault(FaultKind::unreadable, "the console sent more than 1 MiB in one reply",
                "It seems to send without end", "Unplug it, plug it in and try again");
  }
}

std::string ReplyBuffer::tail() const {
  const std::size_t start = std::max(line_start_, bytes_.size() - std::min(bytes_.size(), longest_prompt));
  return std::string(trimmed(as_seen(std::string_view(bytes_).substr(start))));
}

std::string ReplyBuffer::ended_line() const {
  if (line_start_ != bytes_.size()) return {};
  const std::string_view last(bytes_.data() + bytes_.size() - std::min(bytes_.size(), longest_prompt),
                              std::min(bytes_.size(), longest_prompt));
  const std::size_t end = last.find_last_not_of(line_ends);
  if (end == std::string_view::npos) return {};
  const std::size_t before = last.find_last_of(line_ends, end);
  const std::size_t start = before == std::string_view::npos ? 0 : before + 1;
  return std::string(trimmed(as_seen(last.substr(start, end + 1 - start))));
}

std::vector<std::string> ReplyBuffer::lines() const {
  return lines_in(bytes_);
}

std::vector<std::string> ReplyBuffer::first_lines() const {
  return lines_in(std::string_view(bytes_).substr(0, longest_beginning));
}

std::vector<std::string> ReplyBuffer::newly_ended_lines() {
  const std::string_view ended = std::string_view(bytes_).substr(taken_until_, line_start_ - taken_until_);
  taken_until_ = line_start_;
  return lines_in(ended);
}

bool ReplyBuffer::is_noise() const {
  const auto is_text = [](char c) { return (c >= ' ' && c <= '~') || c == '\r' || c == '\n' || c == '\t'; };
  const auto text = static_cast<std::size_t>(std::count_if(bytes_.begin(), bytes_.end(), is_text));
  return bytes_.size() >= 4 && text * 2 < bytes_.size();
}

}  // namespace armwise::console
