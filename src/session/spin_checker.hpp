// One motor spun briefly, and the person says what moved.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "armwise/base/duration.hpp"
#include "armwise/base/fault.hpp"
#include "armwise/base/permit.hpp"
#include "armwise/base/task_fwd.hpp"
#include "armwise/console/console.hpp"
#include "armwise/record/craft_record.hpp"
#include "armwise/session/person.hpp"
#include "one_spin.hpp"
#include "spin_questions.hpp"

namespace armwise::session {

struct Heard {
  Answer answer;
  // What the person took back before they gave it, and how it had been asked.
  std::vector<std::pair<solve::Ask, Answer>> taken_back{};
};

class SpinChecker {
 public:
  // All outlive the checker. `strength_per_cent` absent: the profile's standard. `suspended` is asked after a
  // spin that ended by an exception, once the motor is stopped: true where that was Ctrl-Z, and it is over.
  SpinChecker(console::Console& console, Person& person, std::optional<double> strength_per_cent,
              Duration spin_time, std::function<bool()> suspended = {});
  SpinChecker(const SpinChecker&) = delete;
  SpinChecker& operator=(const SpinChecker&) = delete;

  // Asks for each spin where the request needs one, spins, and asks until there is an answer; absent: the
  // person wants to go back. The motor has been stopped by the time this returns or throws; Fault(unsafe)
  // where that is not certain.
  Task<std::optional<Heard>> check(const craft::Frame& frame, const SpinRequest& request,
                                   const SpinPermit& permit);

  // The last answer to this does not count: the person went back.
  void undo(const SpinRequest& request);

  std::vector<record::SpinEntry> log() const;
  double strength_per_cent() const;

 private:
  struct Spun {
    record::SpinEntry entry;
    solve::Ask ask;
    Answer answer;
  };
  Task<void> spin_once(Go go, craft::Motor shown, double strength);
  Task<Answer> spin_and_ask(const craft::Frame& frame, const SpinRequest& request, const Question& question,
                            double strength, const SpinPermit& permit);
  [[noreturn]] void end_unseen(StoppedByPerson::How how);
  void require_a_stop_for_each(const craft::Frame& frame) const;
  Task<void> ask_for_the_word_again();
  double strength(int motionless) const;
  void tell_if_stronger(double before, double now);
  int spins_of(const SpinRequest& request, std::optional<SpinSeen::What> seen) const;
  void note(const SpinRequest& request, const Question& question, const Answer& answer, double used);

  console::Console& console_;
  Person& person_;
  double standard_strength_;  // console units
  Duration spin_time_;
  std::function<bool()> suspended_;
  OneSpin spin_;
  bool spun_ = false;  // anything, ever
  std::vector<Spun> log_;
  std::vector<std::pair<solve::Ask, Answer>> taken_back_;  // since the last answer
};

}  // namespace armwise::session
