// Matches the pieces of one template against one squeezed text.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "armwise/console/template.hpp"

namespace armwise::console {

class TemplateMatcher {
 public:
  // `inside`: the pieces are looked for anywhere in a longer text. Both outlive the matcher.
  TemplateMatcher(const std::vector<Piece>& pieces, std::string_view text, bool case_sensitive, bool inside)
      : pieces_(pieces), text_(text), case_sensitive_(case_sensitive), inside_(inside) {}

  // Where the match that starts at `at` ends.
  std::optional<std::size_t> match_at(std::size_t at, Values& values) const;
  bool may_start_at(std::size_t at) const;

 private:
  std::optional<std::size_t> literal_end(std::string_view literal, std::size_t at) const;
  bool same(char a, char b) const;
  std::optional<std::size_t> blank_end(const Piece& blank, const std::string* next, std::size_t at) const;
  std::optional<std::size_t> run_end(bool (*of)(char), std::size_t at) const;
  std::optional<std::size_t> hex_end(const Piece& blank, const std::string* next, std::size_t at) const;
  std::optional<std::size_t> number_end(std::size_t end, std::size_t at, const std::string* next) const;
  bool ends_word(char c) const;
  std::optional<std::size_t> word_end(const std::string* next, std::size_t at) const;
  std::optional<std::size_t> text_end(const std::string* next, std::size_t at) const;
  std::size_t limit() const;

  const std::vector<Piece>& pieces_;
  std::string_view text_;
  bool case_sensitive_;
  bool inside_;
};

}  // namespace armwise::console
