#pragma once

#include <cstdint>
#include <filesystem>
#include <string>

#include "armwise/record/paths.hpp"
#include "session_options.hpp"

namespace armwise::app {

// Where a practice craft is met.
struct PracticePlace {
  std::filesystem::path directory;
  std::string profile;  // that its console speaks by

  std::filesystem::path socket() const { return directory / "onlooker"; }
  // For what is of no use once the craft is gone; it goes with it.
  std::filesystem::path state() const { return directory / "state"; }
};

// The one that an earlier session left behind, so that recovering can be practised. Throws Fault(usage) where
// there is none.
PracticePlace craft_left_behind();
void end_craft_left_behind();

// A practice craft of this process's own, as a child that ends with it.
class PracticeChild {
 public:
  // Forks: make it before any thread or event loop exists. Ends what an earlier session left behind.
  PracticeChild(const PracticeOptions& options, const std::filesystem::path& profile);
  ~PracticeChild();
  PracticeChild(const PracticeChild&) = delete;
  PracticeChild& operator=(const PracticeChild&) = delete;
  // False until it is told which frame it is.
  bool has_frame() const { return frame_pipe_ < 0; }
  void become(const std::string& frame);
  // It outlives this process: it was told so over its socket.
  void leave_behind();
  const PracticePlace& place() const { return place_; }
  std::uint64_t seed() const { return seed_; }

 private:
  PracticePlace place_;
  std::uint64_t seed_;
  int process_ = -1;  // -1: it is left behind
  int frame_pipe_ = -1;
};

}  // namespace armwise::app
