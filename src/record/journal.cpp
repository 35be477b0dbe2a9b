#include "armwise/record/journal.hpp"

#include <fcntl.h>
#include <unistd.h>

#include <array>
#include <boost/crc.hpp>
#include <cerrno>
#include <cstdio>
#include <nlohmann/json.hpp>
#include <system_error>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/record/files.hpp"
#include "settings_json.hpp"

namespace armwise::record {
namespace {

namespace fs = std::filesystem;
using nlohmann::json;
using What = JournalEntry::What;

constexpr std::array<std::pair<What, std::string_view>, 13> what_names{
    {{What::began, "began"},
     {What::configuration_saved, "configuration-saved"},
     {What::playing, "playing"},
     {What::planned, "planned"},
     {What::writing, "writing"},
     {What::wrote, "wrote"},
     {What::taking_back, "taking-back"},
     {What::taken_back, "taken-back"},
     {What::proven, "proven"},
     {What::keeping, "keeping"},
     {What::kept, "kept"},
     {What::verified, "verified"},
     {What::closed, "closed"}}};

std::string checksum(std::string_view text) {
  boost::crc_32_type crc;
  crc.process_bytes(text.data(), text.size());
  std::array<char, 9> hex{};
  std::snprintf(hex.data(), hex.size(), "%08x", crc.checksum());
  return hex.data();
}

json entry_to_json(const JournalEntry& entry) {
  json out = {{"what", std::string(name(entry.what))}, {"when", entry.when}};
  if (!entry.text.empty()) out["text"] = entry.text;
  if (entry.step != 0) out["step"] = entry.step;
  if (!entry.lines.empty()) out["lines"] = entry.lines;
  if (entry.identity) out["identity"] = to_json_value(*entry.identity);
  if (!entry.profile_name.empty()) out["profile"] = entry.profile_name;
  if (entry.before) out["before"] = to_json_value(*entry.before);
  if (entry.after) out["after"] = to_json_value(*entry.after);
  return out;
}

JournalEntry entry_from(const Reader& reader) {
  JournalEntry entry;
  const std::string what = reader.at("what").text();
  bool known = false;
  for (const auto& [value, text] : what_names) {
    if (text == what) {
      entry.what = value;
      known = true;
    }
  }
  if (!known) reader.at("what").fail("is no journal entry that this armwise knows");
  entry.when = reader.at("when").text();
  entry.text = reader.text_or_empty("text");
  entry.step = reader.has("step") ? reader.at("step").whole(0, 100000) : 0;
  if (reader.has("lines")) entry.lines = reader.at("lines").texts();
  if (reader.has("identity")) entry.identity = identity_from(reader.at("identity"));
  entry.profile_name = reader.text_or_empty("profile");
  if (reader.has("before")) entry.before = snapshot_from(reader.at("before"));
  if (reader.has("after")) entry.after = snapshot_from(reader.at("after"));
  return entry;
}

std::string line_of(const JournalEntry& entry) {
  const json body = entry_to_json(entry);
  // Broken UTF-8 from a console must not lose the entry.
  const std::string text = body.dump(-1, ' ', false, json::error_handler_t::replace);
  return R"({"crc":")" + checksum(text) + R"(","entry":)" + text + "}\n";
}

// Throws Fault(bad_data) where the line is not whole.
JournalEntry parse_line(std::string_view line) {
  const json document = parse_limited(line, "A journal line");
  const Reader reader(document);
  const Reader body = reader.at("entry");
  if (reader.at("crc").text() != checksum(body.raw().dump())) reader.fail("has a wrong checksum");
  return entry_from(body);
}

class FileJournal : public Journal {
 public:
  FileJournal(const fs::path& file, int extra_flags) : file_(file) {
    descriptor_ = ::open(file.c_str(), O_WRONLY | O_APPEND | O_CLOEXEC | O_NOFOLLOW | extra_flags, 0644);
    if (descriptor_ < 0) fail("Opening the journal", errno);
  }
  ~FileJournal() override { ::close(descriptor_); }
  FileJournal(const FileJournal&) = delete;
  FileJournal& operator=(const FileJournal&) = delete;

  void append(const JournalEntry& entry) override {
    const std::string line = line_of(entry);
    std::string_view rest = line;
    while (!rest.empty()) {
      const ssize_t written = ::write(descriptor_, rest.data(), rest.size());
      if (written < 0 && errno == EINTR) continue;
      if (written < 0) fail("Writing the journal", errno);
      rest.remove_prefix(static_cast<std::size_t>(written));
    }
    if (::fdatasync(descriptor_) != 0 && errno != EINVAL) fail("Syncing the journal", errno);
  }

 private:
  [[noreturn]] void fail(const std::string& doing, int error) const {
    throw Fault(FaultKind::file, doing + " " + file_.string() + " did not work",
                std::generic_category().message(error),
                "Make room or give access there; nothing more is written to the controller without it");
  }

  fs::path file_;
  int descriptor_ = -1;
};

// A torn last line would join with the next entry to one damaged line: it is cut off first.
void cut_torn_end(const fs::path& file) {
  const std::string content = read_whole(file);
  const std::size_t end = content.rfind('\n');
  const std::size_t whole = end == std::string::npos ? 0 : end + 1;
  if (whole != content.size()) fs::resize_file(file, whole);
}

}  // namespace

std::string_view name(JournalEntry::What what) {
  for (const auto& [value, text] : what_names) {
    if (value == what) return text;
  }
  return "";
}

std::unique_ptr<Journal> create_journal(const fs::path& file) {
  make_folder(file.parent_path());
  auto journal = std::make_unique<FileJournal>(file, O_CREAT | O_EXCL);
  sync_folder(file.parent_path());
  return journal;
}

std::unique_ptr<Journal> continue_journal(const fs::path& file) {
  cut_torn_end(file);
  return std::make_unique<FileJournal>(file, 0);
}

JournalRead read_journal(const fs::path& file) {
  const std::string content = read_whole(file);
  JournalRead read;
  std::size_t at = 0;
  int number = 0;
  while (at < content.size()) {
    ++number;
    const std::size_t end = content.find('\n', at);
    if (end == std::string::npos) {
      read.torn_end = true;
      break;
    }
    try {
      read.entries.push_back(parse_line(std::string_view(content).substr(at, end - at)));
    } catch (const Fault& fault) {
      if (end + 1 == content.size()) {
        read.torn_end = true;
      } else if (read.damage.empty()) {
        read.damage = "Line " + std::to_string(number) + " of the journal " + file.string() +
                      " is damaged: " + fault.sentence();
      }
    }
    at = end + 1;
  }
  return read;
}

bool needs_recovery(const std::vector<JournalEntry>& entries) {
  bool open = false;
  for (const JournalEntry& entry : entries) {
    if (entry.what == What::playing || entry.what == What::writing || entry.what == What::keeping)
      open = true;
    if (entry.what == What::closed) open = false;
  }
  return open;
}

}  // namespace armwise::record
