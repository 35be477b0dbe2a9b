// Drives a front end through descriptors and pseudo-terminals, on one event loop.
#pragma once

#include <gtest/gtest.h>
#include <pty.h>
#include <sys/mman.h>
#include <termios.h>
#include <unistd.h>

#include <boost/asio/awaitable.hpp>
#include <boost/asio/buffer.hpp>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/asio/posix/stream_descriptor.hpp>
#include <boost/asio/redirect_error.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <boost/asio/write.hpp>
#include <chrono>
#include <exception>
#include <functional>
#include <optional>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

#include "armwise/base/task.hpp"
#include "armwise/session/person.hpp"

namespace armwise::ui::testing {

// Both ends of a pipe; the writing end can be closed, which is end of input.
class Pipe {
 public:
  Pipe() {
    if (::pipe(ends_) != 0) throw std::runtime_error("pipe");
  }
  ~Pipe() {
    close_writer();
    ::close(ends_[0]);
  }
  Pipe(const Pipe&) = delete;
  Pipe& operator=(const Pipe&) = delete;

  int reader() const { return ends_[0]; }
  int writer() const { return ends_[1]; }
  void put(std::string_view text) {
    ASSERT_EQ(::write(ends_[1], text.data(), text.size()), static_cast<ssize_t>(text.size()));
  }
  void close_writer() {
    if (ends_[1] >= 0) ::close(ends_[1]);
    ends_[1] = -1;
  }

 private:
  int ends_[2]{-1, -1};
};

// A file in memory: takes any amount of output, and gives input as a regular file does.
class MemoryFile {
 public:
  explicit MemoryFile(std::string_view content = {})
      : descriptor_(::memfd_create("armwise-test", MFD_CLOEXEC)) {
    if (descriptor_ < 0) throw std::runtime_error("memfd_create");
    while (!content.empty()) {
      const ssize_t written = ::write(descriptor_, content.data(), content.size());
      if (written <= 0) throw std::runtime_error("write");
      content.remove_prefix(static_cast<std::size_t>(written));
    }
    ::lseek(descriptor_, 0, SEEK_SET);
  }
  ~MemoryFile() { ::close(descriptor_); }
  MemoryFile(const MemoryFile&) = delete;
  MemoryFile& operator=(const MemoryFile&) = delete;

  int descriptor() const { return descriptor_; }
  std::string content() const {
    std::string text;
    char bytes[4096];
    off_t at = 0;
    for (ssize_t got = 0; (got = ::pread(descriptor_, bytes, sizeof bytes, at)) > 0; at += got)
      text.append(bytes, static_cast<std::size_t>(got));
    return text;
  }

 private:
  int descriptor_;
};

// Runs tasks to their end; the first exception comes out.
inline void run(boost::asio::io_context& loop, std::vector<Task<void>> tasks) {
  std::exception_ptr trouble;
  std::size_t running = tasks.size();
  for (Task<void>& task : tasks) {
    boost::asio::co_spawn(loop, std::move(task), [&](const std::exception_ptr& error) {
      if (error && !trouble) trouble = error;
      if (--running == 0 || error) loop.stop();
    });
  }
  loop.restart();
  loop.run();
  if (trouble) std::rethrow_exception(trouble);
}

inline session::Answer answer_of(boost::asio::io_context& loop, session::Person& person,
                                 const session::Question& question) {
  std::optional<session::Answer> answer;
  const auto flow = [&]() -> Task<void> { answer = co_await person.ask(question); };
  std::vector<Task<void>> tasks;
  tasks.push_back(flow());
  run(loop, std::move(tasks));
  return answer.value();
}

inline bool interrupted(boost::asio::io_context& loop, session::Person& person, Duration within) {
  bool pressed = false;
  const auto flow = [&]() -> Task<void> { pressed = co_await person.interrupted(craft::Motor{2}, within); };
  std::vector<Task<void>> tasks;
  tasks.push_back(flow());
  run(loop, std::move(tasks));
  return pressed;
}

// The far side of a pseudo-terminal: what a person sees and types.
class Typist {
 public:
  explicit Typist(boost::asio::io_context& loop, unsigned short columns = 80) : master_(loop), limit_(loop) {
    winsize size{};
    size.ws_row = 24;
    size.ws_col = columns;
    int master = -1;
    if (::openpty(&master, &slave_, nullptr, nullptr, &size) != 0) throw std::runtime_error("openpty");
    master_.assign(master);
  }
  ~Typist() { ::close(slave_); }
  Typist(const Typist&) = delete;
  Typist& operator=(const Typist&) = delete;

  int terminal() const { return slave_; }
  termios modes() const {
    termios now{};
    if (::tcgetattr(slave_, &now) != 0) throw std::runtime_error("tcgetattr");
    return now;
  }
  void type(std::string_view keys) { boost::asio::write(master_, boost::asio::buffer(keys)); }
  void hang_up() { master_.close(); }

  // Until the text has appeared after what was seen before; fails after five seconds.
  Task<void> see(std::string text) {
    while (true) {
      const std::size_t found = screen_.find(text, seen_);
      if (found != std::string::npos) {
        seen_ = found + text.size();
        co_return;
      }
      limit_.expires_after(std::chrono::seconds(5));
      limit_.async_wait([this](const boost::system::error_code& error) {
        if (!error) master_.cancel();
      });
      char bytes[4096];
      boost::system::error_code error;
      const std::size_t count = co_await master_.async_read_some(
          boost::asio::buffer(bytes), boost::asio::redirect_error(boost::asio::use_awaitable, error));
      limit_.cancel();
      if (error) throw std::runtime_error("waited for \"" + text + "\", saw: " + screen_.substr(seen_));
      screen_.append(bytes, count);
    }
  }
  const std::string& screen() const { return screen_; }

 private:
  boost::asio::posix::stream_descriptor master_;
  boost::asio::steady_timer limit_;
  int slave_ = -1;
  std::string screen_;
  std::size_t seen_ = 0;
};

inline session::Question confirm_question(std::string id = "keep") {
  session::Question question;
  question.id = std::move(id);
  question.kind = session::Question::Kind::confirm;
  question.text = "Shall it?";
  return question;
}

inline session::Question go_question() {
  session::Question question;
  question.id = "go";
  question.kind = session::Question::Kind::go;
  question.text = "Eyes on the craft.";
  question.motor = craft::Motor{2};
  question.pin = craft::Pin{"P4"};
  return question;
}

inline session::Question spin_question(std::string_view frame = "quad-x") {
  session::Question question;
  question.id = "spin";
  question.kind = session::Question::Kind::spin;
  question.text = "Which arm moved?";
  question.frame = craft::frame_named(frame);
  question.motor = craft::Motor{2};
  question.pin = craft::Pin{"P4"};
  return question;
}

// As teach asks for a command.
inline session::Question command_question() {
  session::Question question;
  question.id = "leave";
  question.kind = session::Question::Kind::text;
  question.word = "skip";
  question.text = "Type the command that leaves the console (or skip)";
  return question;
}

inline session::Question word_question() {
  session::Question question;
  question.id = "props-off";
  question.kind = session::Question::Kind::typed_word;
  question.word = "props off";
  question.text = "Are the props off?";
  question.level = session::Level::danger;
  return question;
}

}  // namespace armwise::ui::testing
