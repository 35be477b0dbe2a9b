#include "armwise/teach/reply_table.hpp"

#include <algorithm>
#include <map>
#include <set>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"
#include "armwise/teach/number_bits.hpp"
#include "armwise/teach/pointing.hpp"
#include "sites.hpp"
#include "words.hpp"

namespace armwise::teach {
namespace {

using console::Query;
using console::Template;
using console::Values;

// Rows of one table stand near each other, which bounds the work on listings of thousands of lines.
constexpr std::size_t near_lines = 12, most_of_a_table = 28, most_maps_tried = 600, longest_map_row = 400;

bool stand_apart(const Span& a, const Span& b) {
  return a.end <= b.begin || b.end <= a.begin;
}

// Where in its line, by what it is built like: the same place in another row has the same name.
struct Spot {
  Span at;
  std::string text, where;
  std::size_t word = 0;
  bool whole = false;  // not a piece of a word
};

std::vector<Span> quoted_in(const std::string& line) {
  std::vector<Span> found;
  for (std::size_t at = line.find_first_of("\"'"); at != std::string::npos;
       at = line.find_first_of("\"'", at)) {
    const std::size_t end = line.find(line[at], at + 1);
    if (end == std::string::npos) break;
    if (end > at + 1) found.push_back({at + 1, end});
    at = end + 1;
  }
  return found;
}

std::vector<Spot> places_in(const std::string& line) {
  std::vector<Spot> places;
  const std::string shape = shape_of(tokens_of(line));
  std::size_t number = 0;
  for (const Span& word : words_of(line)) {
    ++number;
    const std::string text = word.of(line);
    for (const Part& part : parts_of(text)) {
      const Span at{word.begin + part.span.begin, word.begin + part.span.end};
      places.push_back(
          {at, at.of(line), shape + std::to_string(number) + " " + part.key, number, at == word});
    }
  }
  // What stands between quotation marks is one value, whatever signs it has.
  for (const Span& quoted : quoted_in(line)) {
    const bool is_one_word =
        std::any_of(places.begin(), places.end(), [&](const Spot& each) { return each.at == quoted; });
    if (!is_one_word) places.push_back({quoted, quoted.of(line), shape + "\"", ++number, true});
  }
  return places;
}

std::string table_key(const MapReading& reading) {
  std::string key = std::to_string(reading.first_motor);
  for (const Values& row : reading.rows) key += "\n" + row.at("motor") + "\t" + row.at("pin");
  for (const std::string& code : reading.motor_codes) key += "\n" + code;
  return key;
}

bool says(const std::string& line, std::size_t before, std::initializer_list<const char*> words) {
  std::vector<std::string> there;
  for (const Token& token : tokens_of(std::string_view(line).substr(0, before))) {
    if (token.word) there.push_back(lower_case(token.text));
  }
  for (std::size_t i = there.size(); i-- > 0 && i + 2 >= there.size();) {
    for (const char* word : words) {
      if (there[i].starts_with(word)) return true;
    }
  }
  return false;
}

bool touches_a_name(const std::string& line, const Span& at) {
  const bool before = at.begin > 0 && is_letter_or_digit(line[at.begin - 1]);
  return before || (at.end < line.size() && is_letter_or_digit(line[at.end]));
}

// As "/out/J1/drives" and its like do, of which only what differs names the pin.
bool have_more_on_both_sides(const std::vector<std::string>& pins) {
  if (pins.size() < fewest_motors) return false;
  std::size_t before = pins.front().size(), behind = before;
  for (const std::string& pin : pins) {
    const auto begins = std::mismatch(pin.begin(), pin.end(), pins[0].begin(), pins[0].end());
    const auto ends = std::mismatch(pin.rbegin(), pin.rend(), pins[0].rbegin(), pins[0].rend());
    before = std::min(before, static_cast<std::size_t>(begins.first - pin.begin()));
    behind = std::min(behind, static_cast<std::size_t>(ends.first - pin.rbegin()));
  }
  const auto is_part = [](const std::string& text) {
    return text.find_first_of("/.:[]()") != std::string::npos &&
           std::any_of(text.begin(), text.end(), is_letter_or_digit);
  };
  return is_part(pins[0].substr(0, before)) && is_part(pins[0].substr(pins[0].size() - behind));
}

// Points at what may be the first motor, and at each value beside it, as a person would.
class MapFinder {
 public:
  MapFinder(const Lines& reply, std::vector<MapReading>& found) : reply_(reply), found_(found) {
    for (std::size_t i = 0; i < reply.size(); ++i) {
      places_.push_back(reply[i].size() > longest_line * 4 ? std::vector<Spot>() : places_in(reply[i]));
      for (const Spot& place : places_.back()) there_[place.where].emplace_back(i, place.text);
    }
  }

  void look() {
    for (std::size_t i = 0; i < reply_.size(); ++i) {
      for (const Spot& key : places_[i]) {
        for (const std::string& next : next_codes(key.text)) {
          if (const auto row = row_with(next, key.where, i)) {
            if (is_first(key, i)) beside(i, key, reply_[*row]);
          } else if (const auto far = next_in_line(i, key, next)) {
            if (is_first_in_line(i, key)) within(i, key, *far);
          }
        }
      }
    }
  }

  // A row is several lines: the motor's number stands on one of them, the pin on another.
  void look_in_sections() {
    for (std::size_t i = 0; i < reply_.size(); ++i) {
      for (const Spot& key : places_[i]) {
        if (!is_first(key, i)) continue;
        for (const std::string& next : next_codes(key.text)) {
          if (const auto row = row_with(next, key.where, i); row && *row > i) in_section(i, key, *row - i);
        }
      }
    }
  }

  void look_for_pins_alone() {
    for (std::size_t i = 0; i < reply_.size(); ++i) counted(i);
  }

 private:
  // A spot, and the line that it is in.
  struct Place {
    std::size_t line = 0;
    const Spot& spot;
  };

  // The nearest row in which this stands in the same place.
  std::optional<std::size_t> row_with(const std::string& text, const std::string& where,
                                      std::size_t line) const {
    std::optional<std::size_t> found;
    std::size_t nearest = near_lines + 1;
    for (const auto& [other, there] : there_.at(where)) {
      const std::size_t distance = other > line ? other - line : line - other;
      if (distance == 0 || distance >= nearest || there != text) continue;
      nearest = distance;
      found = other;
    }
    return found;
  }

  bool is_first(const Spot& key, std::size_t line) const {
    const auto& all = there_.at(key.where);
    return std::none_of(all.begin(), all.end(), [&](const auto& other) {
      return other.first + near_lines > line && line + near_lines > other.first &&
             comes_next(other.second, key.text);
    });
  }

  // How far it is to the nearest place of the next one.
  std::optional<std::size_t> next_in_line(std::size_t line, const Spot& key, const std::string& next) const {
    std::optional<std::size_t> nearest;
    for (const Spot& place : places_[line]) {
      if (place.text != next || place.word == key.word || place.whole != key.whole) continue;
      const std::size_t far =
          place.word > key.word ? place.at.begin - key.at.begin : key.at.begin - place.at.begin;
      nearest = std::min(nearest.value_or(far), far);
    }
    return nearest;
  }

  bool is_first_in_line(std::size_t line, const Spot& key) const {
    return std::none_of(places_[line].begin(), places_[line].end(), [&](const Spot& place) {
      return place.word != key.word && place.whole == key.whole && comes_next(place.text, key.text);
    });
  }

  // A row a motor.
  void beside(std::size_t line, const Spot& key, const std::string& other_row) {
    const std::vector<Spot> other = places_in(other_row);
    for (const Spot& value : places_[line]) {
      const bool same = std::any_of(other.begin(), other.end(), [&](const Spot& each) {
        return each.where == value.where && each.text == value.text;
      });
      if (!same && stand_apart(value.at, key.at)) point_at({line, key}, {line, value});
    }
  }

  // As many lines as a row has are above it, too: the motor's number may end it.
  void in_section(std::size_t line, const Spot& key, std::size_t lines) {
    for (std::size_t k = line + 1; k < line + lines; ++k) {
      for (const Spot& value : places_[k]) point_at({line, key}, {k, value});
    }
    for (std::size_t k = line < lines ? 0 : line + 1 - lines; k < line; ++k) {
      for (const Spot& value : places_[k]) point_at({line, key}, {k, value});
    }
  }

  // Several motors on one line.
  void within(std::size_t line, const Spot& key, std::size_t far) {
    for (const Spot& value : places_[line]) {
      const bool near = value.at.end <= key.at.begin + far && value.at.begin + far > key.at.begin;
      if (near && stand_apart(value.at, key.at)) point_at({line, key}, {line, value});
    }
  }

  Pointed example_of(const Place& key, const Place& value) const {
    const std::string &line = reply_[key.line], &other = reply_[value.line];
    if (key.line == value.line) return {line, {{"motor", key.spot.at}, {"pin", value.spot.at}}};
    Pointed motor{line, {{"motor", key.spot.at}}}, pin{other, {{"pin", value.spot.at}}};
    Pointed &first = key.line < value.line ? motor : pin, &second = key.line < value.line ? pin : motor;
    first.below = {second};
    return first;
  }

  void point_at(const Place& at_key, const Place& at_value) {
    if (++tried_ > most_maps_tried) return;
    const std::size_t line = at_key.line;
    const Spot &key = at_key.spot, &value = at_value.spot;
    const std::vector<Pointed> examples{example_of(at_key, at_value)};
    const std::size_t from = line > near_lines ? line - near_lines : 0;
    const std::size_t length = line == at_value.line ? most_of_a_table : longest_laid_out;
    const std::size_t to = std::min(reply_.size(), line + length);
    const Lines near(reply_.begin() + static_cast<std::ptrdiff_t>(from),
                     reply_.begin() + static_cast<std::ptrdiff_t>(to));
    std::size_t most = 0;
    for (const Between between : {Between::text_between, Between::anything}) {
      // Nothing is left over that is built like it.
      if (most > 0 && most >= there_.at(value.where).size()) break;
      auto reading = map_like(examples, near, between);
      const bool is_one = reading && is_map(*reading, key.text);
      if (is_one && near.size() < reply_.size()) reading = map_like(examples, reply_, between);
      if (!is_one || !reading || !is_map(*reading, key.text) || reading->rows.size() <= most) continue;
      most = reading->rows.size();
      weigh(*reading, reply_[line], key, reply_[at_value.line], value);
      found_.push_back(std::move(*reading));
    }
  }

  static std::vector<const Values*> rows_of_motors(const MapReading& reading) {
    console::Profile codes;
    codes.codes.first_motor = reading.first_motor;
    for (std::size_t i = 0; i < reading.motor_codes.size(); ++i)
      codes.codes.motor[static_cast<int>(i) + 1] = reading.motor_codes[i];
    std::vector<const Values*> rows;
    for (const Values& row : reading.rows) {
      if (codes.motor_coded(row.at("motor"))) rows.push_back(&row);
    }
    return rows;
  }

  static bool is_map(const MapReading& reading, const std::string& first) {
    const std::vector<const Values*> rows = rows_of_motors(reading);
    if (rows.size() < fewest_motors || reading.rows.size() > 4 * most_motors) return false;
    std::set<std::string> motors, pins;
    for (const Values* row : rows) {
      if (is_cut_wrong(row->at("pin"))) return false;
      if (!motors.insert(lower_case(row->at("motor"))).second) return false;
      pins.insert(lower_case(row->at("pin")));
    }
    return pins.size() + 1 >= motors.size() &&
           std::none_of(motors.begin(), motors.end(),
                        [&](const std::string& each) { return comes_next(each, first); });
  }

  static void weigh(MapReading& reading, const std::string& line, const Spot& key,
                    const std::string& line_of_value, const Spot& value) {
    const std::vector<const Values*> rows = rows_of_motors(reading);
    std::vector<std::string> motors, pins;
    bool all_whole = true;
    for (const Values* row : rows) {
      motors.push_back(row->at("motor"));
      if (row->at("pin") != reading.no_pin) pins.push_back(row->at("pin"));
      all_whole = all_whole && build_of(row->at("pin")).find('a') != std::string::npos;
    }
    bool in_order = true;
    for (std::size_t i = 1; i < motors.size(); ++i)
      in_order = in_order && comes_next(motors[i - 1], motors[i]);
    std::set<std::string> builds;
    for (const std::string& pin : pins) builds.insert(build_of(pin));
    const bool is_numbered = is_whole_number(key.text);
    const bool in_a_name =
        touches_a_name(line, key.at) || (key.at.begin > 0 && line[key.at.begin - 1] == '-');
    const auto others = static_cast<std::size_t>(
        std::count_if(reading.rows.begin(), reading.rows.end(), [&](const Values& row) {
          return !reading.no_motor.empty() && lower_case(row.at("motor")) == lower_case(reading.no_motor);
        }));
    reading.likely += in_order ? 4 : 2;
    if (motors.size() + others == reading.rows.size()) reading.likely += 3;
    const std::string number = key.text.substr(key.text.find_last_not_of("0123456789") + 1);
    if (number == "0" || number == "1") reading.likely += 2;
    if (is_numbered && !in_a_name) reading.likely += 2;
    if (is_numbered && in_a_name) reading.likely -= 1;
    if (key.at.end < line.size() && is_letter(line[key.at.end])) reading.likely -= 4;  // cut out of a name
    // The name of a setting that holds the motor's, rather than the motor's.
    if (!is_numbered && key.text.size() > 1) reading.likely -= 2;
    if (!std::all_of(key.text.begin(), key.text.end(), is_letter_or_digit)) reading.likely -= 2;
    if (value.whole) reading.likely += 2;
    if (touches_a_name(line_of_value, value.at)) reading.likely -= 2;
    if (have_more_on_both_sides(pins)) reading.likely -= 8;
    if (all_different(pins)) reading.likely += 3;
    if (builds.size() == 1 || are_hex(pins)) reading.likely += 2;
    if (all_whole) reading.likely += 2;
    const auto named_m = [](const std::string& text) {
      return text.size() > 1 && (text[0] == 'm' || text[0] == 'M');
    };
    if (says(line, key.at.begin, {"mot", "m"}) || named_m(key.text)) reading.likely += 2;
    if (named_m(value.text)) reading.likely -= 2;
    if (says(line, key.at.begin, {"pin", "pad"})) reading.likely -= 2;
    if (says(line_of_value, value.at.begin, {"mot"})) reading.likely -= 2;
    if (says(line_of_value, value.at.begin, {"pin", "pad"})) reading.likely += 2;
    // A table that leaves rows out is less likely than one that takes them all.
    reading.likely += static_cast<int>(std::min<std::size_t>(reading.rows.size(), 8));
  }

  // Pins alone, in a row: nothing but their order says which motor's each is.
  void counted(std::size_t number) {
    const std::string& line = reply_[number];
    const std::vector<Span> words = words_of(line);
    if (reply_.size() > 60 || words.size() > longest_map_row) return;
    for (std::size_t first = 0; first + fewest_motors <= words.size(); ++first) {
      std::size_t last = first;
      const auto gap = [&](std::size_t i) {
        return line.substr(words[i].end, words[i + 1].begin - words[i].end);
      };
      while (last + 1 < words.size() && gap(last) == gap(first)) ++last;
      std::vector<std::string> pins;
      for (std::size_t i = first; i <= last; ++i) pins.push_back(words[i].of(line));
      const std::string none = empty_word(pins).value_or("");
      std::set<std::string> builds;
      for (const std::string& pin : without(pins, none)) builds.insert(build_of(pin));
      if (pins.size() < fewest_motors || pins.size() > most_motors || builds.size() != 1) continue;
      MapReading reading;
      // What touches each of them, as quotation marks do, is the item's own.
      const std::string between = gap(first);
      const std::string behind = between.substr(0, std::min(between.find_first_of(" \t,;|"), between.size()));
      const std::size_t cut = between.find_last_of(" \t,;|");
      const std::string before = cut == std::string::npos ? std::string() : between.substr(cut + 1);
      std::string head = line.substr(0, words[first].begin), tail = line.substr(words[last].end);
      if (!head.ends_with(before) || !tail.starts_with(behind)) continue;
      head.resize(head.size() - before.size());
      tail.erase(0, behind.size());
      reading.list.item = template_of(as_literal(before) + "{pin}" + as_literal(behind));
      const auto whole = template_of(as_literal(head) + "{items}" + as_literal(tail));
      if (!reading.list.item || !whole) return;
      reading.list.lines.push_back(*whole);
      reading.list.between_items =
          between.substr(behind.size(), between.size() - behind.size() - before.size());
      reading.rows = rows_read(reading.list, {line}, false);
      if (reading.rows.size() != pins.size()) continue;
      reading.no_pin = none;
      reading.kept_is_sure = !none.empty();
      reading.likely = (all_different(without(pins, none)) ? 3 : -1) +
                       static_cast<int>(std::min<std::size_t>(pins.size(), 8));
      if (pins.size() + 2 > words.size()) reading.likely += 6;
      int motor = 1;
      for (Values& row : reading.rows) row.emplace("motor", std::to_string(motor++));
      found_.push_back(std::move(reading));
      return;
    }
  }

  const Lines& reply_;
  std::vector<MapReading>& found_;
  std::vector<std::vector<Spot>> places_;
  std::map<std::string, std::vector<std::pair<std::size_t, std::string>>> there_;
  std::size_t tried_ = 0;
};

}  // namespace

Values values_read(const Query& query, const Lines& reply) {
  console::OneRow read = console::one_row_read(query, reply, false);
  return read.twice.empty() ? std::move(read.values) : Values();
}

std::size_t end_of_section(const Lines& reply, std::size_t heading) {
  const auto built = [](std::string line) {
    for (char& c : line) c = is_digit(c) ? '9' : c;
    line.erase(std::unique(line.begin(), line.end()), line.end());
    return line;
  };
  std::size_t end = heading + 1;
  while (end < reply.size() && built(reply[end]) != built(reply[heading])) ++end;
  return end;
}

std::vector<MapReading> map_readings(const Lines& reply, std::size_t most) {
  std::vector<MapReading> found;
  MapFinder(reply, found).look();
  const bool is_short = reply.size() <= longest_laid_out;
  if (found.empty() && is_short) MapFinder(reply, found).look_in_sections();
  if (found.empty() && is_short) {
    const Lines columns = console::rows_of(true, reply);
    MapFinder(columns, found).look();
    for (MapReading& reading : found) reading.list.columns = true;
  }
  if (found.empty()) MapFinder(reply, found).look_for_pins_alone();
  std::stable_sort(found.begin(), found.end(),
                   [](const MapReading& a, const MapReading& b) { return a.likely > b.likely; });
  std::vector<MapReading> different;
  std::set<std::string> seen;
  const auto take = [&](MapReading reading) {
    if (!seen.insert(table_key(reading)).second) return false;
    different.push_back(std::move(reading));
    return true;
  };
  // Numbers that hold several things, where they look like it, before they are taken for names; else after
  // all.
  std::vector<MapReading> others;
  constexpr std::size_t most_in_bits = 12;
  std::size_t taken = 0;
  for (const MapReading& reading : found) {
    if (taken >= most) break;
    for (MapReading& other : maps_in_bits(reading, reply, most_in_bits)) {
      if (other.likely <= reading.likely) {
        others.push_back(std::move(other));
      } else {
        take(std::move(other));
      }
    }
    taken += take(reading) ? 1 : 0;
  }
  for (std::size_t i = 0; i < std::min(others.size(), most_in_bits); ++i) take(std::move(others[i]));
  return different;
}

}  // namespace armwise::teach
