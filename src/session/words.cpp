#include "words.hpp"

#include <algorithm>
#include <sstream>
#include <utility>

namespace armwise::session::words {
namespace {

std::string angles(const craft::YawPitchRoll& mount) {
  std::ostringstream out;
  // Adding zero makes a negative zero a plain one.
  out << "yaw " << mount.yaw + 0.0 << ", pitch " << mount.pitch + 0.0 << ", roll " << mount.roll + 0.0
      << " degrees";
  return out.str();
}

struct InWords {
  std::string operator()(const solve::SetMap& map) const {
    const std::string motor = "motor " + std::to_string(map.write.motor.number);
    if (map.write.kind == solve::MapWrite::Kind::free)
      return motor + " leaves " + pin_in_words(map.write.pin) + " for the moment";
    return motor + ": " + pin_in_words(map.write.pin) + " instead of " + pin_in_words(map.before);
  }
  std::string operator()(const solve::SetProps& props) const {
    return "prop direction: " + std::string(in_words(props.to)) + " instead of " +
           std::string(in_words(props.from));
  }
  std::string operator()(const solve::SetTurn& turn) const {
    return "motor " + std::to_string(turn.motor.number) + " on " + pin_in_words(turn.pin) +
           ": turning direction reversed";
  }
  std::string operator()(const solve::SetMount& mount) const {
    return "board mount: " + angles(mount.to) + " instead of " + angles(mount.from);
  }
};

}  // namespace

std::string pin_in_words(const craft::Pin& pin) {
  return pin.name.empty() ? "no pin" : "pin " + pin.name;
}

std::string motor_on(craft::Motor motor, const craft::Pin& pin) {
  return "motor " + std::to_string(motor.number) + " (" + pin_in_words(pin) + ")";
}

std::string change(const solve::Change& change) {
  return std::visit(InWords{}, change.what);
}

std::string in_mid_sentence(std::string sentence) {
  if (!sentence.empty() && sentence.front() >= 'A' && sentence.front() <= 'Z')
    sentence.front() = static_cast<char>(sentence.front() - 'A' + 'a');
  return sentence;
}

std::string or_skip(std::string question) {
  if (!question.ends_with(')')) return question + " (or skip)";
  question.pop_back();
  return question + "; or skip)";
}

Choice none_of_these() {
  return {"none", "it does not stand there", "n"};
}

std::string count(std::size_t number, const std::string& one, const std::string& many) {
  return std::to_string(number) + " " + (number == 1 ? one : many);
}

namespace {

bool turns_otherwise(const CraftView& view) {
  return std::any_of(view.at.begin(), view.at.end(), [](const auto& arm) {
    return arm.second.turn && arm.second.wanted && *arm.second.turn != *arm.second.wanted;
  });
}

}  // namespace

void add_verdict(CraftView& view, const solve::FlightSense& sense) {
  using Verdict = solve::FlightSense::Verdict;
  view.flies = sense.verdict == Verdict::as_designed;
  switch (sense.verdict) {
    case Verdict::as_designed:
      view.verdict = "stable in roll, pitch and yaw";
      break;
    case Verdict::holds_but_not_as_designed:
      // The weighing takes each prop for one that lifts. Turned backward it pushes down (common practice, no
      // source).
      view.verdict =
          turns_otherwise(view) ? "flips if a prop is on for the other way" : "may fly, badly: expect wobble";
      break;
    case Verdict::unsteady:
      view.verdict = "would swing up and flip";
      break;
    case Verdict::will_not_hold:
      view.verdict = "would flip on take-off";
      break;
  }
  if (!sense.mount_known) view.verdict += ", if the board is mounted as set";
}

void say_why(Person& person, StatementId id, Facts facts) {
  person.tell(statement_of(id, std::move(facts), Statement::Kind::why));
}

CraftView view_of(const craft::Frame& frame, const craft::MotorMap& map, const solve::Wiring& wiring,
                  craft::PropScheme scheme, std::string title) {
  CraftView view;
  view.frame = &frame;
  view.title = std::move(title);
  for (const auto& [pin, wired] : wiring.at) {
    view.at[wired.place] = {map.motor_on(pin), pin, wired.turn, frame.wanted(wired.place, scheme)};
  }
  return view;
}

}  // namespace armwise::session::words

namespace armwise::session {

std::string text(const craft::Frame& frame, const SpinSeen& seen) {
  switch (seen.what) {
    case SpinSeen::What::one:
      return text(frame, craft::PlacedTurn{seen.place, seen.turn});
    case SpinSeen::What::none:
      return "none";
    case SpinSeen::What::several:
      return "several";
    case SpinSeen::What::again:
      return "again";
  }
  return "none";
}

std::string text(const Question& question, const Answer& answer) {
  if (std::holds_alternative<Back>(answer)) return "back";
  if (const auto* typed = std::get_if<std::string>(&answer)) return *typed;
  return text(*question.frame, std::get<SpinSeen>(answer));
}

}  // namespace armwise::session
