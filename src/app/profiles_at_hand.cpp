#include "profiles_at_hand.hpp"

#include <algorithm>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"
#include "armwise/record/paths.hpp"
#include "armwise/record/shelf.hpp"

namespace armwise::app {
namespace {

namespace fs = std::filesystem;

fs::path own_folder() {
  return record::Folders::from_environment().data / "profiles";
}

std::vector<fs::path> profile_folders() {
  std::vector<fs::path> folders{own_folder()};
  std::error_code error;
  const fs::path program = fs::read_symlink("/proc/self/exe", error);
  if (error) return folders;
  const fs::path here = program.parent_path();
  folders.push_back(here.parent_path() / "share" / "armwise" / "profiles");
  // Run from where it was built: build/NAME/armwise.
  if (fs::exists(here / "CMakeCache.txt", error))
    folders.push_back(here.parent_path().parent_path() / "fixtures" / "profiles");
  return folders;
}

ProfileAtHand read(const fs::path& file) {
  return {file, console::load_profile_file(file), file.parent_path() == own_folder()};
}

}  // namespace

std::vector<fs::path> profile_files() {
  std::vector<fs::path> files;
  for (const fs::path& folder : profile_folders()) {
    for (const fs::path& file : record::files_with(folder, ".json")) {
      const bool known = std::any_of(files.begin(), files.end(),
                                     [&](const fs::path& other) { return other.stem() == file.stem(); });
      if (!known) files.push_back(file);
    }
  }
  std::sort(files.begin(), files.end(),
            [](const fs::path& a, const fs::path& b) { return a.stem() < b.stem(); });
  return files;
}

std::vector<ProfileAtHand> profiles_at_hand() {
  std::vector<ProfileAtHand> profiles;
  for (const fs::path& file : profile_files()) {
    try {
      profiles.push_back(read(file));
    } catch (const Fault&) {
      // `armwise profile list` says what is wrong with it.
    }
  }
  return profiles;
}

fs::path find_profile_file(const std::string& file_or_name) {
  if (fs::is_regular_file(file_or_name)) return file_or_name;
  std::vector<std::string> names;
  for (const fs::path& file : profile_files()) {
    if (file.stem() == file_or_name) return file;
    names.push_back(file.stem().string());
  }
  const std::string near = nearest(file_or_name, names);
  throw Fault(FaultKind::usage, "There is no profile " + printable(file_or_name),
              names.empty()  ? "no file has that name, and no profile is installed"
              : near.empty() ? "no file has that name, and the profiles are: " + joined(names, ", ")
                             : "the nearest name is " + near,
              "Name a profile or its file; armwise teach writes one for your console");
}

ProfileAtHand find_profile(const std::string& file_or_name) {
  return read(find_profile_file(file_or_name));
}

std::optional<ProfileAtHand> profile_called(const std::string& name) {
  std::optional<ProfileAtHand> by_file;
  for (ProfileAtHand& at_hand : profiles_at_hand()) {
    if (at_hand.profile.name == name) return std::move(at_hand);
    if (at_hand.file.stem() == name) by_file = std::move(at_hand);
  }
  return by_file;
}

}  // namespace armwise::app
