// Lengths of time and points in time.
#pragma once

#include <algorithm>
#include <chrono>
#include <optional>

namespace armwise {

using Duration = std::chrono::milliseconds;
// Time since an arbitrary start; never jumps.
using Instant = std::chrono::milliseconds;

// Of what may not happen at all, what happens first.
inline std::optional<Instant> earlier(std::optional<Instant> a, std::optional<Instant> b) {
  if (!a) return b;
  return b ? std::min(*a, *b) : a;
}

}  // namespace armwise
