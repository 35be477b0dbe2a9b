#include "armwise/console/profile.hpp"

#include <algorithm>
#include <cctype>
#include <charconv>
#include <set>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"
#include "armwise/console/conversation.hpp"
#include "notation.hpp"

namespace armwise::console {
namespace {

std::optional<int> whole_number(std::string_view text) {
  int number = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
  if (error != std::errc{} || end != text.data() + text.size()) return std::nullopt;
  return number;
}

}  // namespace

craft::AngleConvention MountAbility::convention() const {
  craft::AngleConvention convention;
  if (!codes.empty()) return convention;
  convention.signs = signs;
  convention.craft_to_board = craft_to_board;
  if (form != craft::RotationForm::angles) return convention;
  convention.per_degree = per_degree;
  convention.order = craft::angle_order_named(order).value_or(convention.order);
  return convention;
}

bool Command::sets_bits() const {
  return std::any_of(steps.begin(), steps.end(), [](const Step& step) {
    return std::any_of(step.send.pieces().begin(), step.send.pieces().end(),
                       [](const Piece& piece) { return piece.bits.has_value(); });
  });
}

std::vector<std::string> MountAbility::blanks() const {
  return codes.empty() ? craft::number_names(form) : std::vector<std::string>{"mount"};
}

bool Profile::same(std::string_view a, std::string_view b) const {
  return case_sensitive ? a == b : lower_case(a) == lower_case(b);
}

std::string Profile::motor_code(craft::Motor motor) const {
  const auto found = codes.motor.find(motor.number);
  if (found != codes.motor.end()) return found->second;
  if (!codes.motor.empty()) {
    throw Fault(FaultKind::bad_profile, "codes.motor: has no code for motor " + std::to_string(motor.number));
  }
  return std::to_string(motor.number - 1 + codes.first_motor);
}

std::optional<craft::Motor> Profile::motor_coded(std::string_view code) const {
  for (const auto& [number, text] : codes.motor) {
    if (same(text, code)) return craft::Motor{number};
  }
  const auto counted = whole_number(code);
  // Where the map has m1 or A, another command may count: {motor:number}.
  for (const auto& [number, text] : codes.motor) {
    if (counted && !is_digit(text.front()) && number_in_code(text) == *counted) return craft::Motor{number};
  }
  if (!codes.motor.empty()) return std::nullopt;
  if (!counted || *counted < codes.first_motor || *counted >= codes.first_motor + most_motors) {
    return std::nullopt;
  }
  return craft::Motor{*counted - codes.first_motor + 1};
}

std::string Profile::turn_code(craft::Turn way) const {
  return way == craft::Turn::cw ? codes.cw : codes.ccw;
}

std::optional<craft::Turn> Profile::turn_coded(std::string_view code) const {
  if (same(code, codes.cw)) return craft::Turn::cw;
  if (same(code, codes.ccw)) return craft::Turn::ccw;
  return std::nullopt;
}

std::string Profile::props_code(craft::PropScheme scheme) const {
  return scheme == craft::PropScheme::in ? codes.props_in : codes.props_out;
}

std::optional<craft::PropScheme> Profile::props_coded(std::string_view code) const {
  if (same(code, codes.props_in)) return craft::PropScheme::in;
  if (same(code, codes.props_out)) return craft::PropScheme::out;
  return std::nullopt;
}

std::optional<craft::Numbering> Profile::numbering_for(const craft::Frame& frame) const {
  const auto found = numbering.find(frame.name);
  if (found == numbering.end()) return std::nullopt;
  craft::Numbering result;
  for (const std::string& place_name : found->second) {
    const auto place = frame.find(place_name);
    if (!place) return std::nullopt;
    result.place_of_motor.push_back(*place);
  }
  return result;
}

namespace {

// Empty where they are not the stop of one motor, so often.
std::vector<craft::Motor> motors_named(const Profile& profile, const Steps& stop, const Steps& all) {
  std::vector<craft::Motor> named;
  if (stop.empty() || all.size() % stop.size() != 0) return {};
  for (std::size_t first = 0; first < all.size(); first += stop.size()) {
    std::optional<craft::Motor> motor;
    for (std::size_t i = 0; i < stop.size(); ++i) {
      const auto values = stop[i].send.match(all[first + i].send.format({}), profile.case_sensitive);
      if (!values) return {};
      if (values->contains("motor")) motor = profile.motor_coded(values->at("motor"));
    }
    if (!motor) return {};
    named.push_back(*motor);
  }
  return named;
}

std::string without_numbers(const std::string& line) {
  std::string out;
  for (const char c : line) {
    const bool digit = c >= '0' && c <= '9';
    if (!digit) out += c;
    if (digit && !out.ends_with('#')) out += '#';
  }
  return out;
}

}  // namespace

std::vector<craft::Motor> Profile::motors_stopped_one_by_one() const {
  if (!spin) return {};
  const Steps& all = spin->stop_all.steps;
  if (spin->stop) {
    if (std::vector<craft::Motor> named = motors_named(*this, spin->stop->steps, all); !named.empty())
      return named;
  }
  std::set<std::string> lines, shapes;
  for (const Step& step : all) {
    lines.insert(step.send.format({}));
    shapes.insert(without_numbers(step.send.format({})));
  }
  // Numbers alone are a way through a menu.
  const bool words = shapes.size() == 1 && std::ranges::any_of(*shapes.begin(), [](unsigned char c) {
                       return std::isalpha(c) != 0;
                     });
  std::vector<craft::Motor> counted;
  for (std::size_t i = 0; words && lines.size() > 1 && i < lines.size(); ++i)
    counted.push_back(craft::Motor{static_cast<int>(i) + 1});
  return counted;
}

void stop_each_of(Profile& profile, int motors) {
  if (!profile.spin || !profile.spin->stop) return;
  SpinAbility& spin = *profile.spin;
  const std::vector<craft::Motor> named = motors_named(profile, spin.stop->steps, spin.stop_all.steps);
  if (named.empty()) return;
  for (int number = 1; number <= motors; ++number) {
    const craft::Motor motor{number};
    if (std::find(named.begin(), named.end(), motor) != named.end()) continue;
    for (const Step& step : spin.stop->steps)
      spin.stop_all.steps.push_back(
          {Template::literal(step.send.format({{"motor", profile.motor_code(motor)}})), step.prompt});
  }
}

bool Open::abandons_by_a_key() const {
  return abandon && abandon->size() == 1 && abandon_keys.find(abandon->front()) != std::string_view::npos;
}

bool SpinAbility::bounded() const {
  return std::any_of(spin.steps.begin(), spin.steps.end(),
                     [](const Step& step) { return step.send.has("milliseconds"); });
}

double SpinAbility::per_cent(double console_value) const {
  return (console_value - zero) / (full - zero) * 100;
}

}  // namespace armwise::console
