#include "armwise/teach/reply_table.hpp"

#include <algorithm>
#include <map>
#include <set>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"
#include "motor_column.hpp"
#include "raw_table.hpp"
#include "sites.hpp"
#include "words.hpp"

namespace armwise::teach {
namespace {

using console::Query;
using console::Template;
using console::Values;

using Names = std::map<std::size_t, std::string>;  // column -> name of its blank

// The pieces of a row as a template's source; a column without a name is passed over. `prefix` is text that
// stands before the value in every row of the column.
std::string source_of(const RawTable& table, const Names& names, const Names& prefixes) {
  std::string source;
  for (std::size_t i = 0; i < table.like.size(); ++i) {
    const bool varies = std::find(table.columns.begin(), table.columns.end(), i) != table.columns.end();
    const auto name = names.find(i);
    if (!varies && name == names.end()) {
      source += as_literal(table.like[i].text);
      continue;
    }
    if (const auto prefix = prefixes.find(i); prefix != prefixes.end()) source += as_literal(prefix->second);
    source += name == names.end() ? std::string("{skip}") : "{" + name->second + "}";
  }
  return source;
}

std::optional<Query> query_of(const RawTable& table, const Names& names, const Names& prefixes = {}) {
  try {
    Query query;
    const std::string source = source_of(table, names, prefixes);
    if (!table.items) {
      query.lines.push_back(Template::parse(source));
      return query;
    }
    query.item = Template::parse(source);
    query.lines.push_back(Template::parse(as_literal(table.before) + "{items}" + as_literal(table.after)));
    query.between_items = table.between;
    return query;
  } catch (const Fault&) {
    return std::nullopt;
  }
}

bool says(const RawTable& table, std::size_t column, std::initializer_list<const char*> words) {
  std::size_t looked_at = 0;
  for (std::size_t i = column; i-- > 0 && looked_at < 2;) {
    if (!table.like[i].word) continue;
    ++looked_at;
    const std::string before = lower_case(table.like[i].text);
    for (const char* word : words) {
      if (before.starts_with(word)) return true;
    }
  }
  return false;
}

std::string table_key(const MapReading& reading) {
  std::string key = std::to_string(reading.first_motor);
  for (const Values& row : reading.rows) key += "\n" + row.at("motor") + "\t" + row.at("pin");
  for (const std::string& code : reading.motor_codes) key += "\n" + code;
  return key;
}

// Counts the items where the motor is not named.
void number_rows(MapReading& reading) {
  int number = 1;
  for (Values& row : reading.rows) row.emplace("motor", std::to_string(number++));
}

class MapReader {
 public:
  MapReader(const Lines& reply, std::vector<MapReading>& found) : reply_(reply), found_(found) {}

  void read(const RawTable& table) {
    if (table.rows.size() > 4 * most_motors) return;
    for (const std::size_t motor : table.columns) {
      for (const MotorColumn& way : motor_columns(table.column(motor))) {
        for (const std::size_t pin : table.columns) {
          if (pin != motor) add(table, motor, way, pin);
        }
      }
    }
    if (table.items && table.columns.size() == 1) add_counted(table);
  }

 private:
  void add(const RawTable& table, std::size_t motor, const MotorColumn& way, std::size_t pin) {
    const std::vector<std::string> pins = table.column(pin);
    MapReading reading;
    Names prefixes;
    if (!way.prefix.empty()) prefixes[motor] = way.prefix;
    const auto query = query_of(table, {{motor, "motor"}, {pin, "pin"}}, prefixes);
    if (!query) return;
    reading.list = *query;
    reading.first_motor = way.first;
    reading.motor_codes = way.codes;
    reading.no_motor = way.empty;
    reading.no_pin = way.empty.empty() ? empty_word(pins).value_or("") : "";
    const bool pins_differ = all_different(reading.no_pin.empty() ? pins : without(pins, reading.no_pin));
    reading.likely = way.likely + (pins_differ ? 2 : 0);
    if (build_of(pins.front()).find('a') != std::string::npos) reading.likely += 1;
    if (says(table, motor, {"mot"}) || table.like[motor].text.starts_with("m")) reading.likely += 2;
    if (says(table, pin, {"mot"})) reading.likely -= 2;
    if (says(table, pin, {"pin", "pad"})) reading.likely += 2;
    if (table.columns.size() == 2) reading.likely += 2;
    understand_keeping(reading, motor, pin);
    finish(table, std::move(reading));
  }

  void add_counted(const RawTable& table) {
    const std::vector<std::string> pins = table.column(table.columns.front());
    MapReading reading;
    const auto query = query_of(table, {{table.columns.front(), "pin"}});
    if (!query || pins.size() > most_motors) return;
    reading.list = *query;
    reading.no_pin = empty_word(pins).value_or("");
    reading.likely = all_different(pins) ? 1 : -1;
    std::set<std::string> builds;
    for (const std::string& pin : pins) builds.insert(build_of(pin));
    if (builds.size() == 1) reading.likely += 2;
    finish(table, std::move(reading));
  }

  static void understand_keeping(MapReading& reading, std::size_t motor, std::size_t pin) {
    reading.kept_is_sure = !reading.no_motor.empty() || !reading.no_pin.empty();
    const bool by_pin = reading.kept_is_sure ? !reading.no_motor.empty() : pin < motor;
    reading.kept = by_pin ? solve::MapKept::per_pin : solve::MapKept::per_motor;
  }

  // Takes a reading up where its templates say of the whole reply just what was meant.
  void finish(const RawTable& table, MapReading reading) {
    reading.rows = rows_read(reading.list, reply_, false);
    if (reading.rows.size() != table.rows.size()) return;
    for (const Values& row : reading.rows) {
      // A quotation mark or bracket in a value is a cut in the wrong place.
      if (!row.contains("pin") || row.at("pin").find_first_of("\"'{}[]()<>") != std::string::npos) return;
    }
    number_rows(reading);
    // A table that leaves rows out is less likely than one that takes them all.
    reading.likely += static_cast<int>(std::min<std::size_t>(table.rows.size(), 8));
    const std::set<std::size_t> used(table.lines.begin(), table.lines.end());
    for (std::size_t i = 0; i < reply_.size() && reading.others.size() < 100; ++i) {
      if (!used.contains(i)) reading.others.push_back(reply_[i]);
    }
    found_.push_back(std::move(reading));
  }

  const Lines& reply_;
  std::vector<MapReading>& found_;
};

}  // namespace

std::vector<Values> rows_read(const Query& query, const Lines& reply, bool case_sensitive) {
  std::vector<Values> rows;
  for (const std::string& line : reply) {
    for (const Template& like : query.lines) {
      const auto values = like.match(line, case_sensitive);
      if (!values) continue;
      if (query.item && like.has("items")) {
        for (Values& item : query.item->match_all(values->at("items"), case_sensitive)) {
          rows.push_back(std::move(item));
        }
      } else {
        rows.push_back(*values);
      }
      break;
    }
  }
  for (Values& row : rows) {
    row.erase("skip");
    row.erase("rest");
  }
  return rows;
}

Values values_read(const Query& query, const Lines& reply) {
  Values all;
  for (const Values& row : rows_read(query, reply, false)) all.insert(row.begin(), row.end());
  return all;
}

std::vector<MapReading> map_readings(const Lines& reply, std::size_t most) {
  std::vector<MapReading> found;
  MapReader reader(reply, found);
  for (const RawTable& table : raw_tables(reply, fewest_motors)) reader.read(table);
  std::stable_sort(found.begin(), found.end(),
                   [](const MapReading& a, const MapReading& b) { return a.likely > b.likely; });
  std::vector<MapReading> different;
  std::set<std::string> seen;
  for (MapReading& reading : found) {
    if (different.size() < most && seen.insert(table_key(reading)).second)
      different.push_back(std::move(reading));
  }
  return different;
}

}  // namespace armwise::teach
