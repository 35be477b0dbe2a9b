// Numbers of the console's of which a setting is only some bits. What else they hold is known as it was last
// read, and goes back as it is. Pure.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "armwise/console/profile.hpp"

namespace armwise::console {

// A command with what goes into it.
struct Order {
  const Command* command = nullptr;
  Values values;
};

class SharedNumbers {
 public:
  explicit SharedNumbers(const Profile& profile);

  // What a question about the settings read; `asked`: what stood in it.
  void read(const std::vector<Values>& rows, const Values& asked);
  bool any() const { return !all_.empty(); }
  void forget() { held_.clear(); }

  // Puts the whole number beside the value that is some bits of it. Throws Fault(refused) where it was not
  // read.
  void complete(Order& order) const;
  bool shares(const Order& order) const { return bits_in(*order.command) != nullptr; }
  // Whether the whole number is what it was when the order was completed.
  bool still_holds(const Order& order) const;
  // As after the order.
  void set(const Order& order);
  // The whole number as that order sets it, as it is known now; equal where it sets no bits.
  bool is_as_set(const Order& order) const;

 private:
  struct Bits {
    const Command* command;
    Piece blank;
  };
  const Bits* bits_in(const Command& command) const;
  static std::optional<std::string> name_of(const Bits& bits, Values values);

  std::vector<Bits> all_;
  // By the lines that would set all of it to zero: two settings that share a number have these in common.
  std::map<std::string, std::string> held_;
};

}  // namespace armwise::console
