// A SpinPermit as a test comes by one: by somebody who types the word.
#pragma once

#include "armwise/session/ceremony.hpp"
#include "manual_clock.hpp"

namespace armwise::test {

inline SpinPermit sworn_permit() {
  class TypesTheWord : public session::Person {
   public:
    Task<session::Answer> ask(const session::Question& question) override {
      const session::Answer answer = question.word;
      co_return answer;
    }
    void tell(const session::Statement&) override {}
    Task<bool> interrupted(craft::Motor, Duration) override { co_return false; }
  };
  TypesTheWord person;
  return *run(session::swear_props_off(person, nullptr)).permit;
}

}  // namespace armwise::test
