// Where files live: the XDG base directories (XDG Base Directory Specification 0.8).
// Relative values in the environment are ignored, as the specification demands.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>

namespace armwise::record {

struct Folders {
  std::filesystem::path config;  // keys learned, defaults
  std::filesystem::path data;    // profiles, records
  std::filesystem::path state;   // journals, logs, saved configurations

  // From HOME and XDG_*; Fault(file) where neither tells.
  static Folders from_environment();
  // The same, with a shelf of its own for the crafts that one practised on.
  Folders for_practice() const { return {config, data / "practice", state}; }
};

// A file name out of a name that a person gave: keeps letters of any script, digits, "-", "_" and ".";
// everything else becomes "-". Never empty, never starts with a dot, at most 100 bytes, no path in it.
std::string file_name_for(std::string_view craft_name);

}  // namespace armwise::record
