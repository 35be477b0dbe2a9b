// The long sweeps over bytes, waits and wirings. In the ordinary build they take every step, but for those
// that prove what another proves as well. Under a sanitizer, which makes all of it some fifteen times as
// slow, they take one step in 29: the code that they run through is the same. Which one goes on from commit
// to commit, so that nothing is left out for long. DEVELOPERS.md lists them.
#pragma once

#include <cstdlib>

#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__)
#define ARMWISE_SANITIZED 1
#elif defined(__has_feature)
#if __has_feature(address_sanitizer) || __has_feature(thread_sanitizer)
#define ARMWISE_SANITIZED 1
#endif
#endif

namespace armwise::test {

#if defined(ARMWISE_SANITIZED)
inline constexpr bool sanitized = true;
inline constexpr int every = 29;
#else
inline constexpr bool sanitized = false;
inline constexpr int every = 1;
#endif

// Where a sweep that takes every `step`-th begins: 0 to step - 1. ARMWISE_ROTATION, for which ./scripts/test
// takes the number of commits, moves it on, so that as many commits as `step` take everything.
inline int first_of(int step) {
  const char* rotation = std::getenv("ARMWISE_ROTATION");
  return rotation == nullptr ? 0 : std::atoi(rotation) % step;
}

// The same for loops in loops: one in `step` is taken. Of some twenty sessions one in 7 under a sanitizer, so
// that there is always one.
inline constexpr int every_of_few = sanitized ? 7 : 1;
class InTurn {
 public:
  explicit InTurn(int step = every_of_few) : step_(step) {}
  bool is_left_out() { return seen_++ % step_ != first_of(step_); }

 private:
  int step_, seen_ = 0;
};

}  // namespace armwise::test
