// How a line of a capture is written.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

namespace armwise::link {

// Finer than Clock: the order of bytes within a millisecond is what a capture is read for.
std::int64_t microseconds_now();
// In quotes, plain ASCII only.
std::string as_json(std::string_view utf8);
// Each of these without its braces. `started`: when the capture was, by microseconds_now().
std::string first_line(const std::string& date_and_time);
std::string bytes_line(std::int64_t started, const char* which_way, std::string_view bytes);
std::string event_line(std::int64_t started, const std::string& name, const std::string& key,
                       const std::string& value);

}  // namespace armwise::link
