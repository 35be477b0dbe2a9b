// Waiting without reading.
#pragma once

#include "armwise/base/duration.hpp"
#include "armwise/base/task_fwd.hpp"

namespace armwise::ui {

// How often a wait looks whether it is to end.
inline constexpr Duration tick{100};

Task<void> pause(boost::asio::any_io_executor executor, Duration duration);

}  // namespace armwise::ui
