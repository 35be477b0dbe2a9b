// Waiting until a descriptor is ready, with a time limit.
#pragma once

#include <boost/asio/posix/stream_descriptor.hpp>
#include <boost/asio/steady_timer.hpp>
#include <chrono>
#include <memory>

#include "armwise/base/task_fwd.hpp"

namespace armwise::link {

using Descriptor = boost::asio::posix::stream_descriptor;
using Deadline = std::chrono::steady_clock::time_point;

// True once `descriptor` can be read or written (or has failed: the next system call tells); false at the
// deadline. `descriptor` must outlive the wait. One wait of a kind at a time. Throws
// boost::system::system_error (operation_aborted) where the wait was cancelled from outside.
Task<bool> ready(Descriptor& descriptor, Descriptor::wait_type what, Deadline deadline);

}  // namespace armwise::link
