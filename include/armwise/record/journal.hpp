// The journal: what is about to be done to a controller, on disk before it is done.
//
// One file a session, one line of JSON an entry, each with a checksum, each synced before the call
// returns. A last line without its end is normal (a power cut) and is passed over; any other line that cannot
// be read is damage, and so is a journal of which nothing can be read. What the controller reads back
// decides, not what the journal hoped.
#pragma once

#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "armwise/console/identity.hpp"
#include "armwise/solve/plan.hpp"

namespace armwise::record {

inline constexpr std::string_view journal_extension = ".journal";

struct JournalEntry {
  enum class What {
    began,                // identity, text: the port
    configuration_saved,  // text: the file
    playing,              // about to play a saved whole configuration back; lines: all that is to be sent
    planned,              // before, after; lines: all that is to be sent
    writing,              // step; lines: what is sent next
    wrote,                // step
    taking_back,          // text: why
    taken_back,           // the controller reads as before
    proven,               // every arm
    keeping,              // about to keep
    kept,                 // the console acknowledged
    verified,             // read back after the restart, as written
    closed,               // text: how it ended; nothing is left to recover
    trying,               // teach: about to try another value; text: what it was; lines: ways to put it back
    put_back              // what was tried reads as before
  };
  What what = What::began;
  std::string when;  // ISO 8601
  std::string text;
  int step = 0;
  std::vector<std::string> lines;
  std::optional<console::Identity> identity;
  std::string profile_name;
  std::optional<solve::Snapshot> before, after;
};

std::string_view name(JournalEntry::What what);

class Journal {
 public:
  virtual ~Journal() = default;
  // On disk when this returns. Throws Fault(file).
  virtual void append(const JournalEntry& entry) = 0;
};

// A new file, which gets a name that no file had ("stem.journal", else "stem-2.journal", and so on) with its
// first entry in it: there is never an empty one. Throws Fault(file).
std::unique_ptr<Journal> create_journal(const std::filesystem::path& folder, const std::string& stem);
std::unique_ptr<Journal> continue_journal(const std::filesystem::path& file);

struct JournalRead {
  std::vector<JournalEntry> entries;
  bool torn_end = false;
  std::string damage;  // a sentence where anything but a torn end cannot be read; empty: none
};
// Never throws for what it finds there: a pipe, a folder or a file without end of that name is damage.
JournalRead read_journal(const std::filesystem::path& file);

// Whether anything is left for `recover`: something was about to be written or tried, or may have been in a
// line that is damaged, and nothing closed it.
bool needs_recovery(const JournalRead& read);

}  // namespace armwise::record
