#include "number_line.hpp"

#include "armwise/base/fault.hpp"
#include "sites.hpp"

namespace armwise::teach {

std::optional<console::Template> line_with(const Tokens& tokens, const BlankPlaces& blanks) {
  std::string source;
  for (std::size_t i = 0; i < tokens.size(); ++i) {
    const auto blank = blanks.find(i);
    source += blank == blanks.end() ? as_literal(tokens[i].text) : "{" + blank->second + "}";
  }
  try {
    return console::Template::parse(source);
  } catch (const Fault&) {
    return std::nullopt;
  }
}

BlankPlaces passing_over_numbers(const Tokens& tokens, BlankPlaces places) {
  for (std::size_t i = 0; i < tokens.size(); ++i) {
    if (tokens[i].word && is_number(tokens[i].text)) places.emplace(i, "skip");
  }
  return places;
}

}  // namespace armwise::teach
