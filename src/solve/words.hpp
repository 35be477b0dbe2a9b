// Words and comparisons that the planner and the identification share.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "armwise/craft/frame.hpp"
#include "armwise/craft/motor.hpp"
#include "armwise/craft/rotation.hpp"

namespace armwise::solve::words {

// "a", "a and b", "a, b and c".
std::string listed(const std::vector<std::string>& items, std::string_view last = "and");

std::string motor(craft::Motor motor);                                  // "motor 3"
std::string pin(const craft::Pin& pin);                                 // "pin P4", "no pin"
std::string motor_on_pin(craft::Motor motor, const craft::Pin& pin);    // "motor 3 (pin P4)"
std::string place(const craft::Frame& frame, craft::PlaceIndex place);  // "front-left"

std::string mount(const craft::YawPitchRoll& mount);          // "yaw 90, pitch 0, roll 180 degrees"
std::string mount_rounded(const craft::YawPitchRoll& mount);  // the same in whole degrees

// Within 0.05 degrees each, whole turns apart: consoles print whole degrees or tenths.
// `step`: degrees in the last digit of the console that rounded one of them.
bool same_mount(const craft::YawPitchRoll& a, const craft::YawPitchRoll& b, double step);

std::string capitalised(std::string text);  // the first letter, for the start of a sentence

}  // namespace armwise::solve::words
