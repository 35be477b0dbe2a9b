#pragma once

#include <filesystem>

#include "session_options.hpp"

namespace armwise::app {

// A practice craft of this process's own, as a child that ends with it.
class PracticeChild {
 public:
  // Forks: make it before any thread or event loop exists.
  PracticeChild(const SessionOptions& options, const std::filesystem::path& profile);
  ~PracticeChild();
  PracticeChild(const PracticeChild&) = delete;
  PracticeChild& operator=(const PracticeChild&) = delete;
  std::filesystem::path socket() const { return directory_ / "onlooker"; }
  // For what is of no use once the craft is gone; it goes with it.
  std::filesystem::path state() const { return directory_ / "state"; }

 private:
  std::filesystem::path directory_;
  int process_ = -1;
};

}  // namespace armwise::app
