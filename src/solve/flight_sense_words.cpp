#include "flight_sense_words.hpp"

#include <algorithm>
#include <cmath>

#include "armwise/base/text.hpp"
#include "words.hpp"

namespace armwise::solve {
namespace {

using craft::Matrix3;
using Kind = AxisSense::Kind;

// Less than this of an answer counts as none, and more than 1 minus this as all of it.
constexpr double faint = 0.05;

// A motion to the negative side, as a disturbance.
std::string_view disturbance(FlightAxis axis) {
  switch (axis) {
    case FlightAxis::roll:
      return "If it rolls left";
    case FlightAxis::pitch:
      return "If the nose drops";
    case FlightAxis::yaw:
      return "If it yaws left";
  }
  return "";
}

std::string_view further(FlightAxis axis) {
  switch (axis) {
    case FlightAxis::roll:
      return "it will roll further left, and flip on take-off";
    case FlightAxis::pitch:
      return "it will drop its nose further, and flip on take-off";
    case FlightAxis::yaw:
      return "it will yaw further left, and spin faster and faster";
  }
  return "";
}

std::string_view motion(FlightAxis axis, bool positive) {
  switch (axis) {
    case FlightAxis::roll:
      return positive ? "roll right" : "roll left";
    case FlightAxis::pitch:
      return positive ? "lift its nose" : "drop its nose";
    case FlightAxis::yaw:
      return positive ? "yaw right" : "yaw left";
  }
  return "";
}

std::string_view remedy(FlightAxis axis) {
  return axis == FlightAxis::roll    ? "rolling back"
         : axis == FlightAxis::pitch ? "lifting the nose"
                                     : "yawing back";
}

std::string axis_words(const AxisSense& sense, double answer) {
  const std::string start = std::string(disturbance(sense.axis)) + ", ";
  const bool yaw = sense.axis == FlightAxis::yaw;
  switch (sense.kind) {
    case Kind::right:
      return start + "it will " + std::string(motion(sense.axis, true)) + ", as it should.";
    case Kind::reversed:
      return start + std::string(further(sense.axis)) + ".";
    case Kind::swapped:
      return start + "it will " + std::string(motion(*sense.answered_by, answer > 0)) + " instead of " +
             std::string(remedy(sense.axis)) + (yaw ? ": it cannot hold its heading." : ", and tumble.");
    case Kind::dead:
      return start + "nothing corrects it: " +
             (yaw ? "it cannot hold its heading." : "it will tip over on take-off.");
  }
  return "";
}

// An axis that is not right by itself on a craft whose axes together are.
std::string held_by_others(const AxisSense& sense) {
  const std::string start = "In " + std::string(name(sense.axis));
  if (sense.kind == Kind::swapped) {
    return start + " it corrects more by " + std::string(name(*sense.answered_by)) +
           "; only both together hold it.";
  }
  return start + (sense.kind == Kind::dead ? " alone nothing corrects" : " alone it corrects the wrong way") +
         "; only the other axes hold it.";
}

void tell_axes(const FlightSense& sense, std::vector<std::string>& out) {
  for (const FlightAxis axis : all_flight_axes) {
    const auto column = static_cast<std::size_t>(axis);
    const AxisSense& one = sense.axes[column];
    if (one.kind != Kind::right) {
      const bool holds = sense.verdict != FlightSense::Verdict::will_not_hold;
      out.push_back(holds ? held_by_others(one) : one.words);
      continue;
    }
    if (std::abs(one.strength - 1) > faint) {
      out.push_back("In " + std::string(name(axis)) + " it corrects with only " +
                    number_text(100 * one.strength, 0) + " % of what it should.");
    }
    for (const FlightAxis into : all_flight_axes) {
      const double leak = sense.answer_from_disturbance(static_cast<std::size_t>(into), column);
      if (into == axis || std::abs(leak) < faint) continue;
      out.push_back("Correcting " + std::string(name(axis)) + " also moves it in " + std::string(name(into)) +
                    " (" + number_text(100 * std::abs(leak), 0) + " %).");
    }
  }
}

void tell_balance(const FlightSense& sense, const SenseTolerance& t, std::vector<std::string>& out) {
  if (std::abs(sense.unbalanced_turns) >= 1e-9) {
    // The craft turns against its motors.
    out.push_back(std::string("The motor directions don't cancel out: in a hover it keeps yawing ") +
                  (sense.unbalanced_turns > 0 ? "right" : "left") + ", using up " +
                  number_text(100 * std::abs(sense.unbalanced_turns), 0) +
                  " % of what all motors together can do.");
  }
  if (sense.verdict != FlightSense::Verdict::will_not_hold && sense.least_thrust < t.least_thrust)
    out.emplace_back(
        "To fly straight it would have to all but stop a motor: it has nothing left to steer with.");
}

std::string direction_words(craft::Degrees heading) {
  const double size = std::abs(heading.value);
  const std::string side = heading.value > 0 ? "right" : "left";
  if (size > 157.5) return "backward";
  if (size > 67.5 && size < 112.5) return "to the " + side;
  return degrees_text(size, 0) + " to the " + side + " of forward";
}

void tell_mount(const FlightSense& sense, const SenseTolerance& t, std::vector<std::string>& out) {
  if (sense.leaning.value > 135) {
    out.emplace_back(
        "The controller thinks down is up: the board is mounted upside down, but its settings don't say so. "
        "It will flip as soon as it levels itself.");
  } else if (sense.leaning.value >= 90 - 1e-4) {
    out.emplace_back(
        "The controller is wrong about which way is up: the board is not mounted as its settings say. It "
        "will flip as soon as it levels itself.");
  } else if (sense.leaning.value >= 1) {
    out.push_back("It will hover leaning by " + degrees_text(sense.leaning.value, 0) +
                  ": hands off the sticks, it drifts " + number_text(drift(sense.leaning), 1) +
                  " m in two seconds.");
  }
  if (sense.mount_off <= t.mount) return;
  out.push_back("The board's mount is off by " + degrees_text(sense.mount_off.value, 0) +
                " from what the controller has set.");
}

// A usual loop is laid out for 45 to 60 degrees; common practice, no source.
void tell_phase(const FlightSense& sense, std::vector<std::string>& out) {
  if (sense.verdict == FlightSense::Verdict::will_not_hold || sense.phase_lost.value < 1) return;
  const std::string lost = degrees_text(sense.phase_lost.value, 0);
  out.push_back(sense.verdict == FlightSense::Verdict::unsteady
                    ? "Its corrections are " + lost + " askew; a usual tune can spare 45 to 60."
                    : "Its corrections are " + lost + " askew: it will wobble sooner than it should.");
}

// Judged by the arm on which a motor sits and by the scheme that the craft is to fly, as the pictures do:
// which number drives it says nothing about its direction.
void tell_turns(const ConfiguredCraft& c, std::vector<std::string>& out) {
  const craft::PropScheme scheme = c.wanted_scheme.value_or(c.believed_scheme);
  std::vector<std::string> reversed;
  for (craft::PlaceIndex place = 0; place < c.frame->places.size(); ++place) {
    const auto there = std::ranges::find(c.motors, place, &Wired::place);
    if (there->turn != c.frame->wanted(place, scheme)) reversed.push_back(words::place(*c.frame, place));
  }
  if (!reversed.empty()) {
    const bool one = reversed.size() == 1;
    out.push_back((one ? "The motor on " : "The motors on ") + words::listed(reversed) +
                  (one ? " turns" : " turn") + " the wrong way.");
  }
}

void tell_scheme(const ConfiguredCraft& c, std::vector<std::string>& out) {
  if (c.wanted_scheme.value_or(c.believed_scheme) == c.believed_scheme) return;
  out.push_back("The controller is set to " + std::string(in_words(c.believed_scheme)) +
                ", and the craft is to fly " + std::string(in_words(*c.wanted_scheme)) + ".");
}

void tell_places(const ConfiguredCraft& c, std::vector<std::string>& out) {
  const craft::Frame& believed = c.believed_frame ? *c.believed_frame : *c.frame;
  if (&believed != c.frame) {
    out.push_back("The controller is set for the frame " + believed.name + ", and this is " + c.frame->name +
                  ".");
    return;
  }
  std::vector<std::string> elsewhere;
  for (std::size_t i = 0; i < c.motors.size(); ++i) {
    const craft::PlaceIndex place = c.numbering.place_of_motor[i];
    if (c.motors[i].place == place) continue;
    elsewhere.push_back(words::motor(craft::Motor{static_cast<int>(i) + 1}) + " is on " +
                        words::place(*c.frame, c.motors[i].place) + ", not on " +
                        words::place(*c.frame, place));
  }
  if (!elsewhere.empty()) out.push_back(words::capitalised(words::listed(elsewhere)) + ".");
  tell_turns(c, out);
}

}  // namespace

std::string_view name(FlightAxis axis) {
  return axis == FlightAxis::roll ? "roll" : axis == FlightAxis::pitch ? "pitch" : "yaw";
}

std::string_view name(AxisSense::Kind kind) {
  switch (kind) {
    case Kind::right:
      return "right";
    case Kind::reversed:
      return "reversed";
    case Kind::swapped:
      return "swapped";
    case Kind::dead:
      return "dead";
  }
  return "";
}

std::string_view name(FlightSense::Verdict verdict) {
  switch (verdict) {
    case FlightSense::Verdict::as_designed:
      return "as-designed";
    case FlightSense::Verdict::holds_but_not_as_designed:
      return "holds-but-not-as-designed";
    case FlightSense::Verdict::unsteady:
      return "unsteady";
    case FlightSense::Verdict::will_not_hold:
      return "will-not-hold";
  }
  return "";
}

AxisSense axis_sense(FlightAxis axis, const Matrix3& answer_from_disturbance) {
  const auto column = static_cast<std::size_t>(axis);
  const auto answer = [&](FlightAxis row) {
    return answer_from_disturbance(static_cast<std::size_t>(row), column);
  };
  FlightAxis strongest = axis;
  for (const FlightAxis row : all_flight_axes) {
    // Where two answer alike, as on a board turned by 45, the axis itself counts.
    if (std::abs(answer(row)) > std::abs(answer(strongest)) + 1e-9) strongest = row;
  }
  AxisSense sense{axis, Kind::right, answer(axis), std::nullopt, {}};
  if (std::abs(answer(strongest)) < faint) {
    sense.kind = Kind::dead;
  } else if (strongest != axis) {
    sense.kind = Kind::swapped;
    sense.answered_by = strongest;
  } else if (answer(axis) < 0) {
    sense.kind = Kind::reversed;
  }
  sense.words = axis_words(sense, answer(strongest));
  return sense;
}

std::vector<std::string> deviations_in_words(const FlightSense& sense, const ConfiguredCraft& configured,
                                             const SenseTolerance& tolerance) {
  std::vector<std::string> out;
  const bool as_designed = sense.verdict == FlightSense::Verdict::as_designed;
  if (!as_designed) tell_axes(sense, out);
  const bool each_right =
      std::ranges::all_of(sense.axes, [](const AxisSense& a) { return a.kind == Kind::right; });
  if (each_right && sense.eigenvalues[2].real() <= tolerance.matrix) {
    out.emplace_back(
        "Each axis alone corrects the right way, but together they push each other: it will swing up and "
        "flip.");
  }
  tell_balance(sense, tolerance, out);
  tell_mount(sense, tolerance, out);
  if (!as_designed) tell_phase(sense, out);
  if (!as_designed) tell_places(configured, out);
  tell_scheme(configured, out);
  return out;
}

std::string verdict_in_words(const FlightSense& sense, const SenseTolerance& tolerance) {
  std::string words = sense.mount_known ? "" : "As far as the motors go: ";
  switch (sense.verdict) {
    case FlightSense::Verdict::as_designed:
      words += "It will stabilise correctly in roll, pitch and yaw.";
      break;
    case FlightSense::Verdict::holds_but_not_as_designed:
      words += "It should fly, but not as designed.";
      break;
    case FlightSense::Verdict::unsteady:
      words += "It would swing itself up and flip.";
      break;
    case FlightSense::Verdict::will_not_hold:
      words += "It will not stabilise itself.";
      break;
  }
  for (const std::string& deviation : sense.deviations) words += " " + deviation;
  const bool flies = sense.verdict == FlightSense::Verdict::as_designed ||
                     sense.verdict == FlightSense::Verdict::holds_but_not_as_designed;
  if (flies && std::abs(sense.stick_forward.value) > tolerance.mount.value)
    words += " Stick forward flies it " + direction_words(sense.stick_forward) + ".";
  if (!sense.mount_known)
    words += " Nobody checked how the board sits: if its settings are wrong about that, it flips.";
  return words;
}

}  // namespace armwise::solve
