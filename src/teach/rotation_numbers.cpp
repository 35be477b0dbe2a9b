#include "armwise/teach/rotation_numbers.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <set>

#include "armwise/base/text.hpp"
#include "armwise/teach/pointing.hpp"
#include "armwise/teach/units.hpp"
#include "sites.hpp"

namespace armwise::teach {
namespace {

using craft::RotationForm;

// What consoles write for 1: itself, powers of ten and of two, and the largest of sixteen bits.
std::optional<double> unit_near(double length) {
  constexpr double near = 0.02;
  std::vector<double> usual{1, 32767};
  for (double each = 100; each < 1e8; each *= 10) usual.push_back(each);
  for (double each = 128; each < 1e8; each *= 2) usual.push_back(each);
  const auto found = std::find_if(usual.begin(), usual.end(),
                                  [&](double each) { return std::abs(length / each - 1) < near; });
  return found == usual.end() ? std::nullopt : std::optional(*found);
}

// The words before each number, as far back as the number before it.
std::vector<std::string> words_before(const console::Query& list, const std::string& blank) {
  for (const console::Template& line : list.lines) {
    std::string before;
    for (const console::Piece& piece : line.pieces()) {
      if (!piece.blank) before += piece.text;
      if (!piece.blank || piece.text == "skip") continue;
      if (piece.text == blank) break;
      before.clear();
    }
    std::vector<std::string> words;
    for (const Span& word : words_of(before)) words.push_back(word.of(before));
    if (line.has(blank)) return words;
  }
  return {};
}

std::vector<std::string> labels_in(const console::Query& list, const std::vector<std::string>& blanks) {
  std::vector<std::vector<std::string>> words;
  words.reserve(blanks.size());
  for (const std::string& blank : blanks) words.push_back(words_before(list, blank));
  for (std::size_t at = 0; at < words.front().size(); ++at) {
    std::vector<std::string> labels;
    std::set<std::string> different;
    for (const auto& its : words) {
      if (at >= its.size()) break;
      labels.push_back(its[its.size() - 1 - at]);  // the nearest first
      different.insert(lower_case(labels.back()));
    }
    if (different.size() == blanks.size()) return labels;
  }
  return {};
}

// "w" or "qW" of its own w; empty where the labels are other names.
std::string parts_named(const std::vector<std::string>& labels) {
  std::string letters;
  for (const std::string& label : labels) letters += lower_case(label).back();
  std::string sorted = letters;
  std::sort(sorted.begin(), sorted.end());
  return sorted == "wxyz" ? letters : std::string();
}

}  // namespace

std::vector<RotationReading> rotation_readings(const Lines& reply) {
  std::vector<RotationReading> found;
  const auto look = [&](RotationForm form, const std::vector<std::string>& order) {
    const std::vector<std::string>& names = craft::number_names(form);
    for (NumbersReading& reading : number_readings(reply, order)) {
      std::vector<double> numbers;
      double squares = 0;
      for (const std::string& name : names) {
        numbers.push_back(number_of(reading.values.at(name)));
        squares += numbers.back() * numbers.back();
      }
      const auto one = unit_near(std::sqrt(form == RotationForm::matrix ? squares / 3 : squares));
      if (!one || !craft::craft_from_numbers(form, {}, numbers, *one)) continue;
      std::vector<std::string> labels = labels_in(reading.list, names);
      const std::string named = parts_named(labels);
      if (form == RotationForm::quaternion && !named.empty() && named != "wxyz") continue;
      found.push_back({form, *one, std::move(reading), std::move(labels), order.front() != names.front()});
      return;
    }
  };
  look(RotationForm::matrix, craft::number_names(RotationForm::matrix));
  if (!found.empty()) return found;
  look(RotationForm::quaternion, craft::number_names(RotationForm::quaternion));
  if (!found.empty() && !parts_named(found.front().labels).empty()) return found;
  look(RotationForm::quaternion, {"qx", "qy", "qz", "qw"});
  return found;
}

std::optional<Reading> with_label(const Reading& reading, const std::string& from, const std::string& to) {
  Reading other;
  int times = 0;
  for (const console::Template& line : reading) {
    std::string source;
    for (const console::Piece& piece : line.pieces()) {
      if (piece.blank) {
        const std::size_t at = line.source().find('{' + piece.text);
        source += line.source().substr(at, line.source().find('}', at) + 1 - at);
        continue;
      }
      std::string text;
      for (std::size_t at = 0; at < piece.text.size();) {
        const std::size_t end = at + from.size();
        const bool here = lower_case(piece.text.substr(at, from.size())) == lower_case(from) &&
                          (at == 0 || !is_letter_or_digit(piece.text[at - 1])) &&
                          (end >= piece.text.size() || !is_letter_or_digit(piece.text[end]));
        times += here ? 1 : 0;
        text += here ? to : piece.text.substr(at, 1);
        at = here ? end : at + 1;
      }
      source += as_literal(text);
    }
    const auto made = template_of(source);
    if (!made) return std::nullopt;
    other.push_back(*made);
  }
  return times == 1 ? std::optional(other) : std::nullopt;
}

}  // namespace armwise::teach
