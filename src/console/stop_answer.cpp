#include "stop_answer.hpp"

#include <algorithm>

#include "armwise/console/conversation.hpp"

namespace armwise::console {

StopAnswer::StopAnswer(const Profile& profile) : profile_(profile) {
  const SpinAbility& spin = *profile.spin;
  const std::vector<craft::Motor> each = profile.motors_stopped_one_by_one();
  one_by_one_ = !each.empty();
  if (spin.stop_all.confirms) {
    confirms_ = &*spin.stop_all.confirms;
    parts_.emplace_back();
  } else if (one_by_one_ && spin.stop && spin.stop->confirms) {
    confirms_ = &*spin.stop->confirms;
    for (const craft::Motor motor : each) parts_.push_back({{{"motor", profile.motor_code(motor)}}, 0});
  }
}

bool StopAnswer::fits(const Part& part, const std::string& line) const {
  const auto read = confirms_->match(line, profile_.case_sensitive);
  return read && std::all_of(read->begin(), read->end(), [&](const auto& entry) {
           const auto wanted = part.values.find(entry.first);
           return wanted == part.values.end() || profile_.same(wanted->second, entry.second);
         });
}

bool StopAnswer::is_like_its_echo() const {
  const std::vector<std::string> sent = Conversation::as_sent(profile_.spin->stop_all.steps, {});
  return has_words() && std::any_of(sent.begin(), sent.end(), [&](const std::string& line) {
           return std::any_of(parts_.begin(), parts_.end(),
                              [&](const Part& part) { return fits(part, line); });
         });
}

// Where the words do not tell the motors apart, each line is one motor's.
bool StopAnswer::hear(const std::string& line, int times) {
  if (!has_words()) return false;
  const auto part = std::find_if(parts_.begin(), parts_.end(),
                                 [&](const Part& one) { return one.heard < times && fits(one, line); });
  if (part == parts_.end()) return false;
  ++part->heard;
  return std::all_of(parts_.begin(), parts_.end(), [&](const Part& one) { return one.heard >= times; });
}

void StopAnswer::forget() {
  for (Part& part : parts_) part.heard = 0;
}

bool StopAnswer::is_in(const std::vector<std::string>& lines) const {
  if (!has_words()) return true;
  StopAnswer fresh = *this;
  fresh.forget();
  return std::any_of(lines.begin(), lines.end(), [&](const std::string& line) { return fresh.hear(line); });
}

}  // namespace armwise::console
