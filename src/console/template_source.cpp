#include "template_source.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <optional>
#include <string>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"
#include "notation.hpp"
#include "template_text.hpp"

namespace armwise::console {
namespace {

constexpr std::size_t longest_source = 500;

bool is_name_character(char c) {
  return (c >= 'a' && c <= 'z') || is_digit(c) || c == '_';
}

[[noreturn]] void refuse(std::size_t at, const std::string& what) {
  throw Fault(FaultKind::bad_profile, "character " + std::to_string(at + 1) + ": " + what);
}

BlankType usual_type(std::string_view name) {
  if (name == "strength" || may_be_negative(name)) return BlankType::decimal;
  if (name == "milliseconds") return BlankType::whole;
  if (name == "rest") return BlankType::rest;
  if (name == "items") return BlankType::text;
  return BlankType::word;
}

constexpr std::array<std::pair<std::string_view, BlankType>, 11> type_names{{{"int", BlankType::whole},
                                                                             {"decimal", BlankType::decimal},
                                                                             {"word", BlankType::word},
                                                                             {"rest", BlankType::rest},
                                                                             {"text", BlankType::text},
                                                                             {"letters", BlankType::letters},
                                                                             {"digits", BlankType::digits},
                                                                             {"name", BlankType::name},
                                                                             {"sign", BlankType::sign},
                                                                             {"comma", BlankType::comma},
                                                                             {"number", BlankType::number}}};

std::optional<int> counted(std::string_view digits, int most) {
  int number = 0;
  const auto [end, error] = std::from_chars(digits.data(), digits.data() + digits.size(), number);
  const bool all = error == std::errc{} && end == digits.data() + digits.size();
  if (!all || number < 0 || number > most || (digits.size() > 1 && digits.front() == '0'))
    return std::nullopt;
  return number;
}

// "HEX4", "bin": another base than ten. False where it is none.
bool take_base(Piece& blank, std::string_view named) {
  struct Base {
    std::string_view name;
    int base, most_digits;
  };
  constexpr std::array<Base, 4> bases{{{"hex", 16, 8}, {"HEX", 16, 8}, {"oct", 8, 16}, {"bin", 2, 32}}};
  for (const Base& each : bases) {
    if (!named.starts_with(each.name)) continue;
    const std::string_view digits = named.substr(each.name.size());
    const auto count = digits.empty() ? std::optional(0) : counted(digits, each.most_digits);
    if (!count || (*count == 0 && !digits.empty())) return false;
    blank.type = BlankType::hex;
    blank.base = each.base;
    blank.detail = *count;
    blank.capitals = each.name == "HEX";
    return true;
  }
  return false;
}

// "0-7" or "15".
bool take_bits(Piece& blank, std::string_view named) {
  constexpr int most = 31;
  const std::size_t to = named.find('-');
  const auto low = counted(named.substr(0, to), most);
  const auto high = to == std::string_view::npos ? low : counted(named.substr(to + 1), most);
  const bool counts = blank.type == BlankType::hex || blank.type == BlankType::whole;
  if (!counts || !low || !high || *low > *high) return false;
  blank.bits = {{*low, *high}};
  return true;
}

// False where there is no such type.
bool take_type(Piece& blank, std::string_view named) {
  if (const std::size_t point = named.find('.'); point != std::string_view::npos)
    return take_type(blank, named.substr(0, point)) && take_bits(blank, named.substr(point + 1));
  for (const auto& [name, type] : type_names) {
    if (named != name) continue;
    blank.type = type;
    return true;
  }
  if (take_base(blank, named)) return true;
  const std::string_view number = named.substr(0, 6);
  const std::string_view added = named.substr(std::min<std::size_t>(named.size(), 6));
  if (number != "number" || added.size() < 2 || added.size() > 4 || (added[0] != '+' && added[0] != '-'))
    return false;
  const auto [end, error] = std::from_chars(added.data() + 1, added.data() + added.size(), blank.detail);
  if (error != std::errc{} || end != added.data() + added.size() || added[1] == '0') return false;
  blank.type = BlankType::number;
  if (added[0] == '-') blank.detail = -blank.detail;
  return true;
}

// Reads one template source, character by character.
class SourceReader {
 public:
  explicit SourceReader(std::string_view source) : source_(source) {}

  std::vector<Piece> read() {
    if (source_.size() > longest_source) refuse(longest_source, "longer than 500 characters");
    if (!is_printable(source_)) throw Fault(FaultKind::bad_profile, "holds a control character");
    while (at_ < source_.size()) {
      const char c = source_[at_];
      const bool doubled = at_ + 1 < source_.size() && source_[at_ + 1] == c;
      if ((c == '{' || c == '}') && doubled) {
        add_literal(c);
        at_ += 2;
      } else if (c == '{') {
        read_blank();
      } else if (c == '}') {
        refuse(at_, "a closing brace that nothing opened; write }} for the brace itself");
      } else {
        add_literal(c);
        ++at_;
      }
    }
    return std::move(pieces_);
  }

 private:
  void add_literal(char c) {
    if (pieces_.empty() || pieces_.back().blank) {
      refuse_ambiguous_follower(c);
      pieces_.push_back({});
    }
    pieces_.back().text += c;
  }

  // A number is read as far as it goes, so its next character must not look like more of it.
  void refuse_ambiguous_follower(char c) const {
    if (pieces_.empty()) return;
    const Piece& before = pieces_.back();
    const BlankType type = before.type;
    if (type == BlankType::rest) refuse(at_, "text after {" + before.text + "}, which takes it all");
    const bool decimal = type == BlankType::whole || type == BlankType::decimal || type == BlankType::comma ||
                         type == BlankType::number || type == BlankType::digits;
    const bool goes_on = (decimal && is_digit(c)) || (type == BlankType::letters && is_letter(c)) ||
                         (type == BlankType::name && is_of_a_name(c)) ||
                         (type == BlankType::hex && before.detail == 0 && is_digit_of(before.base, c));
    if (goes_on) {
      refuse(at_,
             "\"" + std::string(1, c) + "\" right after {" + before.text + "} would be read as more of it");
    }
  }

  void read_blank() {
    const std::size_t start = at_;
    const std::size_t end = source_.find('}', start);
    if (end == std::string_view::npos) {
      refuse(start, "an opening brace that is never closed; write {{ for the brace itself");
    }
    const std::string_view inside = source_.substr(start + 1, end - start - 1);
    const std::size_t colon = inside.find(':');
    const std::string_view name = inside.substr(0, colon);
    if (name.empty() || !std::all_of(name.begin(), name.end(), is_name_character)) {
      refuse(start, "{" + std::string(inside) + "} is no blank: a name is made of a-z, 0-9 and _");
    }
    Piece blank{true, std::string(name), usual_type(name)};
    const std::string_view type =
        colon == std::string_view::npos ? std::string_view() : inside.substr(colon + 1);
    if (colon != std::string_view::npos && (type.empty() || !take_type(blank, type))) {
      refuse(start,
             "{" + std::string(inside) +
                 "}: a type is int, decimal, comma, hex, HEX, oct, bin, number, word, name, letters, digits, "
                 "sign, rest or text; behind hex, oct, bin and int may stand which bits of it: int.0-3");
    }
    if (!pieces_.empty() && pieces_.back().blank &&
        (!ends_by_itself(pieces_.back()) || pieces_.back().type == blank.type)) {
      refuse(start, "{" + std::string(name) + "} follows {" + pieces_.back().text +
                        "} with nothing between to tell where one ends");
    }
    pieces_.push_back(std::move(blank));
    at_ = end + 1;
  }

  std::string_view source_;
  std::size_t at_ = 0;
  std::vector<Piece> pieces_;
};

}  // namespace

std::vector<Piece> pieces_of(std::string_view source) {
  return SourceReader(source).read();
}

}  // namespace armwise::console
