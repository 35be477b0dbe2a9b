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

// A motion to the negative side, as a disturbance: "rolling left".
std::string_view disturbance(FlightAxis axis) {
  switch (axis) {
    case FlightAxis::roll:
      return "Rolling left";
    case FlightAxis::pitch:
      return "Dropping its nose";
    case FlightAxis::yaw:
      return "Turning left";
  }
  return "";
}

std::string_view further(FlightAxis axis) {
  switch (axis) {
    case FlightAxis::roll:
      return "rolling further left: it will flip on take-off";
    case FlightAxis::pitch:
      return "dropping its nose further: it will flip on take-off";
    case FlightAxis::yaw:
      return "turning further left: it will spin about its own axis, faster and faster, on take-off";
  }
  return "";
}

std::string_view motion(FlightAxis axis, bool positive) {
  switch (axis) {
    case FlightAxis::roll:
      return positive ? "rolling right" : "rolling left";
    case FlightAxis::pitch:
      return positive ? "raising its nose" : "dropping its nose";
    case FlightAxis::yaw:
      return positive ? "turning right" : "turning left";
  }
  return "";
}

std::string_view loss(FlightAxis axis) {
  return axis == FlightAxis::yaw ? "it cannot hold its heading" : "it will tip over on take-off";
}

std::string axis_words(const AxisSense& sense, double answer) {
  const std::string start(disturbance(sense.axis));
  switch (sense.kind) {
    case Kind::right:
      return start + " is answered by " + std::string(motion(sense.axis, true)) + ", as it should be.";
    case Kind::reversed:
      return start + " is answered by " + std::string(further(sense.axis)) + ".";
    case Kind::swapped:
      return start + " is answered by " + std::string(motion(*sense.answered_by, answer > 0)) + " instead: " +
             (sense.axis == FlightAxis::yaw ? "it cannot hold its heading." : "it will tumble on take-off.");
    case Kind::dead:
      return start + " is answered by nothing: " + std::string(loss(sense.axis)) + ".";
  }
  return "";
}

// An axis that is not right by itself on a craft that holds all the same.
std::string held_by_others(const AxisSense& sense) {
  const std::string start(disturbance(sense.axis));
  if (sense.kind == Kind::swapped) {
    return start + " is answered more on " + std::string(name(*sense.answered_by)) + " than on " +
           std::string(name(sense.axis)) + "; it holds only by way of both.";
  }
  return start +
         (sense.kind == Kind::dead ? " is answered by nothing on " : " is answered the wrong way on ") +
         std::string(name(sense.axis)) + " itself; it holds only by way of the other axes.";
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
      out.push_back("On " + std::string(name(axis)) + " it answers with " +
                    number_text(100 * one.strength, 0) + " % of the strength that it should.");
    }
    for (const FlightAxis into : all_flight_axes) {
      const double leak = sense.answer_from_disturbance(static_cast<std::size_t>(into), column);
      if (into == axis || std::abs(leak) < faint) continue;
      out.push_back("Answering on " + std::string(name(axis)) + " also moves it on " +
                    std::string(name(into)) + " (" + number_text(100 * std::abs(leak), 0) + " %).");
    }
  }
}

void tell_balance(const FlightSense& sense, std::vector<std::string>& out) {
  if (std::abs(sense.unbalanced_turns) < 1e-9) return;
  // The craft turns against its motors.
  out.push_back(std::string("The turns of its motors do not balance: in hover they turn the nose to the ") +
                (sense.unbalanced_turns > 0 ? "right" : "left") + " all the time, with " +
                number_text(100 * std::abs(sense.unbalanced_turns), 0) +
                " % of the most that all motors together could, and holding the heading has to fight that.");
}

void tell_mount(const FlightSense& sense, bool plain, const SenseTolerance& t,
                std::vector<std::string>& out) {
  if (sense.leaning.value >= 90 - 1e-4) {
    out.emplace_back(
        "Its thrust points the wrong way in the board's eyes: the controller takes down for up, because the "
        "board does not sit as it was told. As soon as it levels itself it will turn over: a flip on "
        "take-off.");
  } else if (sense.leaning > t.mount) {
    out.push_back("When it holds itself level it will lean by " + degrees_text(sense.leaning.value, 0) +
                  " and drift away.");
  }
  if (sense.mount_off <= t.mount) return;
  out.push_back("The mount that the controller is told is off by " + degrees_text(sense.mount_off.value, 0) +
                ".");
  if (plain && sense.leaning <= t.mount) {
    out.emplace_back(
        "Its motors are wired to the turned board, so it holds itself; but the controller's forward is not "
        "the "
        "craft's, which the sticks will show.");
  }
}

void tell_phase(const FlightSense& sense, std::vector<std::string>& out) {
  if (sense.verdict == FlightSense::Verdict::will_not_hold || sense.phase_lost.value < 1) return;
  std::string sentence = "That gives away " + degrees_text(sense.phase_lost.value, 0) + " of phase margin";
  // A usual loop is laid out for 45 to 60 degrees; common practice, no source.
  sentence += sense.phase_lost.value >= 40
                  ? ", which is about all that a usual tune has: expect it to wobble or flip."
                  : ".";
  out.push_back(sentence);
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
                                             bool plain, const SenseTolerance& tolerance) {
  std::vector<std::string> out;
  tell_axes(sense, out);
  const bool each_right =
      std::ranges::all_of(sense.axes, [](const AxisSense& a) { return a.kind == Kind::right; });
  if (each_right && sense.eigenvalues[2].real() <= tolerance.matrix) {
    out.emplace_back(
        "Each axis alone has the right sense, but together they drive one another on: it will swing itself "
        "up and "
        "flip on take-off.");
  }
  tell_balance(sense, out);
  tell_mount(sense, plain, tolerance, out);
  tell_phase(sense, out);
  if (sense.verdict == FlightSense::Verdict::holds_but_not_as_designed && !sense.for_any_gains) {
    out.emplace_back("Whether it holds depends on how the gains of its axes stand to each other.");
  }
  if (sense.verdict != FlightSense::Verdict::as_designed) tell_places(configured, out);
  tell_scheme(configured, out);
  return out;
}

std::string verdict_in_words(const FlightSense& sense) {
  std::string words;
  switch (sense.verdict) {
    case FlightSense::Verdict::as_designed:
      words = "It will hold itself as designed: roll, pitch and yaw are each answered the right way.";
      break;
    case FlightSense::Verdict::holds_but_not_as_designed:
      words = "It should hold itself, but not as designed.";
      break;
    case FlightSense::Verdict::will_not_hold:
      words = "It will not hold itself.";
      break;
  }
  for (const std::string& deviation : sense.deviations) words += " " + deviation;
  return words;
}

}  // namespace armwise::solve
