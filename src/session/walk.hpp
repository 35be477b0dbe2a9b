// Stations in the order in which the person lives them, and how one moves between them.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "armwise/base/task_fwd.hpp"

namespace armwise::session {

enum class Entered { forwards, backwards };

struct Move {
  enum class Kind { on, back, go_to, finish };
  Kind kind = Kind::on;
  std::string station;  // go_to

  static Move on() { return {}; }
  static Move back() { return {Kind::back, {}}; }
  static Move to(std::string station) { return {Kind::go_to, std::move(station)}; }
  static Move finish() { return {Kind::finish, {}}; }
};

// A station that has nothing to ask lets the person pass in the direction in which they came.
inline Move pass(Entered entered) {
  return entered == Entered::forwards ? Move::on() : Move::back();
}

struct Station {
  std::string name;
  std::function<Task<Move>(Entered)> visit;
  // Nothing before this station can be undone by going back any more.
  bool no_way_back = false;
};

// Walks until a station says finish or the last one says on. `at_wall` is told when the person wants to
// go back and cannot.
Task<void> walk(const std::vector<Station>& stations, const std::function<void()>& at_wall);

}  // namespace armwise::session
