// The console profiles at hand: the person's own in the data folder, and those that come with the tool.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "armwise/console/profile.hpp"

namespace armwise::app {

// Of each name one, by name; the person's own hide others of the same name. Unread: one may not be sound.
std::vector<std::filesystem::path> profile_files();

struct ProfileAtHand {
  std::filesystem::path file;
  console::Profile profile;
  bool own = false;  // in the data folder, as armwise teach writes them
};

// In the same order, without those that are not sound.
std::vector<ProfileAtHand> profiles_at_hand();

// By file, or by the name of one at hand. Throws Fault(usage) that suggests the nearest.
std::filesystem::path find_profile_file(const std::string& file_or_name);
// The same, read. Throws also Fault(file, bad_profile).
ProfileAtHand find_profile(const std::string& file_or_name);

// The one at hand that goes by this name inside, or by its file's; absent: there is none.
std::optional<ProfileAtHand> profile_called(const std::string& name);

}  // namespace armwise::app
