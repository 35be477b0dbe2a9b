// The word that the guard leaves of a motor that it stopped once the tool was gone and could tell nobody.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

namespace armwise::link {

struct GuardNote {
  enum class Ending { acknowledged, unanswered, line_gone };
  Ending ending = Ending::unanswered;
  std::string when;  // "2026-05-04T08:00:00Z"

  // For the person: whether a motor may still be turning.
  std::string in_words() const;
};

// The file for a tool of this process number. Its folder is made where needed and possible.
std::filesystem::path guard_note_file(const std::filesystem::path& folder, int process);

// Written beside and renamed, synced. Says nothing where it cannot: nobody would hear it.
void leave_word(const std::filesystem::path& file, GuardNote::Ending ending) noexcept;

// All notes in the folder, oldest first, and away with them. What cannot be read is passed over.
std::vector<GuardNote> take_guard_notes(const std::filesystem::path& folder);

}  // namespace armwise::link
