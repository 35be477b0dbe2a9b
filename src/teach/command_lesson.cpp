#include "armwise/teach/command_lesson.hpp"

#include <algorithm>
#include <cstdlib>
#include <map>
#include <set>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"
#include "sites.hpp"

namespace armwise::teach {
namespace {

using console::Template;
using console::Values;

bool has_blank(const Reading& reading, const std::string& blank) {
  return std::any_of(reading.begin(), reading.end(), [&](const Template& line) { return line.has(blank); });
}

// Every way to read all lines: the product of the ways to read each; of more than `most_ways` not all.
std::vector<Reading> all_readings(const Typed& typed, const Values& values, Written how,
                                  const Values& types) {
  std::vector<Reading> readings{{}};
  for (const std::string& line : typed) {
    std::vector<Reading> longer;
    const std::vector<Template> ways = ways_to_read(line, values, how, types);
    for (const Reading& reading : readings) {
      for (const Template& way : ways) {
        if (longer.size() > most_ways) return longer;
        longer.push_back(reading);
        longer.back().push_back(way);
      }
    }
    readings = std::move(longer);
  }
  return readings;
}

std::string as_key(const std::optional<Typed>& typed) {
  if (!typed) return "\n";
  std::string key;
  for (const std::string& line : *typed) key += lower_case(squeezed(line)) + "\n";
  return key;
}

}  // namespace

std::optional<Typed> written(const Reading& reading, const Values& values) {
  Typed typed;
  for (const Template& line : reading) {
    try {
      typed.push_back(line.format(values));
    } catch (const Fault&) {
      return std::nullopt;
    }
  }
  return typed;
}

CommandLesson::CommandLesson(std::vector<std::string> must, std::vector<std::string> may, Written most)
    : must_(std::move(must)), may_(std::move(may)), most_(most) {}

CommandLesson::Heard CommandLesson::add(const Typed& typed, const Values& values) {
  missing_.clear();
  if (examples_ == 0) {
    Values known;
    for (const auto* names : {&must_, &may_}) {
      for (const std::string& name : *names) {
        for (const std::string& each : {name, console::held_with(name)})
          if (const auto value = values.find(each); value != values.end()) known.insert(*value);
      }
    }
    // Other notations only where it cannot be read without.
    for (const Written how : {Written::as_named, Written::in_another_notation, Written::by_its_number,
                              Written::counted_otherwise}) {
      if (how > most_) break;
      written_ = how;
      std::vector<Reading> all = all_readings(typed, known, how, types_);
      if (all.size() > most_ways) return Heard::too_many;
      missing_.clear();
      for (const std::string& blank : must_) {
        const bool somewhere =
            std::any_of(all.begin(), all.end(), [&](const Reading& each) { return has_blank(each, blank); });
        if (!somewhere) missing_.push_back(blank);
      }
      std::erase_if(all, [&](const Reading& each) {
        return !std::all_of(must_.begin(), must_.end(),
                            [&](const std::string& blank) { return has_blank(each, blank); });
      });
      readings_ = std::move(all);
      if (!readings_.empty()) break;
    }
    if (!missing_.empty()) return Heard::lacks;
    if (readings_.empty()) return Heard::contradicts;
  } else {
    std::vector<Reading> left;
    for (const Reading& reading : readings_) {
      const auto would = written(reading, values);
      if (would && as_key(would) == as_key(typed)) left.push_back(reading);
    }
    if (left.empty()) return Heard::contradicts;
    readings_ = std::move(left);
  }
  if (examples_++ == 0) first_ = as_key(typed);
  return Heard::fits;
}

bool CommandLesson::is_sure() const {
  const auto counts_far = [](const console::Piece& piece) {
    return piece.type == console::BlankType::number && std::abs(piece.detail) > 1;
  };
  return readings_.size() == 1 &&
         (examples_ > 1 ||
          std::none_of(readings_.front().begin(), readings_.front().end(), [&](const Template& line) {
            return std::any_of(line.pieces().begin(), line.pieces().end(), counts_far);
          }));
}

std::optional<Reading> CommandLesson::learned() const {
  return is_sure() ? std::optional(readings_.front()) : std::nullopt;
}

std::optional<Values> CommandLesson::deciding(const std::vector<Values>& choices) const {
  if (readings_.empty() || is_sure()) return std::nullopt;
  std::optional<Values> best;
  std::size_t fewest_left = std::max<std::size_t>(readings_.size(), 2);
  for (const Values& values : choices) {
    if (readings_.size() == 1 && as_key(written(readings_.front(), values)) == first_) continue;
    std::map<std::string, std::size_t> split;
    std::size_t worst = 0;
    for (const Reading& reading : readings_)
      worst = std::max(worst, ++split[as_key(written(reading, values))]);
    if (worst < fewest_left) {
      fewest_left = worst;
      best = values;
    }
  }
  return best;
}

}  // namespace armwise::teach
