#include "armwise/base/age.hpp"

#include <chrono>
#include <cstdio>

#include "armwise/base/text.hpp"

namespace armwise {
namespace {

std::optional<std::chrono::sys_seconds> time_point_of(const std::string& date_and_time) {
  int year = 0, month = 0, day = 0, hour = 0, minute = 0, second = 0, hours_off = 0, minutes_off = 0;
  char sign = '+';
  const int read = std::sscanf(date_and_time.c_str(), "%4d-%2d-%2dT%2d:%2d:%2d%c%2d:%2d", &year, &month, &day,
                               &hour, &minute, &second, &sign, &hours_off, &minutes_off);
  using namespace std::chrono;
  const year_month_day date(std::chrono::year(year), std::chrono::month(static_cast<unsigned>(month)),
                            std::chrono::day(static_cast<unsigned>(day)));
  if (read < 6 || !date.ok()) return std::nullopt;
  const seconds offset = (sign == '-' ? -1 : 1) * (hours(hours_off) + minutes(minutes_off));
  return sys_days(date) + hours(hour) + minutes(minute) + seconds(second) - offset;
}

}  // namespace

std::optional<std::int64_t> seconds_between(const std::string& then, const std::string& now) {
  const auto from = time_point_of(then), to = time_point_of(now);
  if (!from || !to || *to < *from) return std::nullopt;
  return (*to - *from).count();
}

std::string age_in_words(const std::string& then, const std::string& now) {
  const std::optional<std::int64_t> since = seconds_between(then, now);
  const auto ago = [](std::int64_t number, const std::string& unit) {
    return std::to_string(number) + " " + unit + (number == 1 ? "" : "s") + " ago";
  };
  constexpr std::int64_t minute = 60, hour = 60 * minute, day = 24 * hour;
  if (!since || *since >= 365 * day) return printable(then.substr(0, 10));
  if (*since < minute) return "just now";
  if (*since < hour) return ago(*since / minute, "minute");
  if (*since < day) return ago(*since / hour, "hour");
  if (*since < 14 * day) return ago(*since / day, "day");
  return *since < 60 * day ? ago(*since / (7 * day), "week") : ago(*since / (30 * day), "month");
}

}  // namespace armwise
