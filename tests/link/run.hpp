// Runs a coroutine to its end.
#pragma once

#include <boost/asio/co_spawn.hpp>
#include <boost/asio/io_context.hpp>
#include <exception>
#include <optional>

#include "armwise/base/fault.hpp"
#include "armwise/base/task_fwd.hpp"

namespace armwise::link::testing {

template <typename Result>
Result run(boost::asio::io_context& loop, Task<Result> task) {
  std::optional<Result> result;
  std::exception_ptr failure;
  boost::asio::co_spawn(loop, std::move(task), [&](std::exception_ptr error, Result value) {
    failure = error;
    result = std::move(value);
    loop.stop();
  });
  loop.restart();
  loop.run();
  if (failure) std::rethrow_exception(failure);
  return std::move(*result);
}

inline void run(boost::asio::io_context& loop, Task<void> task) {
  std::exception_ptr failure;
  boost::asio::co_spawn(loop, std::move(task), [&](std::exception_ptr error) {
    failure = error;
    loop.stop();
  });
  loop.restart();
  loop.run();
  if (failure) std::rethrow_exception(failure);
}

// The Fault that `action` throws; fails by throwing where it throws none.
template <typename Action>
Fault fault_of(Action action) {
  try {
    action();
  } catch (const Fault& fault) {
    return fault;
  }
  throw std::runtime_error("no fault was thrown");
}

}  // namespace armwise::link::testing
