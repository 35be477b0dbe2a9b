#include "armwise/link/guard_note.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <optional>
#include <sstream>
#include <string_view>
#include <utility>

namespace armwise::link {
namespace {

namespace fs = std::filesystem;
using Ending = GuardNote::Ending;

constexpr std::string_view prefix = "guard-", suffix = ".note";
constexpr std::array<std::pair<std::string_view, Ending>, 3> ending_names{
    {{"acknowledged", Ending::acknowledged},
     {"unanswered", Ending::unanswered},
     {"gone", Ending::line_gone}}};

std::string time_now() {
  const time_t now = time(nullptr);
  tm parts{};
  gmtime_r(&now, &parts);
  std::array<char, 32> text{};
  const std::size_t length = strftime(text.data(), text.size(), "%Y-%m-%dT%H:%M:%SZ", &parts);
  return {text.data(), length};
}

// "2026-05-04T08:00:00Z", and nothing that could be anything else.
bool is_time(std::string_view text) {
  constexpr std::string_view form = "dddd-dd-ddTdd:dd:ddZ";
  return std::equal(text.begin(), text.end(), form.begin(), form.end(),
                    [](char c, char like) { return like == 'd' ? c >= '0' && c <= '9' : c == like; });
}

// A pipe or a link of that name is no note, and is not waited for.
std::string start_of(const fs::path& file) {
  const int descriptor = open(file.c_str(), O_RDONLY | O_NONBLOCK | O_NOFOLLOW | O_NOCTTY | O_CLOEXEC);
  if (descriptor < 0) return {};
  struct stat status {};
  std::array<char, 64> text{};
  ssize_t length = 0;
  if (fstat(descriptor, &status) == 0 && S_ISREG(status.st_mode))
    length = read(descriptor, text.data(), text.size());
  close(descriptor);
  return {text.data(), static_cast<std::size_t>(std::max<ssize_t>(length, 0))};
}

std::optional<GuardNote> read_note(const fs::path& file) {
  std::istringstream line(start_of(file));
  GuardNote note;
  std::string how;
  line >> note.when >> how;
  const auto found = std::find_if(ending_names.begin(), ending_names.end(),
                                  [&](const auto& word) { return word.first == how; });
  if (found == ending_names.end() || !is_time(note.when)) return std::nullopt;
  note.ending = found->second;
  return note;
}

// For its owner alone, whatever the umask says. Without it there is no note, and nothing else goes wrong.
void make_own_folder(const fs::path& folder) {
  if (folder.empty() || mkdir(folder.c_str(), 0700) == 0 || errno != ENOENT) return;
  make_own_folder(folder.parent_path());
  mkdir(folder.c_str(), 0700);
}

void write_synced(const fs::path& file, const std::string& text) {
  unlink(file.c_str());  // what is there is a stranger's, or a process's that had this number before
  const int descriptor =
      open(file.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC, 0600);
  if (descriptor < 0) return;
  const bool whole = write(descriptor, text.data(), text.size()) == static_cast<ssize_t>(text.size());
  fsync(descriptor);
  close(descriptor);
  if (!whole) unlink(file.c_str());
}

}  // namespace

std::string GuardNote::in_words() const {
  const std::string start = "At " + when + " armwise ended while a motor was turning. ";
  switch (ending) {
    case Ending::acknowledged:
      return start + "Its guard process told the controller to stop, and the controller answered.";
    case Ending::unanswered:
      return start +
             "Its guard process told the controller to stop, and no answer came: a motor may be turning. "
             "Keep "
             "clear and pull the battery plug.";
    case Ending::line_gone:
      break;
  }
  return start +
         "The controller was gone before its guard process could be sure of the stop: a motor may be "
         "turning. "
         "Keep clear and pull the battery plug.";
}

fs::path guard_note_file(const fs::path& folder, int process) {
  make_own_folder(folder);
  return folder / (std::string(prefix) + std::to_string(process) + std::string(suffix));
}

void leave_word(const fs::path& file, Ending ending) noexcept {
  try {
    std::string text = time_now() + " ";
    for (const auto& [word, meaning] : ending_names) text += meaning == ending ? word : "";
    fs::path beside = file;
    beside += ".part";
    write_synced(beside, text + "\n");
    std::error_code ignored;
    fs::rename(beside, file, ignored);
  } catch (...) {  // no memory: the motor is stopped all the same
    return;
  }
}

std::vector<GuardNote> take_guard_notes(const fs::path& folder) {
  std::vector<GuardNote> notes;
  std::error_code error;
  std::vector<fs::path> files;
  for (fs::directory_iterator it(folder, error), end; !error && it != end; it.increment(error)) {
    const std::string name = it->path().filename().string();
    if (name.starts_with(prefix) && name.ends_with(suffix)) files.push_back(it->path());
  }
  for (const fs::path& file : files) {
    const auto note = read_note(file);
    if (note) notes.push_back(*note);
    fs::remove(file, error);
  }
  std::sort(notes.begin(), notes.end(),
            [](const GuardNote& a, const GuardNote& b) { return a.when < b.when; });
  return notes;
}

}  // namespace armwise::link
