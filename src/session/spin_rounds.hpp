// Rounds of spins, for the spin check and for the proof alike. What is decided (which motor next, what an
// answer means, when it is enough) is one small interface; how it is asked, spun and taken back is not its
// business.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "armwise/base/permit.hpp"
#include "armwise/base/task_fwd.hpp"
#include "armwise/craft/frame.hpp"
#include "armwise/session/person.hpp"
#include "armwise/solve/identify.hpp"
#include "recall.hpp"
#include "spin_checker.hpp"

namespace armwise::session {

// Knows nothing but what it is told: given the same answers, it decides the same. Going back makes a new one,
// which hears the answers that are left.
class SpinPolicy {
 public:
  virtual ~SpinPolicy() = default;
  // The motor to be spun next; absent: it is enough. Throws Fault(mismatch) where more spins are no use.
  virtual std::optional<SpinRequest> next() const = 0;
  // The answer to next(). Returns what the person is to be told of it.
  virtual std::vector<Statement> take(const SpinSeen& seen) = 0;
};

// Spins as `policy` says until it is enough. All outlive the call.
Task<void> spin_rounds(Recall& recall, SpinChecker& spins, const craft::Frame& frame,
                       const SpinPermit& permit, SpinPolicy& policy);

// The spin check: each motor once, and again those whose answers contradict each other.
class CheckRounds : public SpinPolicy {
 public:
  // `map`: by which the controller drives its motors. `frame` outlives it.
  CheckRounds(const craft::Frame& frame, craft::MotorMap map);
  std::optional<SpinRequest> next() const override;
  std::vector<Statement> take(const SpinSeen& seen) override;
  const solve::Wiring& wiring() const { return wiring_; }  // once it is enough

 private:
  const craft::Frame& frame_;
  craft::MotorMap map_;
  std::vector<craft::Motor> to_spin_;
  std::size_t at_ = 0;
  int round_ = 0;
  std::map<craft::Motor, SpinSeen> seen_;
  solve::Wiring wiring_;
};

// What a motor is to do in the proof.
struct Expected {
  craft::Motor motor;      // after the plan
  craft::Motor commanded;  // what drives its pin at the moment
  craft::Pin pin;
  solve::Wired wired;
  bool turn_known = true;  // false: the turn setting takes effect only with the restart
};

// The proof: the person is not told what is expected. One slip is asked once more; answers that fit together
// otherwise are a wiring of their own, and others are asked again.
class ProofRounds : public SpinPolicy {
 public:
  // `map`: after the plan. `phase`: for the record. `frame` outlives it.
  ProofRounds(const craft::Frame& frame, craft::MotorMap map, std::vector<Expected> all, std::string phase);
  std::optional<SpinRequest> next() const override;
  std::vector<Statement> take(const SpinSeen& seen) override;

  // Once it is enough: what the answers say otherwise; absent: each motor does what it should.
  const std::optional<solve::Wiring>& otherwise() const { return otherwise_; }
  std::size_t motors() const { return all_.size(); }

 private:
  bool proven(const Expected& expected) const;
  std::vector<Statement> end_round();

  const craft::Frame& frame_;
  craft::MotorMap map_;
  std::vector<Expected> all_, pending_;
  std::string phase_;
  std::size_t at_ = 0;
  int round_ = 0;
  std::map<craft::Pin, SpinSeen> seen_;
  std::map<craft::Pin, int> tries_;
  std::optional<solve::Wiring> otherwise_;
};

}  // namespace armwise::session
