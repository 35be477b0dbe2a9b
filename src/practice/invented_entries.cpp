#include "invented_entries.hpp"

#include <algorithm>
#include <array>

#include "armwise/base/random.hpp"
#include "armwise/base/text.hpp"

namespace armwise::practice {
namespace {

bool looks_like_json(const console::Template& line) {
  return !line.empty() && !line.pieces().front().blank && line.pieces().front().text.starts_with('{');
}

// Small talk for the gaps between what matters: an invented entry of a configuration.
std::string invented_name(int number) {
  static constexpr std::array<std::string_view, 12> what{"amber", "birch", "cedar", "delta",
                                                         "ember", "fjord", "grove", "heron",
                                                         "islet", "jade",  "kelp",  "larch"};
  static constexpr std::array<std::string_view, 8> which{"limit", "gain",  "delay", "floor",
                                                         "slope", "scale", "phase", "count"};
  std::string name(what[static_cast<std::size_t>(number) % what.size()]);
  name += '_';
  name += which[static_cast<std::size_t>(number) / what.size() % which.size()];
  return name + '_' + std::to_string(number);
}

std::string invented_value(std::uint64_t seed, int number) {
  Random random(seed * 4099 + static_cast<std::uint64_t>(number));
  return std::to_string(random.below(5000));
}

// A console that sets things as it prints them.
bool takes_entries(const console::Profile& profile) {
  return profile.map && profile.map->put && profile.map->put->steps.size() == 1 &&
         profile.map->put->steps.front().send.source().find(" = ") != std::string::npos;
}

}  // namespace

std::string InventedEntries::as_line(int number, const Settings& settings) const {
  const std::string name = invented_name(number);
  const auto set = settings.entries.find(name);
  const std::string value = set == settings.entries.end() ? invented_value(craft_.seed, number) : set->second;
  const auto& lines = profile_.whole_configuration->lines;
  if (!lines.empty() && looks_like_json(lines.front())) {
    return R"({"entry":")" + name + R"(","value":)" + value + "}";
  }
  return name + " = " + value;
}

bool InventedEntries::set(std::string_view line, Settings& settings) const {
  if (!takes_entries(profile_)) return false;
  const std::size_t equals = line.find('=');
  if (equals == std::string_view::npos) return false;
  const std::string name(trimmed(line.substr(0, equals)));
  const std::string value(trimmed(line.substr(equals + 1)));
  const bool whole = !value.empty() && value.size() <= 4 &&
                     std::all_of(value.begin(), value.end(), [](char c) { return c >= '0' && c <= '9'; });
  for (int number = 1; whole && number <= count_; ++number) {
    if (invented_name(number) != name) continue;
    if (value == invented_value(craft_.seed, number)) {
      settings.entries.erase(name);
    } else {
      settings.entries[name] = value;
    }
    return true;
  }
  return false;
}

}  // namespace armwise::practice
