#include "armwise/ui/keys.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <numeric>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"

namespace armwise::ui {
namespace {

// The ring starts at the top left, which is 45 degrees before straight up.
constexpr double first_key_azimuth = -45;
constexpr double key_step = 45;
constexpr double on_the_middle_line = 0.1;  // arm lengths

double between_0_and_360(double degrees) {
  const double rest = std::fmod(degrees, 360.0);
  return rest < 0 ? rest + 360 : rest;
}

double apart(double a, double b) {
  const double difference = std::abs(between_0_and_360(a) - between_0_and_360(b));
  return std::min(difference, 360 - difference);
}

// Which of the ring's keys each of the azimuths (ascending) gets. With at most eight arms, trying every
// choice of keys and every start is a few hundred sums.
std::vector<std::size_t> keys_for(const std::vector<double>& azimuths) {
  const std::size_t count = azimuths.size();
  // Where two ways are equally near, this tips the scale clockwise, the same way for every person.
  constexpr double tip = 0.01;
  std::vector<std::size_t> best;
  double best_sum = std::numeric_limits<double>::infinity();
  for (unsigned chosen = 0; chosen < 256U; ++chosen) {
    std::vector<std::size_t> slots;
    for (std::size_t slot = 0; slot < 8; ++slot) {
      if ((chosen >> slot) & 1U) slots.push_back(slot);
    }
    if (slots.size() != count) continue;
    for (std::size_t start = 0; start < count; ++start) {
      double sum = 0;
      for (std::size_t i = 0; i < count; ++i) {
        const double key = first_key_azimuth + key_step * static_cast<double>(slots[i]);
        const double off = apart(azimuths[i] + tip, key);
        sum += off * off;
      }
      if (sum < best_sum) {
        best_sum = sum;
        best = slots;
      }
      std::rotate(slots.begin(), slots.begin() + 1, slots.end());
    }
  }
  return best;
}

// The corners of a keypad without NumLock. Its arrows are left out: they are the turn's keys.
std::string digit_of(const Key& key) {
  switch (key.kind) {
    case Key::Kind::home:
      return "7";
    case Key::Kind::page_up:
      return "9";
    case Key::Kind::end:
      return "1";
    case Key::Kind::page_down:
      return "3";
    case Key::Kind::text:
      return key.text;
    default:
      return {};
  }
}

}  // namespace

const Ring& keypad_ring() {
  static const Ring ring{"7", "8", "9", "6", "3", "2", "1", "4"};
  return ring;
}

const Ring& standard_letters() {
  static const Ring ring{"q", "w", "e", "d", "c", "x", "z", "a"};
  return ring;
}

std::string why_not_letters(const Ring& letters) {
  const std::vector<std::string> taken{key::nothing_moved, key::several, key::again, key::back,
                                       key::help,          key::strip,   key::learn, key::flip};
  for (std::size_t i = 0; i < letters.size(); ++i) {
    const std::string letter = lower_case(letters[i]);
    if (letter.empty() || letter == " " || !is_printable(letter) || letter.size() > 4)
      return "one of them is no letter";
    if (std::find(taken.begin(), taken.end(), letter) != taken.end())
      return "\"" + letter + "\" means something else here";
    for (std::size_t before = 0; before < i; ++before) {
      if (lower_case(letters[before]) == letter) return "\"" + letter + "\" stands there twice";
    }
    for (std::size_t place = 0; place < letters.size(); ++place) {
      if (keypad_ring()[place] == letter && place != i)
        return "\"" + letter + "\" lies elsewhere on the keypad";
    }
  }
  return {};
}

ArmKeys::ArmKeys(const craft::Frame& frame, NoseSide nose, const Ring& letters) : nose_(nose) {
  std::vector<double> azimuths;
  for (craft::PlaceIndex i = 0; i < frame.places.size(); ++i) {
    const craft::Place& place = frame.places[i];
    const auto same_arm = [&](const Cap& cap) { return cap.arm == place.arm; };
    const auto found = std::find_if(caps_.begin(), caps_.end(), same_arm);
    if (found != caps_.end()) {
      const bool above = place.level == craft::Level::upper;
      found->places.insert(above ? found->places.begin() : found->places.end(), i);
      continue;
    }
    caps_.push_back({place.arm, {}, {}, {}, {i}});
    azimuths.push_back(between_0_and_360(azimuth_of(place) + (nose == NoseSide::toward ? 180 : 0)));
  }
  if (caps_.size() > 8) throw Fault(FaultKind::internal, "A frame with more than eight arms has no keys");
  std::vector<std::size_t> order(caps_.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::sort(order.begin(), order.end(), [&](auto a, auto b) { return azimuths[a] < azimuths[b]; });
  std::vector<double> ascending;
  ascending.reserve(order.size());
  for (const std::size_t index : order) ascending.push_back(azimuths[index]);
  const std::vector<std::size_t> slots = keys_for(ascending);
  for (std::size_t i = 0; i < order.size(); ++i) {
    caps_[order[i]].digit = keypad_ring()[slots[i]];
    caps_[order[i]].letter = letters[slots[i]];
  }
  if (letters == standard_letters()) give_pairs(frame);
}

void ArmKeys::give_pairs(const craft::Frame& frame) {
  static const std::array<std::array<const char*, 3>, 2> rows{{{"qw", "as", "zx"}, {"op", "kl", "nm"}}};
  const double sign = nose_ == NoseSide::away ? 1 : -1;
  std::array<std::vector<Cap*>, 2> sides;
  for (Cap& cap : caps_) {
    const craft::Place& place = frame.places[cap.places.front()];
    if (cap.places.size() > 1 || std::abs(place.y) < on_the_middle_line) return;
    sides[sign * place.y < 0 ? 0 : 1].push_back(&cap);
  }
  for (std::size_t side = 0; side < sides.size(); ++side) {
    if (sides[side].size() > rows[side].size()) return;
  }
  for (std::size_t side = 0; side < sides.size(); ++side) {
    std::sort(sides[side].begin(), sides[side].end(), [&](const Cap* a, const Cap* b) {
      return sign * frame.places[a->places.front()].x > sign * frame.places[b->places.front()].x;
    });
    for (std::size_t row = 0; row < sides[side].size(); ++row) {
      const std::string letters = rows[side][row];
      sides[side][row]->pair = {letters.substr(0, 1), letters.substr(1, 1)};
    }
  }
}

std::optional<ArmKeys::Whole> ArmKeys::find_whole(const Key& key) const {
  for (const Cap& cap : caps_) {
    if (!cap.has_pair()) continue;
    if (key.is(cap.pair[0])) return Whole{cap.places.front(), craft::Turn::ccw};
    if (key.is(cap.pair[1])) return Whole{cap.places.front(), craft::Turn::cw};
  }
  return std::nullopt;
}

const ArmKeys::Cap* ArmKeys::find(const Key& key) const {
  const std::string pressed = lower_case(digit_of(key));
  if (pressed.empty()) return nullptr;
  const auto found = std::find_if(caps_.begin(), caps_.end(), [&](const Cap& cap) {
    return pressed == cap.digit || (!cap.has_pair() && pressed == lower_case(cap.letter));
  });
  return found == caps_.end() ? nullptr : &*found;
}

const ArmKeys::Cap* ArmKeys::find_arm(const Key& key) const {
  for (const Cap& cap : caps_) {
    if (cap.has_pair() && (key.is(cap.pair[0]) || key.is(cap.pair[1]))) return &cap;
  }
  return find(key);
}

std::optional<craft::Turn> turn_of(const Key& key) {
  if (key.kind == Key::Kind::left) return craft::Turn::ccw;
  if (key.kind == Key::Kind::right) return craft::Turn::cw;
  return std::nullopt;
}

}  // namespace armwise::ui
