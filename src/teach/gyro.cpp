// What three numbers mean that may be a gyro's.
#include "armwise/teach/gyro.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>

#include "armwise/solve/stillness.hpp"
#include "armwise/teach/units.hpp"

namespace armwise::teach {
namespace {

using craft::Degrees;

// By judgement. A hand that turns a craft also tips it a little; held well over in the two other ways, the
// next way to name the axes fits by 30 degrees worse and more.
constexpr Degrees most_off_in_all{25}, most_off_in_one{35}, sets_apart{20};
// The longest of three quarter turns against the shortest, by judgement.
constexpr double most_unlike = 1.7;
constexpr double quarter_turn = 90;  // degrees
// Seconds between two answers; in a longer gap much of a turn may go unseen.
constexpr double longest_gap = 0.45;
constexpr std::size_t fewest_numbers = 6;
// How much further than by chance.
constexpr double least_signal = 2.5;
// Degrees a second: half of what bench takes for standing still.
constexpr double most_at_rest = solve::StillnessLimits().turning / 2;

double length(const Numbers& v) {
  return std::hypot(v[0], v[1], v[2]);
}

bool often_enough(const Turning& turn) {
  double last = 0;
  std::size_t counted = 0;
  for (const RateSample& sample : turn) {
    if (sample.seconds - last > longest_gap) return false;
    last = std::min(sample.seconds, turn_seconds);
    if (sample.seconds <= turn_seconds) ++counted;
  }
  return counted >= fewest_numbers && turn_seconds - last <= longest_gap;
}

// How far it has turned, in console units times seconds: the sum of the rates over the time that the turn
// took.
Numbers added_up(const Turning& turn, const Numbers& still) {
  Numbers sum{};
  for (std::size_t k = 0; k < sum.size(); ++k) {
    double last_time = 0, last_rate = turn.front().rate.at(k);
    const auto go_to = [&](double time, double rate) {
      if (last_time >= turn_seconds || time <= last_time) return;
      const double end = std::min(time, turn_seconds);
      const double at_end = last_rate + (rate - last_rate) * (end - last_time) / (time - last_time);
      sum.at(k) += ((last_rate + at_end) / 2 - still.at(k)) * (end - last_time);
      last_time = end;
      last_rate = at_end;
    };
    for (const RateSample& sample : turn) go_to(sample.seconds, sample.rate.at(k));
    go_to(turn_seconds, last_rate);
  }
  return sum;
}

// The vertical on our axes, downwards: a turn to the right is about it, right-handed.
Numbers down_in(const Turning& turn, const SenseAxes& axes) {
  Numbers sum{};
  for (const RateSample& sample : turn) {
    const Numbers ours = axes.on_ours(sample.acceleration);
    for (std::size_t k = 0; k < sum.size(); ++k) sum.at(k) += axes.specific_force ? -ours.at(k) : ours.at(k);
  }
  return sum;
}

// Which of our axes each of the three numbers counts, and which way round.
struct Named {
  std::array<std::size_t, 3> axis{};
  std::array<int, 3> sign{};
  Degrees off{180};
};

Degrees off_from(const Named& named, const std::array<Numbers, 3>& turned,
                 const std::array<Numbers, 3>& down) {
  double squares = 0, worst = 0;
  for (std::size_t i = 0; i < turned.size(); ++i) {
    Numbers expected{};
    for (std::size_t k = 0; k < expected.size(); ++k)
      expected.at(k) = named.sign.at(k) * down.at(i).at(named.axis.at(k));
    const double off = craft::angle_between(turned.at(i), expected).value;
    squares += off * off;
    worst = std::max(worst, off);
  }
  const double together = std::sqrt(squares / 3);
  // One turn that goes the other way does not hide behind two that fit.
  return Degrees{worst > most_off_in_one.value ? std::max(together, worst) : together};
}

// Of the 48 ways to name the axes the one that fits; absent where none does, or two do.
std::optional<Named> named_axes(const std::array<Numbers, 3>& turned, const std::array<Numbers, 3>& down) {
  Named best;
  Degrees next{180};
  std::array<std::size_t, 3> order{0, 1, 2};
  do {
    for (unsigned bits = 0; bits < 8; ++bits) {
      Named each{order, {}, {}};
      for (std::size_t k = 0; k < 3; ++k) each.sign.at(k) = (bits >> k & 1U) != 0 ? -1 : 1;
      each.off = off_from(each, turned, down);
      next = std::min(next, std::max(each.off, best.off));
      if (each.off < best.off) best = each;
    }
  } while (std::next_permutation(order.begin(), order.end()));
  if (best.off > most_off_in_all || next - best.off < sets_apart) return std::nullopt;
  return best;
}

std::size_t index_of(const std::string& axis) {
  return static_cast<std::size_t>(axis.back() - 'x');
}

// True where it went no further than chance would take it: each step from one answer to the next is noise,
// for all that can be told.
bool stood_still(const Turning& turn, const Numbers& turned) {
  double squares = 0;
  for (std::size_t i = 1; i < turn.size(); ++i) {
    for (std::size_t k = 0; k < 3; ++k) {
      const double step = turn[i].rate.at(k) - turn[i - 1].rate.at(k);
      squares += step * step / 2;
    }
  }
  const auto steps = static_cast<double>(turn.size() - 1);
  const double by_chance = turn_seconds * std::sqrt(squares / steps) / std::sqrt(steps);
  return length(turned) <= least_signal * by_chance || length(turned) == 0;
}

// Their order is the accelerometer's with {gx} on the number that counts the axis of {x}, and so on; absent
// where no order and sense of the accelerometer's says the same.
std::optional<GyroFound> as_a_profile_says(const Named& named, const SenseAxes& axes) {
  GyroFound found;
  int same = 0;
  for (std::size_t k = 0; k < 3; ++k) {
    const std::string& axis = axes.axes.at(k);
    const auto at = std::find(named.axis.begin(), named.axis.end(), index_of(axis));
    found.stands.at(k) = static_cast<std::size_t>(at - named.axis.begin());
    same += named.sign.at(found.stands.at(k)) * (axis.starts_with('-') ? -1 : 1);
  }
  if (std::abs(same) != 3) return std::nullopt;
  found.mirrored = same < 0;
  return found;
}

}  // namespace

std::variant<GyroFound, NoGyro> gyro_from_turns(const SenseAxes& axes, const Numbers& still,
                                                const std::array<Turning, 3>& turns) {
  std::array<Numbers, 3> turned{}, down{};
  double least = 0, most = 0, together = 0;
  for (std::size_t i = 0; i < turns.size(); ++i) {
    if (!often_enough(turns.at(i))) return NoGyro::too_few;
    turned.at(i) = added_up(turns.at(i), still);
    down.at(i) = down_in(turns.at(i), axes);
    if (length(down.at(i)) <= 0) return NoGyro::no_axes;
    if (stood_still(turns.at(i), turned.at(i))) return NoGyro::did_not_turn;
    const double far = length(turned.at(i));
    least = i == 0 ? far : std::min(least, far);
    most = std::max(most, far);
    together += std::log(far) / 3;
  }
  const auto named = named_axes(turned, down);
  if (!named) return NoGyro::no_axes;
  if (most > most_unlike * least) return NoGyro::not_alike;
  auto found = as_a_profile_says(*named, axes);
  if (!found) return NoGyro::not_to_be_said;
  const RateUnit unit = rate_unit(std::exp(together) / quarter_turn);
  found->per_dps = unit.per_dps;
  found->usual_unit = unit.usual;
  for (const double rate : still) {
    if (std::abs(rate) > found->per_dps * most_at_rest) return NoGyro::not_zero;
  }
  return *found;
}

}  // namespace armwise::teach
