#include "armwise/base/text.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cstdint>
#include <numeric>

namespace armwise {
namespace {

constexpr std::string_view replacement = "\xEF\xBF\xBD";  // U+FFFD

struct Decoded {
  std::uint32_t code = 0;
  std::size_t length = 0;  // 0: not valid UTF-8 here
};

bool continues(std::string_view text, std::size_t at, std::size_t count) {
  if (at + count >= text.size()) return false;
  for (std::size_t i = 1; i <= count; ++i) {
    if ((static_cast<unsigned char>(text[at + i]) & 0xC0U) != 0x80U) return false;
  }
  return true;
}

// Table 3-7 of the Unicode Standard: no overlong forms, no surrogates, nothing above U+10FFFF.
Decoded decode(std::string_view text, std::size_t at) {
  const auto byte = [&](std::size_t i) {
    return static_cast<std::uint32_t>(static_cast<unsigned char>(text[at + i]));
  };
  const std::uint32_t lead = byte(0);
  if (lead < 0x80U) return {lead, 1};
  if (lead >= 0xC2U && lead <= 0xDFU && continues(text, at, 1))
    return {((lead & 0x1FU) << 6U) | (byte(1) & 0x3FU), 2};
  if (lead >= 0xE0U && lead <= 0xEFU && continues(text, at, 2)) {
    const std::uint32_t code = ((lead & 0x0FU) << 12U) | ((byte(1) & 0x3FU) << 6U) | (byte(2) & 0x3FU);
    if (code >= 0x800U && (code < 0xD800U || code > 0xDFFFU)) return {code, 3};
  }
  if (lead >= 0xF0U && lead <= 0xF4U && continues(text, at, 3)) {
    const std::uint32_t code =
        ((lead & 0x07U) << 18U) | ((byte(1) & 0x3FU) << 12U) | ((byte(2) & 0x3FU) << 6U) | (byte(3) & 0x3FU);
    if (code >= 0x10000U && code <= 0x10FFFFU) return {code, 4};
  }
  return {};
}

// C0, DEL, C1, and the characters that turn text around (a name could hide its end with them).
bool is_control(std::uint32_t code) {
  return code < 0x20U || (code >= 0x7FU && code < 0xA0U) || code == 0x2028U || code == 0x2029U ||
         (code >= 0x202AU && code <= 0x202EU) || (code >= 0x2066U && code <= 0x2069U);
}

// The length of the escape sequence that starts at `at` (ECMA-48: CSI, OSC and other strings; ECMA-35:
// two bytes, or more with intermediate bytes).
std::size_t escape_length(std::string_view text, std::size_t at) {
  if (at + 1 >= text.size()) return 1;
  const char second = text[at + 1];
  std::size_t end = at + 2;
  if (second == '[') {
    while (end < text.size() && text[end] >= 0x20 && text[end] <= 0x3F) ++end;
    return std::min(end + 1, text.size()) - at;
  }
  if (second == ']' || second == 'P' || second == '^' || second == '_' || second == 'X') {
    while (end < text.size() && text[end] != '\a' && text[end] != '\x1B') ++end;
    if (end < text.size() && text[end] == '\x1B' && end + 1 < text.size() && text[end + 1] == '\\') ++end;
    return std::min(end + 1, text.size()) - at;
  }
  if (second == '\x1B') return 1;  // the next one starts here
  while (end <= text.size() && text[end - 1] >= 0x20 && text[end - 1] <= 0x2F) ++end;
  return std::min(end, text.size()) - at;
}

}  // namespace

std::string printable(std::string_view raw) {
  std::string out;
  out.reserve(raw.size());
  for (std::size_t i = 0; i < raw.size();) {
    if (raw[i] == '\x1B') {
      i += escape_length(raw, i);
      continue;
    }
    const Decoded decoded = decode(raw, i);
    if (decoded.length == 0) {
      out += replacement;
      ++i;
      continue;
    }
    if (raw[i] == '\t') {
      out += ' ';
    } else if (!is_control(decoded.code)) {
      out += raw.substr(i, decoded.length);
    }
    i += decoded.length;
  }
  return out;
}

std::string without_escapes(std::string_view raw) {
  std::string out;
  out.reserve(raw.size());
  for (std::size_t i = 0; i < raw.size();) {
    if (raw[i] == '\x1B') {
      i += escape_length(raw, i);
    } else {
      out += raw[i++];
    }
  }
  return out;
}

bool is_printable(std::string_view text) {
  for (std::size_t i = 0; i < text.size();) {
    const Decoded decoded = decode(text, i);
    if (decoded.length == 0 || is_control(decoded.code)) return false;
    i += decoded.length;
  }
  return true;
}

std::string_view trimmed(std::string_view text) {
  constexpr std::string_view blank = " \t\r\n";
  const std::size_t first = text.find_first_not_of(blank);
  if (first == std::string_view::npos) return {};
  return text.substr(first, text.find_last_not_of(blank) - first + 1);
}

bool is_squeezed(std::string_view text) {
  bool blank = true;  // before, and at the beginning
  for (const char c : text) {
    if (c == '\t' || (c == ' ' && blank)) return false;
    blank = c == ' ';
  }
  return text.empty() || !blank;
}

std::string squeezed(std::string_view text) {
  std::string out;
  for (const char c : text) {
    if (c != ' ' && c != '\t') {
      out += c;
    } else if (!out.empty() && out.back() != ' ') {
      out += ' ';
    }
  }
  if (!out.empty() && out.back() == ' ') out.pop_back();
  return out;
}

std::string capital(std::string text) {
  if (!text.empty() && text.front() >= 'a' && text.front() <= 'z')
    text.front() = static_cast<char>(text.front() - 'a' + 'A');
  return text;
}

std::string lower_case(std::string_view text) {
  std::string out(text);
  for (char& c : out) {
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  }
  return out;
}

std::size_t find_alone(std::string_view text, std::string_view words, std::size_t from) {
  const auto joined = [&](std::size_t at) {
    return at > 0 && at < text.size() && is_letter(text[at - 1]) && is_letter(text[at]);
  };
  std::size_t at = text.find(words, from);
  while (at != std::string_view::npos && (joined(at) || joined(at + words.size())))
    at = text.find(words, at + 1);
  return at;
}

std::string upper_case(std::string_view text) {
  std::string out(text);
  for (char& c : out) {
    if (c >= 'a' && c <= 'z') c = static_cast<char>(c - 'a' + 'A');
  }
  return out;
}

std::string line_and_column(std::string_view text, std::size_t byte) {
  const std::string_view before = text.substr(0, byte);
  const std::size_t start = before.rfind('\n');  // npos + 1 is 0
  return "line " + std::to_string(std::ranges::count(before, '\n') + 1) + ", column " +
         std::to_string(before.size() - (start + 1) + 1);
}

std::string first_sentence(std::string_view text) {
  const std::size_t end = text.find(". ");
  return std::string(text.substr(0, end == std::string_view::npos ? end : end + 1));
}

std::string joined(const std::vector<std::string>& parts, std::string_view between) {
  std::string out;
  for (const std::string& part : parts) {
    if (&part != &parts.front()) out += between;
    out += part;
  }
  return out;
}

std::string nearest(std::string_view typed, const std::vector<std::string>& candidates) {
  // Levenshtein with transposition of neighbours: a swap of two letters is the commonest slip.
  const auto distance = [](std::string_view a, std::string_view b) {
    std::vector<std::vector<std::size_t>> d(a.size() + 1, std::vector<std::size_t>(b.size() + 1));
    for (std::size_t i = 0; i <= a.size(); ++i) d[i][0] = i;
    std::iota(d[0].begin(), d[0].end(), std::size_t{0});
    for (std::size_t i = 1; i <= a.size(); ++i) {
      for (std::size_t j = 1; j <= b.size(); ++j) {
        d[i][j] =
            std::min({d[i - 1][j] + 1, d[i][j - 1] + 1, d[i - 1][j - 1] + (a[i - 1] == b[j - 1] ? 0U : 1U)});
        if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) {
          d[i][j] = std::min(d[i][j], d[i - 2][j - 2] + 1);
        }
      }
    }
    return d[a.size()][b.size()];
  };
  std::string best;
  std::size_t best_distance = std::max<std::size_t>(1, typed.size() / 3) + 1;
  for (const std::string& candidate : candidates) {
    const std::size_t d = distance(typed, candidate);
    if (d < best_distance) {
      best = candidate;
      best_distance = d;
    }
  }
  return best;
}

std::string number_text(double number, int decimals) {
  std::array<char, 400> text{};
  const auto [end, error] =
      std::to_chars(text.data(), text.data() + text.size(), number, std::chars_format::fixed, decimals);
  std::string out(text.data(), error == std::errc{} ? end : text.data());
  const bool is_zero = out.find_first_not_of("-0.") == std::string::npos;
  if (is_zero && out.starts_with('-')) out.erase(0, 1);
  return out;
}

std::string degrees_text(double degrees, int decimals) {
  const std::string number = number_text(degrees, decimals);
  return number + (number == "1" || number == "-1" ? " degree" : " degrees");
}

}  // namespace armwise
