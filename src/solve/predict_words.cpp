#include "predict_words.hpp"

#include <array>
#include <cmath>

#include "armwise/base/text.hpp"
#include "words.hpp"

namespace armwise::solve {
namespace {

std::string direction(craft::Degrees heading) {
  constexpr std::array names{"front", "front right", "right", "rear right",
                             "rear",  "rear left",   "left",  "front left"};
  const double eighths = std::fmod(heading.value + 720, 360) / 45;
  if (std::abs(eighths - std::round(eighths)) > 1e-9) return number_text(heading.value, 0) + " degrees";
  return names[static_cast<std::size_t>(std::lround(eighths)) % names.size()];
}

std::string board_sentence(const PredictRequest& request) {
  std::string text = "The board: " + craft::in_words(request.mount);
  if (request.usb)
    text +=
        ", USB socket to the " + direction(request.usb->points) + " (" + socket_in_words(*request.usb) + ")";
  return text + ".";
}

// All pads above one line.
bool on_edge(const PredictRequest& request) {
  return !request.pads_board && std::abs((request.mount * craft::InBoard{0, 0, 1}).z) < 0.5;
}

std::string map_sentence(const Prediction& p, const PredictRequest& request) {
  if (on_edge(request)) {
    return "The board stands on edge, so no pad is nearest to an arm: look where the wires go, and spin the "
           "motors to see which way each turns.";
  }
  if (p.rings.empty()) return "No pins to swap.";
  std::vector<std::string> moves;
  for (const PredictedMotor& motor : p.motors) {
    if (!motor.pin_changes()) continue;
    moves.push_back(words::motor(motor.motor) + " (" + words::place(*request.frame, motor.place) + ") from " +
                    motor.pin_before.name + " to " + motor.pin_after.name);
  }
  std::string kind;
  if (p.rings.size() == 1 && p.rings[0].size() == p.motors.size()) {
    kind = ", all of them in one ring";
  } else if (p.rings.size() * 2 == moves.size()) {
    kind = p.rings.size() == 1 ? ", one swap" : ", " + std::to_string(p.rings.size()) + " swaps";
  }
  return "Change pins" + kind + ", with every wire on the nearest pad: " + words::listed(moves) + ".";
}

std::string turns_sentence(const Prediction& p, const PredictRequest& request) {
  if (p.turns_to_change == 0) return "Nothing to reverse.";
  const std::string wanted = in_words(*request.frame, request.scheme);
  if (p.every_turn_opposite) {
    return "Every motor then turns opposite to what " + wanted +
           " wants: reverse all of them; or set the controller to " +
           std::string(in_words(craft::other(request.scheme))) + " and change the propellers over.";
  }
  std::vector<std::string> reversed;
  for (const PredictedMotor& motor : p.motors) {
    if (motor.turn_changes()) {
      reversed.push_back(words::motor(motor.motor) + " (" + words::place(*request.frame, motor.place) + ")");
    }
  }
  return "To be reversed for " + wanted + ": " + words::listed(reversed) + ".";
}

std::string mount_sentence(const Prediction& p) {
  if (craft::CraftFromBoard(p.set_mount).angle().value < 1e-6) return "The mount setting stays at zero.";
  return "Set the board's mount to " + words::mount(p.set_mount) + ".";
}

}  // namespace

void describe(Prediction& p, const PredictRequest& request) {
  p.sentences = {board_sentence(request), mount_sentence(p), map_sentence(p, request)};
  if (!on_edge(request)) p.sentences.push_back(turns_sentence(p, request));
  if (p.wiring_in_doubt && !on_edge(request)) {
    p.sentences.emplace_back(
        "Two pads lie equally near to an arm, so the wires may go either way: look, or spin the motors to "
        "find out.");
  }
  for (const std::string& sentence : p.sentences) p.words += (p.words.empty() ? "" : " ") + sentence;
  p.words += " If you set nothing: " + p.before.words;
  p.words += " With all of that set: " + p.after.words;
}

std::string socket_in_words(const UsbView& usb) {
  return "at the board's " + direction(usb.socket_edge) + " edge, seen from its arrow";
}

std::string choice_in_words(const UsbChoice& choice) {
  const bool flat = choice.mount.side == craft::BoardSide::right_way_up ||
                    choice.mount.side == craft::BoardSide::upside_down;
  std::string text = words::capitalised(choice.mount.words);
  if (flat) text += ", " + std::to_string(choice.writes) + (choice.writes == 1 ? " setting" : " settings");
  text += ":";
  for (std::size_t i = 1; i < choice.prediction.sentences.size(); ++i)
    text += " " + choice.prediction.sentences[i];
  if (choice.mount.rotation.angle().value < 1e-6) return text;
  text +=
      choice.radio.possible ? " The radio could put it right instead." : " The radio cannot put it right.";
  return text;
}

}  // namespace armwise::solve
