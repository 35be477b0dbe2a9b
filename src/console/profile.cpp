#include "armwise/console/profile.hpp"

#include <algorithm>
#include <cctype>
#include <charconv>
#include <set>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"

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
  convention.per_degree = per_degree;
  convention.signs = signs;
  convention.craft_to_board = craft_to_board;
  convention.order = craft::angle_order_named(order).value_or(convention.order);
  return convention;
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
  if (!codes.motor.empty()) return std::nullopt;
  const auto counted = whole_number(code);
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

// Lines that differ in nothing but numbers name one motor each.
std::optional<int> Profile::motors_stopped_one_by_one() const {
  if (!spin) return std::nullopt;
  const auto shape = [](const std::string& line) {
    std::string out;
    for (const char c : line) {
      const bool digit = c >= '0' && c <= '9';
      if (!digit) out += c;
      if (digit && !out.ends_with('#')) out += '#';
    }
    return out;
  };
  std::set<std::string> lines, shapes;
  for (const Step& step : spin->stop_all.steps) {
    lines.insert(step.send.format({}));
    shapes.insert(shape(step.send.format({})));
  }
  if (lines.size() == 1) {
    if (!spin->stop || spin->stop->steps.size() != 1) return std::nullopt;
    const auto read = spin->stop->steps.front().send.match(*lines.begin(), case_sensitive);
    return read && motor_coded(read->at("motor")) ? std::optional<int>(1) : std::nullopt;
  }
  // Numbers alone are a way through a menu.
  const bool words = shapes.size() == 1 && std::ranges::any_of(*shapes.begin(), [](unsigned char c) {
                       return std::isalpha(c) != 0;
                     });
  return words ? std::optional(static_cast<int>(lines.size())) : std::nullopt;
}

bool SpinAbility::bounded() const {
  return std::any_of(spin.steps.begin(), spin.steps.end(),
                     [](const Step& step) { return step.send.has("milliseconds"); });
}

double SpinAbility::per_cent(double console_value) const {
  return (console_value - zero) / (full - zero) * 100;
}

}  // namespace armwise::console
