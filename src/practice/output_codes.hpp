// How a practice console writes its motors and pins. Here both are counted from 0, with `nothing` for none.
#pragma once

#include <optional>
#include <string>

#include "armwise/console/profile.hpp"
#include "armwise/practice/craft.hpp"

namespace armwise::practice {

struct OutputCodes {
  // The one that is meant; absent: there is none, or no such one.
  std::optional<int> motor_in(const console::Values& values) const;
  std::optional<int> pin_in(const console::Values& values) const;
  std::string motor_text(int motor) const;
  std::string pin_text(int pin) const;

  const console::Profile& profile;
  const PracticeCraft& craft;
};

}  // namespace armwise::practice
