#include "guard_speaker.hpp"

#include <fcntl.h>
#include <poll.h>
#include <unistd.h>

#include <string>
#include <string_view>

namespace armwise::link {
namespace {

// Never blocks: a reader that has stopped reading must not keep the next stop waiting.
void write_at_once(int descriptor, std::string_view text) {
  pollfd room{descriptor, POLLOUT, 0};
  if (poll(&room, 1, 0) == 1 && (room.revents & POLLOUT) != 0) {
    (void)!write(descriptor, text.data(), text.size());
  }
}

}  // namespace

GuardSpeaker GuardSpeaker::of_this_process() {
  constexpr int above_standard = 3;
  GuardSpeaker speaker;
  speaker.output_ = fcntl(STDOUT_FILENO, F_DUPFD_CLOEXEC, above_standard);
  speaker.errors_ = fcntl(STDERR_FILENO, F_DUPFD_CLOEXEC, above_standard);
  if (tcgetattr(STDIN_FILENO, &speaker.modes_) == 0) {
    speaker.terminal_ = fcntl(STDIN_FILENO, F_DUPFD_CLOEXEC, above_standard);
  }
  return speaker;
}

std::vector<int> GuardSpeaker::descriptors() const {
  std::vector<int> open;
  for (const int each : {output_, errors_, terminal_}) {
    if (each >= 0) open.push_back(each);
  }
  return open;
}

void GuardSpeaker::say(const GuardStatement& statement) const {
  const std::string text(statement.text);
  if (voice_ == GuardVoice::machine && output_ >= 0) {
    write_at_once(output_, "{\"type\":\"say\",\"id\":\"" + std::string(statement.id) + "\",\"level\":\"" +
                               std::string(statement.level) + "\",\"text\":\"" + text + "\"}\n");
  }
  if ((voice_ != GuardVoice::lines && voice_ != GuardVoice::screen) || errors_ < 0) return;
  const bool terminal = isatty(errors_) == 1;
  // On a line of its own, wherever the cursor was left.
  const std::string before = terminal ? "\r\n\a\x1B[1;31m" : "";
  const std::string behind = terminal ? "\x1B[0m\r\n" : "\n";
  write_at_once(errors_, before + "DANGER: " + text + behind);
}

void GuardSpeaker::restore_terminal() const {
  termios now{};
  if (terminal_ < 0 || tcgetattr(terminal_, &now) != 0) return;
  constexpr tcflag_t lines = ICANON | ECHO;
  if ((now.c_lflag & lines) != 0 || (modes_.c_lflag & lines) != lines) return;
  tcsetattr(terminal_, TCSANOW, &modes_);
  // The cursor, and where the tool took the whole screen, the one that was there before: what is said next
  // would go with it.
  constexpr std::string_view show_cursor = "\x1B[?25h", other_screen = "\x1B[?1049l";
  write_at_once(terminal_,
                std::string(show_cursor) + std::string(voice_ == GuardVoice::screen ? other_screen : ""));
}

}  // namespace armwise::link
