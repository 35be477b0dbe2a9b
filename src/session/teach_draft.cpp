// What is known so far, in the terms of the lessons.
#include "teach_draft.hpp"

#include <algorithm>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"
#include "armwise/session/consent.hpp"
#include "armwise/teach/help.hpp"
#include "armwise/teach/pointing.hpp"
#include "armwise/teach/units.hpp"

namespace armwise::session {
namespace {

using console::Values;

}  // namespace

// As armwise counts, from 1, and as this console writes it, where that is something else.
std::string Draft::motor_words(const std::string& code) const {
  const auto motor = profile.motor_coded(code);
  if (!motor) return "motor " + code;
  const std::string number = std::to_string(motor->number);
  return "motor " + number + (code == number ? "" : " (written \"" + code + "\")");
}

std::vector<Values> Draft::map_rows() const {
  std::vector<Values> there;
  for (const Values& row : rows) {
    const auto motor = row.find("motor");
    if (motor == row.end() || !profile.motor_coded(motor->second)) continue;
    if (profile.map && !profile.map->no_pin.empty() && row.at("pin") == profile.map->no_pin) continue;
    there.push_back(row);
  }
  return there;
}

// Those first in which no value occurs in another or looks like part of a usual command.
std::vector<Values> Draft::values_that_change_nothing() const {
  std::vector<Values> there = map_rows();
  const auto clear = [](const Values& row) {
    const std::string& motor = row.at("motor");
    int points =
        row.at("pin").find(motor) == std::string::npos && motor.find(row.at("pin")) == std::string::npos ? 4
                                                                                                         : 0;
    if (motor != "0" && motor != "1") points += 2;
    return points;
  };
  std::stable_sort(there.begin(), there.end(),
                   [&](const Values& a, const Values& b) { return clear(a) > clear(b); });
  return there;
}

std::vector<Values> Draft::values_not_sent() const {
  std::vector<Values> all;
  for (const Values& row : map_rows()) {
    for (const std::string& pin : pin_names()) {
      all.push_back(row);
      all.back()["pin"] = pin;
    }
  }
  return all;
}

std::vector<std::string> Draft::motor_codes() const {
  std::vector<std::string> codes;
  for (const Values& row : map_rows()) codes.push_back(row.at("motor"));
  return codes;
}

std::vector<std::string> Draft::pin_names() const {
  std::vector<std::string> pins;
  for (const Values& row : rows) {
    if (profile.map && !profile.map->no_pin.empty() && row.at("pin") == profile.map->no_pin) continue;
    pins.push_back(row.at("pin"));
  }
  return pins;
}

// All that the map lists, those without a pin too: they may be given one.
std::vector<std::string> Draft::listed_motor_codes() const {
  std::vector<std::pair<int, std::string>> listed;
  for (const Values& row : rows) {
    const auto code = row.find("motor");
    const auto motor = code == row.end() ? std::nullopt : profile.motor_coded(code->second);
    if (motor) listed.emplace_back(motor->number, code->second);
  }
  std::sort(listed.begin(), listed.end());
  std::vector<std::string> codes;
  for (const auto& [number, code] : listed) {
    if (codes.empty() || codes.back() != code) codes.push_back(code);
  }
  return codes;
}

std::string Draft::whole_configuration_typed() const {
  return configuration ? in_a_row(configuration->typed) : std::string();
}

std::string Draft::usual_word(const std::string& word) const {
  if (!profile.map || !std::all_of(word.begin(), word.end(), is_letter)) return {};
  const console::Steps& list = profile.map->list.steps;
  const console::Steps& other = profile.keep                  ? profile.keep->keep.steps
                                : profile.whole_configuration ? profile.whole_configuration->steps
                                                              : list;
  if (list.size() != 1 || other.size() != 1) return {};
  return teach::word_like(word, {list.front().send.source(), other.front().send.source()});
}

std::optional<teach::MapSpeech> Draft::map_speech() const {
  if (!profile.map || !profile.map->put) return std::nullopt;
  const console::Steps &list = profile.map->list.steps, &put = profile.map->put->steps;
  const std::vector<Values> there = map_rows();
  // What holds other things says nothing of how they are set.
  if (list.empty() || there.empty() || profile.map->put->sets_bits()) return std::nullopt;
  std::vector<std::string> source;
  for (const console::Step& step : put) source.push_back(step.send.source());
  teach::MapSpeech speech{map_listed_by(there.front()), console::Template::parse(in_a_row(source)),
                          profile.map->rules.kept == solve::MapKept::per_pin};
  speech.now = there.front();
  const teach::Lines shown = map_lines();
  for (const std::string& line : shown) {
    const std::vector<Values> read = console::rows_read(profile.map->list, {line}, false);
    const bool is_it = std::find(read.begin(), read.end(), speech.now) != read.end();
    if (is_it) speech.row = line;
    if (is_it) break;
    if (read.empty() && std::any_of(line.begin(), line.end(), is_letter)) speech.head = line;
  }
  return speech;
}

std::string Draft::listed_as(const std::string& ability) const {
  if (!configuration) return {};
  std::string name = teach::name_in(configuration->lines, ability);
  if (!name.empty() || ability != "read-props") return name;
  const teach::Lines props = teach::lines_of_props(teach::Listing{configuration->lines, false, {}});
  if (props.empty()) return {};
  const auto words = teach::words_of(props.front(), " ./,;:=()[]{}<>|\"'");
  return words.empty() ? std::string() : words.front().of(props.front());
}

teach::Lines Draft::questions_typed() const {
  teach::Lines questions;
  for (const auto* query : {profile.map ? &profile.map->list : nullptr,
                            profile.whole_configuration ? &*profile.whole_configuration : nullptr,
                            profile.identify ? &*profile.identify : nullptr}) {
    if (query != nullptr && query->steps.size() == 1) questions.push_back(query->steps.front().send.source());
  }
  return questions;
}

// As the map was shown.
teach::Lines Draft::map_lines() const {
  for (const AsFound& found : as_found) {
    if (profile.map && found.read == profile.map->list) return found.lines;
  }
  return {};
}

bool Draft::shows_turns_in_map() const {
  const auto in_map = teach::turn_readings(map_lines(), motor_codes(), pin_names(), 1);
  return !in_map.empty() && !in_map.front().doubtful && in_map.front().codes.size() == 2;
}

std::string Draft::map_listed_by(const Values& row) const {
  std::vector<std::string> typed;
  for (const console::Step& step : profile.map->list.steps) typed.push_back(step.send.format(row));
  return in_a_row(typed);
}

std::string Draft::row_that_shows(const Values& values) const {
  for (auto found = as_found.rbegin(); found != as_found.rend(); ++found) {
    for (const std::string& line : found->lines) {
      std::vector<Values> read = console::rows_read(found->read, {line}, false);
      for (const console::Template& like : found->read.lines) {
        if (const auto one = like.match(line); read.empty() && one) read.push_back(*one);
      }
      for (Values row : read) {
        row.insert(found->asked.begin(), found->asked.end());
        // Another angle than it has, where each has a line of its own.
        const auto yaw = values.find("yaw");
        const auto is = row.find("yaw");
        if (yaw != values.end() && is != row.end() && !row.contains("pitch")) {
          const std::size_t at = line.find(" " + is->second);
          if (at != std::string::npos)
            return line.substr(0, at + 1) + yaw->second + line.substr(at + 1 + is->second.size());
        }
        const bool all = !values.empty() && std::all_of(values.begin(), values.end(), [&](const auto& entry) {
          const auto found_in = row.find(entry.first);
          return found_in != row.end() && profile.same(found_in->second, entry.second);
        });
        if (all) return std::string(trimmed(line));
      }
    }
  }
  return {};
}

// The command that shows these lines of the configuration, as the map's shows its own.
std::string Draft::question_proposed(const teach::Lines& others) const {
  const auto speech = map_speech();
  if (!speech) return {};
  teach::Lines shown = map_lines();
  std::erase_if(shown, [&](const std::string& line) {
    return console::rows_read(profile.map->list, {line}, false).empty();
  });
  // Of the one that was asked for.
  if (is_asked_of_each(profile.map->list.steps)) shown = {speech->row};
  return teach::question_like(speech->list, shown, others);
}

const teach::Listing& Draft::listing() {
  if (!looked_into) {
    const auto speech = map_speech();
    looked_into = configuration ? teach::looked_into(configuration->lines, speech ? speech->list : "")
                                : teach::Listing{};
  }
  return *looked_into;
}

// What the setting's command may be, by what shows it.
std::string Draft::set_proposal(const Said& said, const console::Query& query, const Values& now,
                                const std::string& key, const std::string& value) const {
  const auto speech = map_speech();
  if (profile.map && profile.map->put && !speech) return {};
  Values heading;
  std::string head;
  for (const std::string& line : console::rows_of(query.columns, said.lines)) {
    for (const console::Template& above : query.headings) {
      if (const auto read = above.match(line)) heading = *read;
    }
    const bool is_row = std::any_of(query.lines.begin(), query.lines.end(),
                                    [&](const auto& like) { return like.match(line); });
    if (!is_row && std::any_of(line.begin(), line.end(), is_letter)) head = line;
    for (const console::Template& like : query.lines) {
      auto read = like.match(line);
      if (read) read->insert(heading.begin(), heading.end());
      Values set;
      for (const console::Piece& piece : like.pieces()) {
        const auto wanted = piece.blank ? now.find(piece.text) : now.end();
        if (wanted != now.end()) set.insert(*wanted);
      }
      const bool all = value.empty() && read && read->size() == set.size();
      const bool shows = read && std::all_of(now.begin(), now.end(), [&](const auto& entry) {
                           const auto found = read->find(entry.first);
                           const bool asked = entry.first == key && query.steps.front().send.has(key);
                           return asked || (found != read->end() && found->second == entry.second);
                         });
      const bool is_it = read && (query.item || shows || all);
      if (!is_it) continue;
      teach::Shown shown;
      const bool own = said.typed.size() == 1 && !(configuration && said.typed == configuration->typed);
      if (own) shown.read = said.typed.front();
      shown.asked_each = !key.empty() && query.steps.front().send.has(key);
      shown.line = line;
      shown.like = like;
      shown.now = value.empty() ? set : now;
      if (value.empty()) shown.line = like.format(set);
      shown.key = key;
      shown.value = value;
      shown.head = head;
      return teach::set_like(speech, shown);
    }
  }
  return {};
}

Values on_pin_of(const console::MapAbility& map, const Values& motor, const Values& pin) {
  const bool per_pin = map.rules.kept == solve::MapKept::per_pin;
  Values values = per_pin ? pin : motor;
  values["motor"] = motor.at("motor");
  values["pin"] = pin.at("pin");
  return values;
}

Values types_of_bits(const console::Query& query) {
  Values types;
  std::vector<console::Template> all = query.lines;
  if (query.item) all.push_back(*query.item);
  for (const console::Template& line : all) {
    for (const console::Piece& piece : line.pieces()) {
      if (!piece.bits) continue;
      const std::string& source = line.source();
      const std::size_t at = source.find('{' + piece.text + ':') + piece.text.size() + 2;
      types[piece.text] = source.substr(at, source.find('}', at) - at);
    }
  }
  return types;
}

bool is_asked_of_each(const console::Steps& steps) {
  return std::any_of(steps.begin(), steps.end(), [](const auto& step) { return step.send.has("motor"); });
}

// A single line that holds the values, or some of them, says that it was done; more than one reading of it
// says nothing sure.
std::optional<console::Template> confirmation_of(const Said& said, const Values& values) {
  if (said.lines.size() != 1) return std::nullopt;
  Values there;
  for (const auto& [blank, value] : values) {
    teach::CommandLesson one({blank});
    const auto heard = one.add(said.lines, {{blank, value}});
    if (heard == teach::CommandLesson::Heard::too_many) return std::nullopt;
    if (heard == teach::CommandLesson::Heard::fits) there.emplace(blank, value);
  }
  // Nothing of what was asked for: a word for everything, which says nothing of this.
  if (there.empty() && !values.empty()) return std::nullopt;
  std::vector<std::string> all;
  for (const auto& [blank, value] : there) all.push_back(blank);
  teach::CommandLesson lesson(all);
  if (lesson.add(said.lines, there) != teach::CommandLesson::Heard::fits) return std::nullopt;
  const auto learned = lesson.learned();
  if (!learned) return std::nullopt;
  return learned->front();
}

// The line that names most of what was sent, among others or not.
std::optional<console::Template> confirmation_among(const Said& said, const Values& values) {
  std::optional<console::Template> found;
  std::size_t most = 0;
  for (const std::string& line : said.lines) {
    Said one;
    one.lines = {line};
    const auto like = confirmation_of(one, values);
    const auto named = like ? like->pieces().size() : 0;
    if (!like || named <= most) continue;
    found = like;
    most = named;
  }
  return found;
}

// A number in it may be another one the next time; but not the status with which the replies end.
std::optional<console::Template> plain_confirmation_of(const Said& said,
                                                       const std::optional<console::Template>& reply_end) {
  if (said.lines.size() != 1) return std::nullopt;
  const bool has_status = reply_end && !reply_end->pieces().empty() &&
                          reply_end->pieces().front().type == console::BlankType::digits;
  const std::size_t numbers = teach::numbers_in(said.lines.front()).size();
  if (numbers > (has_status && is_digit(said.lines.front().front()) ? 1U : 0U)) return std::nullopt;
  const Values none;
  return confirmation_of(said, none);
}

void forget_unless_confirmed(console::Command& command, const Said& said, const Values& values) {
  const bool again = std::any_of(said.lines.begin(), said.lines.end(), [&](const std::string& line) {
    const auto read = command.confirms ? command.confirms->match(line) : std::nullopt;
    return read && std::all_of(read->begin(), read->end(), [&](const auto& entry) {
             const auto sent = values.find(entry.first);
             return sent == values.end() || lower_case(sent->second) == lower_case(entry.second);
           });
  });
  if (!again) command.confirms.reset();
}

}  // namespace armwise::session
