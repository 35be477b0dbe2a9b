// What a fuzzer checks besides not crashing: the first promise that is broken ends the run as a find.
#pragma once

#include <cstdio>
#include <cstdlib>
#include <string>
#include <string_view>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"

namespace armwise::fuzz {

inline void must(bool holds, std::string_view promise, std::string_view seen = {}) {
  if (holds) return;
  std::fprintf(stderr, "BROKEN PROMISE: %.*s\n  seen: \"%.*s\"\n", static_cast<int>(promise.size()),
               promise.data(), static_cast<int>(seen.size()), seen.data());
  std::abort();
}

inline void must_be_sayable(std::string_view text) {
  must(is_printable(text), "what a person is told holds no control characters", text);
}

// A stranger's data may be refused, in words; it is never a defect of the tool.
inline void must_be_a_fair_refusal(const Fault& fault) {
  must(fault.kind() != FaultKind::internal, "hostile data is no internal defect", fault.what());
  must(!fault.happened().empty(), "a fault says what happened");
  must_be_sayable(fault.sentence());
}

}  // namespace armwise::fuzz
