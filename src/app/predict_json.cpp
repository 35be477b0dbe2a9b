#include "predict_json.hpp"

#include <string>

namespace armwise::app {

using nlohmann::json;

json json_of(const craft::YawPitchRoll& mount) {
  return {{"yaw", mount.yaw}, {"pitch", mount.pitch}, {"roll", mount.roll}};
}

namespace {

json json_of(const solve::FlightSense& sense) {
  json matrix = json::array();
  for (std::size_t row = 0; row < 3; ++row) {
    matrix.push_back(
        {sense.gyro_from_asked(row, 0), sense.gyro_from_asked(row, 1), sense.gyro_from_asked(row, 2)});
  }
  json eigenvalues = json::array();
  for (const auto& value : sense.eigenvalues) eigenvalues.push_back({value.real(), value.imag()});
  json axes;
  for (const solve::AxisSense& axis : sense.axes)
    axes[std::string(name(axis.axis))] = std::string(name(axis.kind));
  return {{"verdict", std::string(name(sense.verdict))},
          {"gyro_from_asked", matrix},
          {"eigenvalues", eigenvalues},
          {"axes", axes},
          {"deviations", sense.deviations},
          {"words", sense.words}};
}

}  // namespace

json json_of(const solve::Prediction& prediction, const craft::Frame& frame) {
  json motors = json::array();
  for (const solve::PredictedMotor& motor : prediction.motors) {
    motors.push_back({{"motor", motor.motor.number},
                      {"place", frame.places[motor.place].name},
                      {"pin_before", motor.pin_before.name},
                      {"pin_after", motor.pin_after.name},
                      {"turn_as_wired", std::string(name(motor.as_wired))},
                      {"turn_wanted", std::string(name(motor.wanted))}});
  }
  return {{"mount", prediction.nearest.words},
          {"set_mount", json_of(prediction.set_mount)},
          {"motors", motors},
          {"turns_to_change", prediction.turns_to_change},
          {"every_turn_opposite", prediction.every_turn_opposite},
          {"wiring_in_doubt", prediction.wiring_in_doubt},
          {"flight_sense_before", json_of(prediction.before)},
          {"flight_sense_after", json_of(prediction.after)},
          {"sentences", prediction.sentences},
          {"words", prediction.words}};
}

json json_of(const PredictedLines& lines) {
  return {{"lines", lines.lines}, {"remarks", lines.remarks}};
}

json json_of(const solve::StickPlan& plan) {
  json costs = json::array();
  for (const solve::StickCost& cost : plan.costs) costs.push_back({{"id", cost.id}, {"words", cost.words}});
  return {{"possible", plan.possible},
          {"plain_swap", plan.plain_swap},
          {"per_cent",
           {{"roll_from_roll", plan.mix.per_cent[0]},
            {"roll_from_pitch", plan.mix.per_cent[1]},
            {"pitch_from_roll", plan.mix.per_cent[2]},
            {"pitch_from_pitch", plan.mix.per_cent[3]}}},
          {"settings", plan.settings},
          {"in_words", plan.in_words},
          {"costs", costs},
          {"words", plan.words}};
}

}  // namespace armwise::app
