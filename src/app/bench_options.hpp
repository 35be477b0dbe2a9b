// What bench and reapply are started with alike.
#pragma once

#include <CLI/App.hpp>
#include <cstdint>
#include <string>

#include "armwise/session/bench.hpp"
#include "session_setup.hpp"

namespace armwise::app {

struct SpinArguments {
  std::string output;
  double strength = 0;  // per cent; 0: the profile's standard
  int spin_milliseconds = 1000;
  std::uint32_t order = 0;  // 0: another one each time
};

// Where the record goes, who and where, how strong and how long a spin is, and the dry run.
void add_spin_options(CLI::App& command, SpinArguments& arguments, session::BenchOptions& bench);

// What the arguments and the session that is prepared say, on top of what stands in `bench`.
void complete(session::BenchOptions& bench, const SpinArguments& arguments, Session& session);

}  // namespace armwise::app
