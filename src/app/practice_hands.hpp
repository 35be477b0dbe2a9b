// In practice the person plays, but the craft is not in their hands: where they say that they hold it so,
// that they have swapped two wires, or that they have plugged it in anew, the practice craft is told.
#pragma once

#include <memory>
#include <vector>

#include "armwise/base/task.hpp"
#include "armwise/practice/sight.hpp"
#include "armwise/session/person.hpp"

namespace armwise::app {

class PracticeHands : public session::Person {
 public:
  // `sight` outlives it.
  PracticeHands(std::unique_ptr<session::Person> player, practice::Sight& sight)
      : player_(std::move(player)), sight_(sight) {}

  Task<session::Answer> ask(const session::Question& question) override;
  void tell(const session::Statement& statement) override;
  Task<bool> interrupted(craft::Motor motor, Duration within) override {
    return player_->interrupted(motor, within);
  }

 private:
  std::unique_ptr<session::Person> player_;
  practice::Sight& sight_;
  std::vector<std::string> to_reverse_;
};

}  // namespace armwise::app
