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
#include "json_fields.hpp"

namespace armwise::record {

template <>
const Names<JournalEntry::What>& names_of() {
  using What = JournalEntry::What;
  static const Names<What> names{{What::began, "began"},
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
                                 {What::closed, "closed"},
                                 {What::trying, "trying"},
                                 {What::put_back, "put-back"}};
  return names;
}

template <class Way>
void fields(Way& way, typename Way::template Of<JournalEntry>& entry) {
  way.member(Member::always, "what", entry.what);
  way.member(Member::always, "when", entry.when);
  way.member(Member::sparse, "text", entry.text);
  way.member(Member::sparse, "step", entry.step, {0, 100000});
  way.member(Member::sparse, "lines", entry.lines);
  way.member(Member::sparse, "identity", entry.identity);
  way.member(Member::sparse, "profile", entry.profile_name);
  way.member(Member::sparse, "before", entry.before);
  way.member(Member::sparse, "after", entry.after);
}

namespace {

namespace fs = std::filesystem;
using nlohmann::json;
using What = JournalEntry::What;

const std::string extension{journal_extension};

std::string checksum(std::string_view text) {
  boost::crc_32_type crc;
  crc.process_bytes(text.data(), text.size());
  std::array<char, 9> hex{};
  std::snprintf(hex.data(), hex.size(), "%08x", crc.checksum());
  return hex.data();
}

std::string line_of(const JournalEntry& entry) {
  const json body = ToJson::of(entry);
  // Broken UTF-8 from a console must not lose the entry.
  const std::string text = body.dump(-1, ' ', false, json::error_handler_t::replace);
  return R"({"crc":")" + checksum(text) + R"(","entry":)" + text + "}\n";
}

// Throws Fault(bad_data) where the line is not whole.
JournalEntry parse_line(std::string_view line) {
  static const JsonRules rules = written_here("a journal line");
  const json document = parse_strictly(line, rules);
  const JsonNode node(document, rules);
  const JsonNode body = node.at("entry");
  if (node.at("crc").text() != checksum(body.raw().dump())) node.refuse("has a wrong checksum");
  JournalEntry entry;
  FromJson way(body);
  fields(way, entry);
  return entry;
}

class FileJournal : public Journal {
 public:
  explicit FileJournal(fs::path file) : file_(std::move(file)) { open(0); }
  FileJournal(const fs::path& folder, std::string stem)
      : file_(folder / ("." + stem + "." + std::to_string(::getpid()) + ".part")), stem_(std::move(stem)) {
    ::unlink(file_.c_str());  // of a process that had this number before
    open(O_CREAT | O_EXCL);
  }
  ~FileJournal() override {
    ::close(descriptor_);
    if (!stem_.empty()) ::unlink(file_.c_str());
  }
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
    if (!stem_.empty()) take_name();
  }

 private:
  void open(int more_flags) {
    const int flags = O_WRONLY | O_APPEND | O_CLOEXEC | O_NOFOLLOW | O_NONBLOCK | more_flags;
    descriptor_ = ::open(file_.c_str(), flags, own_file);
    if (descriptor_ < 0) fail("Opening the journal", errno);
  }
  // A link leaves alone what has the name already, and the name is never that of an empty file.
  void take_name() {
    const fs::path folder = file_.parent_path();
    fs::path named = folder / (stem_ + extension);
    for (int n = 2; ::link(file_.c_str(), named.c_str()) != 0; ++n) {
      if (errno != EEXIST) {  // a file system without links
        named = take_fresh_name(folder, stem_, extension);
        if (::rename(file_.c_str(), named.c_str()) != 0) fail("Naming the journal", errno);
        break;
      }
      named = folder / (stem_ + "-" + std::to_string(n) + extension);
    }
    ::unlink(file_.c_str());
    file_ = named;
    stem_.clear();
    sync_folder(folder);
  }
  [[noreturn]] void fail(const std::string& doing, int error) const {
    throw Fault(FaultKind::file, doing + " " + file_.string() + " did not work",
                std::generic_category().message(error),
                "Make room or give access there; nothing more is written to the controller without it");
  }

  fs::path file_;
  std::string stem_;  // of the name that it gets with its first entry; empty: it has it
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
  return names_of<JournalEntry::What>().at(static_cast<std::size_t>(what)).second;
}

std::unique_ptr<Journal> create_journal(const fs::path& folder, const std::string& stem) {
  make_folder(folder);
  return std::make_unique<FileJournal>(folder, stem);
}

std::unique_ptr<Journal> continue_journal(const fs::path& file) {
  cut_torn_end(file);
  return std::make_unique<FileJournal>(file);
}

JournalRead read_journal(const fs::path& file) {
  JournalRead read;
  std::string content;
  try {
    content = read_whole(file);
  } catch (const Fault& fault) {
    read.damage = "The journal " + file.string() + " cannot be read: " + fault.sentence();
    return read;
  }
  int number = 0;
  for (std::size_t at = 0; at < content.size();) {
    ++number;
    const std::size_t end = content.find('\n', at);
    read.torn_end = end == std::string::npos;
    if (read.torn_end) break;
    try {
      read.entries.push_back(parse_line(std::string_view(content).substr(at, end - at)));
    } catch (const Fault& fault) {
      if (read.damage.empty()) {
        read.damage = "Line " + std::to_string(number) + " of the journal " + file.string() +
                      " is damaged: " + fault.sentence();
      }
    }
    at = end + 1;
  }
  if (read.entries.empty() && read.damage.empty())
    read.damage = "The journal " + file.string() + " is damaged: nothing in it can be read.";
  return read;
}

bool needs_recovery(const JournalRead& read) {
  // Nothing is ever written behind this line, and any damage is before it.
  if (!read.entries.empty() && read.entries.back().what == What::closed) return false;
  bool open = !read.damage.empty();
  for (const JournalEntry& entry : read.entries) {
    if (entry.what == What::playing || entry.what == What::writing || entry.what == What::keeping ||
        entry.what == What::trying)
      open = true;
    if (entry.what == What::closed || entry.what == What::put_back) open = !read.damage.empty();
  }
  return open;
}

}  // namespace armwise::record
