// What the program ends with (DEVELOPERS.md, "Exit status").
#pragma once

#include "armwise/base/fault.hpp"

namespace armwise::app {

inline constexpr int done = 0;
inline constexpr int failed = 1;
inline constexpr int wrong_usage = 2;
inline constexpr int no_port = 3;
inline constexpr int left_changed = 4;
inline constexpr int stopped = 5;

constexpr int exit_status(FaultKind kind) {
  switch (kind) {
    case FaultKind::usage:
      return wrong_usage;
    case FaultKind::port_missing:
    case FaultKind::port_denied:
    case FaultKind::port_busy:
      return no_port;
    case FaultKind::left_changed:
    case FaultKind::not_back:
      return left_changed;
    default:
      return failed;
  }
}

}  // namespace armwise::app
