// How long ago something was, for a person to read.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

namespace armwise {

// Of dates with time and offset, as `Clock::date_and_time` writes them; nothing where one is none, or `then`
// is still to come.
std::optional<std::int64_t> seconds_between(const std::string& then, const std::string& now);
// "3 minutes ago"; the date alone, printable, where it is too long ago or is none.
std::string age_in_words(const std::string& then, const std::string& now);

}  // namespace armwise
