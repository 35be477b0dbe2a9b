#include "guard_answers.hpp"

#include <algorithm>

#include "armwise/base/text.hpp"

namespace armwise::link {

void GuardAnswers::expect(std::string_view acknowledged_by, int times) {
  wanted_ = lower_case(acknowledged_by);
  times_ = times;
}

void GuardAnswers::forget() {
  heard_ = 0;
  unread_.clear();
}

void GuardAnswers::begin() {
  said_ = 0;
  forget();
}

void GuardAnswers::count(int stops) {
  // A prompt tells of what was sent before it only.
  if (times_ == 0) forget();
  said_ += stops;
}

void GuardAnswers::hear(std::string_view bytes) {
  unread_ += lower_case(bytes);
  for (std::size_t at = unread_.find(wanted_); !unread_.empty() && at != std::string::npos;
       at = unread_.find(wanted_)) {
    ++heard_;
    unread_.erase(0, std::max<std::size_t>(at + wanted_.size(), 1));
  }
  if (unread_.size() >= wanted_.size()) unread_.erase(0, unread_.size() - wanted_.size() + 1);
}

bool GuardAnswers::acknowledged() const {
  if (times_ == 0) return said_ > 1 && heard_ > 0;
  // Echoes that read like answers may come late, and an answer may say the same of each motor: more than all
  // the stops that were said, the tool's last ones included, can bring where one motor never confirms.
  return heard_ > (said_ + tools_) * (times_ - 1);
}

}  // namespace armwise::link
