// What happens inside the process between a person's answer and the next question.
#include <benchmark/benchmark.h>

#include <array>
#include <vector>

#include "armwise/craft/frame.hpp"
#include "armwise/solve/belief.hpp"
#include "armwise/solve/flight_sense.hpp"
#include "armwise/solve/identify.hpp"
#include "armwise/solve/mount_from_poses.hpp"
#include "armwise/solve/plan.hpp"
#include "armwise/solve/wahba.hpp"

namespace {

using namespace armwise;
using craft::Motor;
using craft::PropScheme;
using craft::Turn;

// A quad whose motors sit one arm further on than they should, each turning the wrong way.
struct Quad {
  const craft::Frame& frame = *craft::frame_named("quad-x");
  solve::Snapshot now;
  solve::Wiring wiring;
  solve::Wanted wanted;

  Quad() {
    for (int i = 0; i < frame.size(); ++i) {
      const auto place = static_cast<craft::PlaceIndex>((i + 1) % frame.size());
      const craft::Pin pin{"P" + std::to_string(i + 1)};
      const Turn turn = craft::opposite(frame.wanted(place, PropScheme::in));
      now.map.pins.push_back(pin);
      now.turns.push_back(Turn::cw);
      wiring.at[pin] = {place, turn, {}};
      wanted.numbering.place_of_motor.push_back(static_cast<craft::PlaceIndex>(i));
    }
    now.turn_key = solve::TurnKey::motor;
    now.mount = craft::YawPitchRoll{0, 0, 0};
    wanted.mount = craft::YawPitchRoll{90, 0, 0};
  }
};

std::vector<solve::PoseReading> three_poses() {
  const craft::CraftFromBoard mounted =
      craft::mount(craft::Degrees{90}, craft::BoardSide::right_way_up).rotation;
  std::vector<solve::PoseReading> readings;
  for (const solve::Pose pose : {solve::Pose::level, solve::Pose::nose_down, solve::Pose::right_down})
    readings.push_back({pose, mounted.inverse() * solve::up_in(pose, craft::Degrees{50})});
  return readings;
}

// One answer of eight motors, and what is believed then.
void belief_update(benchmark::State& state) {
  const craft::Frame& octo = *craft::frame_named("octo-x");
  craft::Numbering numbering;
  for (craft::PlaceIndex place = 0; place < octo.places.size(); ++place)
    numbering.place_of_motor.push_back(place);
  const auto tables = solve::Belief::tables(octo, numbering);
  solve::Belief belief(tables);
  solve::Testimony said;
  for (auto _ : state) {
    said.row = (said.row + 1) % octo.size();
    said.place = static_cast<craft::PlaceIndex>(said.row);
    belief.hear(said);
    benchmark::DoNotOptimize(belief.verdict());
  }
}
BENCHMARK(belief_update);

void plan(benchmark::State& state) {
  const Quad quad;
  for (auto _ : state) benchmark::DoNotOptimize(solve::plan(quad.frame, quad.now, quad.wiring, quad.wanted));
}
BENCHMARK(plan);

void mount_from_three_poses(benchmark::State& state) {
  const std::vector<solve::PoseReading> readings = three_poses();
  for (auto _ : state) benchmark::DoNotOptimize(solve::mount_from_poses(readings));
}
BENCHMARK(mount_from_three_poses);

// What of it scipy does in one call, Rotation.align_vectors: the rotation that fits three pairs of
// directions.
void fit_of_three_directions(benchmark::State& state) {
  std::vector<solve::DirectionPair> pairs;
  for (const solve::PoseReading& reading : three_poses())
    pairs.push_back({solve::up_in(reading.pose, craft::Degrees{50}), reading.reading, 1});
  for (auto _ : state) benchmark::DoNotOptimize(solve::fit_directions(pairs));
}
BENCHMARK(fit_of_three_directions);

void flight_sense(benchmark::State& state) {
  const Quad quad;
  solve::ConfiguredCraft configured;
  configured.frame = &quad.frame;
  configured.numbering = quad.wanted.numbering;
  configured.motors = solve::motors_of(quad.now.map, quad.wiring, quad.frame.size());
  for (auto _ : state) benchmark::DoNotOptimize(solve::flight_sense(configured));
}
BENCHMARK(flight_sense);

}  // namespace

BENCHMARK_MAIN();
