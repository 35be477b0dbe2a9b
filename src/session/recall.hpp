// The one way back. A phase of a session is plain code, top to bottom, that asks and measures through a
// Recall. Where the person goes back, the phase runs again from its top, silently, with all but the last
// answer handed out from memory: what was said is not said again, and what was spun or measured is not done
// again.
//
// So a phase must do the same whenever it is given the same answers: all that it reads of the world it reads
// through once(), answered() or for_good().
#pragma once

#include <algorithm>
#include <any>
#include <cstddef>
#include <functional>
#include <optional>
#include <utility>
#include <vector>

#include "armwise/base/task.hpp"
#include "armwise/session/person.hpp"

namespace armwise::session {

struct WentBack {};

class Recall : public Person {
 public:
  // `person` outlives it.
  explicit Recall(Person& person) : person_(person) {}

  // Throws WentBack where the person wants to go back.
  Task<Answer> ask(const Question& question) override;
  using Person::tell;
  void tell(const Statement& statement) override;
  Task<bool> interrupted(craft::Motor motor, Duration within) override;

  // What the craft showed while the person saw to it: a spin, a pose. `effect` gives a Task of an optional
  // Result, absent where the person wants to go back, and asks person(). `undone`: called when this answer is
  // taken back.
  template <typename Result, typename Effect>
  Task<Result> answered(Effect effect, std::function<void()> undone = {}) {
    if (replaying()) co_return remembered<Result>();
    const std::size_t said = said_;
    const std::optional<Result> result = co_await effect();
    if (!result) throw WentBack{};
    memory_.push_back({*result, true, said, std::move(undone)});
    ++at_;
    co_return *result;
  }
  // What was read of the controller: going back passes over it.
  template <typename Result, typename Effect>
  Task<Result> once(Effect effect) {
    if (replaying()) co_return remembered<Result>();
    const Result result = co_await effect();
    memory_.push_back({result, false, said_, {}});
    ++at_;
    co_return result;
  }
  // What cannot be undone by going back, such as a write: nobody goes back past it.
  template <typename Result, typename Effect>
  Task<Result> for_good(Effect effect) {
    const Result result = co_await once<Result>(std::move(effect));
    wall_ = std::max(wall_, at_);
    co_return result;
  }

  // Who is asked, for effects.
  Person& person() const { return person_; }

  // After WentBack: forgets the last answer, or says that there is none to be taken back.
  void step_back();

 private:
  struct Entry {
    std::any value;
    bool answer = false;
    std::size_t said = 0;  // statements before it
    std::function<void()> undone;
  };
  bool replaying() const { return at_ < memory_.size(); }
  template <typename Result>
  Result remembered() {
    return std::any_cast<Result>(memory_[at_++].value);
  }

  Person& person_;
  std::vector<Entry> memory_;
  std::size_t at_ = 0;     // the next entry, as the phase runs
  std::size_t wall_ = 0;   // entries before this one stay
  std::size_t said_ = 0;   // statements since the top
  std::size_t quiet_ = 0;  // so many of them were heard before
};

// Runs `body`, which is given a Recall, until it comes to its end.
template <typename Body>
auto phase(Person& person, const Body& body) -> decltype(body(std::declval<Recall&>())) {
  Recall recall(person);
  while (true) {
    try {
      co_return co_await body(recall);
    } catch (const WentBack&) {
      recall.step_back();
    }
  }
}

}  // namespace armwise::session
