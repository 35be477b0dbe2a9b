#include "walk.hpp"

#include <algorithm>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"

namespace armwise::session {
namespace {

std::size_t index_of(const std::vector<Station>& stations, const std::string& name) {
  const auto found = std::find_if(stations.begin(), stations.end(),
                                  [&](const Station& station) { return station.name == name; });
  if (found == stations.end()) throw Fault(FaultKind::internal, "There is no station " + name);
  return static_cast<std::size_t>(found - stations.begin());
}

}  // namespace

Task<void> walk(const std::vector<Station>& stations, const std::function<void()>& at_wall) {
  std::size_t at = 0;
  Entered entered = Entered::forwards;
  while (at < stations.size()) {
    const Station& station = stations[at];
    const Move move = co_await station.visit(entered);
    switch (move.kind) {
      case Move::Kind::finish:
        co_return;
      case Move::Kind::on:
        ++at;
        entered = Entered::forwards;
        break;
      case Move::Kind::go_to:
        at = index_of(stations, move.station);
        entered = Entered::forwards;
        break;
      case Move::Kind::back:
        if (at == 0 || station.no_way_back) {
          at_wall();
          entered = Entered::forwards;
        } else {
          --at;
          entered = Entered::backwards;
        }
        break;
    }
  }
}

}  // namespace armwise::session
