// The eight letters that a person's keyboard has where the standard one has q w e d c x z a, in a file.
#pragma once

#include <filesystem>
#include <string>

#include "armwise/ui/keys.hpp"

namespace armwise::ui {

struct LearnedLetters {
  Ring letters = standard_letters();
  std::string trouble;  // why the file's letters are not used; empty where they are, or where it has none
};

LearnedLetters load_letters(const std::filesystem::path& file);
// Throws Fault(file).
void save_letters(const std::filesystem::path& file, const Ring& letters);

}  // namespace armwise::ui
