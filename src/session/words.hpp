// What sentences are made of: motors, pins, changes, verdicts. Sentences: armwise/session/statements.hpp.
#pragma once

#include <string>
#include <vector>

#include "armwise/craft/frame.hpp"
#include "armwise/craft/motor.hpp"
#include "armwise/craft/placed_turn.hpp"
#include "armwise/session/person.hpp"
#include "armwise/solve/flight_sense.hpp"
#include "armwise/solve/identify.hpp"
#include "armwise/solve/plan.hpp"

namespace armwise::session::words {

// What the person must type before any motor turns.
inline constexpr const char* props_off = "props off";

std::string pin_in_words(const craft::Pin& pin);                  // "pin P4", "no pin"
std::string motor_on(craft::Motor motor, const craft::Pin& pin);  // "motor 2 (pin P4)"
std::string change(const solve::Change& change);                  // "motor 1: pin P4 instead of P2"
std::string in_mid_sentence(std::string sentence);                // "It will" -> "it will"
std::string or_skip(std::string question);                        // "… (or skip)", "(…; or skip)"
Choice none_of_these();
std::string count(std::size_t number, const std::string& one, const std::string& many);

// Whether it would fly like that, in one line.
void add_verdict(CraftView& view, const solve::FlightSense& sense);
// What a screen keeps behind a key.
void say_why(Person& person, StatementId id, Facts facts);

// The craft as wired, motors numbered as `map` says.
CraftView view_of(const craft::Frame& frame, const craft::MotorMap& map, const solve::Wiring& wiring,
                  craft::PropScheme scheme, std::string title);

}  // namespace armwise::session::words
