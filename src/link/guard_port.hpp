// The guard's copy of the port: written without ever waiting, and found again where it is gone.
#pragma once

#include <cstdint>
#include <string>

#include "armwise/link/guard.hpp"

namespace armwise::link {

class GuardPort {
 public:
  GuardPort() = default;
  ~GuardPort() { close(); }
  GuardPort(const GuardPort&) = delete;
  GuardPort& operator=(const GuardPort&) = delete;

  // In place of the one before. `number`: by which the tool names it.
  void hold(int descriptor, std::int64_t number, HeldPort which);
  void close();
  bool is_open() const { return descriptor_ >= 0; }
  bool can_be_found() const { return !which_.node.empty(); }
  bool lives() const;  // open, and the far side is there
  int descriptor() const { return descriptor_; }
  std::int64_t number() const { return number_; }

  // What is queued is thrown away: it would stand before these bytes.
  void send(std::string bytes);
  bool has_unsent() const { return !unsent_.empty(); }
  void push();  // as much of what is unsent as the port takes now; away with it where it fails
  // At most 64 KiB of what has come.
  std::string read() const;

  // Opens the same controller's port again, where there is exactly one; true where that was done.
  bool find_again();
  bool was_found_again() const { return found_again_; }

 private:
  int descriptor_ = -1;
  std::int64_t number_ = 0;
  HeldPort which_;
  bool found_again_ = false;  // open, and not by the tool
  std::string unsent_;
};

}  // namespace armwise::link
