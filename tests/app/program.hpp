// A program run as a process of its own, with a home of its own: its output read line by line as it comes,
// its input written, its end waited for. Nothing sleeps; each wait has a limit.
#pragma once

#include <fcntl.h>
#include <poll.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <csignal>
#include <cstdlib>
#include <filesystem>
#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace armwise::test {

class Program {
 public:
  static constexpr std::chrono::seconds limit{120};

  // `home`: HOME, and with it all XDG folders; `more`: further variables. Without `input` the program has no
  // input at all.
  Program(const std::vector<std::string>& command, const std::filesystem::path& home,
          const std::map<std::string, std::string>& more = {}, bool input = false) {
    int in[2] = {-1, -1}, out[2] = {-1, -1}, err[2] = {-1, -1};
    if (::pipe2(in, O_CLOEXEC) != 0 || ::pipe2(out, O_CLOEXEC) != 0 || ::pipe2(err, O_CLOEXEC) != 0)
      std::abort();
    process_ = ::fork();
    if (process_ == 0) become(command, home, more, in, out, err);
    ::close(in[0]);
    ::close(out[1]);
    ::close(err[1]);
    in_ = in[1];
    out_.descriptor = out[0];
    err_.descriptor = err[0];
    if (!input) end_input();
  }
  ~Program() {
    if (process_ > 0 && !status_) {
      ::kill(process_, SIGTERM);
      ::waitpid(process_, nullptr, 0);
    }
    end_input();
    ::close(out_.descriptor);
    ::close(err_.descriptor);
  }
  Program(const Program&) = delete;
  Program& operator=(const Program&) = delete;

  // The next line of its standard output, without its end; nothing once it has ended, or is silent too long.
  std::optional<std::string> line() {
    const auto until = std::chrono::steady_clock::now() + limit;
    while (true) {
      const std::size_t end = out_.text.find('\n', taken_);
      if (end != std::string::npos) {
        const std::string found = out_.text.substr(taken_, end - taken_);
        taken_ = end + 1;
        return found;
      }
      if (!out_.open || !wait_for_output(until)) return std::nullopt;
    }
  }
  // Like line(), but only what is there already.
  std::optional<std::string> line_at_hand() {
    read_some(std::chrono::milliseconds(0));
    const std::size_t end = out_.text.find('\n', taken_);
    if (end == std::string::npos) return std::nullopt;
    const std::string found = out_.text.substr(taken_, end - taken_);
    taken_ = end + 1;
    return found;
  }
  void write(const std::string& text) {
    if (::write(in_, text.data(), text.size()) != static_cast<ssize_t>(text.size())) end_input();
  }
  void end_input() {
    if (in_ >= 0) ::close(in_);
    in_ = -1;
  }
  void signal(int number) const { ::kill(process_, number); }
  // From now on it gets no more memory than it has.
  void take_no_more_memory() const {
    const rlimit none{1 << 20, 1 << 20};
    ::prlimit(process_, RLIMIT_AS, &none, nullptr);
  }

  // How a shell would say it: the exit status, or 128 and the signal's number. -1: it did not end in time.
  int ended() {
    const auto until = std::chrono::steady_clock::now() + limit;
    while ((out_.open || err_.open) && wait_for_output(until)) {
    }
    if (out_.open || err_.open) return -1;
    if (!status_) {
      int status = 0;
      ::waitpid(process_, &status, 0);
      status_ = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
    }
    return *status_;
  }
  // All of it so far.
  const std::string& output() const { return out_.text; }
  const std::string& errors() const { return err_.text; }

 private:
  struct Stream {
    int descriptor = -1;
    bool open = true;
    std::string text;
  };

  [[noreturn]] static void become(const std::vector<std::string>& command, const std::filesystem::path& home,
                                  const std::map<std::string, std::string>& more, const int* in,
                                  const int* out, const int* err) {
    ::dup2(in[0], STDIN_FILENO);
    ::dup2(out[1], STDOUT_FILENO);
    ::dup2(err[1], STDERR_FILENO);
    for (const char* name :
         {"XDG_CONFIG_HOME", "XDG_DATA_HOME", "XDG_STATE_HOME", "ARMWISE_DEVICES", "NO_COLOR", "ACCESSIBLE"})
      ::unsetenv(name);
    ::setenv("HOME", home.c_str(), 1);
    for (const auto& [name, value] : more) ::setenv(name.c_str(), value.c_str(), 1);
    std::vector<char*> words;
    for (const std::string& word : command) words.push_back(const_cast<char*>(word.c_str()));
    words.push_back(nullptr);
    ::execvp(words[0], words.data());
    ::_exit(127);
  }

  bool wait_for_output(std::chrono::steady_clock::time_point until) {
    const auto left =
        std::chrono::duration_cast<std::chrono::milliseconds>(until - std::chrono::steady_clock::now());
    return left.count() > 0 && read_some(left);
  }
  // False where nothing came.
  bool read_some(std::chrono::milliseconds within) {
    pollfd both[2] = {{out_.open ? out_.descriptor : -1, POLLIN, 0},
                      {err_.open ? err_.descriptor : -1, POLLIN, 0}};
    if (::poll(both, 2, static_cast<int>(within.count())) <= 0) return false;
    if (both[0].revents != 0) take(out_);
    if (both[1].revents != 0) take(err_);
    return true;
  }
  static void take(Stream& stream) {
    char part[65536];
    const ssize_t size = ::read(stream.descriptor, part, sizeof part);
    if (size > 0) stream.text.append(part, static_cast<std::size_t>(size));
    if (size == 0) stream.open = false;
  }

  int process_ = -1;
  int in_ = -1;
  Stream out_, err_;
  std::size_t taken_ = 0;
  std::optional<int> status_;
};

}  // namespace armwise::test
