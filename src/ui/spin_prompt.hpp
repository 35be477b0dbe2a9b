// The terminal's questions about a spin: may it begin, which arm, upper or lower, which way.
#pragma once

#include <filesystem>
#include <optional>
#include <string>

#include "armwise/base/task_fwd.hpp"
#include "prompt.hpp"

namespace armwise::ui {

class SpinPrompt {
 public:
  SpinPrompt(LiveScreen& live, SpinScene& scene, Prompt& prompt, std::filesystem::path keys_file,
             std::string letters_trouble);

  Task<session::Answer> go(const session::Question& question);
  // While a motor turns: true as soon as a key is pressed, false after `within`.
  Task<bool> watched(craft::Motor motor, Duration within);
  Task<session::Answer> spin(const session::Question& question);
  Task<session::Answer> small(const session::Question& asked);
  Task<session::Answer> place(const session::Question& question);

  // A key that stopped a spin is its answer only where it came alone.
  Task<void> keep_early_if_alone(const session::Question& next);
  void forget_early() { early_.reset(); }

 private:
  Task<bool> two_beeps();
  void put_go(const session::Question& question);
  void put_seen(const session::Question& question);
  void put_spin(const session::Question& question);
  // Absent: back to the arm.
  Task<std::optional<craft::PlaceIndex>> level(ArmKeys::Cap cap);
  void show_turn(const craft::Frame& frame, craft::PlaceIndex place);
  Task<std::optional<session::SpinSeen>> turn(const craft::Frame& frame, craft::PlaceIndex place);
  Task<std::optional<session::SpinSeen>> arm_and_turn(const session::Question& question, Key key);
  Task<std::string> learn_letters();  // what came of it

  Terminal& terminal_;
  LiveScreen& live_;
  Screen& screen_;
  SpinScene& scene_;
  Prompt& prompt_;
  std::filesystem::path keys_file_;
  std::string letters_trouble_;  // told once
  std::optional<Key> early_;     // pressed while it spun: it stopped it, and may be the answer
  // The arm of the motor that is spun once more to see its direction.
  std::optional<craft::PlaceIndex> arm_said_;
};

// Which arrow points, in the picture, the way the strip goes for one of the two turns.
Key arrow_for(const craft::Frame& frame, craft::PlaceIndex place, NoseSide nose, craft::Turn turn);

}  // namespace armwise::ui
