// A mount that a console shows in four or nine numbers. Pure.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "armwise/craft/angle_convention.hpp"
#include "armwise/teach/command_lesson.hpp"
#include "armwise/teach/reply_table.hpp"

namespace armwise::teach {

struct RotationReading {
  craft::RotationForm form = craft::RotationForm::quaternion;
  double one = 1;  // console units for 1
  NumbersReading numbers;
  // By what its numbers are told apart, in the order of craft::number_names; empty where nothing does.
  std::vector<std::string> labels;
  bool w_last = false;
};
// Those in which the numbers are a rotation as they stand. More than one: nothing tells which part is w.
std::vector<RotationReading> rotation_readings(const Lines& reply);

// The command that sets one number, made into that of another, where the one's label stands in it just once.
std::optional<Reading> with_label(const Reading& reading, const std::string& from, const std::string& to);

}  // namespace armwise::teach
