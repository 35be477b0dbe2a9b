// What the tests of the far side share: a controller that is spoken to by hand, line by line.
#pragma once

#include <string>

#include "armwise/practice/controller.hpp"

namespace armwise::practice {

inline console::Profile profile_named(const std::string& name) {
  return console::load_profile_file(std::string(ARMWISE_FIXTURES) + "/profiles/" + name + ".json");
}

// Each motor of a quad-x on the pin of its own number, pin 1 at the front right and on clockwise.
inline PracticeCraft plain_craft() {
  return craft_from_json(R"({
    "frame": "quad-x", "pins": ["P1", "P2", "P3", "P4", "P5"], "serial": "S77",
    "wiring": {"P1": {"place": "front-right", "turn": "ccw"}, "P2": {"place": "rear-right", "turn": "cw"},
               "P3": {"place": "rear-left", "turn": "ccw"}, "P4": {"place": "front-left", "turn": "cw"}},
    "noise_g": 0, "noise_dps": 0, "pose_error": 0})");
}

inline Habits short_listing() {
  Habits habits;
  habits.invented_lines = 4;
  return habits;
}

// Says bytes and gives back all that comes within 50 ms.
struct FarSide {
  explicit FarSide(const std::string& profile_name, PracticeCraft craft = plain_craft(),
                   MischiefPlan mischief = {}, Habits habits = short_listing())
      : profile(profile_named(profile_name)),
        controller(profile, std::move(craft), mischief, std::move(habits)) {
    greeting = controller.take(now);
  }

  std::string say(const std::string& bytes) {
    controller.receive(bytes, now);
    now += Duration(50);
    return controller.take(now);
  }
  std::vector<Turning> turning() const { return controller.turning(now); }
  void restart() {
    controller.restart(now);
    greeting = controller.take(now);
  }

  Instant now{0};
  console::Profile profile;
  PracticeController controller;
  std::string greeting;
};

}  // namespace armwise::practice
