#include "armwise/console/whole_configuration.hpp"

#include <algorithm>
#include <optional>

#include "armwise/base/text.hpp"
#include "reply_buffer.hpp"

namespace armwise::console {
namespace {

// Where it stands in the bytes: a reply of a megabyte is not to be held in pieces besides.
struct RawLine {
  std::string_view raw;
  std::string_view end;  // "\r\n" and its like; empty: the last one had none

  std::string text() const { return without_escapes(raw); }
  std::string seen() const { return as_seen(text()); }
};

// The bytes of the line end at `at`: \r\n, \n\r where no other \n follows, or one of them alone.
std::size_t line_end_length(std::string_view bytes, std::size_t at) {
  const auto is = [&](std::size_t i, char c) { return i < bytes.size() && bytes[i] == c; };
  if (is(at, '\r')) return is(at + 1, '\n') ? 2 : 1;
  return is(at + 1, '\r') && !is(at + 2, '\n') ? 2 : 1;
}

std::vector<RawLine> raw_lines_in(std::string_view bytes) {
  std::vector<RawLine> all;
  for (std::size_t start = 0; start < bytes.size();) {
    const std::size_t end = std::min(bytes.find_first_of("\r\n", start), bytes.size());
    const std::size_t length = end < bytes.size() ? line_end_length(bytes, end) : 0;
    all.push_back({bytes.substr(start, end - start), bytes.substr(end, length)});
    start = end + length;
  }
  return all;
}

// Of which raw line each line of the reply is, in order; nothing where one is nowhere. Looked for from the
// end, since an echo may read like a line. The first one may stand behind an echo, the last before a prompt.
std::optional<std::vector<std::size_t>> found_in(const std::vector<RawLine>& raw,
                                                 const std::vector<std::string>& lines, bool in_part) {
  std::vector<std::size_t> places(lines.size());
  std::size_t wanted = lines.size();
  for (std::size_t at = raw.size(); at > 0 && wanted > 0; --at) {
    const std::string& line = lines[wanted - 1];
    const bool at_an_end = wanted == 1 || wanted == lines.size();
    const std::string seen = raw[at - 1].seen();
    const bool fits = seen == line || (in_part && at_an_end && seen.find(line) != std::string::npos);
    if (fits) places[--wanted] = at - 1;
  }
  if (wanted > 0) return std::nullopt;
  return places;
}

// The line's own bytes, where it is a part of a raw line.
std::string part_of(const RawLine& raw, const std::string& line) {
  const std::string seen = raw.seen(), text = raw.text();
  if (seen == line) return text + std::string(raw.end);
  if (!seen.ends_with(line)) return line + "\n";  // the prompt stands behind it
  const std::size_t at = text.rfind(line);
  return (at == std::string::npos ? line : text.substr(at)) + std::string(raw.end);
}

}  // namespace

std::string as_it_came(std::string_view bytes, const std::vector<std::string>& lines) {
  const std::vector<RawLine> raw = raw_lines_in(bytes);
  auto places = found_in(raw, lines, false);
  if (!places) places = found_in(raw, lines, true);
  if (!places) return joined(lines, "\n") + "\n";
  std::string text, blanks;
  std::size_t next = 0;
  bool at_a_stop = false;
  for (std::size_t at = 0; at < raw.size(); ++at) {
    if (next < lines.size() && (*places)[next] == at) {
      text += blanks + part_of(raw[at], lines[next++]);
      blanks.clear();
      at_a_stop = false;
    } else if (raw[at].seen().empty()) {
      // What a console clears a page stop with is no line.
      const bool clears = at_a_stop && raw[at].end == "\r";
      if (!raw[at].end.empty() && !clears) blanks += raw[at].text() + std::string(raw[at].end);
    } else if (next < lines.size()) {
      at_a_stop = next > 0;
      if (!at_a_stop) blanks.clear();  // the echo
    } else {
      break;  // the prompt
    }
  }
  return text + blanks;
}

std::vector<std::string> configuration_lines(std::string_view text) {
  return lines_in(text);
}

}  // namespace armwise::console
