#include "armwise/teach/axes.hpp"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <functional>

#include "armwise/solve/pose.hpp"
#include "armwise/teach/reply_table.hpp"
#include "armwise/teach/units.hpp"

namespace armwise::teach {
namespace {

using craft::Degrees;

using solve::Pose;

// By judgement: a hand misses a pose by five degrees or so, and at a tilt of 40 degrees the next way to name
// the axes fits by 25 worse.
constexpr Degrees off_at_most{20}, apart_at_least{8};
// The weight is the same however it is held: a sensor is off by 80 mg at most, a doubled digit by ten times.
constexpr double most_uneven = 1.3;

constexpr std::array<Pose, 3> holds{Pose::level, Pose::nose_down, Pose::right_down};

bool is_even(const std::array<int, 3>& order) {
  return (order[0] == 0 && order[1] == 1) || (order[0] == 1 && order[1] == 2) ||
         (order[0] == 2 && order[1] == 0);
}

}  // namespace

std::optional<Numbers> numbers_read(const console::Query& query, const std::vector<std::string>& reply,
                                    const NumberNames& names) {
  const console::Values values = values_read(query, reply);
  Numbers numbers{};
  std::size_t k = 0;
  for (const char* name : names) {
    const auto found = values.find(name);
    if (found == values.end()) return std::nullopt;
    numbers.at(k++) = std::strtod(found->second.c_str(), nullptr);
  }
  return numbers;
}

Numbers SenseAxes::on_ours(const Numbers& numbers) const {
  Numbers ours{};
  for (std::size_t k = 0; k < numbers.size(); ++k) {
    const std::string& axis = axes.at(k);
    ours.at(static_cast<std::size_t>(axis.back() - 'x')) = numbers.at(k) * (axis.size() > 1 ? -1 : 1);
  }
  return ours;
}

Numbers SenseAxes::force_on_ours(const Numbers& numbers) const {
  Numbers force = on_ours(numbers);
  if (!specific_force) std::transform(force.begin(), force.end(), force.begin(), std::negate<>());
  return force;
}

std::optional<SenseAxes> fitting_axes(const std::function<Degrees(const SenseAxes&)>& off_on,
                                      Degrees most_off, Degrees least_apart) {
  SenseAxes best;
  Degrees least{180}, next{180};
  std::array<int, 3> order{0, 1, 2};
  do {
    for (unsigned bits = 0; bits < 8; ++bits) {
      SenseAxes each;
      int handed = is_even(order) ? 1 : -1;
      for (std::size_t k = 0; k < 3; ++k) {
        const bool mirrored = (bits >> k & 1U) != 0;
        if (mirrored) handed = -handed;
        each.axes.at(k) = std::string(mirrored ? "-" : "") + static_cast<char>('x' + order.at(k));
      }
      if (handed < 0) continue;
      for (const bool force : {true, false}) {
        each.specific_force = force;
        const Degrees off = off_on(each);
        next = std::min(next, std::max(off, least));
        if (off < least) best = each;
        least = std::min(least, off);
      }
    }
  } while (std::next_permutation(order.begin(), order.end()));
  if (least > most_off || next - least < least_apart) return std::nullopt;
  return best;
}

std::optional<SenseAxes> axes_from_holds(const std::array<Numbers, 3>& readings,
                                         const craft::ToldFromBoard& set_mount) {
  const auto off_on = [&](const SenseAxes& axes) {
    double squares = 0;
    for (std::size_t i = 0; i < readings.size(); ++i) {
      const auto [x, y, z] = axes.force_on_ours(readings.at(i));
      const craft::InBoard board = set_mount.inverse() * craft::InTold{x, y, z};
      const double off = misfit(holds.at(i), craft::InCraft{board.x, board.y, board.z}).value;
      squares += off * off;
    }
    return Degrees{std::sqrt(squares / 3)};
  };
  auto axes = fitting_axes(off_on, off_at_most, apart_at_least);
  if (!axes) return std::nullopt;
  double length = 0, least = 0, most = 0;
  for (const Numbers& reading : readings) {
    const double its = std::hypot(reading[0], reading[1], reading[2]);
    least = length == 0 ? its : std::min(least, its);
    most = std::max(most, its);
    length += its / 3;
  }
  if (least <= 0 || most > most_uneven * least) return std::nullopt;
  axes->per_g = units_per_g(length);
  return axes;
}

}  // namespace armwise::teach
