#include "armwise/link/session_log.hpp"

#include <fcntl.h>
#include <spdlog/logger.h>
#include <spdlog/sinks/basic_file_sink.h>
#include <spdlog/sinks/stdout_sinks.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <vector>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"
#include "capture_lines.hpp"
#include "line_settings.hpp"

namespace armwise::link {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t logs_kept = 20;
// A console that talks without end must not fill a disk.
constexpr std::size_t longest_log = 64UL << 20U;
constexpr std::size_t longest_shown = 1000;  // a profile is for the file only

// The oldest go first: their names begin with the time.
void make_room_in(const fs::path& folder) {
  std::vector<fs::path> logs;
  std::error_code error;
  for (const fs::directory_entry& entry : fs::directory_iterator(folder, error)) {
    if (entry.path().extension() == ".log") logs.push_back(entry.path());
  }
  std::sort(logs.begin(), logs.end());
  for (std::size_t i = 0; i + logs_kept <= logs.size(); ++i) fs::remove(logs[i], error);
}

fs::path new_log_in(const fs::path& folder, std::string when) {
  std::error_code error;
  fs::create_directories(folder, error);
  make_room_in(folder);
  std::replace(when.begin(), when.end(), ':', '-');
  return folder / (when + "." + std::to_string(::getpid()) + ".log");
}

// Only for its owner to read; 0, or the errno that says why not.
int create(const fs::path& file) {
  const int opened = ::open(file.c_str(), O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC | O_NOCTTY, 0600);
  if (opened < 0) return errno;
  ::close(opened);
  return 0;
}

std::unique_ptr<spdlog::logger> logger_to(spdlog::sink_ptr sink, const char* pattern) {
  auto logger = std::make_unique<spdlog::logger>("armwise", std::move(sink));
  logger->set_pattern(pattern);
  logger->flush_on(spdlog::level::info);
  logger->set_error_handler([](const std::string&) {});  // a full disk is no reason to say anything here
  return logger;
}

}  // namespace

struct SessionLog::Sinks {
  std::unique_ptr<spdlog::logger> file, screen;
  std::int64_t started = microseconds_now();
  std::size_t written = 0;
  std::string line_coming;  // its end has not come yet

  void keep(const std::string& line) {
    if (!file || written > longest_log) return;
    written += line.size();
    file->info("{{{}}}", line);
  }
  void show(const char* mark, std::string_view text) {
    if (screen) screen->info("{} {}", mark, printable(text));
  }
  void show_what_came() {
    if (!line_coming.empty()) show("<", line_coming);
    line_coming.clear();
  }
};

SessionLog::SessionLog(const Options& options, Clock& clock) : sinks_(std::make_unique<Sinks>()) {
  const bool named = !options.file.empty();
  const std::string when = clock.date_and_time();
  const fs::path file = named ? options.file : new_log_in(options.folder, when);
  const int error = create(file);
  if (named && error != 0) {
    throw Fault(FaultKind::file, "The log file " + file.string() + " could not be opened", error_text(error),
                "Name another with --log-file");
  }
  if (error == 0) {
    sinks_->file = logger_to(std::make_shared<spdlog::sinks::basic_file_sink_st>(file.string()), "%v");
    sinks_->keep(first_line(when) + ",\"about\":" + as_json(options.about));
  }
  if (options.on_screen)
    sinks_->screen = logger_to(std::make_shared<spdlog::sinks::stderr_sink_st>(), "%H:%M:%S.%e %v");
}

SessionLog::~SessionLog() {
  event("ended", {}, {});
}

// Nothing that happens here may keep a stop from being sent, no lack of memory either.
void SessionLog::sent(std::string_view bytes) {
  try {
    sinks_->keep(bytes_line(sinks_->started, "sent", bytes));
    if (!sinks_->screen) return;
    sinks_->show_what_came();
    sinks_->show(">", bytes);
  } catch (...) {
  }
}

void SessionLog::came(std::string_view bytes) {
  try {
    sinks_->keep(bytes_line(sinks_->started, "came", bytes));
    if (!sinks_->screen) return;
    for (const char c : bytes) {
      if (c == '\r' || c == '\n') {
        sinks_->show_what_came();
      } else {
        sinks_->line_coming += c;
      }
    }
  } catch (...) {
  }
}

void SessionLog::event(const std::string& name, const std::string& key, const std::string& value) {
  try {
    sinks_->keep(event_line(sinks_->started, name, key, value));
    if (!sinks_->screen) return;
    sinks_->show_what_came();
    const bool shown = !value.empty() && value.size() <= longest_shown;
    sinks_->show("-", shown ? name + ": " + value : name);
  } catch (...) {
  }
}

}  // namespace armwise::link
