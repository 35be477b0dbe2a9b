#include "armwise/teach/axes.hpp"

#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "armwise/solve/pose.hpp"
#include "armwise/teach/reply_table.hpp"
#include "armwise/teach/units.hpp"

namespace armwise::teach {
namespace {

using craft::Degrees;

using solve::Pose;

// By judgement: a hand misses a pose by five degrees or so, and at a tilt of 40 degrees the next way to name
// the axes fits by 25 worse.
constexpr Degrees most_off{20}, least_apart{8};
// The weight is the same however it is held: a sensor is off by 80 mg at most, a doubled digit by ten times.
constexpr double most_uneven = 1.3;

constexpr std::array<Pose, 3> holds{Pose::level, Pose::nose_down, Pose::right_down};

Degrees off_from(const SenseAxes& candidate, const std::array<Numbers, 3>& readings,
                 const craft::ToldFromBoard& set_mount) {
  double squares = 0;
  for (std::size_t i = 0; i < readings.size(); ++i) {
    const double up = candidate.specific_force ? 1 : -1;
    const auto [x, y, z] = candidate.on_ours(readings.at(i));
    const craft::InBoard board = set_mount.inverse() * craft::InTold{up * x, up * y, up * z};
    const double off = misfit(holds.at(i), craft::InCraft{board.x, board.y, board.z}).value;
    squares += off * off;
  }
  return Degrees{std::sqrt(squares / 3)};
}

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

std::optional<SenseAxes> axes_from_holds(const std::array<Numbers, 3>& readings,
                                         const craft::ToldFromBoard& set_mount) {
  SenseAxes best;
  best.off = Degrees{180};
  Degrees next{180};
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
      // The right-handed ones in both senses; a left-handed one reads as the other sense of its mirror image.
      if (handed < 0) continue;
      for (const bool force : {true, false}) {
        each.specific_force = force;
        each.off = off_from(each, readings, set_mount);
        next = std::min(next, std::max(each.off, best.off));
        if (each.off < best.off) best = each;
      }
    }
  } while (std::next_permutation(order.begin(), order.end()));
  if (best.off > most_off || next - best.off < least_apart) return std::nullopt;
  double length = 0, least = 0, most = 0;
  for (const Numbers& reading : readings) {
    const double its = std::hypot(reading[0], reading[1], reading[2]);
    least = length == 0 ? its : std::min(least, its);
    most = std::max(most, its);
    length += its / 3;
  }
  if (least <= 0 || most > most_uneven * least) return std::nullopt;
  best.per_g = units_per_g(length);
  return best;
}

}  // namespace armwise::teach
