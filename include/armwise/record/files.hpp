// Files that are either whole or not there: written beside, synced, renamed, the folder synced.
#pragma once

#include <cstddef>
#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace armwise::record {

// A whole configuration may hold what is nobody else's business, such as keys of a radio.
enum class Readable { by_all, by_owner };

// Makes the folder where needed. Throws Fault(file) with the system's reason.
void write_whole(const std::filesystem::path& file, std::string_view content,
                 Readable readable = Readable::by_all);

// As write_whole(), but nothing is written over: false where something has this name already.
bool write_new(const std::filesystem::path& file, std::string_view content, Readable readable);

// A path that no file had, taken at once by an empty one: two programs that want one at the same time get
// two. "stem.txt", else "stem-2.txt", and so on. Throws Fault(file).
std::filesystem::path take_fresh_name(const std::filesystem::path& folder, const std::string& stem,
                                      const std::string& extension);

// Throws Fault(file) where it cannot be read or is longer than `longest` bytes.
std::string read_whole(const std::filesystem::path& file, std::size_t longest = std::size_t{64} << 20U);

// Makes the folder (and those above it) and syncs its parent. Throws Fault(file).
void make_folder(const std::filesystem::path& folder);
void sync_folder(const std::filesystem::path& folder);

}  // namespace armwise::record
