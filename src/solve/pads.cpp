#include "armwise/solve/pads.hpp"

#include <cmath>
#include <limits>

namespace armwise::solve {
namespace {

using craft::InBoard;
using craft::InCraft;
using craft::PlaceIndex;

// Nearer than this is rounding.
constexpr double alike = 1e-9;

double distance(const craft::Place& arm, const craft::Place& pad, const craft::CraftFromBoard& pads) {
  const InCraft off = InCraft{arm.x, arm.y, 0} - pads * InBoard{pad.x, pad.y, 0};
  // On a coaxial arm the upper motor's pad stays the upper's: far less than any step from arm to arm.
  return off.x * off.x + off.y * off.y + (arm.level == pad.level ? 0 : 1e-3);
}

// The cheapest ways to give the first pads the places of a set (a bit for each place).
struct Cheapest {
  double cost = std::numeric_limits<double>::infinity();
  PlaceIndex last = 0;
  bool tie = false;
};

}  // namespace

NearestPads nearest_pads(const craft::Frame& frame, const craft::Numbering& numbering,
                         const craft::CraftFromBoard& pads) {
  const std::size_t count = frame.places.size();
  std::vector<Cheapest> best(std::size_t{1} << count);
  best[0].cost = 0;
  for (std::size_t set = 0; set + 1 < best.size(); ++set) {
    std::size_t pad = 0;
    for (std::size_t rest = set; rest != 0; rest &= rest - 1) ++pad;
    const craft::Place& pad_place = frame.places.at(numbering.place_of_motor.at(pad));
    for (PlaceIndex place = 0; place < count; ++place) {
      if (set >> place & 1U) continue;
      Cheapest& next = best[set | std::size_t{1} << place];
      const double cost = best[set].cost + distance(frame.places[place], pad_place, pads);
      if (cost < next.cost - alike) {
        next = {cost, place, best[set].tie};
      } else if (std::abs(cost - next.cost) <= alike) {
        next.tie = true;
      }
    }
  }
  NearestPads nearest{std::vector<PlaceIndex>(count), best.back().tie};
  std::size_t set = best.size() - 1;
  for (std::size_t pad = count; pad-- > 0;) {
    nearest.place_of_pad[pad] = best[set].last;
    set &= ~(std::size_t{1} << best[set].last);
  }
  return nearest;
}

}  // namespace armwise::solve
