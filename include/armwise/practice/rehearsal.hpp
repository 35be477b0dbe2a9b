// A profile tried on a practice craft that speaks it: a whole bench session in process, in no real time.
#pragma once

#include <filesystem>
#include <optional>
#include <string>

#include "armwise/console/profile.hpp"

namespace armwise::practice {

// What is wrong, in words; nothing where the session ended kept and right, or where the profile holds too
// little for a session to be tried. `folder` takes the session's files and can be thrown away after.
std::optional<std::string> rehearse(const console::Profile& profile, const std::filesystem::path& folder);

}  // namespace armwise::practice
