// Runs one coroutine on a loop of its own, and gives back what it gives.
#pragma once

#include <boost/asio/co_spawn.hpp>
#include <boost/asio/io_context.hpp>
#include <exception>
#include <optional>
#include <utility>

#include "armwise/base/task_fwd.hpp"

namespace armwise::practice {

template <typename Result>
Result result_of(Task<Result> task, boost::asio::io_context& loop) {
  std::optional<Result> result;
  std::exception_ptr trouble;
  boost::asio::co_spawn(loop, std::move(task), [&](std::exception_ptr error, Result value) {
    trouble = error;
    result = std::move(value);
    loop.stop();
  });
  loop.restart();
  loop.run();
  if (trouble) std::rethrow_exception(trouble);
  return std::move(*result);
}

inline void run(Task<void> task, boost::asio::io_context& loop) {
  std::exception_ptr trouble;
  boost::asio::co_spawn(loop, std::move(task), [&](std::exception_ptr error) {
    trouble = error;
    loop.stop();
  });
  loop.restart();
  loop.run();
  if (trouble) std::rethrow_exception(trouble);
}

// Where nothing outlives the coroutine.
template <typename Result>
Result result_of(Task<Result> task) {
  boost::asio::io_context loop;
  return result_of(std::move(task), loop);
}
inline void run(Task<void> task) {
  boost::asio::io_context loop;
  run(std::move(task), loop);
}

}  // namespace armwise::practice
