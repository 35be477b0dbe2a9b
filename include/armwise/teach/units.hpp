// Which unit a person's numbers are in. Pure.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "armwise/teach/command_lesson.hpp"

namespace armwise::teach {

// Angles as typed for known degrees: console units for one degree, and the text of each angle found.
struct AngleUnit {
  double per_degree = 1;  // 1, 10, 100 or pi/180
  std::array<int, 3> signs{1, 1, 1};
  std::array<std::string, 3> texts;  // yaw, pitch, roll; empty where it is not in the command
};
// From a command typed for these angles (degrees; all different, none zero). All three, or only the first.
// Absent where no unit fits, or two do.
std::optional<AngleUnit> angle_unit(const Typed& typed, const std::array<double, 3>& degrees);

// Units in which consoles count angles, as units for one degree: the given one first.
std::vector<double> angle_units(double first);
// The next finer: tenths for degrees, hundredths for tenths, degrees for radians. 0: none.
double finer_angle_unit(double per_degree);

// Console units for 1 g, from the length of a reading at rest: a usual one where it is near, else the length.
double units_per_g(double length);

// Console units for 1 degree a second, from a measurement by hand: a usual one where it is near, else two
// digits of what was measured.
struct RateUnit {
  double per_dps = 1;
  bool usual = false;
};
RateUnit rate_unit(double measured);

// "yaw", "pitch", "roll".
const std::vector<std::string>& angle_names();

double number_of(const std::string& text);  // 0 where it is none
int decimals_of(const std::string& number);
// All numbers that stand in a text as words of their own, with a unit behind them or not ("2500", "2500ms").
std::vector<std::string> numbers_in(const std::string& text);

}  // namespace armwise::teach
