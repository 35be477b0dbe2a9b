// The long sweeps over bytes and wirings run whole in the ordinary build. Under a sanitizer, which makes all
// of it some fifteen times as slow, they take every seventh step: the code that they run through is the same.
#pragma once

namespace armwise::test {

#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__)
inline constexpr bool sanitized = true;
inline constexpr int every = 7;
#else
inline constexpr bool sanitized = false;
inline constexpr int every = 1;
#endif

}  // namespace armwise::test
