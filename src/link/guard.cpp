#include "armwise/link/guard.hpp"

#include <fcntl.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <sys/socket.h>
#include <sys/syscall.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <numeric>
#include <optional>
#include <utility>
#include <vector>

#include "guard_message.hpp"
#include "guard_process.hpp"
#include "line_settings.hpp"
#include "readiness.hpp"

namespace armwise::link {
namespace {

using Kind = GuardMessage::Kind;

// A guard that lives answers within microseconds; this is for a machine under heavy load.
constexpr Duration answers_within{1500};
// A tool that ends while a motor may be turning waits so long for the guard's stop.
constexpr Duration waits_for_the_stop{2000};

Fault nobody_watches(const std::string& why) {
  return {FaultKind::unsafe, "No motor may turn, since the guard process does not watch", why,
          "Start armwise again"};
}

Fault guard_died() {
  return {FaultKind::unsafe, "The guard process has ended while a motor may be turning",
          "Something has killed it, and nobody would stop the motor if armwise ended too",
          "The motors are being stopped. If one turns on, pull the battery"};
}

Fault stop_forgotten() {
  return {FaultKind::unsafe,
          "A motor was not reported stopped in time, so the guard process has told it to stop", "",
          "If a motor still turns, pull the battery"};
}

std::int64_t from_now(Duration longest) {
  return monotonic_now() + nanoseconds(longest);
}

// Descriptors 0 to 2 are those of the terminal, also where the tool was started without one.
int above_standard(int descriptor) {
  constexpr int first = 3;
  if (descriptor < 0 || descriptor >= first) return descriptor;
  const int moved = fcntl(descriptor, F_DUPFD_CLOEXEC, first);
  close(descriptor);
  return moved;
}

}  // namespace

struct Guard::State : std::enable_shared_from_this<Guard::State> {
  int socket = -1;
  pid_t process = 0;
  GuardTiming timing;
  bool lost = false;
  bool turning = false;
  bool finishing = false;  // the guard stops what turns and ends
  bool told = false;       // of trouble, in this spin
  int unheard = 0;         // beats without an answer
  int last_held = 0;
  std::optional<boost::asio::steady_timer> beat;
  std::optional<Descriptor> watched;  // the socket again, for the loop
  std::function<void(const Fault&)> on_trouble;

  ~State() {
    if (socket >= 0) close(socket);
  }
  bool order(const GuardMessage& message, int descriptor_too = -1);
  void require(const GuardMessage& message, int descriptor_too = -1);  // throws Fault(unsafe)
  std::optional<Kind> take_messages();
  void trouble(const Fault& fault);
  void beat_again();
  void listen();
  void be_quiet();
};

void Guard::State::trouble(const Fault& fault) {
  if (told || !turning) return;
  told = true;
  if (on_trouble) on_trouble(fault);
}

// The answer to an order, where one has come.
std::optional<Kind> Guard::State::take_messages() {
  while (true) {
    const GuardReceived received = receive_message(socket);
    if (received.status == GuardReceived::Status::nothing) return std::nullopt;
    if (received.status == GuardReceived::Status::gone) {
      lost = true;
      return std::nullopt;
    }
    const Kind kind = received.message.kind;
    if (kind == Kind::done || kind == Kind::not_done) return kind;
    if (kind == Kind::heard) unheard = 0;
    if (kind == Kind::overdue) trouble(stop_forgotten());
  }
}

bool Guard::State::order(const GuardMessage& message, int descriptor_too) {
  if (lost || !send_message(socket, message, descriptor_too)) {
    lost = true;
    return false;
  }
  const Deadline deadline = std::chrono::steady_clock::now() + answers_within;
  while (!lost && std::chrono::steady_clock::now() < deadline) {
    wait_readable(socket, answers_within);
    const std::optional<Kind> answer = take_messages();
    if (answer) return *answer == Kind::done;
  }
  // An answer that comes later would be taken for that to the next order.
  lost = true;
  return false;
}

void Guard::State::beat_again() {
  beat->expires_after(timing.beat);
  beat->async_wait([weak = weak_from_this()](const boost::system::error_code& error) {
    const std::shared_ptr<State> self = weak.lock();
    if (error || !self || !self->turning) return;
    const int most_unheard = static_cast<int>(self->timing.silence / self->timing.beat);
    if (!send_message(self->socket, GuardMessage::plain(Kind::beat)) || ++self->unheard > most_unheard) {
      self->lost = true;
    }
    if (self->lost) return self->trouble(guard_died());
    self->beat_again();
  });
}

void Guard::State::listen() {
  watched->async_wait(Descriptor::wait_read,
                      [weak = weak_from_this()](const boost::system::error_code& error) {
                        const std::shared_ptr<State> self = weak.lock();
                        if (error || !self || !self->turning) return;
                        self->take_messages();
                        if (self->lost) return self->trouble(guard_died());
                        self->listen();
                      });
}

void Guard::State::be_quiet() {
  turning = false;
  if (beat) beat->cancel();
  if (watched) watched->cancel();
}

std::unique_ptr<Guard> Guard::start(const GuardTiming& timing) {
  std::array<int, 2> ends{-1, -1};
  const int tool = above_standard(static_cast<int>(syscall(SYS_pidfd_open, getpid(), 0U)));
  if (tool < 0 || socketpair(AF_UNIX, SOCK_SEQPACKET | SOCK_CLOEXEC, 0, ends.data()) != 0) {
    throw nobody_watches("It cannot be started: " + error_text(errno));
  }
  for (int& end : ends) end = above_standard(end);
  const pid_t process = fork();
  if (process == 0) {
    close(ends[0]);
    run_guard(ends[1], tool, timing);
    _exit(0);
  }
  const int error = errno;
  close(ends[1]);
  close(tool);
  const auto state = std::make_shared<State>();
  state->socket = ends[0];
  if (process < 0) throw nobody_watches("It cannot be started: " + error_text(error));
  state->process = process;
  state->timing = timing;
  return std::unique_ptr<Guard>(new Guard(state));
}

Guard::Guard(std::shared_ptr<State> state) : state_(std::move(state)) {}

Guard::~Guard() {
  State& state = *state_;
  const bool may_turn = state.turning;
  state.be_quiet();
  send_message(state.socket, GuardMessage::plain(Kind::finish));
  // Where it hangs itself there is little to wait for: the closed socket ends it once it goes on.
  const Duration longest = may_turn || state.finishing ? waits_for_the_stop : answers_within;
  const int ended = static_cast<int>(syscall(SYS_pidfd_open, state.process, 0U));
  wait_readable(ended, longest);
  close(ended);
  waitpid(state.process, nullptr, WNOHANG);
}

std::unique_ptr<Guard::Beats> Guard::join(const boost::asio::any_io_executor& loop,
                                          std::function<void(const Fault&)> on_trouble) {
  State& state = *state_;
  const int copy = fcntl(state.socket, F_DUPFD_CLOEXEC, 3);
  if (copy < 0) throw nobody_watches(error_text(errno));
  state.on_trouble = std::move(on_trouble);
  state.beat.emplace(loop);
  state.watched.emplace(loop, copy);
  return std::unique_ptr<Beats>(new Beats(state_));
}

Guard::Beats::~Beats() {
  // Without a beat from here on, the guard would take the tool for hung and kill it in the middle of its
  // cleaning up.
  if (state_->turning) {
    state_->finishing = true;
    send_message(state_->socket, GuardMessage::plain(Kind::finish));
  }
  state_->be_quiet();
  state_->beat.reset();
  state_->watched.reset();
}

void Guard::State::require(const GuardMessage& message, int descriptor_too) {
  if (!order(message, descriptor_too)) throw nobody_watches("It does not answer");
}

void Guard::say(const StopSpeech& speech) {
  if (speech.stop.empty() ||
      speech.line_end.size() + speech.stop.size() + speech.acknowledged_by.size() + speech.enter.size() >
          longest_speech) {
    throw nobody_watches("The stop is empty or too long to be handed to it");
  }
  state_->require(GuardMessage::with_parts(
      Kind::speech,
      {speech.line_end, speech.stop, speech.acknowledged_by, speech.enter, std::to_string(speech.times)}));
}

void Guard::leave_word_in(const std::filesystem::path& file) {
  const std::string path = std::filesystem::absolute(file).string();
  if (path.size() > longest_speech) throw nobody_watches("The path of its note is too long");
  state_->require(GuardMessage::with_parts(Kind::note, {path}));
}

void Guard::speak(GuardVoice voice) {
  state_->require(GuardMessage::plain(Kind::voice, static_cast<std::int64_t>(voice)));
}

int Guard::hold(int port, const HeldPort& which) {
  const int number = ++state_->last_held;
  const PortIdentity& who = which.identity;
  std::vector<std::string> parts{which.node.string(),
                                 which.root.dev.string(),
                                 which.root.sys.string(),
                                 who.vendor,
                                 who.product,
                                 who.serial,
                                 who.interface,
                                 who.physical_path,
                                 std::to_string(which.speed)};
  const auto length =
      std::accumulate(parts.begin(), parts.end(), std::size_t{0},
                      [](std::size_t sum, const std::string& part) { return sum + part.size(); });
  if (length > longest_speech) parts.clear();  // never seen; then the port is not looked for
  state_->require(GuardMessage::with_parts(Kind::hold, parts, number), port);
  return number;
}

void Guard::let_go(int held) noexcept {
  try {
    state_->order(GuardMessage::plain(Kind::let_go, held));
  } catch (...) {  // from `on_trouble`, which has been told and is not let_go's business
    return;
  }
}

void Guard::turning(Duration longest) {
  State& state = *state_;
  if (!state.beat) throw nobody_watches("It was given no event loop to be beaten to from");
  if (state.lost) throw nobody_watches("It has ended");
  const bool was_turning = std::exchange(state.turning, true);
  if (!was_turning) state.told = false;
  state.unheard = 0;
  if (!state.order(GuardMessage::plain(Kind::turning, from_now(longest)))) {
    if (!was_turning) state.be_quiet();
    throw nobody_watches(state.lost
                             ? "It has ended or does not answer"
                             : "It has no port that lives, was not told how to stop, or is stopping a motor");
  }
  if (was_turning) return;
  state.beat_again();
  state.listen();
}

void Guard::stopping(Duration longest) {
  if (!state_->turning) return;
  state_->told =
      true;  // whatever the guard does from now on is no news, and must not cut short what the tool does
  send_message(state_->socket, GuardMessage::plain(Kind::stopping, from_now(longest)));
}

void Guard::stopped() {
  State& state = *state_;
  state.be_quiet();
  if (!send_message(state.socket, GuardMessage::plain(Kind::stopped))) state.lost = true;
}

pid_t Guard::process() const {
  return state_->process;
}

void no_core_dumps() {
  // No file is that small, and at this limit the kernel does not start a program that takes dumps either, as
  // it does at 0.
  const rlimit smallest{1, 1};
  if (setrlimit(RLIMIT_CORE, &smallest) == 0) return;
  // May not be raised from 0. This, too, keeps any dump from being made; but from then on no other armwise
  // can see who holds the port, hence not always.
  prctl(PR_SET_DUMPABLE, 0);
}

}  // namespace armwise::link
