#include "recall.hpp"

#include <algorithm>

namespace armwise::session {

Task<Answer> Recall::ask(const Question& question) {
  if (replaying()) co_return remembered<Answer>();
  // Nobody is offered a way back that there is not.
  Question put = question;
  const bool any_before = std::any_of(memory_.begin() + static_cast<std::ptrdiff_t>(wall_), memory_.end(),
                                      [](const Entry& entry) { return entry.answer; });
  put.may_go_back = question.may_go_back && any_before;
  const Answer answer = co_await person_.ask(put);
  if (std::holds_alternative<Back>(answer)) throw WentBack{};
  memory_.push_back({answer, true, said_, {}});
  ++at_;
  co_return answer;
}

void Recall::tell(const Statement& statement) {
  if (said_++ >= quiet_) person_.tell(statement);
}

Task<bool> Recall::interrupted(craft::Motor motor, Duration within) {
  return person_.interrupted(motor, within);
}

void Recall::step_back() {
  std::size_t last = memory_.size();
  while (last > wall_ && !memory_[last - 1].answer) --last;
  if (last == wall_) {
    person_.tell("no-way-back");
    quiet_ = said_;
  } else {
    quiet_ = memory_[last - 1].said;
    const std::function<void()> undone = std::move(memory_[last - 1].undone);
    memory_.resize(last - 1);
    if (undone) undone();
  }
  at_ = said_ = 0;
}

}  // namespace armwise::session
