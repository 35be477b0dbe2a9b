// One pseudo-terminal pair, of which the far side is ours.
#pragma once

#include <filesystem>

namespace armwise::practice {

class PseudoTerminal {
 public:
  // Raw, 115200 baud. Throws Fault(file) where the system gives none.
  PseudoTerminal();
  // The near side is hung up: whoever has it open reads its end.
  ~PseudoTerminal();
  PseudoTerminal(const PseudoTerminal&) = delete;
  PseudoTerminal& operator=(const PseudoTerminal&) = delete;

  int far_side() const { return far_; }  // non-blocking
  const std::filesystem::path& near_path() const { return near_path_; }

 private:
  int far_ = -1;
  // Held open, so that the far side does not read an end each time that nobody else has it open.
  int near_ = -1;
  std::filesystem::path near_path_;
};

}  // namespace armwise::practice
