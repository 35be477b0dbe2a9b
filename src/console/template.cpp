#include "armwise/console/template.hpp"

#include <algorithm>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"
#include "notation.hpp"
#include "template_matcher.hpp"
#include "template_source.hpp"
#include "template_text.hpp"

namespace armwise::console {
namespace {

constexpr const char* behind_held = "&";

std::string_view in_words(BlankType type) {
  switch (type) {
    case BlankType::whole:
    case BlankType::hex:
      return "a whole number";
    case BlankType::decimal:
    case BlankType::comma:
      return "a number";
    case BlankType::word:
      return "one word";
    case BlankType::letters:
      return "letters";
    case BlankType::digits:
      return "digits";
    case BlankType::name:
      return "letters and digits";
    case BlankType::sign:
      return "one sign";
    case BlankType::number:
      return "a number, a letter, or a name with a number behind it";
    case BlankType::rest:
    case BlankType::text:
      return "text";
  }
  return "text";
}

}  // namespace

std::string held_with(const std::string& blank) {
  return blank + behind_held;
}

bool is_held(const std::string& name) {
  return name.ends_with(behind_held);
}

Values without_held(Values values) {
  std::erase_if(values, [](const auto& each) { return is_held(each.first); });
  return values;
}

Template Template::parse(std::string_view source) {
  Template parsed;
  parsed.source_ = source;
  parsed.pieces_ = pieces_of(source);
  return parsed;
}

Template Template::literal(std::string_view text) {
  std::string source;
  for (const char c : text) {
    source += c;
    if (c == '{' || c == '}') source += c;
  }
  return parse(source);
}

bool Template::has(std::string_view blank) const {
  return std::any_of(pieces_.begin(), pieces_.end(),
                     [&](const Piece& piece) { return piece.blank && piece.text == blank; });
}

std::string Template::format(const Values& values) const {
  std::string out;
  for (const Piece& piece : pieces_) {
    if (!piece.blank) {
      out += piece.text;
      continue;
    }
    const auto found = values.find(piece.text);
    if (found == values.end()) {
      throw Fault(FaultKind::internal, "nothing to put into {" + piece.text + "} of \"" + source_ + "\"");
    }
    auto written = is_printable(found->second) ? std::optional(found->second) : std::nullopt;
    if (written && piece.bits) {
      const auto held = values.find(held_with(piece.text));
      if (held == values.end())
        throw Fault(FaultKind::internal,
                    "{" + piece.text + "} of \"" + source_ +
                        "\" is some bits of a number, and what else that holds is not known");
      written = with_bits(piece, *written, held->second);
    }
    if (written) written = as_written(piece, std::string(*written));
    if (!written) {
      throw Fault(
          FaultKind::bad_data,
          "\"" + printable(found->second) + "\" cannot stand for {" + piece.text + "} in \"" + source_ + "\"",
          "It takes " + std::string(in_words(piece.type)) + " without control characters");
    }
    out += *written;
  }
  return out;
}

std::optional<Values> Template::match(std::string_view line, bool case_sensitive) const {
  // Most lines are as they should be, and one template is held against thousands.
  std::string rid_of_blanks;
  std::string_view text = line;
  if (!is_squeezed(line)) text = rid_of_blanks = squeezed(line);
  Values values;
  const auto end = TemplateMatcher(pieces_, text, case_sensitive, false).match_at(0, values);
  if (!end || *end != text.size()) return std::nullopt;
  return values;
}

std::vector<Values> Template::match_all(std::string_view text, bool case_sensitive) const {
  std::vector<Values> found;
  if (pieces_.empty()) return found;
  const std::string line = squeezed(text);
  const TemplateMatcher matcher(pieces_, line, case_sensitive, true);
  for (std::size_t at = 0; at < line.size();) {
    Values values;
    const auto end = matcher.may_start_at(at) ? matcher.match_at(at, values) : std::nullopt;
    if (!end || *end == at) {
      ++at;
      continue;
    }
    found.push_back(std::move(values));
    at = *end;
  }
  return found;
}

}  // namespace armwise::console
