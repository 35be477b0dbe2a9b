// Records and journals from strangers.
//
// Input: a byte that says which of them, then its text. Seals and checksums would stop the fuzzer at the
// door, so it may ask for them to be put right.
#include <sys/mman.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <boost/crc.hpp>
#include <cstdint>
#include <cstdio>
#include <nlohmann/json.hpp>
#include <string>
#include <string_view>

#include "armwise/record/compare.hpp"
#include "armwise/record/craft_record.hpp"
#include "armwise/record/journal.hpp"
#include "armwise/record/sha256.hpp"
#include "fuzz/must.hpp"

namespace armwise::fuzz {
namespace {

using nlohmann::json;

constexpr std::size_t seal_length = 64;
constexpr int deepest_repaired = 40;  // deeper ones go in as they are

// A file in memory that has a name.
class MemoryFile {
 public:
  explicit MemoryFile(std::string_view content) : descriptor_(::memfd_create("fuzz", MFD_CLOEXEC)) {
    must(descriptor_ >= 0, "there is memory for a file");
    while (!content.empty()) {
      const ssize_t written = ::write(descriptor_, content.data(), content.size());
      must(written > 0, "a file in memory can be written");
      content.remove_prefix(static_cast<std::size_t>(written));
    }
  }
  ~MemoryFile() { ::close(descriptor_); }
  MemoryFile(const MemoryFile&) = delete;
  MemoryFile& operator=(const MemoryFile&) = delete;
  std::string path() const { return "/proc/self/fd/" + std::to_string(descriptor_); }

 private:
  int descriptor_;
};

std::string with_its_seal(std::string text) {
  constexpr std::string_view start = "\n  \"sha256\": \"";
  const std::size_t at = text.find(start);
  if (at == std::string::npos || at + start.size() + seal_length > text.size()) return text;
  text.replace(at + start.size(), seal_length, seal_length, '0');
  const std::string seal = record::sha256(text);
  return text.replace(at + start.size(), seal_length, seal);
}

bool is_deep(std::string_view text) {
  int open = 0;
  for (const char c : text) {
    if ((c == '[' || c == '{') && ++open > deepest_repaired) return true;
  }
  return false;
}

// Each line as the entry of a journal line with the right checksum.
std::string with_checksums(std::string_view text) {
  std::string out;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find('\n'), text.size());
    const std::string_view line = text.substr(0, end);
    text.remove_prefix(std::min(end + 1, text.size()));
    const json entry = is_deep(line) ? json(json::value_t::discarded) : json::parse(line, nullptr, false);
    if (entry.is_discarded()) {
      out += std::string(line) + "\n";
      continue;
    }
    const std::string body = entry.dump(-1, ' ', false, json::error_handler_t::replace);
    boost::crc_32_type crc;
    crc.process_bytes(body.data(), body.size());
    std::array<char, 9> hex{};
    std::snprintf(hex.data(), hex.size(), "%08x", crc.checksum());
    out += R"({"crc":")" + std::string(hex.data()) + R"(","entry":)" + body + "}\n";
  }
  return out;
}

void check_snapshot(const solve::Snapshot& snapshot) {
  for (const craft::Pin& pin : snapshot.map.pins) must_be_sayable(pin.name);
}

void check_record(const std::string& text) {
  record::CraftRecord read;
  try {
    read = record::record_from_json(text);
  } catch (const Fault& fault) {
    must(fault.kind() == FaultKind::bad_data, "a record that is not sound is bad data", fault.what());
    must_be_a_fair_refusal(fault);
    return;
  }
  must_be_sayable(read.craft_name);
  must_be_sayable(read.identity.in_words());
  must(craft::frame_named(read.frame) != nullptr, "a record's frame is known", read.frame);
  check_snapshot(read.before);
  check_snapshot(read.after);
  const std::string written = record::to_json(read);
  const record::CraftRecord again = record::record_from_json(written);
  must(record::to_json(again) == written, "a record reads back as it was written", written);
  must(record::compare(read, again).empty(), "a record does not differ from itself");
  must(read.proven_whole() == again.proven_whole(), "a proof is not lost by writing it");
}

void check_journal(const std::string& text) {
  const MemoryFile file(text);
  const record::JournalRead read = record::read_journal(file.path());
  must_be_sayable(read.damage);
  const auto lines = static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n'));
  must(read.entries.size() <= lines, "an entry is a whole line");
  must(text.empty() || text.back() == '\n' || read.torn_end, "a torn end is noticed");
  record::needs_recovery(read);
  for (const record::JournalEntry& entry : read.entries) {
    must_be_sayable(entry.text);
    must_be_sayable(entry.profile_name);
    for (const std::string& line : entry.lines) must_be_sayable(line);
    if (entry.identity) must_be_sayable(entry.identity->in_words());
    if (entry.before) check_snapshot(*entry.before);
    if (entry.after) check_snapshot(*entry.after);
  }
}

void check(std::string_view bytes) {
  if (bytes.empty()) return;
  const std::string text(bytes.substr(1));
  switch (static_cast<unsigned char>(bytes.front()) % 4U) {
    case 0:
      return check_record(text);
    case 1:
      return check_record(with_its_seal(text));
    case 2:
      return check_journal(text);
    default:
      return check_journal(with_checksums(text));
  }
}

}  // namespace
}  // namespace armwise::fuzz

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  armwise::fuzz::check({reinterpret_cast<const char*>(data), size});
  return 0;
}
