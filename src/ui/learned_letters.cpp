#include "learned_letters.hpp"

#include <nlohmann/json.hpp>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"
#include "armwise/record/files.hpp"

namespace armwise::ui {
namespace {

constexpr std::size_t longest_letters = 4096;

std::string read_into(Ring& letters, const std::string& text) {
  const nlohmann::json object = nlohmann::json::parse(text, nullptr, false);
  if (!object.is_object() || !object.contains("letters") || !object["letters"].is_array() ||
      object["letters"].size() != letters.size())
    return "it is not {\"letters\": [eight of them, clockwise from the top left]}";
  for (std::size_t i = 0; i < letters.size(); ++i) {
    if (!object["letters"][i].is_string()) return "a letter in it is no string";
    letters[i] = object["letters"][i].get<std::string>();
  }
  return why_not_letters(letters);
}

}  // namespace

LearnedLetters load_letters(const std::filesystem::path& file) {
  LearnedLetters learned;
  std::error_code ignored;
  if (file.empty() || !std::filesystem::exists(file, ignored)) return learned;
  try {
    Ring letters;
    learned.trouble = read_into(letters, record::read_whole(file, longest_letters));
    if (learned.trouble.empty()) learned.letters = letters;
  } catch (const Fault& fault) {
    learned.trouble = fault.sentence();
  }
  if (!learned.trouble.empty())
    learned.trouble =
        "The letters in " + printable(file.string()) + " are not used: " + learned.trouble + ".";
  return learned;
}

void save_letters(const std::filesystem::path& file, const Ring& letters) {
  const nlohmann::json object{{"letters", letters}};
  record::write_whole(file, object.dump(2) + "\n");
}

}  // namespace armwise::ui
