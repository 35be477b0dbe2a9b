#include "armwise/teach/gyro.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>

#include "armwise/solve/stillness.hpp"
#include "armwise/teach/number_ways.hpp"
#include "armwise/teach/units.hpp"
#include "sites.hpp"

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
  double last = 0;
  const auto go_to = [&](double time, const Numbers& from, const Numbers& to) {
    const double seconds = std::min(time, turn_seconds) - last;
    for (std::size_t k = 0; k < sum.size(); ++k)
      sum.at(k) += ((from.at(k) + to.at(k)) / 2 - still.at(k)) * seconds;
    last += seconds;
  };
  const Numbers* rate = &turn.front().rate;
  for (const RateSample& sample : turn) {
    go_to(sample.seconds, *rate, sample.rate);
    rate = &sample.rate;
  }
  go_to(turn_seconds, *rate, *rate);
  return sum;
}

// The vertical on our axes, downwards: a turn to the right is about it, right-handed.
Numbers down_in(const Turning& turn, const SenseAxes& axes) {
  Numbers sum{};
  for (const RateSample& sample : turn) {
    const Numbers up = axes.force_on_ours(sample.acceleration);
    for (std::size_t k = 0; k < sum.size(); ++k) sum.at(k) -= up.at(k);
  }
  return sum;
}

// How far off the turns are from the vertical.
Degrees off_from(const SenseAxes& axes, const std::array<Numbers, 3>& turned,
                 const std::array<Numbers, 3>& down) {
  double squares = 0, worst = 0;
  for (std::size_t i = 0; i < turned.size(); ++i) {
    const double off = craft::angle_between(axes.force_on_ours(turned.at(i)), down.at(i)).value;
    squares += off * off;
    worst = std::max(worst, off);
  }
  const double together = std::sqrt(squares / 3);
  // One turn that goes the other way does not hide behind two that fit.
  return Degrees{worst > most_off_in_one.value ? std::max(together, worst) : together};
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
std::optional<GyroFound> as_a_profile_says(const SenseAxes& rates, const SenseAxes& acceleration) {
  GyroFound found;
  int same = 0;
  for (std::size_t k = 0; k < 3; ++k) {
    const std::string& axis = acceleration.axes.at(k);
    const auto its = std::find_if(rates.axes.begin(), rates.axes.end(),
                                  [&](const std::string& each) { return each.back() == axis.back(); });
    found.stands.at(k) = static_cast<std::size_t>(its - rates.axes.begin());
    same += (*its == axis) == rates.specific_force ? 1 : -1;
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
  const auto rates = fitting_axes([&](const SenseAxes& each) { return off_from(each, turned, down); },
                                  most_off_in_all, sets_apart);
  if (!rates) return NoGyro::no_axes;
  if (most > most_unlike * least) return NoGyro::not_alike;
  auto found = as_a_profile_says(*rates, axes);
  if (!found) return NoGyro::not_to_be_said;
  const RateUnit unit = rate_unit(std::exp(together) / quarter_turn);
  found->per_dps = unit.per_dps;
  found->usual_unit = unit.usual;
  for (const double rate : still) {
    if (std::abs(rate) > found->per_dps * most_at_rest) return NoGyro::not_zero;
  }
  return *found;
}

namespace {

// In lines; what is longer is a whole configuration, or a console that floods.
constexpr std::size_t longest_reply = 100;

// What a template reads in a line that it was made from, as it was pointed at: each number is a blank.
// `left`: those that have read no line yet.
Pointed pointed_at_by(std::vector<console::Template>& left, const std::string& line) {
  Pointed pointed{line, {}};
  const auto like =
      std::find_if(left.begin(), left.end(), [&](const auto& each) { return each.match(line); });
  if (like == left.end()) return pointed;
  std::vector<std::string> names;
  for (const console::Piece& piece : like->pieces()) {
    if (piece.blank) names.push_back(piece.text);
  }
  left.erase(like);
  const auto ways = number_ways(line);
  const auto way =
      std::find_if(ways.begin(), ways.end(), [&](const auto& each) { return each.size() == names.size(); });
  for (std::size_t i = 0; way != ways.end() && i < names.size(); ++i) {
    if (names[i] != "skip") point_at(pointed, names[i], (*way)[i]);
  }
  return pointed;
}

console::Template renamed(const console::Template& like, const std::map<std::string, std::string>& names) {
  std::string source;
  for (const console::Piece& piece : like.pieces()) {
    const auto name = names.find(piece.text);
    source +=
        !piece.blank ? as_literal(piece.text) : "{" + (name == names.end() ? piece.text : name->second) + "}";
  }
  return console::Template::parse(source);
}

}  // namespace

std::vector<console::Query> with_three_more(const Lines& reply, const console::Query& accelerometer,
                                            std::size_t most) {
  std::vector<console::Query> found;
  if (reply.size() > longest_reply) return found;
  const Lines rows = console::rows_of(accelerometer.columns, reply);
  std::vector<console::Template> left = accelerometer.lines;
  std::vector<Pointed> known;
  std::size_t numbers = 0;
  for (const std::string& line : rows) {
    known.push_back(pointed_at_by(left, line));
    numbers += known.back().at.size();
    // With a line lost on the way, it would be taken for the accelerometer's.
    const bool alike =
        known.back().at.empty() &&
        std::any_of(accelerometer.lines.begin(), accelerometer.lines.end(),
                    [&](const console::Template& like) { return like.match(line).has_value(); });
    if (alike) return found;
  }
  if (numbers != accelerometer_names.size()) return found;
  for (const NumbersReading& reading :
       number_readings(rows, {gyro_names.begin(), gyro_names.end()}, most, known)) {
    console::Query query = accelerometer;
    query.lines = reading.list.lines;
    found.push_back(std::move(query));
  }
  return found;
}

void take_gyro(console::SenseAbility& sense, const console::Query& read, const GyroFound& found) {
  std::map<std::string, std::string> names;
  for (std::size_t k = 0; k < gyro_names.size(); ++k)
    names[gyro_names.at(found.stands.at(k))] = gyro_names.at(k);
  sense.read.lines.clear();
  for (const console::Template& like : read.lines) sense.read.lines.push_back(renamed(like, names));
  sense.per_dps = found.per_dps;
  if (!found.mirrored) return;
  for (std::string& axis : sense.axes) axis = axis.starts_with('-') ? axis.substr(1) : "-" + axis;
  sense.specific_force = !sense.specific_force;
}

}  // namespace armwise::teach
