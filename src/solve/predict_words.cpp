#include "predict_words.hpp"

#include "words.hpp"

namespace armwise::solve {
namespace {

std::string map_sentence(const Prediction& p, const PredictRequest& request) {
  if (p.rings.empty()) return "The map stays as it came.";
  std::vector<std::string> moves;
  for (const PredictedMotor& motor : p.motors) {
    if (!motor.pin_changes()) continue;
    moves.push_back(words::motor(motor.motor) + " (" + words::place(*request.frame, motor.place) +
                    ") from pin " + motor.pin_before.name + " to pin " + motor.pin_after.name);
  }
  std::string kind;
  if (p.rings.size() == 1 && p.rings[0].size() == p.motors.size()) {
    kind = ", all of them in one ring";
  } else if (p.rings.size() * 2 == moves.size()) {
    kind = p.rings.size() == 1 ? ", one swap" : ", " + std::to_string(p.rings.size()) + " swaps";
  }
  return "With every wire on the nearest pad these motors change pins" + kind + ": " + words::listed(moves) +
         ".";
}

std::string turns_sentence(const Prediction& p, const PredictRequest& request) {
  if (p.turns_to_change == 0) return "No turn changes.";
  const std::string wanted = in_words(*request.frame, request.scheme);
  if (p.every_turn_opposite) {
    return "Every motor then turns opposite to what " + wanted +
           " wants: reverse all of them, or tell the controller " +
           std::string(in_words(craft::other(request.scheme))) + " and fly that.";
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
  return "Tell the controller the mount " + words::mount(p.set_mount) + ".";
}

}  // namespace

void describe(Prediction& p, const PredictRequest& request) {
  p.sentences = {"The board: " + craft::in_words(request.mount) + ".", mount_sentence(p),
                 map_sentence(p, request), turns_sentence(p, request)};
  if (p.wiring_in_doubt) {
    p.sentences.emplace_back(
        "Two pads lie equally near to an arm, so the wires may as well go another way: look which, or spin "
        "the "
        "motors to find out.");
  }
  for (const std::string& sentence : p.sentences) p.words += (p.words.empty() ? "" : " ") + sentence;
  p.words += " If nothing is changed: " + p.before.words;
  p.words += " With all of that set: " + p.after.words;
}

std::string choice_in_words(const UsbChoice& choice) {
  std::string text = words::capitalised(choice.mount.words) + ":";
  for (std::size_t i = 1; i < choice.prediction.sentences.size(); ++i)
    text += " " + choice.prediction.sentences[i];
  if (choice.mount.rotation.angle().value < 1e-6) return text;
  text +=
      choice.radio.possible ? " The radio could put it right instead." : " The radio cannot put it right.";
  return text;
}

}  // namespace armwise::solve
