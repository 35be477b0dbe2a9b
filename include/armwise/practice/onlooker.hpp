// The practice craft of another process, seen over its socket DIR/onlooker.
//
// The protocol, one JSON object a line. From the practice craft, on connecting and whenever what a person
// would see changes:
//
//   {"turning":[{"place":"front-left","turn":"cw"}],"pose":"level","frame":"quad-x","port":"ttyACM0"}
//
// ("port" is null while the controller is away; once mischief has happened, "mischief" is its name). To it,
// each answered in turn with {"ok":true} or
// {"ok":false,"why":"…"}:
//
//   {"pose":"nose-down"}        the craft is held so
//   {"reverse":"front-left"}    two wires of this place's motor are swapped
//   {"plug":"again"}            it is unplugged, its battery too, and plugged in again; mischief is over
//   {"stay":true}               its cable is plugged in again, battery as it was; mischief is over, and it
//                               outlives the process that started it, by half an hour at most
//   {"end":true}                it ends
//   {"truth":true}              answered with {"ok":true,"truth":{…}}: what is soldered where, for tests
#pragma once

#include <filesystem>
#include <memory>
#include <string>
#include <vector>

#include "armwise/practice/sight.hpp"

namespace armwise::practice {

// Lives on the event loop of the coroutine that connected it, and reads in the background.
class Onlooker : public Sight {
 public:
  // Waits until the practice craft is there. Throws Fault(file) where it is not within `within`.
  static Task<std::unique_ptr<Onlooker>> connect(std::filesystem::path socket, Duration within);
  ~Onlooker() override;
  Onlooker(const Onlooker&) = delete;
  Onlooker& operator=(const Onlooker&) = delete;

  // As last told. Nothing turns once the practice craft has gone.
  std::vector<Turning> turning() override;
  Task<std::vector<Turning>> change(Duration within) override;
  Task<void> hold(std::string pose) override;
  Task<void> reverse(std::string place) override;
  Task<void> replug() override;

  std::string frame() const;     // "quad-x"
  std::string port() const;      // "ttyACM0"; empty while it is away
  std::string mischief() const;  // that has happened; empty: none
  bool connected() const;

  // Sends any line of the protocol; the answer. Throws Fault(file) where the practice craft has gone.
  Task<std::string> request(std::string line);

 private:
  struct State;
  explicit Onlooker(std::shared_ptr<State> state);
  std::shared_ptr<State> state_;
};

}  // namespace armwise::practice
