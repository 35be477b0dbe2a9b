#include "armwise/teach/reply_table.hpp"

#include <algorithm>
#include <charconv>
#include <map>
#include <set>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"
#include "raw_table.hpp"
#include "sites.hpp"
#include "words.hpp"

namespace armwise::teach {
namespace {

using console::Query;
using console::Template;
using console::Values;

constexpr std::size_t fewest_motors = 3;
constexpr std::size_t most_motors = 32;

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

// What stands before the number in every value, where all end in a whole number of their own.
struct Numbered {
  std::string prefix;
  std::vector<int> numbers;
};
std::optional<Numbered> numbered(const std::vector<std::string>& values) {
  Numbered result;
  for (std::size_t i = 0; i < values.size(); ++i) {
    const std::string& value = values[i];
    std::size_t digits = value.size();
    while (digits > 0 && value[digits - 1] >= '0' && value[digits - 1] <= '9') --digits;
    const std::string prefix = value.substr(0, digits);
    if (digits == value.size() || (i > 0 && lower_case(prefix) != lower_case(result.prefix)))
      return std::nullopt;
    result.prefix = prefix;
    int number = 0;
    const auto [end, error] = std::from_chars(value.data() + digits, value.data() + value.size(), number);
    // "01" would be written back as "1".
    const bool padded = value.size() - digits > 1 && value[digits] == '0';
    if (error != std::errc{} || end != value.data() + value.size() || padded) return std::nullopt;
    result.numbers.push_back(number);
  }
  return result;
}

bool all_different(const std::vector<std::string>& values) {
  std::set<std::string> seen;
  return std::all_of(values.begin(), values.end(),
                     [&](const std::string& value) { return seen.insert(lower_case(value)).second; });
}

// The one word among the values that is built unlike the others: how an empty place is shown.
std::optional<std::string> empty_word(const std::vector<std::string>& values) {
  std::map<std::string, std::set<std::string>> by_build;
  std::map<std::string, std::size_t> count;
  for (const std::string& value : values) {
    by_build[build_of(value)].insert(lower_case(value));
    ++count[build_of(value)];
  }
  if (by_build.size() < 2) return std::nullopt;
  std::string odd;
  for (const auto& [build, words] : by_build) {
    const bool has_digit = build.find('9') != std::string::npos;
    if (words.size() == 1 && !has_digit) odd = *words.begin();
  }
  if (odd.empty()) return std::nullopt;
  for (const std::string& value : values) {
    if (lower_case(value) == odd) return value;
  }
  return std::nullopt;
}

std::vector<std::string> without(const std::vector<std::string>& values, const std::string& word) {
  std::vector<std::string> left;
  for (const std::string& value : values) {
    if (lower_case(value) != lower_case(word)) left.push_back(value);
  }
  return left;
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

bool counts_up(const std::vector<int>& numbers) {
  for (std::size_t i = 1; i < numbers.size(); ++i) {
    if (numbers[i] != numbers[i - 1] + 1) return false;
  }
  return true;
}

// A motor column, understood.
struct MotorColumn {
  std::string prefix;  // taken out of the value and made text of the template
  int first = 1;
  std::vector<std::string> codes;
  std::string empty;
  int likely = 0;
};

// As numbers, the text before them left to the template; and as codes, where that text may be part of them.
std::vector<MotorColumn> motor_columns(const std::vector<std::string>& values) {
  std::vector<MotorColumn> ways;
  const std::optional<std::string> odd = empty_word(values);
  const std::vector<std::string> there = odd ? without(values, *odd) : values;
  const auto numbers = numbered(there);
  if (there.size() < fewest_motors || there.size() > most_motors || !all_different(there) || !numbers)
    return ways;
  std::vector<int> sorted = numbers->numbers;
  std::sort(sorted.begin(), sorted.end());
  const int lowest = sorted.front(), highest = sorted.back();
  if (highest - lowest >= static_cast<int>(most_motors)) return ways;
  MotorColumn way;
  way.prefix = numbers->prefix;
  // Motor 1 may be the one that sits nowhere; then 2 is not the first.
  way.first = lowest == 2 && odd ? 1 : lowest;
  way.empty = odd.value_or("");
  way.likely += counts_up(numbers->numbers) ? 4 : counts_up(sorted) ? 3 : 0;
  way.likely += lowest == 0 || lowest == 1 ? 2 : 0;
  if (way.prefix.empty()) way.likely += 2;
  // With an empty place shown as a bare word, the text before the number cannot be the template's.
  if (!odd || way.prefix.empty()) ways.push_back(way);
  if (!way.prefix.empty()) {
    way.likely += odd ? 1 : -1;
    for (int n = way.first; n <= std::max(highest, way.first + 7); ++n) {
      way.codes.push_back(way.prefix + std::to_string(n));
    }
    way.prefix.clear();
    ways.push_back(way);
  }
  return ways;
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
