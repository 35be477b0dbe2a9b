#include "armwise/solve/predict.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include "armwise/base/fault.hpp"
#include "armwise/solve/pads.hpp"
#include "predict_words.hpp"

namespace armwise::solve {
namespace {

using craft::Degrees;
using craft::Motor;
using craft::Pin;
using craft::PlaceIndex;
using craft::Turn;

std::vector<Pin> pins_of(const PredictRequest& request) {
  if (request.pins.empty()) {
    std::vector<Pin> pins;
    for (int number = 1; number <= request.frame->size(); ++number) pins.push_back({std::to_string(number)});
    return pins;
  }
  if (request.pins.size() >= request.frame->places.size()) return request.pins;
  throw Fault(FaultKind::mismatch,
              "only " + std::to_string(request.pins.size()) + " pins are named for the " +
                  std::to_string(request.frame->size()) + " motors of " + request.frame->name,
              {}, "name a pin for each motor");
}

void check_numbering(const PredictRequest& request) {
  std::set<PlaceIndex> places(request.numbering.place_of_motor.begin(),
                              request.numbering.place_of_motor.end());
  const std::size_t count = request.frame->places.size();
  if (places.size() == count && request.numbering.place_of_motor.size() == count && *places.rbegin() < count)
    return;
  throw Fault(FaultKind::mismatch,
              "the numbering does not put one motor on each place of " + request.frame->name, {},
              "give the numbering of this frame");
}

// Each pin's motor turns as the motor that the controller has there should, until it is changed.
Wiring wire(const PredictRequest& request, const std::vector<Pin>& pins, const NearestPads& pads) {
  Wiring wiring;
  for (std::size_t pad = 0; pad < pads.place_of_pad.size(); ++pad) {
    const Turn turn = request.frame->wanted(request.numbering.place_of_motor[pad], request.scheme);
    wiring.at[pins[pad]] = {pads.place_of_pad[pad], turn};
  }
  return wiring;
}

std::vector<PredictedMotor> motors_on(const PredictRequest& request, const std::vector<Pin>& pins,
                                      const Wiring& wiring) {
  std::vector<PredictedMotor> motors;
  for (int number = 1; number <= request.frame->size(); ++number) {
    const auto index = static_cast<std::size_t>(number - 1);
    PredictedMotor motor{Motor{number}, request.numbering.place_of_motor[index], pins[index], {}, {}, {}};
    for (const auto& [pin, wired] : wiring.at) {
      if (wired.place != motor.place) continue;
      motor.pin_after = pin;
      motor.as_wired = wired.turn;
    }
    motor.wanted = request.frame->wanted(motor.place, request.scheme);
    motors.push_back(motor);
  }
  return motors;
}

std::vector<std::vector<Motor>> rings_of(const std::vector<PredictedMotor>& motors) {
  std::vector<std::vector<Motor>> rings;
  std::set<int> seen;
  for (const PredictedMotor& start : motors) {
    if (!start.pin_changes() || seen.contains(start.motor.number)) continue;
    std::vector<Motor> ring;
    for (const PredictedMotor* at = &start; seen.insert(at->motor.number).second;) {
      ring.push_back(at->motor);
      at = &*std::ranges::find(motors, at->pin_after, &PredictedMotor::pin_before);
    }
    rings.push_back(ring);
  }
  return rings;
}

ConfiguredCraft untold(const PredictRequest& request, const std::vector<PredictedMotor>& motors,
                       const Wiring& wiring) {
  ConfiguredCraft c;
  c.frame = request.frame;
  c.numbering = request.numbering;
  c.believed_scheme = request.scheme;
  c.true_mount = request.mount;
  for (const PredictedMotor& motor : motors) c.motors.push_back(wiring.at.at(motor.pin_before));
  return c;
}

ConfiguredCraft told(ConfiguredCraft c, const Prediction& prediction) {
  c.motors.clear();
  for (const PredictedMotor& motor : prediction.motors) c.motors.push_back({motor.place, motor.wanted});
  c.set_mount = craft::ToldFromBoard(prediction.set_mount);
  return c;
}

void fill_planner(Prediction& p, const PredictRequest& request, const std::vector<Pin>& pins) {
  p.now.map.pins.assign(pins.begin(), pins.begin() + request.frame->size());
  p.now.props = request.scheme;
  p.now.mount = craft::YawPitchRoll{};
  p.wanted.scheme = request.scheme;
  p.wanted.numbering = request.numbering;
  p.wanted.mount = p.set_mount;
}

}  // namespace

Prediction predict(const PredictRequest& request) {
  check_numbering(request);
  const std::vector<Pin> pins = pins_of(request);
  const NearestPads pads =
      nearest_pads(*request.frame, request.numbering, request.pads_board.value_or(request.mount));

  Prediction p;
  const craft::NearestMounts near = craft::nearest_mounts(request.mount);
  p.nearest = *near.nearest;
  p.off = near.off;
  p.set_mount = near.off.value < 1e-6 ? near.nearest->angles : request.mount.yaw_pitch_roll();
  p.wiring_in_doubt = pads.tie;
  p.wiring = wire(request, pins, pads);
  p.motors = motors_on(request, pins, p.wiring);
  p.rings = rings_of(p.motors);
  p.turns_to_change = static_cast<int>(std::ranges::count_if(p.motors, &PredictedMotor::turn_changes));
  p.every_turn_opposite = p.turns_to_change == request.frame->size();
  const ConfiguredCraft as_it_came = untold(request, p.motors, p.wiring);
  p.before = flight_sense(as_it_came);
  p.after = flight_sense(told(as_it_came, p));
  fill_planner(p, request, pins);
  describe(p, request);
  return p;
}

std::optional<Degrees> direction_named(std::string_view text) {
  constexpr std::array<std::string_view, 8> names{"front", "front-right", "right", "rear-right",
                                                  "rear",  "rear-left",   "left",  "front-left"};
  const auto found = std::ranges::find(names, text);
  if (found == names.end()) return std::nullopt;
  return Degrees{45.0 * static_cast<double>(found - names.begin())};
}

craft::Mount mount_from_usb(const UsbView& usb, bool upside_down) {
  // Turned over about its arrow, the board has what was at its right at its left.
  if (upside_down) return craft::mount(usb.points + usb.socket_edge, craft::BoardSide::upside_down);
  return craft::mount(usb.points - usb.socket_edge, craft::BoardSide::right_way_up);
}

std::vector<UsbChoice> mounts_with_usb(const UsbView& usb, const PredictRequest& request) {
  std::vector<craft::Mount> mounts{mount_from_usb(usb, false), mount_from_usb(usb, true)};
  const double edge = usb.socket_edge.radians().value;
  const double points = usb.points.radians().value;
  const craft::InBoard socket{std::cos(edge), std::sin(edge), 0};
  const craft::InCraft there{std::cos(points), std::sin(points), 0};
  for (const craft::Mount& mount : craft::mounts()) {
    const bool flat =
        mount.side == craft::BoardSide::right_way_up || mount.side == craft::BoardSide::upside_down;
    if (!flat && angle_between(mount.rotation * socket, there).value < 1e-6) mounts.push_back(mount);
  }
  std::vector<UsbChoice> choices;
  for (const craft::Mount& mount : mounts) {
    PredictRequest one = request;
    one.mount = mount.rotation;
    one.usb = usb;
    UsbChoice choice{
        mount, predict(one), stick_plan(mount.rotation, *one.frame, one.scheme, one.numbering), 0, {}};
    choice.writes = choice.prediction.turns_to_change + (mount.rotation.angle().value > 1e-6 ? 1 : 0);
    for (const auto& ring : choice.prediction.rings) choice.writes += static_cast<int>(ring.size());
    choice.words = choice_in_words(choice);
    choices.push_back(choice);
  }
  std::ranges::stable_sort(choices.begin(), choices.begin() + 2, {}, &UsbChoice::writes);
  std::ranges::stable_sort(choices.begin() + 2, choices.end(), {}, &UsbChoice::writes);
  return choices;
}

}  // namespace armwise::solve
