// The practice craft of a session: a child of this process, or one that an earlier session left behind, and
// what can be seen of it.
#pragma once

#include <memory>
#include <optional>
#include <string>

#include "armwise/base/fault.hpp"
#include "armwise/base/task_fwd.hpp"
#include "armwise/practice/onlooker.hpp"
#include "armwise/session/person.hpp"
#include "armwise/ui/front_end.hpp"
#include "practice_child.hpp"
#include "session_options.hpp"

namespace armwise::app {

class PractisedCraft {
 public:
  // Forks: make it before any thread or event loop exists. From here on ports are looked for where it is.
  // Absent: the session is not for practice. Throws Fault(usage) where none was left behind.
  static std::unique_ptr<PractisedCraft> of(const SessionOptions& options);

  const PracticePlace& place() const { return place_; }
  // The profile that is spoken with it where none is named. Empty: it is met as a stranger would be, by the
  // profiles at hand.
  std::string profile() const;
  // Nobody has said yet which frame it is.
  bool wants_frame() const { return child_ && !child_->has_frame(); }
  // The person chooses the frame, where that was asked for. Question id: `frame`. Call meet() next.
  Task<void> ask_for_frame(session::Person& person);
  // Who looks at it lives on the event loop, and is the caller's to end before that.
  Task<std::unique_ptr<practice::Onlooker>> meet();
  // The frame that the person wanted to practise on; empty: they were not asked.
  const std::string& frame() const { return frame_; }
  // What turns; absent: nothing, or it was not met yet.
  std::optional<ui::Scene> scene() const;

  // Once it is over: what went wrong, as was asked for, and what came of it.
  void tell_mischief(session::Person& person) const;
  // The options that lead to the same craft again, as it was at first.
  std::string reached_by() const;

  // Where a flow ended with a craft that is changed, it stays, and the fault says so.
  Task<Fault> story_of(Fault fault);

 private:
  PractisedCraft(const SessionOptions& options, std::unique_ptr<PracticeChild> child, PracticePlace place);

  PracticeOptions options_;
  std::unique_ptr<PracticeChild> child_;
  PracticePlace place_;
  practice::Onlooker* onlooker_ = nullptr;
  std::string frame_;
};

}  // namespace armwise::app
