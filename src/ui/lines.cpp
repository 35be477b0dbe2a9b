#include "lines.hpp"

#include <fcntl.h>
#include <poll.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <boost/asio/as_tuple.hpp>
#include <boost/asio/buffer.hpp>
#include <boost/asio/posix/stream_descriptor.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <cerrno>
#include <chrono>
#include <cstring>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"

namespace armwise::ui {
namespace {

namespace asio = boost::asio;

constexpr int patience_with_reader_ms = 3000;

}  // namespace

int own_descriptor(int descriptor) {
  struct stat status {};
  const bool known = fstat(descriptor, &status) == 0;
  int own = -1;
  // Opening it anew gives a file description of our own; a regular file would start at its beginning then.
  if (known && (S_ISFIFO(status.st_mode) || isatty(descriptor) == 1)) {
    const std::string path = "/proc/self/fd/" + std::to_string(descriptor);
    own =
        open(path.c_str(), (isatty(descriptor) == 1 ? O_RDWR : O_RDONLY) | O_CLOEXEC | O_NOCTTY | O_NONBLOCK);
  }
  if (own < 0) own = fcntl(descriptor, F_DUPFD_CLOEXEC, 0);
  if (own < 0) {
    throw Fault(FaultKind::file, "The input cannot be read", std::strerror(errno),
                "Give the answers in a file: --answers FILE");
  }
  return own;
}

struct DescriptorInput::State {
  State(const asio::any_io_executor& executor, int fd)
      : stream(executor, fd), timer(executor), flags(fcntl(fd, F_GETFL)) {}

  asio::posix::stream_descriptor stream;
  asio::steady_timer timer;
  int flags;  // as they were, for a descriptor that others share
  std::array<char, 4096> bytes{};
  bool timed_out = false;
  unsigned turn = 0;  // of the read that a timer belongs to
};

DescriptorInput::DescriptorInput(const asio::any_io_executor& executor, int descriptor)
    : state_(std::make_shared<State>(executor, descriptor)) {}

DescriptorInput::~DescriptorInput() {
  ++state_->turn;
  state_->timer.cancel();
  boost::system::error_code ignored;
  state_->stream.cancel(ignored);
  if (state_->flags >= 0) fcntl(state_->stream.native_handle(), F_SETFL, state_->flags);
  state_->stream.close(ignored);
}

int DescriptorInput::descriptor() const {
  return state_->stream.native_handle();
}

Task<DescriptorInput::Got> DescriptorInput::read(std::optional<Duration> within) {
  const std::shared_ptr<State> state = state_;
  const unsigned turn = ++state->turn;
  state->timed_out = false;
  if (within) {
    state->timer.expires_after(*within);
    state->timer.async_wait([state, turn](const boost::system::error_code& error) {
      // A timer that ran out while its read ended by itself must not end the next read.
      if (error || state->turn != turn) return;
      state->timed_out = true;
      boost::system::error_code ignored;
      state->stream.cancel(ignored);
    });
  }
  const auto [error, count] =
      co_await state->stream.async_read_some(asio::buffer(state->bytes), asio::as_tuple(asio::use_awaitable));
  ++state->turn;
  state->timer.cancel();
  if (count > 0) co_return Got{Got::Status::bytes, std::string(state->bytes.data(), count)};
  if (error == asio::error::operation_aborted) {
    if (state->timed_out) co_return Got{Got::Status::quiet, {}};
    throw boost::system::system_error(error);  // cancelled from outside, not by our timer
  }
  // End of file, or a terminal that went away: either way nobody answers any more.
  co_return Got{Got::Status::end, {}};
}

LineInput::LineInput(const asio::any_io_executor& executor, int descriptor, std::size_t longest)
    : input_(executor, descriptor), longest_(longest) {}

std::optional<LineInput::Read> LineInput::take_line() {
  const std::size_t end = buffer_.find('\n');
  if (end == std::string::npos) {
    if (skipping_) buffer_.clear();
    if (buffer_.size() <= longest_) return std::nullopt;
    buffer_.clear();
    skipping_ = true;
    return Read{Read::Status::too_long, {}};
  }
  std::string line = buffer_.substr(0, end);
  buffer_.erase(0, end + 1);
  if (skipping_) {
    skipping_ = false;
    return take_line();
  }
  if (line.size() > longest_) return Read{Read::Status::too_long, {}};
  if (!line.empty() && line.back() == '\r') line.pop_back();
  return Read{Read::Status::line, std::move(line)};
}

Task<LineInput::Read> LineInput::next(std::optional<Duration> within) {
  if (put_back_) {
    Read read = std::move(*put_back_);
    put_back_.reset();
    co_return read;
  }
  const auto until = std::chrono::steady_clock::now() + within.value_or(Duration{0});
  while (true) {
    std::optional<Read> line = take_line();
    if (line) co_return std::move(*line);
    if (ended_) co_return Read{Read::Status::end, {}};
    std::optional<Duration> left;
    if (within) {
      const auto rest = std::chrono::duration_cast<Duration>(until - std::chrono::steady_clock::now());
      left = std::max(rest, Duration{0});
    }
    const DescriptorInput::Got got = co_await input_.read(left);
    if (got.status == DescriptorInput::Got::Status::quiet) co_return Read{Read::Status::quiet, {}};
    if (got.status == DescriptorInput::Got::Status::end) ended_ = true;
    buffer_ += got.bytes;
  }
}

Task<LineInput::Read> LineInput::anything(Duration within) {
  if (ended_) co_return Read{Read::Status::end, {}};
  const DescriptorInput::Got got = co_await input_.read(within);
  forget();
  if (got.status == DescriptorInput::Got::Status::bytes) co_return Read{Read::Status::line, {}};
  if (got.status == DescriptorInput::Got::Status::quiet) co_return Read{Read::Status::quiet, {}};
  ended_ = true;
  co_return Read{Read::Status::end, {}};
}

bool LineInput::skip_begun_line() {
  skipping_ = skipping_ || !buffer_.empty();
  return skipping_;
}

void LineInput::forget() {
  put_back_.reset();
  buffer_.clear();
  skipping_ = false;
}

Sink sink_to(int descriptor) {
  return [descriptor](std::string_view text) {
    while (!text.empty()) {
      const ssize_t written = write(descriptor, text.data(), text.size());
      if (written > 0) {
        text.remove_prefix(static_cast<std::size_t>(written));
        continue;
      }
      if (written < 0 && errno == EINTR) continue;
      if (written < 0 && errno != EAGAIN) return false;
      pollfd waiting{descriptor, POLLOUT, 0};
      if (poll(&waiting, 1, patience_with_reader_ms) <= 0) return false;
    }
    return true;
  };
}

}  // namespace armwise::ui
