#include "sites.hpp"

#include <optional>

#include "armwise/base/text.hpp"

namespace armwise::teach {
namespace {

using console::Template;
using console::Values;

constexpr std::size_t longest_line = 500;

// A value that is a number does not stand inside a longer number.
bool cut_out_of_a_number(std::string_view line, std::size_t at, std::size_t length) {
  const auto digit = [&](std::size_t i) { return i < line.size() && is_digit(line[i]); };
  const std::size_t end = at + length;
  if (at > 0 && is_digit(line[at]) && is_digit(line[at - 1])) return true;
  if (!is_digit(line[end - 1])) return false;
  return digit(end) || (end < line.size() && line[end] == '.' && digit(end + 1));
}

bool stands_at(std::string_view line, std::size_t at, const std::string& value) {
  if (value.empty() || at + value.size() > line.size()) return false;
  if (lower_case(line.substr(at, value.size())) != lower_case(value)) return false;
  return !cut_out_of_a_number(line, at, value.size());
}

// Goes through the line from left to right and takes each way at each place where there are several.
class Ways {
 public:
  Ways(std::string_view line, const Values& values) : line_(line), values_(values) {}

  std::vector<Template> all() {
    // No template is as long, and each character is a step deeper.
    if (line_.size() > longest_line) return {};
    go(0, {}, false);
    return std::move(found_);
  }

 private:
  void go(std::size_t at, const std::string& source, bool after_blank) {
    if (at == line_.size()) {
      add(source);
      return;
    }
    if (!after_blank) {
      for (const auto& [blank, value] : values_) {
        if (stands_at(line_, at, value)) go(at + value.size(), source + "{" + blank + "}", true);
      }
    }
    go(at + 1, source + as_literal(line_.substr(at, 1)), false);
  }

  void add(const std::string& source) {
    if (found_.size() >= most_ways) throw too_many_ways();
    try {
      Template way = Template::parse(source);
      static_cast<void>(way.format(values_));
      found_.push_back(std::move(way));
    } catch (const Fault&) {
      // A template that cannot be, or a value that does not fit the blank's type, is no reading.
    }
  }

  std::string_view line_;
  const Values& values_;
  std::vector<Template> found_;
};

}  // namespace

Fault too_many_ways() {
  return {FaultKind::bad_data, "this can be read in too many ways",
          "The same values stand in it again and again", "Use an example with other values"};
}

std::string squeezed(std::string_view text) {
  std::string out;
  for (const char c : text) {
    if (!is_white(c)) {
      out += c;
    } else if (!out.empty() && out.back() != ' ') {
      out += ' ';
    }
  }
  if (!out.empty() && out.back() == ' ') out.pop_back();
  return out;
}

std::string as_literal(std::string_view text) {
  std::string out;
  for (const char c : text) {
    out += c;
    if (c == '{' || c == '}') out += c;
  }
  return out;
}

std::vector<Template> ways_to_read(std::string_view line, const Values& values) {
  const std::string once = squeezed(line);
  return Ways(once, values).all();
}

}  // namespace armwise::teach
