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
  read_ = 0;
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
  if (wanted_.empty()) heard_ += static_cast<int>(unread_.size());
  if (wanted_.empty()) return unread_.clear();
  for (std::size_t at = 0; (at = find_alone(unread_, wanted_, read_)) != std::string::npos;) {
    // A letter that follows makes another word of it.
    if (at + wanted_.size() == unread_.size() && is_letter(wanted_.back())) break;
    ++heard_;
    read_ = at + wanted_.size();
  }
  // It may have begun; and what stands before it tells whether it is a word of its own.
  const std::size_t kept = wanted_.size() + 1;
  std::size_t gone = std::max(read_, unread_.size() - std::min(unread_.size(), kept));
  if (gone > 0) --gone;
  unread_.erase(0, gone);
  read_ -= std::min(read_, gone);
}

bool GuardAnswers::acknowledged() const {
  if (times_ < 0) return false;
  if (times_ == 0) return said_ > 1 && heard_ > 0;
  // Echoes that read like answers may come late, and an answer may say the same of each motor: more than all
  // the stops that were said, the tool's last ones included, can bring where one motor never confirms.
  return heard_ > (said_ + tools_) * (times_ - 1);
}

}  // namespace armwise::link
