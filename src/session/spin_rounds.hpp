// Spins and questions, to find out and to prove alike: what is asked next, what an answer means and when it
// is enough is `solve::Interview`'s affair; this puts its motors into the terms of the controller, and its
// reasons into words.
#pragma once

#include <array>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "armwise/base/permit.hpp"
#include "armwise/base/task_fwd.hpp"
#include "armwise/craft/frame.hpp"
#include "armwise/session/person.hpp"
#include "armwise/solve/identify.hpp"
#include "armwise/solve/interview.hpp"
#include "recall.hpp"
#include "spin_checker.hpp"

namespace armwise::session {

// What is believed of the craft, from the first spin to the last; handed from phase to phase. A row is a pin
// for good; its turn is as under the settings of the first round.
struct Inquiry {
  solve::Interview interview;
  std::vector<craft::Pin> pins;  // of the rows
  // Against the first round, the row's motor turns the other way round: as planned, and as it is now.
  std::array<bool, solve::most_rows> reversed{}, reversed_now{};
  std::set<solve::Why> explained{};
};

// To find out. `order`: what comes next in the check depends on it, and on the answers. `map`: by which the
// controller drives its motors. Throws Fault(mismatch) where a motor of the frame has no pin of its own.
Inquiry begin_inquiry(const craft::Frame& frame, const craft::Numbering& numbering,
                      const craft::MotorMap& map, double sure, std::uint32_t order);
// To prove what a record says.
Inquiry inquiry_into(const craft::Frame& frame, const craft::Numbering& numbering,
                     const solve::Wiring& recorded, double sure, std::uint32_t order);
// What to plan with, the turns as they will be under the settings planned last.
solve::Wiring believed(const Inquiry& inquiry);
// These turns are planned, by the settings or by hand.
void reverse_as_planned(Inquiry& inquiry, const solve::Wiring& before, const solve::Wiring& after);

// What drives a row's pin at the moment, 0 where nothing does, and the motor's number by the plan.
struct Driven {
  craft::Motor commanded, shown;
};

// Knows nothing but what it is told: given the same answers, it decides the same. Going back makes a new one,
// which hears the answers that are left.
class SpinPolicy {
 public:
  // `frame` outlives it. `phase`: for the record; blind in all but "check".
  SpinPolicy(const craft::Frame& frame, Inquiry inquiry, std::vector<Driven> driven, std::string phase);

  struct Step {
    std::vector<Statement> told;
    std::optional<SpinRequest> request;  // absent: it is enough
  };
  // Throws Fault(mismatch) where more spins are no use.
  Step next();
  // Returns what the person is to be told of it.
  std::vector<Statement> take(const Heard& heard);

  const Inquiry& inquiry() const { return inquiry_; }
  int checked() const;  // motors looked at: in a check those of which nothing has been written since
  int to_check() const { return inquiry_.interview.to_check(); }
  // Of a proof: the answers fit together, but not with what was written.
  bool otherwise() const { return otherwise_; }

 private:
  bool blind() const { return phase_ != "check"; }
  std::optional<solve::Testimony> as_first(const solve::Ask& ask, const Answer& answer) const;
  std::vector<Statement> why(const solve::Ask& ask);
  std::vector<Statement> nothing_seen(const SpinSeen& seen);
  std::vector<Statement> not_as_written() const;
  std::string text_of(const solve::Row& row, bool reversed) const;

  const craft::Frame& frame_;
  Inquiry inquiry_;
  std::vector<Driven> driven_;
  std::string phase_;
  solve::Ask asked_;
  std::vector<solve::Sighting> sightings_;  // of the first round
  std::array<int, solve::most_rows> unseen_{};
  bool otherwise_ = false;
};

// Spins and asks as `policy` says until it is enough. All outlive the call.
Task<void> spin_rounds(Recall& recall, SpinChecker& spins, const craft::Frame& frame,
                       const SpinPermit& permit, SpinPolicy& policy);

}  // namespace armwise::session
