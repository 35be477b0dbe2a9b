// What `armwise predict --json` prints.
#pragma once

#include <nlohmann/json.hpp>

#include "armwise/craft/frame.hpp"
#include "armwise/solve/predict.hpp"
#include "armwise/solve/sticks.hpp"
#include "predict_lines.hpp"

namespace armwise::app {

nlohmann::json json_of(const craft::YawPitchRoll& mount);
nlohmann::json json_of(const solve::Prediction& prediction, const craft::Frame& frame);
nlohmann::json json_of(const solve::StickPlan& plan);
nlohmann::json json_of(const PredictedLines& lines);

}  // namespace armwise::app
