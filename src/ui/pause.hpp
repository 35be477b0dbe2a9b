// Waiting without reading.
#pragma once

#include <boost/asio/any_io_executor.hpp>

#include "armwise/base/clock.hpp"
#include "armwise/base/task.hpp"

namespace armwise::ui {

Task<void> pause(boost::asio::any_io_executor executor, Duration duration);

}  // namespace armwise::ui
