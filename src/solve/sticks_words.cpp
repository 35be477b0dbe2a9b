#include "sticks_words.hpp"

#include <cmath>

#include "armwise/base/text.hpp"
#include "words.hpp"

namespace armwise::solve {
namespace {

using craft::Frame;
using craft::PropScheme;

std::string per_cent(int value) {
  return (value > 0 ? "+" : "") + std::to_string(value) + " %";
}

std::string channel(std::string_view name, int of_roll, int of_pitch) {
  std::string text = "The " + std::string(name) + " channel takes ";
  if (of_roll != 0) text += per_cent(of_roll) + " of the roll stick";
  if (of_roll != 0 && of_pitch != 0) text += " and ";
  if (of_pitch != 0) text += per_cent(of_pitch) + " of the pitch stick";
  return text + " (right and forward count as plus).";
}

// What the controller must be asked for when one stick is moved.
std::string asked(double roll, double pitch) {
  std::vector<std::string> parts;
  const auto add = [&](double amount, std::string_view plus, std::string_view minus) {
    if (std::abs(amount) < 0.005) return;
    std::string part(amount > 0 ? plus : minus);
    if (std::abs(amount) < 0.995) part += " (" + number_text(100 * std::abs(amount), 0) + " %)";
    parts.push_back(part);
  };
  add(roll, "roll right", "roll left");
  add(pitch, "pitch forward", "pull back");
  return words::listed(parts);
}

void tell_sticks(StickPlan& plan) {
  const StickMix& mix = plan.mix;
  plan.settings = {channel("roll", mix.per_cent[0], mix.per_cent[1]),
                   channel("pitch", mix.per_cent[2], mix.per_cent[3])};
  const auto row = [&](std::string_view stick, double roll, double pitch) {
    plan.in_words.push_back(std::string(stick) + " is " + asked(roll, pitch) + ".");
  };
  row("Pitch forward", mix.roll_from_pitch, mix.pitch_from_pitch);
  row("Pull back", -mix.roll_from_pitch, -mix.pitch_from_pitch);
  row("Roll right", mix.roll_from_roll, mix.pitch_from_roll);
  row("Roll left", -mix.roll_from_roll, -mix.pitch_from_roll);
}

void tell_frame(StickPlan& plan, const Frame& frame, PropScheme scheme) {
  if (plan.frame_to_set == nullptr) {
    plan.costs.push_back(
        {"frame-type",
         "In the board's axes the arms lie as on no known frame, so the controller's mixer does not fit "
         "them. " +
             joined(plan.sense.deviations, " ")});
    return;
  }
  if (plan.frame_to_set != &frame) {
    plan.costs.push_back(
        {"frame-type", "In the board's axes the arms lie as on " + plan.frame_to_set->name +
                           ", so the controller must be set to that frame, and each motor to the "
                           "number that lies there."});
  }
  if (!plan.scheme_on_craft) {
    plan.costs.push_back({"prop-scheme", "Seen on the craft the props turn neither in nor out throughout."});
  } else if (*plan.scheme_on_craft != scheme) {
    plan.costs.push_back(
        {"prop-scheme", words::capitalised(std::string(in_words(scheme))) + " becomes " +
                            std::string(in_words(*plan.scheme_on_craft)) +
                            ": each motor turns as the controller wants it where it sits in the "
                            "board's axes, which is the other way round on the craft."});
  }
}

void tell_costs(StickPlan& plan, const Frame& frame, PropScheme scheme) {
  tell_frame(plan, frame, scheme);
  if (!plan.plain_swap) {
    plan.costs.push_back(
        {"corners", "With the stick in a corner one channel is asked for " +
                        number_text(100 * plan.mix.corner, 0) +
                        " % and is cut off at 100: the direction is off there, or all rates must be "
                        "lowered."});
    plan.costs.push_back({"rounding", "In whole per cent the mix amounts to " +
                                          degrees_text(std::abs(plan.mix.angle_from_per_cent.value), 1) +
                                          " and " + number_text(100 * plan.mix.gain_from_per_cent, 1) +
                                          " % of the rate."});
    plan.costs.push_back({"rates",
                          "Use a straight rate line, the same for roll and pitch: the mix comes before the "
                          "controller's curve."});
  } else if (plan.mix.per_cent[0] == 0) {
    plan.costs.push_back(
        {"rates", "Roll and pitch need the same rates: each stick now uses the other one's."});
  }
  plan.costs.push_back({"per-model",
                        "It takes a model memory of its own on the radio, and another radio flies the "
                        "craft turned."});
  plan.costs.push_back({"self-level",
                        "Self-level works, since it turns with the sticks, but its limits and trims for "
                        "roll and pitch are those of the board, not of the craft."});
  plan.costs.push_back({"display",
                        "Heading and horizon on the display, a position hold, a return home and a compass "
                        "stay turned by the board's angle."});
  plan.gains = {"Nothing is changed in the controller, so a new firmware changes nothing.",
                "Wires go to the nearest pads, and the pins stay as they are."};
}

std::string impossible(const StickPlan& plan, const BoardLies& board) {
  std::string text = "This cannot be put right on the radio: ";
  if (board.flat) {
    text += "wired like this, the craft does not stabilise itself. ";
  } else {
    text += std::string("the board ") + (board.upside_down ? "is upside down" : "does not lie flat") +
            ", but the controller, which stabilises the craft, does not know. ";
  }
  return text + plan.sense.words;
}

}  // namespace

void describe(StickPlan& plan, const BoardLies& board, const Frame& frame, PropScheme scheme) {
  if (!plan.possible) {
    plan.words = impossible(plan, board);
    return;
  }
  if (plan.plain_swap && plan.mix.per_cent[0] == 100) {
    plan.words = "The board is not turned: there is nothing to set on the radio.";
    return;
  }
  tell_sticks(plan);
  tell_costs(plan, frame, scheme);
  plan.words = "The board is " + craft::turned_in_words(board.yaw) + ". On the radio:";
  if (plan.plain_swap) {
    for (const std::string& line : plan.in_words) plan.words += " " + line;
  } else {
    for (const std::string& line : plan.settings) plan.words += " " + line;
  }
  plan.words += " What it costs:";
  for (const StickCost& cost : plan.costs) plan.words += " " + cost.words;
}

}  // namespace armwise::solve
