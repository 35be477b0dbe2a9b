// What sits on each place of a recorded craft, before and after, against what should.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "armwise/craft/frame.hpp"
#include "armwise/record/craft_record.hpp"
#include "armwise/sheet/picture.hpp"
#include "armwise/solve/identify.hpp"

namespace armwise::sheet {

struct PlaceView {
  craft::PlaceIndex place = 0;
  int motor = 0;  // 0: not known
  std::string pin;
  std::optional<craft::Turn> turn;
  int wanted_motor = 0;  // 0: the record does not say
  craft::Turn wanted_turn = craft::Turn::cw;

  bool motor_right() const { return wanted_motor == 0 || motor == wanted_motor; }
  bool turn_right() const { return !turn || *turn == wanted_turn; }
  bool right() const { return motor_right() && turn_right(); }
  // "should be 2, ccw"; empty where all is right.
  std::string should_be() const;
};

// Throws Fault(bad_data) where the record names a frame that is not known.
const craft::Frame& frame_of(const record::CraftRecord& record);

// One for each place of the frame, in its order.
std::vector<PlaceView> places(const record::CraftRecord& record, Side side);

}  // namespace armwise::sheet
