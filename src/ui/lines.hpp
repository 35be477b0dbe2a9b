// Bytes and lines from a descriptor, each wait with a time limit where one is given, in bounded memory.
#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

#include "armwise/base/duration.hpp"
#include "armwise/base/task_fwd.hpp"

namespace armwise::ui {

// No hand presses two keys within this time: what comes so fast was pasted. (Common practice, no source: fast
// typing leaves some 80 ms between keys, a held key some 30 ms.)
inline constexpr Duration faster_than_a_hand{20};

// A file descriptor of our own for what `descriptor` reads from, so that switching it to non-blocking does
// not reach other programs that share it. Throws Fault(file).
int own_descriptor(int descriptor);

class DescriptorInput {
 public:
  struct Got {
    enum class Status { bytes, quiet, end };
    Status status = Status::quiet;
    std::string bytes;
  };

  // Takes the descriptor over.
  DescriptorInput(const boost::asio::any_io_executor& executor, int descriptor);
  ~DescriptorInput();
  DescriptorInput(const DescriptorInput&) = delete;
  DescriptorInput& operator=(const DescriptorInput&) = delete;

  int descriptor() const;
  // Absent: for as long as it takes.
  Task<Got> read(std::optional<Duration> within);

 private:
  struct State;
  std::shared_ptr<State> state_;
};

class LineInput {
 public:
  struct Read {
    enum class Status { line, too_long, quiet, end };
    Status status = Status::quiet;
    std::string text;  // without its line end
  };

  LineInput(const boost::asio::any_io_executor& executor, int descriptor, std::size_t longest);

  int descriptor() const { return input_.descriptor(); }
  // A last line without a line end is no line: an answer that was cut off is none.
  Task<Read> next(std::optional<Duration> within);
  // The next call of next() gives this one.
  void put_back(Read read) { put_back_ = std::move(read); }
  // Status line as soon as any bytes come, which are thrown away.
  Task<Read> anything(Duration within);
  // A line that has begun to come is skipped; false where none has.
  bool skip_begun_line();
  // What was read ahead is forgotten.
  void forget();

 private:
  std::optional<Read> take_line();

  DescriptorInput input_;
  std::size_t longest_;
  std::string buffer_;
  bool skipping_ = false;  // in the rest of a line that was too long
  bool ended_ = false;
  std::optional<Read> put_back_;
};

// Where output goes; false once nobody is there to read it.
using Sink = std::function<bool(std::string_view)>;
// Waits where the far side is slow, and gives up where it does not read for a few seconds.
Sink sink_to(int descriptor);

}  // namespace armwise::ui
