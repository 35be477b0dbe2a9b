// Flight sense in sentences. Private to this layer.
#pragma once

#include <string>
#include <vector>

#include "armwise/solve/flight_sense.hpp"

namespace armwise::solve {

AxisSense axis_sense(FlightAxis axis, const craft::Matrix3& answer_from_disturbance);
std::vector<std::string> deviations_in_words(const FlightSense& sense, const ConfiguredCraft& configured,
                                             const SenseTolerance& tolerance);
std::string verdict_in_words(const FlightSense& sense, const SenseTolerance& tolerance);

}  // namespace armwise::solve
