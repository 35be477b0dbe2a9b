// The long sweeps over bytes, waits and wirings. In the ordinary build they take every step, but for those
// that prove what another proves as well. Under a sanitizer, which makes all of it some fifty times as slow,
// they take one step in 29: the code that they run through is the same. Which one goes on from commit to
// commit, so that nothing is left out for long. ARMWISE_EVERY=1 takes everything. DEVELOPERS.md lists them.
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
inline const bool sanitized = true;
#else
// ARMWISE_THIN=1 takes the sanitizers' steps in the ordinary build: whether each of their turns holds what is
// expected of it is seen in seconds.
inline const bool sanitized = std::getenv("ARMWISE_THIN") != nullptr;
#endif

// A sweep takes one step in so many.
inline int one_in(int ordinarily, int under_sanitizers) {
  if (std::getenv("ARMWISE_EVERY") != nullptr) return 1;
  return sanitized ? under_sanitizers : ordinarily;
}
inline int one_in(int ordinarily) {
  return one_in(ordinarily, 29 * ordinarily);
}
inline const int every = one_in(1);

// Where a sweep that takes every `step`-th begins: 0 to step - 1. ARMWISE_ROTATION, for which ./scripts/test
// takes the number of commits, moves it on, so that as many commits as `step` take everything.
inline int first_of(int step) {
  const char* rotation = std::getenv("ARMWISE_ROTATION");
  return rotation == nullptr ? 0 : std::atoi(rotation) % step;
}

// The same for loops in loops: one in `step` is taken. Of some twenty sessions one in 7 under a sanitizer, so
// that there is always one.
class InTurn {
 public:
  explicit InTurn(int step = one_in(1, 7)) : step_(step) {}
  bool is_left_out() { return seen_++ % step_ != first_of(step_); }

 private:
  int step_, seen_ = 0;
};

}  // namespace armwise::test
