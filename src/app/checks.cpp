#include "checks.hpp"

#include <CLI/Error.hpp>
#include <CLI/Option.hpp>
#include <algorithm>
#include <charconv>
#include <cstdint>
#include <filesystem>
#include <optional>
#include <sstream>
#include <utility>

#include "armwise/base/text.hpp"
#include "armwise/craft/frame.hpp"

namespace armwise::app {
namespace {

std::string cannot_be(const std::string& value, const std::string& takes) {
  return "cannot be \"" + printable(value) + "\": it takes " + takes;
}

// The whole text as a number of this kind, or nothing.
template <typename Number>
std::optional<Number> number_in(const std::string& text) {
  const char* const start = text.data() + (text.starts_with('+') ? 1 : 0);
  const char* const end = text.data() + text.size();
  Number number{};
  const auto [read, error] = std::from_chars(start, end, number);
  if (error != std::errc{} || read != end) return std::nullopt;
  return number;
}

std::string plain(double number) {
  std::ostringstream out;
  out << number;
  return out.str();
}

// Without a description, which CLI11 would print behind the value's name in the help.
CLI::Validator check(std::function<std::string(const std::string&)> wrong_with) {
  return CLI::Validator(
      [wrong_with = std::move(wrong_with)](std::string& value) { return wrong_with(value); }, "");
}

// "A excludes B": the two names.
std::pair<std::string, std::string> two_names(const std::string& text, const std::string& between) {
  const std::size_t at = text.find(between);
  if (at == std::string::npos) return {text, {}};
  return {text.substr(0, at), text.substr(at + between.size())};
}

std::string required(const CLI::App& command, const std::string& text) {
  for (const CLI::Option* option :
       command.get_options([](const CLI::Option* o) { return o->get_required(); })) {
    if (option->count() == 0) {
      const std::string name = option->get_positional() ? option->get_name(true) : option->get_name();
      return name + " is missing: " + option->get_description();
    }
  }
  if (command.get_require_subcommand_min() == 0) return text;
  const std::vector<std::string> extra = command.remaining();
  if (!extra.empty()) return command.get_name() + " has no command \"" + extra.front() + "\"";
  std::vector<std::string> names;
  for (const CLI::App* sub :
       command.get_subcommands([](const CLI::App* s) { return !s->get_group().empty(); }))
    names.push_back(sub->get_name());
  return "Say what to do, one of: " + joined(names, ", ");
}

}  // namespace

CLI::Validator one_of(const std::vector<std::string>& words) {
  CLI::Validator made = check([words](const std::string& value) {
    const bool known = std::find(words.begin(), words.end(), value) != words.end();
    return known ? std::string() : cannot_be(value, joined(words, ", "));
  });
  // The completion scripts read the words here.
  made.description("{" + joined(words, ",") + "}");
  return made;
}

CLI::Validator number_within(double lowest, double highest) {
  return check([=](const std::string& value) {
    const auto number = number_in<double>(value);
    if (number && *number >= lowest && *number <= highest) return std::string();
    return cannot_be(value, "a number from " + plain(lowest) + " to " + plain(highest));
  });
}

CLI::Validator whole_number_within(long lowest, long highest) {
  return check([=](const std::string& value) {
    const auto number = number_in<long>(value);
    if (number && *number >= lowest && *number <= highest) return std::string();
    return cannot_be(value,
                     "a whole number from " + std::to_string(lowest) + " to " + std::to_string(highest));
  });
}

CLI::Validator whole_number() {
  return check([](const std::string& value) {
    return number_in<std::uint64_t>(value) ? std::string() : cannot_be(value, "a whole number");
  });
}

CLI::Validator known_frame() {
  return check([](const std::string& value) {
    if (craft::frame_named(value) != nullptr) return std::string();
    std::vector<std::string> names;
    for (const craft::Frame& frame : craft::frames()) names.push_back(frame.name);
    const std::string near = nearest(value, names);
    return cannot_be(value, joined(names, ", ")) + (near.empty() ? "" : ". Did you mean " + near + "?");
  });
}

CLI::Validator existing_file() {
  return check([](const std::string& value) {
    std::error_code ignored;
    if (std::filesystem::is_regular_file(value, ignored)) return std::string();
    return cannot_be(value, "the name of a file, and there is no such file");
  });
}

std::string in_words(const CLI::ParseError& error, const CLI::App& command) {
  std::string text = error.what();
  if (dynamic_cast<const CLI::RequiredError*>(&error) != nullptr) return required(command, text);
  if (dynamic_cast<const CLI::ExcludesError*>(&error) != nullptr) {
    const auto [one, other] = two_names(text, " excludes ");
    return one + " and " + other + " do not go together: give one of them";
  }
  if (dynamic_cast<const CLI::RequiresError*>(&error) != nullptr) {
    const auto [one, other] = two_names(text, " requires ");
    return one + " goes only with " + other;
  }
  if (dynamic_cast<const CLI::ArgumentMismatch*>(&error) != nullptr)
    return two_names(text, ":").first + " needs a value behind it";
  if (dynamic_cast<const CLI::ExtrasError*>(&error) != nullptr)
    return command.get_name() + " does not take this: " + two_names(text, ": ").second;
  if (dynamic_cast<const CLI::ConversionError*>(&error) != nullptr)
    return two_names(two_names(text, "Could not convert: ").second, " = ").first + " cannot have this value";
  if (dynamic_cast<const CLI::ValidationError*>(&error) == nullptr) return text;
  const auto [name, wrong] = two_names(text, ": ");
  return name + " " + wrong;
}

}  // namespace armwise::app
