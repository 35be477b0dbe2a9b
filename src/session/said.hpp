// A command as it was sent while a console is being taught, and how its answers are understood.
#pragma once

#include <string>
#include <vector>

#include "armwise/teach/command_lesson.hpp"
#include "armwise/teach/reply_table.hpp"
#include "ear.hpp"

namespace armwise::session {

// A command with its several steps, as it was sent and answered.
struct Said {
  teach::Typed typed;
  std::vector<std::string> prompts;  // after each step
  teach::Lines lines;                // of all steps
  teach::Lines as_they_came;         // the same with their blanks
  bool closed = false;
  bool refused = false;
  bool suspended = false;      // a spin that Ctrl-Z ended
  std::string otherwise = {};  // what a spin was answered that told of other numbers than were sent
};

// What has been learned so far of a console's prompts and refusals.
class Understanding {
 public:
  virtual ~Understanding() = default;

  // One more step of `said`, as it was heard.
  virtual void take_step(Said& said, const std::string& step, const Ear::Heard& heard) = 0;
};

}  // namespace armwise::session
