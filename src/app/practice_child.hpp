#pragma once

#include <filesystem>
#include <memory>
#include <string>

#include "armwise/record/paths.hpp"
#include "session_options.hpp"

namespace armwise::app {

// A practice craft of this process's own, as a child that ends with it; or the one that an earlier session
// left behind, so that recovering can be practised.
class PracticeChild {
 public:
  // Forks: make it before any thread or event loop exists. Ends what an earlier session left behind.
  PracticeChild(const SessionOptions& options, const std::filesystem::path& profile);
  // Throws Fault(usage) where nothing was left behind.
  static std::unique_ptr<PracticeChild> left_behind();
  ~PracticeChild();
  PracticeChild(const PracticeChild&) = delete;
  PracticeChild& operator=(const PracticeChild&) = delete;
  // False until it is told which frame it is.
  bool has_frame() const { return frame_pipe_ < 0; }
  void become(const std::string& frame);
  // The profile that its console speaks by.
  const std::string& profile() const { return profile_; }
  // It outlives this process: it was told so over its socket.
  void leave_behind();
  // Nothing more is to be done with what was left behind.
  void end_it();

  std::filesystem::path socket() const { return directory_ / "onlooker"; }
  // For what is of no use once the craft is gone; it goes with it.
  std::filesystem::path state() const { return directory_ / "state"; }

 private:
  PracticeChild() = default;

  std::filesystem::path directory_;
  std::string profile_;
  int process_ = -1;  // -1: of an earlier session
  int frame_pipe_ = -1;
};

}  // namespace armwise::app
