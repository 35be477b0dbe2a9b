#include "sites.hpp"

#include <algorithm>
#include <cstdlib>
#include <optional>

#include "armwise/base/text.hpp"
#include "armwise/teach/number_ways.hpp"
#include "armwise/teach/units.hpp"
#include "words.hpp"

namespace armwise::teach {
namespace {

using console::Template;
using console::Values;

constexpr std::size_t longest_line = 500;
constexpr long most_otherwise = 999;

// A number does not stand inside a longer one, nor a name inside a longer word: "c" is none in "calm", but
// "A" is one in "outA".
bool goes_on(std::string_view line, std::size_t at, std::size_t next, bool to_the_left) {
  const char last = line[at], beside = line[next];
  if (is_digit(last) && is_digit(beside)) return true;
  if (!is_letter(last) || !is_letter(beside)) return false;
  const bool small_then_capital = to_the_left ? lower_case(line.substr(next, 1)) == line.substr(next, 1) &&
                                                    lower_case(line.substr(at, 1)) != line.substr(at, 1)
                                              : lower_case(line.substr(at, 1)) == line.substr(at, 1) &&
                                                    lower_case(line.substr(next, 1)) != line.substr(next, 1);
  return !small_then_capital;
}

bool stands_at(std::string_view line, std::size_t at, const std::string& value) {
  if (value.empty() || at + value.size() > line.size()) return false;
  if (lower_case(line.substr(at, value.size())) != lower_case(value)) return false;
  const std::size_t end = at + value.size();
  if (at > 0 && goes_on(line, at, at - 1, true)) return false;
  if (end < line.size() && goes_on(line, end - 1, end, false)) return false;
  const bool fraction = end + 1 < line.size() && line[end] == '.' && is_digit(line[end + 1]);
  return !(fraction && is_digit(line[end - 1]));
}

// A value that is written otherwise than it was named.
struct Otherwise {
  Span at;
  std::string blank;  // with its type
};

std::vector<Otherwise> in_other_notations(const std::string& line, const Values& values) {
  std::vector<Otherwise> found;
  for (const auto& numbers : number_ways(line)) {
    for (const NumberAt& number : numbers) {
      for (const auto& [blank, value] : values) {
        // What stands there as it was named is read so already.
        const bool as_named = number.at.of(line) == value;
        const bool same =
            !as_named && !value.empty() && is_number(value) && number_of(value) == number_of(number.value);
        if (same && !number.notation.empty()) found.push_back({number.at, blank + ":" + number.notation});
      }
    }
  }
  return found;
}

// The console may count its motors and pins otherwise here than it lists them.
std::vector<Otherwise> by_number(const std::string& line, const Values& values, bool counted_otherwise) {
  std::vector<Otherwise> found;
  for (std::size_t at = 0; at < line.size();) {
    Span number{at, at};
    while (number.end < line.size() && is_digit(line[number.end])) ++number.end;
    at = std::max(number.end, at + 1);
    if (number.begin == number.end) continue;
    const std::string text = number.of(line);
    for (const char* blank : {"motor", "pin"}) {
      try {
        const std::string counted = Template::parse("{" + std::string(blank) + ":number}").format(values);
        const long more = std::strtol(text.c_str(), nullptr, 10) - std::strtol(counted.c_str(), nullptr, 10);
        if (counted == values.at(blank) && more == 0) continue;
        if (more != 0 && (!counted_otherwise || std::abs(more) > most_otherwise)) continue;
        const std::string type = more == 0 ? "" : (more > 0 ? "+" : "") + std::to_string(more);
        found.push_back({number, std::string(blank) + ":number" + type});
      } catch (const Fault&) {
        // Not asked for here, or its name has no number.
      }
    }
  }
  return found;
}

// As the blank is known to be written, and the same without its zeros in front.
std::vector<Otherwise> as_known(std::string_view line, const Values& values, const Values& types) {
  std::vector<Otherwise> found;
  for (const auto& [blank, type] : types) {
    std::string short_type;
    const std::size_t bits = std::min(type.find('.'), type.size());
    for (std::size_t i = 0; i < type.size(); ++i)
      if (i >= bits || !is_digit(type[i])) short_type += type[i];
    std::string last;
    for (const std::string& each : {type, short_type}) {
      std::string text;
      try {
        text = Template::parse("{" + blank + ":" + each + "}").format(values);
      } catch (const Fault&) {
        continue;  // not asked for here
      }
      for (std::size_t at = 0; at < line.size() && text != last; ++at)
        if (stands_at(line, at, text)) found.push_back({{at, at + text.size()}, blank + ":" + each});
      last = text;
    }
  }
  return found;
}

// Goes through the line from left to right and takes each way at each place where there are several.
class Ways {
 public:
  Ways(const std::string& line, const Values& values, Written how, const Values& types)
      : line_(line), values_(values) {
    otherwise_ = as_known(line, values, types);
    const auto add = [&](const std::vector<Otherwise>& more) {
      otherwise_.insert(otherwise_.end(), more.begin(), more.end());
    };
    if (how >= Written::in_another_notation) add(in_other_notations(line, values));
    if (how >= Written::by_its_number) add(by_number(line, values, how == Written::counted_otherwise));
  }

  std::vector<Template> all() {
    // No template is as long, and each character is a step deeper.
    if (line_.size() > longest_line) return {};
    go(0, {}, false);
    return std::move(found_);
  }

 private:
  void go(std::size_t at, const std::string& source, bool after_blank) {
    if (found_.size() > most_ways) return;
    if (at == line_.size()) {
      add(source);
      return;
    }
    if (!after_blank) {
      for (const auto& [blank, value] : values_) {
        if (stands_at(line_, at, value) && !console::is_held(blank))
          go(at + value.size(), source + "{" + blank + "}", true);
      }
      for (const Otherwise& each : otherwise_) {
        if (each.at.begin == at) go(each.at.end, source + "{" + each.blank + "}", true);
      }
    }
    go(at + 1, source + as_literal(line_.substr(at, 1)), false);
  }

  void add(const std::string& source) {
    try {
      Template way = Template::parse(source);
      if (lower_case(squeezed(way.format(values_))) == lower_case(line_)) found_.push_back(std::move(way));
    } catch (const Fault&) {
      // A template that cannot be, or a value that does not fit the blank's type, is no reading.
    }
  }

  std::string_view line_;
  const Values& values_;
  std::vector<Otherwise> otherwise_;
  std::vector<Template> found_;
};

}  // namespace

std::string as_literal(std::string_view text) {
  std::string out;
  for (const char c : text) {
    out += c;
    if (c == '{' || c == '}') out += c;
  }
  return out;
}

std::optional<Template> template_of(const std::string& source) {
  try {
    if (source.empty()) return std::nullopt;
    return Template::parse(source);
  } catch (const Fault&) {
    return std::nullopt;
  }
}

std::vector<Template> ways_to_read(std::string_view line, const Values& values, Written how,
                                   const Values& types) {
  const std::string once = squeezed(line);
  return Ways(once, values, how, types).all();
}

}  // namespace armwise::teach
