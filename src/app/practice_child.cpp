#include "practice_child.hpp"

#include <fcntl.h>
#include <sys/socket.h>
#include <sys/time.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <boost/asio/io_context.hpp>
#include <boost/asio/local/stream_protocol.hpp>
#include <boost/asio/write.hpp>
#include <csignal>
#include <cstdlib>
#include <optional>
#include <random>
#include <string>

#include "armwise/base/fault.hpp"
#include "armwise/practice/mischief.hpp"
#include "armwise/practice/process.hpp"
#include "armwise/record/files.hpp"
#include "runtime.hpp"

namespace armwise::app {

namespace fs = std::filesystem;

namespace {

constexpr const char* usual_frame = "quad-x";
constexpr unsigned most_seeds = 99999;  // a number that may have to be typed

// Two lines: the folder of the practice craft, and the profile of its console.
fs::path note_of_what_is_left() {
  return record::Folders::from_environment().for_practice().state / "practice-craft";
}

std::optional<PracticePlace> what_is_left() {
  try {
    const std::string note = record::read_whole(note_of_what_is_left());
    const std::size_t end = note.find('\n');
    if (end == std::string::npos || note.back() != '\n') return std::nullopt;
    PracticePlace left{note.substr(0, end), note.substr(end + 1, note.size() - end - 2)};
    return fs::exists(left.socket()) ? std::optional(left) : std::nullopt;
  } catch (const Fault&) {
    return std::nullopt;
  }
}

// Blocks until its parent knows, or is gone.
std::string frame_from(int pipe) {
  std::string frame;
  std::array<char, 64> bytes{};
  for (ssize_t got = 1; got > 0 && !frame.ends_with('\n');) {
    got = ::read(pipe, bytes.data(), bytes.size());
    if (got > 0) frame.append(bytes.data(), static_cast<std::size_t>(got));
  }
  if (!frame.ends_with('\n')) ::_exit(0);
  frame.pop_back();
  return frame;
}

}  // namespace

PracticePlace craft_left_behind() {
  std::optional<PracticePlace> left = what_is_left();
  if (!left) {
    throw Fault(
        FaultKind::usage, "No practice craft waits to be recovered",
        "one waits half an hour after a session that ended by itself; who kills armwise kills the craft as "
        "well",
        "Practise it: armwise bench --practice --mischief never-back, then armwise recover --practice");
  }
  return *std::move(left);
}

// It takes its folder away itself; where it has died without, nobody listens there.
void end_craft_left_behind() {
  const std::optional<PracticePlace> left = what_is_left();
  std::error_code ignored;
  if (left) {
    boost::asio::io_context loop;
    boost::asio::local::stream_protocol::socket socket(loop);
    boost::system::error_code nobody;
    socket.connect(left->socket().string(), nobody);
    if (!nobody) boost::asio::write(socket, boost::asio::buffer("{\"end\":true}\n", 13), nobody);
    // It drops who does not listen; its end of the line closes as it ends.
    const timeval patience{2, 0};
    ::setsockopt(socket.native_handle(), SOL_SOCKET, SO_RCVTIMEO, &patience, sizeof patience);
    std::array<char, 256> said{};
    while (!nobody && ::recv(socket.native_handle(), said.data(), said.size(), 0) > 0) {
    }
    if (nobody) fs::remove_all(left->directory, ignored);
  }
  try {
    fs::remove(note_of_what_is_left(), ignored);
  } catch (const Fault&) {
    // Without a home nothing was left either.
  }
}

PracticeChild::PracticeChild(const PracticeOptions& options, const fs::path& profile)
    : seed_(options.seed != 0 ? options.seed : 1 + std::random_device{}() % most_seeds) {
  end_craft_left_behind();
  // The child's own complaint would come too late.
  if (!options.mischief.empty()) practice::mischief_named(options.mischief, options.seed);
  std::string name = (fs::temp_directory_path() / "armwise-practice-XXXXXX").string();
  if (::mkdtemp(name.data()) == nullptr) {
    throw Fault(FaultKind::file, "A folder for the practice craft could not be made", name,
                "Make room there");
  }
  place_ = {name, profile.string()};
  practice::PracticeOptions practice;
  practice.directory = place_.directory;
  practice.profile = profile;
  practice.craft = options.craft;
  practice.frame = options.frame;
  practice.seed = seed_;
  practice.baud = options.baud;
  practice.mischief = options.mischief;
  practice.end_with_parent = true;
  practice.say = [](const std::string&) {};
  std::array<int, 2> pipe{-1, -1};
  if (practice.craft.empty() && practice.frame.empty() && ::pipe2(pipe.data(), O_CLOEXEC) != 0)
    practice.frame = usual_frame;
  process_ = ::fork();
  if (process_ == 0) {
    ::setsid();  // Ctrl-C at the terminal is for the tool; the craft ends with it
    int status = 1;
    if (pipe[0] >= 0) {
      ::close(pipe[1]);
      practice.frame = frame_from(pipe[0]);
    }
    try {
      status = practice::run_practice(practice);
    } catch (const Fault& fault) {
      say_fault(fault, nullptr);
    }
    // Also where a signal ended the tool, which then takes nothing down behind itself.
    std::error_code ignored;
    fs::remove_all(place_.directory, ignored);
    ::_exit(status);
  }
  if (pipe[0] >= 0) ::close(pipe[0]);
  frame_pipe_ = pipe[1];
}

void PracticeChild::become(const std::string& frame) {
  const std::string line = frame + "\n";
  if (::write(frame_pipe_, line.data(), line.size()) != static_cast<ssize_t>(line.size()))
    throw Fault(FaultKind::internal, "The practice craft could not be told its frame");
  ::close(frame_pipe_);
  frame_pipe_ = -1;
}

void PracticeChild::leave_behind() {
  record::write_whole(note_of_what_is_left(), place_.directory.string() + "\n" + place_.profile + "\n");
  process_ = -1;
}

PracticeChild::~PracticeChild() {
  if (frame_pipe_ >= 0) ::close(frame_pipe_);
  if (process_ < 0) return;
  if (process_ > 0) {
    ::kill(process_, SIGTERM);
    ::waitpid(process_, nullptr, 0);
  }
  std::error_code ignored;
  fs::remove_all(place_.directory, ignored);
}

}  // namespace armwise::app
