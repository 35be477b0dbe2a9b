// Records as a session would write them, made for the page: an ordinary one and the fullest ones.
#pragma once

#include <string>

#include "armwise/craft/frame.hpp"
#include "armwise/record/craft_record.hpp"

namespace armwise::sheet {

// Every motor on the wrong arm, and every turn the wrong way round, put right. `repeats`: how often each spin
// was asked for again before it was answered.
inline record::CraftRecord sample(const std::string& frame_name, int repeats = 0) {
  const craft::Frame& frame = *craft::frame_named(frame_name);
  const int size = frame.size();
  record::CraftRecord record;
  record.id = "kitchen-table-2026-11-25";
  record.made_at = "2026-11-25T07:20:00+01:00";
  record.tool_version = "0.1.0";
  record.craft_name = "Kitchen table " + frame_name;
  record.operator_name = "R. Vale";
  record.place = "the bench under the window";
  record.identity = {"slate", "brook", "2.1", "A7-0042", "USB 1209:0001"};
  record.port = "/dev/ttyACM0";
  record.profile_name = "brook";
  record.frame = frame_name;
  record.strength_per_cent = 6;
  record.spin_milliseconds = 1000;
  record.before.turn_key = record.after.turn_key = solve::TurnKey::motor;
  record.before.props = craft::PropScheme::out;
  record.after.props = craft::PropScheme::in;
  record.before.mount = craft::YawPitchRoll{0, 0, 0};
  record.after.mount = craft::YawPitchRoll{90, 0, 180};
  record.mount_in_words = "turned 90 to the right, upside down";
  record.mount_found = "three poses, the farthest 3.1 degrees off; the next likely mount is 45 degrees away";
  record.flight_sense = "right: a tilt to the right is sensed as one";
  record.sources["numbering"] = record::Source::profile;
  record.sources["mount"] = record::Source::computed;
  for (int i = 0; i < size; ++i) {
    const auto index = static_cast<std::size_t>(i);
    const craft::Place& place = frame.places[index];
    const std::string pin = "P" + std::to_string(i + 1);
    const int wrong = (i + 1) % size;
    record.numbering.push_back(place.name);
    record.after.map.pins.push_back({pin});
    record.before.map.pins.push_back({"P" + std::to_string((i + size - 1) % size + 1)});
    record.before.turns.push_back(craft::Turn::cw);
    record.after.turns.push_back(craft::Turn::ccw);
    const std::string right(name(frame.wanted(index, craft::PropScheme::in)));
    const std::string other(name(craft::opposite(frame.wanted(index, craft::PropScheme::in))));
    record.wiring[pin] = place.name + " " + right;
    for (int n = 0; n < repeats; ++n)
      record.spins.push_back({"check", wrong + 1, pin, n + 1, n % 2 == 0 ? "none" : "again", false, 6.0 + n});
    if (repeats > 0)
      record.spins.push_back({"check", wrong + 1, pin, repeats + 1, place.name + " " + right, true, 6});
    record.spins.push_back({"check", wrong + 1, pin, repeats + 2, place.name + " " + other, false, 6});
    for (int n = 0; n < repeats; ++n)
      record.spins.push_back({"proof", i + 1, pin, n + 1, "several", false, 6.0 + n});
    record.spins.push_back({"proof", i + 1, pin, repeats + 1, place.name + " " + right, false, 6});
    record.changes.push_back({"motor " + std::to_string(i + 1) + ": pin " + pin, {"wire " + pin}});
  }
  record.kept = record.read_back_matches = true;
  record.proof_spins = size;
  return record;
}

// As much of everything as there can be.
inline record::CraftRecord fullest(const std::string& frame_name) {
  record::CraftRecord record = sample(frame_name, 9);
  record.craft_name = std::string(200, 'W');
  record.id = std::string(100, 'i');
  record.operator_name = record.place = record.port = record.profile_name = std::string(400, 'x');
  record.identity = {std::string(300, 'b'), std::string(300, 'f'), std::string(300, 'v'),
                     std::string(300, 's'), std::string(300, 'p')};
  record.mount_in_words = record.mount_found = record.flight_sense = std::string(1000, 'm');
  for (int i = 0; i < 30; ++i) {
    record.by_hand.push_back("swap any two of the three wires of motor " + std::to_string(i) +
                             std::string(300, 'y'));
    record.warnings.push_back(std::string(400, 'z'));
  }
  return record;
}

}  // namespace armwise::sheet
