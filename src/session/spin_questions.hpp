// How a motor is asked about, each way with its own question, and what the answer says.
#pragma once

#include <optional>
#include <string>

#include "armwise/session/person.hpp"
#include "armwise/solve/interview.hpp"

namespace armwise::session {

struct SpinRequest {
  solve::Ask ask;
  craft::Motor commanded;  // the number that the console is given
  craft::Motor shown;      // the number that the person is told
  craft::Pin pin;
  std::string phase;     // for the record
  bool blind = false;    // neither number nor pin is told
  int seen = 0, of = 0;  // motors of this round
};

// Before the spin: what to do with one's hands.
std::string before_spin(const craft::Frame& frame, const SpinRequest& request);
// Its id: `spin`, or `prove` where it is blind; else `edge`, `lid`, `nose-half`, `from-above`, `strip`,
// `hand`.
Question question_about(const craft::Frame& frame, const SpinRequest& request);
// The turn as it was seen. Absent: the answer says nothing.
std::optional<solve::Testimony> testimony_in(const craft::Frame& frame, const solve::Ask& ask,
                                             const Answer& answer);

}  // namespace armwise::session
