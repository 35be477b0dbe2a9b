// By what the answer to a stop of all motors is known: its confirmation; or, where each motor is stopped by
// itself, the confirmation of each.
#pragma once

#include <string>
#include <vector>

#include "armwise/console/profile.hpp"

namespace armwise::console {

class StopAnswer {
 public:
  // `profile` can spin, and outlives it.
  explicit StopAnswer(const Profile& profile);

  bool one_by_one() const { return one_by_one_; }
  // False: nothing in an answer tells.
  bool has_words() const { return confirms_ != nullptr; }
  // A console that repeats what is sent would seem to confirm such a stop before it carried it out.
  bool is_like_its_echo() const;

  // One more line: true once every part has been heard, each so often.
  bool hear(const std::string& line, int times = 1);
  void forget();
  // In these lines alone. Without words anything confirms it.
  bool is_in(const std::vector<std::string>& lines) const;

 private:
  struct Part {
    Values values;
    int heard = 0;
  };
  bool fits(const Part& part, const std::string& line) const;

  const Profile& profile_;
  bool one_by_one_ = false;
  const Template* confirms_ = nullptr;
  std::vector<Part> parts_;
};

}  // namespace armwise::console
