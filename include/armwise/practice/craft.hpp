// The physical truth of a practice craft: what is soldered and screwed where. Pure.
//
// Rotations here are worked out apart from armwise::craft, so that a mistake there does not cancel out.
#pragma once

#include <array>
#include <cstdint>
#include <filesystem>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "armwise/craft/frame.hpp"
#include "armwise/craft/motor.hpp"
#include "armwise/craft/placed_turn.hpp"
#include "armwise/craft/rotation.hpp"
#include "armwise/craft/turn.hpp"

namespace armwise::practice {

using Vector = std::array<double, 3>;

// The settings that the controller starts with; what is absent is at its default (motor i on the i-th
// pin, every turn cw, props in, a mount of zero).
struct StartSettings {
  std::optional<std::vector<std::string>> map;  // pin names, motor 1 first; "" for none
  std::optional<craft::PropScheme> props;
  std::optional<std::vector<craft::Turn>> turns_by_motor;
  std::map<std::string, craft::Turn> turns_by_pin;
  std::optional<craft::YawPitchRoll> mount;
  std::map<std::string, std::string> entries;  // of the rest of the configuration: name -> value
};

// Which way a place's motor turns while its turn setting is at the default.
using Soldered = craft::PlacedTurn;

// What a person sees turning, from above.
struct Turning {
  std::string place;
  craft::Turn turn = craft::Turn::cw;
  bool operator==(const Turning&) const = default;
};

struct PracticeCraft {
  std::string name = "practice craft";
  const craft::Frame* frame = nullptr;
  std::vector<std::string> pins;           // every pin of the controller, in its own order
  std::map<std::string, Soldered> wiring;  // pin -> where its wire ends; a pin may lead nowhere
  craft::YawPitchRoll mount;               // true mount, degrees
  StartSettings start;
  int motors = 0;          // the controller's motor numbers: at least the frame's places
  std::string serial;      // of the controller
  double noise_g = 0.01;   // of each reading of the accelerometer, one standard deviation
  double noise_dps = 0.3;  // of each reading of the gyro
  double pose_error = 2;   // degrees: how far a hand misses a tilt, one standard deviation; level: a quarter
  std::uint64_t seed = 0;  // of the noise
  std::string pose = "level";  // a name of poses(), or "still" for as the person left it

  // The person swaps two of the motor's wires. False where no such place.
  bool reverse(std::string_view place);
  // The person takes the craft into their hands. False where the pose is not known.
  bool hold(std::string_view pose_name);

  // Specific force in g and turning rate in degrees a second, board axes (x forward, y right, z down),
  // with noise and with the hand's error. `reading` counts the readings, so that each has its own noise.
  Vector specific_force(std::uint64_t reading) const;
  Vector turning_rate(std::uint64_t reading) const;
};

// level, nose-down, nose-up, right-side-down, left-side-down, upside-down: attitude as yaw, pitch, roll;
// those that begin with "board-" are the board's attitude instead of the craft's. In those that begin with
// "turning-" it is turned about the vertical all the while.
const std::map<std::string, craft::YawPitchRoll, std::less<>>& poses();

// A hidden wiring, turns and mount out of a seed: each pin of the first n on a random place with a random
// turn; the board at a multiple of 90 degrees, sometimes upside down. `pins`: the controller's names;
// empty: P1, P2, … with two more than the frame needs.
PracticeCraft seeded_craft(const craft::Frame& frame, std::uint64_t seed, std::vector<std::string> pins = {});

// fixtures/crafts/README.md documents the JSON. Throws Fault(bad_data) whose sentence starts with the JSON
// path; Fault(file) where the file cannot be read.
PracticeCraft craft_from_json(std::string_view json_text);
PracticeCraft craft_from_file(const std::filesystem::path& file);

// The inverse of Rz(yaw) Ry(pitch) Rx(roll) applied to v: from the fixed axes to the rotated ones.
Vector rotated_back(const craft::YawPitchRoll& angles, const Vector& v);

}  // namespace armwise::practice
