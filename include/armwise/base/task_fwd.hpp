// Names the coroutine type of every flow without parsing Asio: enough for headers that only declare
// functions. Whoever awaits one, or writes a coroutine, includes task.hpp.
#pragma once

namespace boost::asio {
class any_io_executor;
template <typename Result, typename Executor>
class awaitable;
}  // namespace boost::asio

namespace armwise {

// All flows of a session run on one thread.
template <typename Result>
using Task = boost::asio::awaitable<Result, boost::asio::any_io_executor>;

}  // namespace armwise
