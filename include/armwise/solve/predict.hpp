// Without hardware: what a mount calls for in the controller, and what flies if nothing is done. Pure.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "armwise/craft/frame.hpp"
#include "armwise/craft/mounts.hpp"
#include "armwise/solve/flight_sense.hpp"
#include "armwise/solve/plan.hpp"
#include "armwise/solve/sticks.hpp"

namespace armwise::solve {

// By the USB socket, as people tell it.
struct UsbView {
  craft::Degrees points;           // heading on the craft: 0 to the nose, 90 to the right, 180 to the rear
  craft::Degrees socket_edge{90};  // heading on the board, from its arrow. The default is this tool's own
                                   // choice: a board turned 90 to the right then has its socket at the rear
};

struct PredictRequest {
  const craft::Frame* frame = nullptr;
  craft::Numbering numbering;
  craft::PropScheme scheme = craft::PropScheme::in;
  craft::CraftFromBoard mount;  // how the flight controller is to sit
  std::optional<UsbView> usb;   // where `mount` was told by the socket: for the words
  // How the board that carries the motor pads sits, where that is not the flight controller itself.
  std::optional<craft::CraftFromBoard> pads_board;
  // The pins of motors 1, 2, … as the controller comes; empty: "1", "2", …
  std::vector<craft::Pin> pins;
};

struct PredictedMotor {
  craft::Motor motor;
  craft::PlaceIndex place = 0;
  craft::Pin pin_before, pin_after;
  craft::Turn as_wired = craft::Turn::cw;  // as the pin's motor turns before anything is changed
  craft::Turn wanted = craft::Turn::cw;
  bool pin_changes() const { return pin_before != pin_after; }
  bool turn_changes() const { return as_wired != wanted; }
};

struct Prediction {
  craft::Mount nearest;  // the named mount, and how far off it is
  craft::Degrees off;
  craft::YawPitchRoll set_mount;  // what the controller is to be told: the named angles where it is one
  std::vector<PredictedMotor> motors;
  // The motors that change pins, in rings: {1, 2, 3, 4} means that motor 1 takes over the pin of 2, and so
  // on.
  std::vector<std::vector<craft::Motor>> rings;
  int turns_to_change = 0;
  // Every turn is opposite: the other way out is to tell the controller the other prop scheme.
  bool every_turn_opposite = false;
  // Pads lie equally near: the wires could as well go another way, and the map then differs.
  bool wiring_in_doubt = false;
  FlightSense before;  // the mount not told, the map and turns as they came
  FlightSense after;
  // For the planner, which then says the very lines of a console.
  Snapshot now;
  Wiring wiring;
  Wanted wanted;
  std::vector<std::string> sentences;  // what is called for, one by one
  std::string words;                   // all of it, with flight sense before and after
};

// Throws Fault(mismatch) where the numbering does not cover the frame, or pins are too few.
Prediction predict(const PredictRequest& request);

// "front", "right", "rear", "left", and "front-right" and its like.
std::optional<craft::Degrees> direction_named(std::string_view text);

// "taking the socket to be at the board's right edge, …": what a mount by the socket rests on.
std::string socket_in_words(const UsbView& usb);

craft::Mount mount_from_usb(const UsbView& usb, bool upside_down);

// A mount that puts the socket there, with what it costs in the controller and on the radio.
struct UsbChoice {
  craft::Mount mount;
  Prediction prediction;
  StickPlan radio;
  int writes = 0;  // settings to change: pins, turns, the mount
  std::string words;
};
// Flat ones first, then those on edge, the cheapest of each first. `request.mount` is not looked at.
std::vector<UsbChoice> mounts_with_usb(const UsbView& usb, const PredictRequest& request);

}  // namespace armwise::solve
