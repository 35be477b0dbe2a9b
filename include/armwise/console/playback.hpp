// Which lines of a saved whole configuration may be sent to a console as they stand. Pure.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "armwise/console/profile.hpp"

namespace armwise::console {

// Why nothing can be played back to consoles of this kind, as a sentence; empty where it can. A console with
// menus takes a line for whatever its menu makes of it.
std::string why_no_playback(const Profile& profile);

// Why this line stays out, in words; empty where it may be sent: it turns a motor or stops one, keeps,
// restarts, leaves the console, or is no line that a person could have typed. Letters without case and
// spaces are no disguise, and neither is what follows the command's own words.
std::string why_left_out(const Profile& profile, std::string_view line);

// Whether somewhere in these lines, sent in turn, stands this profile's order to spin a motor: with a motor's
// code and a number for its strength. False where the profile has no such order.
bool is_a_spin(const Profile& profile, const std::vector<std::string>& lines);

}  // namespace armwise::console
