// The map that puts every motor number on the pin of its arm.
#pragma once

#include "armwise/craft/frame.hpp"
#include "armwise/craft/motor.hpp"
#include "armwise/solve/identify.hpp"

namespace armwise::solve {

// `wiring` and `numbering` cover every place of the frame once. Motors beyond the frame stay on their pins.
// One whose pin the frame needs makes room: it takes a pin that the frame's motors leave, so that the
// controller has as many motors on pins as before and no way to free one is called for; only where none is
// left is it on no pin.
craft::MotorMap map_after(const craft::Frame& frame, const craft::MotorMap& now, const Wiring& wiring,
                          const craft::Numbering& numbering);

}  // namespace armwise::solve
