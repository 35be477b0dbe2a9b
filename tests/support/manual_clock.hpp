// A clock that is wound by hand, and a way to run a coroutine to its end on it.
#pragma once

#include <boost/asio/co_spawn.hpp>
#include <boost/asio/io_context.hpp>
#include <exception>
#include <optional>
#include <string>
#include <type_traits>
#include <utility>

#include "armwise/base/clock.hpp"
#include "armwise/base/task.hpp"

namespace armwise::test {

class ManualClock : public Clock {
 public:
  Instant now() const override { return now_; }
  Task<void> sleep(Duration duration) override {
    advance(duration);
    co_return;
  }
  std::string date_and_time() const override { return "2026-05-04T10:00:00+02:00"; }
  void advance(Duration duration) { now_ += duration; }

 private:
  Instant now_{0};
};

// Nothing in these tests waits for the real world, so a task that does not end at once never will.
template <typename Result>
Result run(Task<Result> task) {
  boost::asio::io_context loop;
  std::exception_ptr failure;
  bool ended = false;
  if constexpr (std::is_void_v<Result>) {
    boost::asio::co_spawn(loop, std::move(task), [&](std::exception_ptr thrown) {
      failure = std::move(thrown);
      ended = true;
    });
    loop.run();
    if (failure) std::rethrow_exception(failure);
    if (!ended) throw std::logic_error("the task never ended");
  } else {
    std::optional<Result> result;
    boost::asio::co_spawn(loop, std::move(task), [&](std::exception_ptr thrown, Result value) {
      failure = std::move(thrown);
      result = std::move(value);
      ended = true;
    });
    loop.run();
    if (failure) std::rethrow_exception(failure);
    if (!ended) throw std::logic_error("the task never ended");
    return std::move(*result);
  }
}

}  // namespace armwise::test
