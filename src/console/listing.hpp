// From the lines of a reply to the values in them. Pure. All throw Fault(unreadable).
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "armwise/console/profile.hpp"
#include "armwise/solve/plan.hpp"

namespace armwise::console {

// One for each line, or item of a line, that reads as the query says; others are passed over.
std::vector<Values> rows_in(const Profile& profile, const Query& query,
                            const std::vector<std::string>& lines);

// The blanks of all lines together. Refuses a blank that reads two ways, or one of `needed` that never came.
Values values_in(const Profile& profile, const Query& query, const std::vector<std::string>& lines,
                 const std::vector<std::string>& needed);

double number_in(const Values& values, const std::string& blank);

enum class Listing { whole, as_left };

// See Console::snapshot and snapshot_as_left.
craft::MotorMap map_in(const Profile& profile, const std::vector<Values>& rows, int motors, Listing listing);

// What the map's list says of one motor's pin; of one pin's motor. Nothing: it is not listed, or on none.
std::optional<std::string> pin_listed(const Profile& profile, const std::vector<Values>& rows,
                                      craft::Motor motor);
std::optional<std::string> motor_listed(const Profile& profile, const std::vector<Values>& rows,
                                        const craft::Pin& pin);
// What the list of turns says of one motor or pin, by the console's code.
craft::Turn turn_listed(const Profile& profile, const std::vector<Values>& rows, const std::string& key);

}  // namespace armwise::console
