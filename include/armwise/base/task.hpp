// The coroutine type of every flow. All flows of a session run on one thread.
#pragma once

#include <boost/asio/awaitable.hpp>

namespace armwise {

template <typename Result>
using Task = boost::asio::awaitable<Result>;

}  // namespace armwise
