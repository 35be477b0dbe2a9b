// A profile tried on a practice craft that speaks it: a whole bench session in process, in no real time.
#pragma once

#include <filesystem>

#include "armwise/console/profile.hpp"
#include "armwise/session/teach.hpp"

namespace armwise::practice {

// Nothing missing and nothing wrong: a session was run, and ended kept and right. `folder` takes the
// session's files and can be thrown away after.
session::Rehearsal rehearse(const console::Profile& profile, const std::filesystem::path& folder);

}  // namespace armwise::practice
