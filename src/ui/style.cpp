#include "armwise/ui/style.hpp"

#include <sys/ioctl.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cstdint>
#include <cstdlib>
#include <utility>

#include "armwise/base/text.hpp"

namespace armwise::ui {
namespace {

// The codes of an ink for each depth. Of the 256 colours only a handful is neither too dark for black nor too
// bright for white, and of the eight none: there a patch brings its own ground with it.
std::string_view codes_of(Ink ink, ColourDepth depth) {
  const bool many = depth == ColourDepth::two_hundred_and_fifty_six;
  switch (ink) {
    case Ink::plain:
      return {};
    case Ink::strong:
    case Ink::wrong:
      return "1";
    case Ink::faint:
      return many ? "38;5;243" : "";
    case Ink::clockwise:
      return many ? "38;5;63" : "1";
    case Ink::counter_clockwise:
      return many ? "38;5;163" : "1";
    case Ink::keycap:
      return "7";
    case Ink::moving:
      return many ? "1;38;5;63" : "1";
    case Ink::danger:
      return many ? "1;38;5;231;48;5;160" : "1;37;41";
    case Ink::proven:
      return many ? "1;38;5;29" : "30;42";
  }
  return {};
}

ColourDepth depth_of(const Surroundings& around) {
  const std::string colours = lower_case(around.variable("COLORTERM"));
  const bool many = colours == "truecolor" || colours == "24bit" ||
                    around.variable("TERM").find("256") != std::string::npos;
  return many ? ColourDepth::two_hundred_and_fifty_six : ColourDepth::eight;
}

bool speaks_utf8(const Surroundings& around) {
  for (const char* name : {"LC_ALL", "LC_CTYPE", "LANG"}) {
    const std::string value = lower_case(around.variable(name));
    if (value.empty()) continue;
    return value.find("utf-8") != std::string::npos || value.find("utf8") != std::string::npos;
  }
  return false;
}

// The next code point and how many bytes it takes; text is valid UTF-8 after printable().
std::pair<std::uint32_t, std::size_t> next_code(std::string_view text, std::size_t at) {
  const auto lead = static_cast<unsigned char>(text[at]);
  const std::size_t length = lead < 0x80 ? 1 : lead < 0xE0 ? 2 : lead < 0xF0 ? 3 : 4;
  std::uint32_t code = length == 1 ? lead : lead & (0x7FU >> length);
  for (std::size_t i = 1; i < length && at + i < text.size(); ++i) {
    code = (code << 6U) | (static_cast<unsigned char>(text[at + i]) & 0x3FU);
  }
  return {code, std::min(length, text.size() - at)};
}

bool within(std::uint32_t code, std::initializer_list<std::pair<std::uint32_t, std::uint32_t>> ranges) {
  return std::any_of(ranges.begin(), ranges.end(),
                     [&](const auto& range) { return code >= range.first && code <= range.second; });
}

// The common ranges of Unicode's EastAsianWidth.txt, W and F; enough for names of boards and craft.
int columns_of_code(std::uint32_t code) {
  if (within(code, {{0x300, 0x36F}, {0x200B, 0x200F}, {0x20D0, 0x20FF}, {0xFE00, 0xFE0F}})) return 0;
  if (within(code, {{0x1100, 0x115F},
                    {0x2E80, 0xA4CF},
                    {0xAC00, 0xD7A3},
                    {0xF900, 0xFAFF},
                    {0xFE30, 0xFE6F},
                    {0xFF00, 0xFF60},
                    {0xFFE0, 0xFFE6},
                    {0x1F300, 0x1F64F},
                    {0x1F900, 0x1F9FF},
                    {0x20000, 0x3FFFD}}))
    return 2;
  return 1;
}

}  // namespace

std::size_t bytes_that_fit(std::string_view text, int columns) {
  std::size_t at = 0;
  int used = 0;
  while (at < text.size()) {
    const auto [code, length] = next_code(text, at);
    used += columns_of_code(code);
    if (used > columns && at > 0) break;
    at += length;
  }
  return at;
}

std::optional<ColourChoice> colour_choice_named(std::string_view text) {
  if (text == "auto") return ColourChoice::automatic;
  if (text == "always") return ColourChoice::always;
  if (text == "never") return ColourChoice::never;
  return std::nullopt;
}

std::string Surroundings::variable(const std::string& name) const {
  const auto found = variables.find(name);
  return found == variables.end() ? std::string() : found->second;
}

Surroundings Surroundings::of_this_process() {
  Surroundings around;
  for (const char* name : {"NO_COLOR", "TERM", "COLORTERM", "LC_ALL", "LC_CTYPE", "LANG", "ACCESSIBLE"}) {
    if (const char* value = std::getenv(name)) around.variables[name] = value;
  }
  around.input_is_terminal = isatty(STDIN_FILENO) == 1;
  around.output_is_terminal = isatty(STDOUT_FILENO) == 1;
  around.error_is_terminal = isatty(STDERR_FILENO) == 1;
  winsize size{};
  if (ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 0) {
    around.columns = size.ws_col;
    around.rows = size.ws_row;
  }
  return around;
}

bool colour_wanted(ColourChoice choice, const Surroundings& around, bool stream_is_terminal) {
  if (choice == ColourChoice::always) return true;
  if (choice == ColourChoice::never || !stream_is_terminal) return false;
  const std::string terminal = around.variable("TERM");
  return around.variable("NO_COLOR").empty() && !terminal.empty() && terminal != "dumb";
}

Style style_for(ColourChoice choice, const Surroundings& around, bool stream_is_terminal, bool ascii) {
  Style style;
  if (colour_wanted(choice, around, stream_is_terminal)) style.colour = depth_of(around);
  style.unicode = !ascii && speaks_utf8(around);
  style.columns = std::max(around.columns, narrowest);
  return style;
}

std::string painted(std::string_view text, Ink ink, const Style& style) {
  if (style.colour == ColourDepth::none || text.empty()) return std::string(text);
  const std::string_view codes = codes_of(ink, style.colour);
  if (codes.empty()) return std::string(text);
  return "\x1B[" + std::string(codes) + "m" + std::string(text) + "\x1B[0m";
}

int columns_of(std::string_view text) {
  int columns = 0;
  for (std::size_t at = 0; at < text.size();) {
    const auto [code, length] = next_code(text, at);
    columns += columns_of_code(code);
    at += length;
  }
  return columns;
}

std::vector<std::string> wrapped(std::string_view text, int columns, std::string_view indent) {
  std::vector<std::string> lines;
  std::string line(indent);
  bool empty = true;
  const auto break_line = [&] {
    lines.push_back(line);
    line = indent;
    empty = true;
  };
  while (!text.empty()) {
    const std::size_t space = std::min(text.find(' '), text.size());
    std::string_view word = text.substr(0, space);
    text.remove_prefix(std::min(space + 1, text.size()));
    if (!empty && columns_of(line) + 1 + columns_of(word) > columns) break_line();
    const int room = std::max(1, columns - columns_of(indent));
    while (empty && columns_of(word) > room) {
      std::size_t fits = bytes_that_fit(word, room);
      // A path breaks behind one of its folders.
      const std::size_t folder = word.substr(0, fits).rfind('/');
      if (folder != std::string_view::npos && folder > 0) fits = folder + 1;
      line += word.substr(0, fits);
      word.remove_prefix(fits);
      break_line();
    }
    if (word.empty()) continue;
    if (!empty) line += ' ';
    line += word;
    empty = false;
  }
  if (!empty || lines.empty()) lines.push_back(line);
  return lines;
}

std::string padded(std::string_view text, int columns) {
  const int missing = columns - columns_of(text);
  std::string out(text);
  if (missing > 0) out.append(static_cast<std::size_t>(missing), ' ');
  return out;
}

}  // namespace armwise::ui
