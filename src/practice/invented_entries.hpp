// The rest of a practice configuration, invented from the craft's seed: what stands around the settings that
// matter.
#pragma once

#include <string>
#include <string_view>

#include "armwise/console/profile.hpp"
#include "armwise/practice/craft.hpp"
#include "settings.hpp"

namespace armwise::practice {

class InventedEntries {
 public:
  // Both outlive it.
  InventedEntries(const console::Profile& profile, const PracticeCraft& craft, int count)
      : profile_(profile), craft_(craft), count_(count) {}

  int count() const { return count_; }
  // From 1 on, with the value that it was set to.
  std::string as_line(int number, const Settings& settings) const;
  // "name = value", where the console sets the rest of its configuration as it prints it; false: it does not,
  // or has no such entry.
  bool set(std::string_view line, Settings& settings) const;

 private:
  const console::Profile& profile_;
  const PracticeCraft& craft_;
  int count_;
};

}  // namespace armwise::practice
