#include "armwise/teach/number_bits.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <charconv>
#include <cstdint>
#include <set>

#include "armwise/base/text.hpp"
#include "armwise/teach/pointing.hpp"
#include "sites.hpp"
#include "words.hpp"

namespace armwise::teach {
namespace {

using console::Values;

constexpr int most_bits = 32;

struct Notation {
  std::string type;
  int base = 10;
};

std::optional<std::int64_t> number_in(std::string_view text, int base) {
  std::int64_t number = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number, base);
  const bool all = error == std::errc{} && end == text.data() + text.size() && text.front() != '-';
  return all && number >> most_bits == 0 ? std::optional(number) : std::nullopt;
}

std::optional<std::vector<std::int64_t>> all_in_base(const std::vector<std::string>& texts, int base) {
  std::vector<std::int64_t> numbers;
  for (const std::string& text : texts) {
    const auto number = text.empty() ? std::nullopt : number_in(text, base);
    if (!number) return std::nullopt;
    numbers.push_back(*number);
  }
  return numbers;
}

// In which these are all whole numbers, the likeliest first. Digits that look like another base than ten have
// letters among them, or zeros in front.
std::vector<Notation> notations_of(const std::vector<std::string>& texts) {
  std::size_t shortest = most_bits, longest = 0;
  bool letters = false, small = false, zeros = false;
  char largest = '0';
  for (const std::string& text : texts) {
    shortest = std::min(shortest, text.size());
    longest = std::max(longest, text.size());
    letters = letters || has_letter(text);
    small = small || (has_letter(text) && lower_case(text) == text);
    zeros = zeros || (text.size() > 1 && text.front() == '0');
    for (const char c : text) largest = std::max(largest, c);
  }
  const std::string width =
      shortest == longest && longest > 1 && (zeros || letters) ? std::to_string(longest) : std::string();
  std::vector<Notation> found;
  if (zeros && largest <= '1' && longest >= 6) found.push_back({"bin" + width, 2});
  if (letters || zeros) found.push_back({(letters && small ? "hex" : "HEX") + width, 16});
  if (zeros && largest <= '7') found.push_back({"oct" + width, 8});
  if (!letters && width.empty()) found.push_back({"int", 10});
  std::erase_if(found, [&](const Notation& each) { return !all_in_base(texts, each.base); });
  return found;
}

std::string of_bits(const Notation& notation, int low, int high) {
  return notation.type + "." + std::to_string(low) + (high > low ? "-" + std::to_string(high) : "");
}

std::string in_base(std::int64_t number, const Notation& notation) {
  std::array<char, 70> digits{};
  const auto [end, error] =
      std::to_chars(digits.data(), digits.data() + digits.size(), number, notation.base);
  const std::string text(digits.data(), error == std::errc{} ? end : digits.data());
  const auto capital = [](char c) { return c >= 'a' ? static_cast<char>(c - 'a' + 'A') : c; };
  std::string written = text;
  if (notation.type.starts_with("HEX")) std::transform(text.begin(), text.end(), written.begin(), capital);
  return written;
}

int width_of(std::int64_t number) {
  return static_cast<int>(std::bit_width(static_cast<std::uint64_t>(number)));
}

std::int64_t field(std::int64_t number, int low, int high) {
  return (number >> low) & ((std::int64_t{1} << (high - low + 1)) - 1);
}

// Each number has something else there than any other. The likeliest first: fields end where bits are the
// same in all of them, begin low, and have nothing in them that is always set.
std::vector<std::array<int, 2>> telling_fields(const std::vector<std::int64_t>& numbers) {
  std::int64_t vary = 0, always = ~std::int64_t{0};
  for (const std::int64_t number : numbers) {
    vary |= number ^ numbers.front();
    always &= number;
  }
  const int top = width_of(vary) - 1;
  struct Field {
    std::array<int, 2> bits;
    int cost;
  };
  std::vector<Field> fields;
  for (int low = 0; low <= top; ++low) {
    for (int high = low; high <= top; ++high) {
      std::set<std::int64_t> different;
      for (const std::int64_t number : numbers) different.insert(field(number, low, high));
      if (different.size() < numbers.size() || (vary >> high & 1) == 0) continue;
      const bool cut_above = vary >> (high + 1) & 1, cut_below = low > 0 && (vary >> (low - 1) & 1);
      const int set = std::popcount(static_cast<std::uint64_t>(field(always, low, high)));
      fields.push_back(
          {{low, high}, 8 * (cut_above + cut_below) + 2 * set + (low > 0 ? 3 : 0) + (high - low) / 4});
    }
  }
  std::stable_sort(fields.begin(), fields.end(),
                   [](const Field& a, const Field& b) { return a.cost < b.cost; });
  std::vector<std::array<int, 2>> found;
  found.reserve(fields.size());
  for (const Field& each : fields) found.push_back(each.bits);
  return found;
}

std::vector<std::string> column(const std::vector<Values>& rows, const std::string& blank) {
  std::vector<std::string> texts;
  texts.reserve(rows.size());
  for (const Values& row : rows) texts.push_back(row.at(blank));
  return texts;
}

// Absent where it does not read the same rows.
std::optional<MapReading> with_pins_as(const MapReading& reading, const std::string& type,
                                       const Lines& reply) {
  MapReading other = reading;
  const auto as_bits = [&](const console::Template& like) {
    std::string source = like.source();
    const std::size_t at = source.find("{pin");
    if (at != std::string::npos) source.replace(at, source.find('}', at) - at, "{pin:" + type);
    return template_of(source);
  };
  for (console::Template& line : other.list.lines) {
    const auto made = as_bits(line);
    if (!made) return std::nullopt;
    line = *made;
  }
  if (other.list.item) other.list.item = as_bits(*other.list.item);
  if (!other.list.item && reading.list.item) return std::nullopt;
  other.rows = console::rows_read(other.list, reply, false);
  if (other.rows.size() != reading.rows.size()) return std::nullopt;
  for (std::size_t i = 0; i < other.rows.size(); ++i) {
    if (!other.rows[i].contains("pin")) return std::nullopt;
    other.rows[i].emplace("motor", reading.rows[i].at("motor"));
  }
  other.no_pin.clear();
  return other;
}

// How the pins are read now.
struct PinBits {
  console::Piece piece;
  Notation notation;
};
std::optional<PinBits> bits_of_pins(const MapReading& reading) {
  const console::Template& like = reading.list.item ? *reading.list.item : reading.list.lines.front();
  for (const console::Piece& piece : like.pieces()) {
    if (piece.text != "pin" || !piece.bits) continue;
    const std::size_t at = like.source().find("{pin:") + 5;
    const std::string type = like.source().substr(at, like.source().find('.', at) - at);
    return PinBits{piece, {type, piece.base}};
  }
  return std::nullopt;
}

std::vector<std::int64_t> held_numbers(const MapReading& reading) {
  return all_in_base(column(reading.rows, console::held_with("pin")), 10)
      .value_or(std::vector<std::int64_t>());
}

// How many bits up from `low` hold nothing else: they are zero above those that are known.
int room_from(const std::vector<std::int64_t>& numbers, int low, int high) {
  std::int64_t any = 0;
  for (const std::int64_t number : numbers) any |= number;
  int end = high + 1;
  while (end < most_bits && (any >> end & 1) == 0) ++end;
  return end - low;
}

// "0302": zeros in front are there for other things than a name.
bool is_padded(const Notation& notation) {
  const std::size_t digits = notation.type.find_first_of("0123456789");
  return digits != std::string::npos && notation.type.substr(digits) != "2";
}

bool may_hold_several(const Notation& notation, const std::vector<std::string>& texts) {
  constexpr std::int64_t holds_several = 64;
  const std::vector<std::int64_t> numbers = *all_in_base(texts, notation.base);
  return is_padded(notation) || *std::max_element(numbers.begin(), numbers.end()) >= holds_several;
}

// Whether they write the same for every value that their bits may have.
bool write_alike(const BitsTold& a, const BitsTold& b) {
  const auto text = [](const BitsTold& told, const std::string& value) {
    const auto like = console::Template::parse("{bits:" + told.type + "}");
    return like.format({{"bits", value}, {console::held_with("bits"), told.held}});
  };
  return text(a, a.now) == text(b, b.now) && text(a, a.then) == text(b, b.then) && a.now == b.now &&
         a.then == b.then;
}

}  // namespace

bool may_hold_several(const std::vector<std::string>& texts) {
  const std::vector<Notation> notations = notations_of(texts);
  return !notations.empty() && may_hold_several(notations.front(), texts);
}

std::vector<MapReading> maps_in_bits(const MapReading& reading, const Lines& reply, std::size_t most) {
  std::vector<MapReading> found;
  std::set<std::vector<std::string>> seen;
  if (reading.kept != solve::MapKept::per_motor || reading.rows.size() < fewest_motors) return found;
  const std::vector<std::string> pins = column(reading.rows, "pin");
  for (const Notation& notation : notations_of(pins)) {
    const std::vector<std::int64_t> numbers = *all_in_base(pins, notation.base);
    if (!may_hold_several(notation, pins)) continue;
    for (const auto& [low, high] : telling_fields(numbers)) {
      if (found.size() >= most) break;
      auto other = with_pins_as(reading, of_bits(notation, low, high), reply);
      if (!other || !seen.insert(column(other->rows, "pin")).second) continue;
      other->likely += is_padded(notation) ? 1 : 0;
      found.push_back(std::move(*other));
    }
  }
  return found;
}

bool may_be_higher(const MapReading& reading) {
  const auto pins = bits_of_pins(reading);
  if (!pins) return false;
  const auto [low, high] = *pins->piece.bits;
  return room_from(held_numbers(reading), low, high) > high - low + 1;
}

std::optional<MapReading> with_highest_pin(const MapReading& reading, const Lines& reply,
                                           const std::string& highest) {
  const auto pins = bits_of_pins(reading);
  const auto number = pins && !highest.empty() ? number_in(highest, pins->notation.base) : std::nullopt;
  if (!number) return std::nullopt;
  const auto [low, high] = *pins->piece.bits;
  const int bits = std::max(width_of(*number), high - low + 1);
  if (bits > room_from(held_numbers(reading), low, high)) return std::nullopt;
  return with_pins_as(reading, of_bits(pins->notation, low, low + bits - 1), reply);
}

std::vector<BitsTold> bits_told(const std::string& now, const Typed& typed, const std::string& beside,
                                const std::string& value, const std::string& largest) {
  std::vector<BitsTold> found;
  std::set<std::string> addresses;
  for (const Span& word : words_of(beside)) addresses.insert(word.of(beside));
  addresses.erase(now);
  for (const Notation& notation : notations_of({now})) {
    const std::int64_t held = *number_in(now, notation.base);
    const auto wanted = value.empty() ? std::nullopt : number_in(value, notation.base);
    const auto most = largest.empty() ? std::nullopt : number_in(largest, notation.base);
    if (!value.empty() && (!wanted || !most)) continue;
    for (const std::string& line : typed) {
      for (const Span& word : words_of(line)) {
        std::string text = word.of(line);
        for (const std::string_view mark : {"0x", "0X", "$", "#", "0b"})
          if (text.starts_with(mark)) text.erase(0, mark.size());
        const auto number =
            text.empty() || addresses.contains(text) ? std::nullopt : number_in(text, notation.base);
        const std::int64_t changed = number ? *number ^ held : 0;
        if (changed == 0) continue;
        const int width = most ? width_of(*most) : 1;
        for (int low = 0; low + width <= most_bits; ++low) {
          const int high = low + width - 1;
          const bool all = field(changed, low, high) << low == changed;
          if (!all || (wanted && field(*number, low, high) != *wanted)) continue;
          const BitsTold told{of_bits(notation, low, high), in_base(field(held, low, high), notation),
                              in_base(field(*number, low, high), notation), std::to_string(held)};
          const bool is_new = std::none_of(found.begin(), found.end(),
                                           [&](const BitsTold& each) { return write_alike(each, told); });
          if (is_new) found.push_back(told);
        }
      }
    }
  }
  return found;
}

}  // namespace armwise::teach
