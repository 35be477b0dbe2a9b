#include "armwise/record/paths.hpp"

#include <cstdlib>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"

namespace armwise::record {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t longest_name = 100;

fs::path folder_from(const char* variable, const char* below_home) {
  if (const char* value = std::getenv(variable); value != nullptr && fs::path(value).is_absolute()) {
    return fs::path(value) / "armwise";
  }
  const char* home = std::getenv("HOME");
  if (home == nullptr || !fs::path(home).is_absolute()) {
    throw Fault(FaultKind::file, "There is no folder to keep records in",
                std::string("neither ") + variable + " nor HOME names an absolute folder",
                "Set HOME, or set " + std::string(variable));
  }
  return fs::path(home) / below_home / "armwise";
}

bool kept_in_file_name(unsigned char c) {
  return c >= 0x80 || (c >= '0' && c <= '9') || (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') ||
         c == '-' || c == '_' || c == '.';
}

// Cuts at a whole UTF-8 character.
void shorten(std::string& text, std::size_t longest) {
  if (text.size() <= longest) return;
  std::size_t end = longest;
  while (end > 0 && (static_cast<unsigned char>(text[end]) & 0xC0U) == 0x80U) --end;
  text.resize(end);
}

}  // namespace

Folders Folders::from_environment() {
  return {folder_from("XDG_CONFIG_HOME", ".config"), folder_from("XDG_DATA_HOME", ".local/share"),
          folder_from("XDG_STATE_HOME", ".local/state")};
}

std::string file_name_for(std::string_view craft_name) {
  std::string out;
  for (const char c : printable(craft_name)) {
    const bool keep = kept_in_file_name(static_cast<unsigned char>(c));
    if (keep) {
      out += c;
    } else if (!out.empty() && out.back() != '-') {
      out += '-';
    }
  }
  while (!out.empty() && (out.front() == '.' || out.front() == '-')) out.erase(0, 1);
  shorten(out, longest_name);
  while (!out.empty() && out.back() == '-') out.pop_back();
  return out.empty() ? "craft" : out;
}

}  // namespace armwise::record
