#include "template_source.hpp"

#include <algorithm>
#include <array>
#include <optional>
#include <string>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"
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
  constexpr std::array<std::string_view, 10> decimals{"yaw", "pitch", "roll", "strength", "x",
                                                      "y",   "z",     "gx",   "gy",       "gz"};
  if (std::find(decimals.begin(), decimals.end(), name) != decimals.end()) return BlankType::decimal;
  if (name == "milliseconds") return BlankType::whole;
  if (name == "rest") return BlankType::rest;
  if (name == "items") return BlankType::text;
  return BlankType::word;
}

std::optional<BlankType> type_named(std::string_view name) {
  if (name == "int") return BlankType::whole;
  if (name == "decimal") return BlankType::decimal;
  if (name == "word") return BlankType::word;
  if (name == "rest") return BlankType::rest;
  if (name == "text") return BlankType::text;
  return std::nullopt;
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
    const BlankType type = pieces_.back().type;
    if (type == BlankType::rest) refuse(at_, "text after {" + pieces_.back().text + "}, which takes it all");
    if ((type == BlankType::whole || type == BlankType::decimal) && is_digit(c)) {
      refuse(at_, "a digit right after the number {" + pieces_.back().text + "}");
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
    BlankType type = usual_type(name);
    if (colon != std::string_view::npos) {
      const auto named = type_named(inside.substr(colon + 1));
      if (!named) refuse(start, "{" + std::string(inside) + "}: a type is int, decimal, word, rest or text");
      type = *named;
    }
    if (!pieces_.empty() && pieces_.back().blank) {
      refuse(start, "{" + std::string(name) + "} follows {" + pieces_.back().text +
                        "} with nothing between to tell where one ends");
    }
    pieces_.push_back({true, std::string(name), type});
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
