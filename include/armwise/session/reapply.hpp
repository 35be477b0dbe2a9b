// Doing it all again from a record: after a new firmware, or on a board that forgot its settings. What is
// screwed and soldered is taken from the record; what the controller holds is read; every arm is proven.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "armwise/base/fault.hpp"
#include "armwise/record/craft_record.hpp"
#include "armwise/session/bench.hpp"

namespace armwise::session {

struct ReapplyOptions {
  // Frame, prop scheme and the craft's name come from the record, whatever stands here.
  BenchOptions bench;
  // The saved whole configuration, to be played back line by line before anything else; empty: it is not.
  std::vector<std::string> configuration;
};

// Ends as bench() does. Where the controller's pins have other names than those of the record, each motor
// is spun once to find out which is which, as on the first day. Throws Fault(bad_data) where the record is
// of a frame that is not known or does not say what is wired to every arm.
Task<BenchResult> reapply(console::Console& console, Person& person, record::Store& store, Clock& clock,
                          const record::CraftRecord& record, const ReapplyOptions& options);

// Whether this console answers as its profile says: opens it, asks who it is and reads its settings, and
// returns what does not fit; absent: it fits. Writes nothing. Throws what has nothing to do with the profile.
Task<std::optional<Fault>> misfit(console::Console& console, int motors);

// The wiring that a record states, by pin. Throws Fault(bad_data).
solve::Wiring wiring_of(const craft::Frame& frame, const record::CraftRecord& record);

}  // namespace armwise::session
