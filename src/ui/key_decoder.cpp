#include <map>

#include "armwise/ui/keys.hpp"

namespace armwise::ui {
namespace {

constexpr char escape = '\x1B';
// Longer than any key's sequence: what is longer is no key, and is thrown away.
constexpr std::size_t longest_sequence = 32;

// The final letter of ESC [ x and ESC O x, as in xterm's control sequences (cursor, keypad without NumLock).
Key key_of_letter(char letter) {
  static const std::map<char, Key::Kind> kinds{
      {'A', Key::Kind::up},   {'B', Key::Kind::down}, {'C', Key::Kind::right},  {'D', Key::Kind::left},
      {'H', Key::Kind::home}, {'F', Key::Kind::end},  {'E', Key::Kind::middle}, {'M', Key::Kind::enter}};
  const auto found = kinds.find(letter);
  return {found == kinds.end() ? Key::Kind::other : found->second, {}};
}

// ESC [ number ~
Key key_of_number(std::string_view number) {
  static const std::map<std::string, Key::Kind, std::less<>> kinds{
      {"1", Key::Kind::home},      {"2", Key::Kind::insert}, {"4", Key::Kind::end}, {"5", Key::Kind::page_up},
      {"6", Key::Kind::page_down}, {"7", Key::Kind::home},   {"8", Key::Kind::end}};
  const auto found = kinds.find(number);
  return {found == kinds.end() ? Key::Kind::other : found->second, {}};
}

// The keypad in application mode sends ESC O p … ESC O y for 0 … 9.
Key key_after_o(char letter) {
  if (letter >= 'p' && letter <= 'y') return Key::of(std::string(1, static_cast<char>('0' + (letter - 'p'))));
  return key_of_letter(letter);
}

Key control_key(char byte) {
  switch (byte) {
    case '\x03':
      return {Key::Kind::interrupt, {}};
    case '\x04':
      return {Key::Kind::end_of_input, {}};
    case '\r':
    case '\n':
      return {Key::Kind::enter, {}};
    case '\t':
      return {Key::Kind::tab, {}};
    case '\x7F':
    case '\b':
      return {Key::Kind::backspace, {}};
    case '\x15':
      return {Key::Kind::erase_line, {}};
    default:
      return {};
  }
}

std::size_t utf8_length(char lead) {
  const auto byte = static_cast<unsigned char>(lead);
  if (byte < 0x80) return 1;
  if (byte >= 0xC2 && byte < 0xE0) return 2;
  if (byte >= 0xE0 && byte < 0xF0) return 3;
  if (byte >= 0xF0 && byte < 0xF5) return 4;
  return 0;  // not the start of a character
}

struct Taken {
  std::size_t bytes = 0;  // 0: more is needed
  Key key;
};

Taken take_sequence(std::string_view text) {
  if (text.size() < 2) return {};
  if (text[1] == 'O') return text.size() < 3 ? Taken{} : Taken{3, key_after_o(text[2])};
  if (text[1] == escape) return {1, {Key::Kind::escape, {}}};
  if (text[1] != '[') return {2, {}};
  std::size_t end = 2;
  while (end < text.size() && text[end] >= 0x20 && text[end] <= 0x3F) ++end;
  if (end == text.size()) return end > longest_sequence ? Taken{end, {}} : Taken{};
  const std::string_view inside = text.substr(2, end - 2);
  if (text[end] == '~') return {end + 1, key_of_number(inside)};
  // "ESC [ 1 ; 5 C" is Ctrl with an arrow: not the arrow alone.
  return {end + 1, inside.empty() ? key_of_letter(text[end]) : Key{}};
}

Taken take_one(std::string_view text) {
  const char lead = text.front();
  if (lead == escape) return take_sequence(text);
  if (static_cast<unsigned char>(lead) < 0x20 || lead == '\x7F') return {1, control_key(lead)};
  const std::size_t length = utf8_length(lead);
  if (length == 0) return {1, {}};
  if (text.size() < length) return {};
  for (std::size_t i = 1; i < length; ++i) {
    if ((static_cast<unsigned char>(text[i]) & 0xC0U) != 0x80U) return {1, {}};
  }
  return {length, Key::of(text.substr(0, length))};
}

}  // namespace

bool Key::is(std::string_view character) const {
  return kind == Kind::text && lower_case(text) == character;
}

std::string Key::in_words() const {
  static const std::map<Key::Kind, std::string> names{{Key::Kind::left, "left arrow"},
                                                      {Key::Kind::right, "right arrow"},
                                                      {Key::Kind::up, "up arrow"},
                                                      {Key::Kind::down, "down arrow"},
                                                      {Key::Kind::home, "Home"},
                                                      {Key::Kind::end, "End"},
                                                      {Key::Kind::page_up, "Page up"},
                                                      {Key::Kind::page_down, "Page down"},
                                                      {Key::Kind::middle, "the keypad's middle key"},
                                                      {Key::Kind::insert, "Insert"},
                                                      {Key::Kind::enter, "Enter"},
                                                      {Key::Kind::tab, "Tab"},
                                                      {Key::Kind::backspace, "Backspace"},
                                                      {Key::Kind::escape, "Escape"}};
  if (kind == Key::Kind::text) return text == " " ? "the space bar" : "\"" + text + "\"";
  const auto found = names.find(kind);
  return found == names.end() ? "that key" : found->second;
}

std::vector<Key> KeyDecoder::feed(std::string_view bytes) {
  pending_ += bytes;
  std::vector<Key> keys;
  std::string_view rest = pending_;
  while (!rest.empty()) {
    const Taken taken = take_one(rest);
    if (taken.bytes == 0) break;
    keys.push_back(taken.key);
    rest.remove_prefix(taken.bytes);
  }
  pending_ = std::string(rest);
  return keys;
}

std::vector<Key> KeyDecoder::flush() {
  if (pending_.empty()) return {};
  const bool lone_escape = pending_.size() == 1 && pending_.front() == escape;
  pending_.clear();
  return {{lone_escape ? Key::Kind::escape : Key::Kind::other, {}}};
}

}  // namespace armwise::ui
