// Permits as a test comes by them: out of the answers of somebody who says yes to everything.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "armwise/session/consent.hpp"
#include "manual_clock.hpp"

namespace armwise::test {

class SaysYes : public session::Person {
 public:
  Task<session::Answer> ask(const session::Question&) override {
    const session::Answer answer = std::string("yes");
    co_return answer;
  }
  void tell(const session::Statement&) override {}
  Task<bool> interrupted(craft::Motor, Duration) override { co_return false; }
};

inline MayWrite write_permit(std::vector<std::string> lines) {
  SaysYes person;
  return run(session::ask_to_write(person, {}, std::move(lines))).value();
}
inline MayPlay play_permit(std::vector<std::string> lines) {
  SaysYes person;
  return run(session::ask_to_play(person, {}, std::move(lines))).value();
}
inline MayKeep keep_permit() {
  SaysYes person;
  return run(session::ask_to_keep(person, {})).value();
}

}  // namespace armwise::test
