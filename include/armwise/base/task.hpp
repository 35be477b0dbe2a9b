// The coroutine type of every flow, whole.
#pragma once

#include <boost/asio/any_io_executor.hpp>
#include <boost/asio/awaitable.hpp>

#include "armwise/base/task_fwd.hpp"
