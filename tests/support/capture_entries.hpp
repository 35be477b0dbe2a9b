// A capture or a log, read again.
#pragma once

#include <cstdint>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "armwise/base/fault.hpp"

namespace armwise::test {

struct CaptureEntry {
  enum class Kind { started, sent, came, event };
  Kind kind = Kind::event;
  std::int64_t at = 0;  // microseconds
  std::string bytes;    // sent or came; of an event, its name
};

// Nothing where a character is no byte.
inline std::optional<std::string> bytes_of(const std::string& utf8) {
  std::string bytes;
  for (std::size_t i = 0; i < utf8.size(); ++i) {
    const auto lead = static_cast<unsigned char>(utf8[i]);
    if (lead < 0x80U) {
      bytes += utf8[i];
    } else if ((lead == 0xC2U || lead == 0xC3U) && i + 1 < utf8.size()) {
      bytes += static_cast<char>(((lead & 0x03U) << 6U) | (static_cast<unsigned char>(utf8[++i]) & 0x3FU));
    } else {
      return std::nullopt;
    }
  }
  return bytes;
}

inline std::optional<CaptureEntry> entry_of(const std::string& line) {
  const auto object = nlohmann::json::parse(line, nullptr, false);
  if (!object.is_object()) return std::nullopt;
  if (object.contains("capture")) return CaptureEntry{CaptureEntry::Kind::started, 0, {}};
  if (!object.contains("at") || !object["at"].is_number_integer()) return std::nullopt;
  const auto at = object["at"].get<std::int64_t>();
  constexpr std::pair<const char*, CaptureEntry::Kind> kinds[] = {{"sent", CaptureEntry::Kind::sent},
                                                                  {"came", CaptureEntry::Kind::came},
                                                                  {"event", CaptureEntry::Kind::event}};
  for (const auto& [key, kind] : kinds) {
    if (!object.contains(key) || !object[key].is_string()) continue;
    const std::optional<std::string> bytes = bytes_of(object[key].get<std::string>());
    if (!bytes) return std::nullopt;
    return CaptureEntry{kind, at, *bytes};
  }
  return std::nullopt;
}

// A torn last line is passed over. Throws Fault(file), Fault(bad_data) with the line's number.
inline std::vector<CaptureEntry> load_capture(const std::filesystem::path& file) {
  std::ifstream in(file, std::ios::binary);
  if (!in) throw Fault(FaultKind::file, "The capture file " + file.string() + " could not be read");
  std::vector<CaptureEntry> entries;
  std::size_t number = 0;
  for (std::string line; std::getline(in, line);) {
    ++number;
    const bool torn = in.eof();  // the last line has no end
    std::optional<CaptureEntry> entry = entry_of(line);
    if (entry) {
      entries.push_back(std::move(*entry));
    } else if (!torn) {
      throw Fault(FaultKind::bad_data, "Line " + std::to_string(number) + " of the capture file " +
                                           file.string() + " does not read");
    }
  }
  return entries;
}

}  // namespace armwise::test
