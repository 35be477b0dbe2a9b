// The check values and reference conversions under fixtures, for the tests of this layer.
#pragma once

#include <fstream>
#include <map>
#include <nlohmann/json.hpp>
#include <string>

#include "armwise/craft/rotation.hpp"

namespace armwise::craft {

// Read once, and there to the end: a loop may walk through a part of it.
inline const nlohmann::json& fixture(const std::string& name) {
  static std::map<std::string, nlohmann::json> read;
  const auto [found, is_new] = read.try_emplace(name);
  if (is_new) {
    std::ifstream file(std::string(ARMWISE_FIXTURES) + "/" + name);
    found->second = nlohmann::json::parse(file);
  }
  return found->second;
}

inline Matrix3 matrix_from(const nlohmann::json& rows) {
  Matrix3 matrix;
  for (std::size_t i = 0; i < 9; ++i) matrix.element[i] = rows.at(i / 3).at(i % 3).get<double>();
  return matrix;
}

inline YawPitchRoll angles_from(const nlohmann::json& list) {
  return {list.at(0).get<double>(), list.at(1).get<double>(), list.at(2).get<double>()};
}

inline double largest_difference(const Matrix3& a, const Matrix3& b) {
  double largest = 0;
  for (std::size_t i = 0; i < 9; ++i) largest = std::max(largest, std::abs(a.element[i] - b.element[i]));
  return largest;
}

// Yaw -180 and 180 are the same direction.
inline double angle_difference(double a, double b) {
  return std::abs(wrapped(Degrees{a - b}).value);
}

inline double largest_difference(const YawPitchRoll& a, const YawPitchRoll& b) {
  return std::max(
      {angle_difference(a.yaw, b.yaw), angle_difference(a.pitch, b.pitch), angle_difference(a.roll, b.roll)});
}

}  // namespace armwise::craft
