#include "support/dialect_person.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"

namespace armwise::test {
namespace {

using session::Question;

std::string as_typed(const console::Steps& steps, const console::Values& values) {
  std::string text;
  for (const console::Step& step : steps) text += (text.empty() ? "" : " ; ") + step.send.format(values);
  return text;
}
std::string as_typed(const std::optional<console::Command>& command, const console::Values& values = {}) {
  return command ? as_typed(command->steps, values) : "skip";
}
std::string as_typed(const std::optional<console::Query>& query, const console::Values& values = {}) {
  return query ? as_typed(query->steps, values) : "skip";
}

std::string decimal(double value, int decimals) {
  std::array<char, 32> text{};
  std::snprintf(text.data(), text.size(), "%.*f", decimals, value);
  return text.data();
}

bool starts(const std::string& id, const std::string& with) {
  return id.rfind(with, 0) == 0;
}

}  // namespace

std::string DialectPerson::command(const Question& question) const {
  const std::string& id = question.id;
  // Asked about motor 4, they type what this console calls it: "M4".
  console::Values values = question.values;
  if (const auto motor = values.find("motor"); motor != values.end() && !known_.motor_coded(motor->second)) {
    motor->second = known_.motor_code(craft::Motor{std::stoi(motor->second)});
  }
  // Where the whole configuration shows it, and nothing shorter is proposed, they take that.
  const bool reads = id == "read-props" || id == "read-turn" || id == "read-mount";
  const bool knows = (id == "read-props" && known_.props) || (id == "read-turn" && known_.turn) ||
                     (id == "read-mount" && known_.mount);
  if (reads && knows && question.suggestion == as_typed(known_.whole_configuration))
    return question.suggestion;
  if (id == "enter") return known_.open.send;
  if (id == "echo-word") return as_typed(known_.open.barrier, values);
  if (id == "help") return "skip";
  if (id == "identify") return as_typed(known_.identify);
  if (id == "whole-configuration") return as_typed(known_.whole_configuration);
  if (id == "list-map") return as_typed(known_.map->list.steps, {});
  if (starts(id, "assign-pin")) return as_typed(known_.map->put, values);
  if (starts(id, "free-pin")) return as_typed(known_.map->free, values);
  if (id == "read-props") return known_.props ? as_typed(known_.props->read.steps, {}) : "skip";
  if (starts(id, "props-in-") || starts(id, "props-out-")) return as_typed(known_.props->set, values);
  if (id == "read-turn") {
    return known_.turn ? as_typed(known_.turn->read.steps, {{"motor", known_.motor_code(craft::Motor{4})}})
                       : "skip";
  }
  if (starts(id, "set-turn")) return as_typed(known_.turn->set, values);
  if (id == "read-mount") return known_.mount ? as_typed(known_.mount->read.steps, {}) : "skip";
  if (starts(id, "set-yaw") && values.contains("mount")) return as_typed(known_.mount->set, values);
  if (id == "set-yaw") {
    const console::MountAbility& mount = *known_.mount;
    console::Values angles;
    const std::array<const char*, 3> names{"yaw", "pitch", "roll"};
    for (std::size_t i = 0; i < 3; ++i) {
      angles[names[i]] =
          decimal(mount.signs[i] * 10.0 * static_cast<double>(i + 1) * mount.per_degree, mount.decimals);
    }
    return as_typed(mount.set ? mount.set : mount.set_yaw, angles);
  }
  if (id == "set-pitch") return as_typed(known_.mount->set_pitch, values);
  if (id == "set-roll") return as_typed(known_.mount->set_roll, values);
  if (id == "stop-command") return known_.spin ? as_typed(known_.spin->stop_all.steps, {}) : "skip";
  if (starts(id, "spin-command")) return as_typed(known_.spin->spin.steps, values);
  if (id == "sense") return known_.sense ? as_typed(known_.sense->read.steps, {}) : "skip";
  if (id == "keep") return known_.keep ? as_typed(known_.keep->keep.steps, {}) : "skip";
  if (id == "restarts") return as_typed(known_.keep->restart);
  if (id == "leave") return as_typed(known_.leave);
  return {};
}

std::string DialectPerson::answer(const Question& question) {
  const std::string& id = question.id;
  const auto says = [&](const std::string& part) { return question.text.find(part) != std::string::npos; };
  if (!declines.empty() && says(declines)) return "no";
  if (id == "right") {
    const auto reads = [&](const std::string& code) {
      return says("I read \"" + code + "\"") || says("I read " + code + " ");
    };
    if (says("Is that the prop direction"))
      return reads(known_.codes.props_in) || reads(known_.codes.props_out) ? "yes" : "no";
    if (says("Is that which way they turn"))
      return reads(known_.codes.cw) || reads(known_.codes.ccw) ? "yes" : "no";
    if (says("I read: ")) return says("I read: " + true_map_) ? "yes" : "no";
    if (says("Is it \"")) {
      const bool props = says("for props ");
      const auto& codes = known_.codes;
      for (const auto& code :
           props ? std::vector{codes.props_in, codes.props_out} : std::vector{codes.cw, codes.ccw}) {
        if (says("Is it \"" + code + "\"")) return "yes";
      }
      return "no";
    }
    if (says("It says: ")) return says("board practice-board-6") ? "yes" : "no";
    if (says("as a menu does?") || says("none of what was asked for")) return "no";
    if (says("each motor is given a pin, not"))
      return known_.map->rules.kept == solve::MapKept::per_motor ? "yes" : "no";
    if (says("each pin is given a motor, not"))
      return known_.map->rules.kept == solve::MapKept::per_pin ? "yes" : "no";
    if (says("takes effect at once"))
      return known_.map->takes_effect == console::TakesEffect::at_once ? "yes" : "no";
    return "yes";
  }
  if (id == "props-word" || id == "turn-word" || id == "mount-word") {
    std::vector<session::Choice> choices = question.choices;
    const std::string one = " Is it ";
    if (question.kind == Question::Kind::confirm)
      choices = {{"yes", question.text.substr(question.text.find(one) + one.size())}};
    for (const session::Choice& choice : choices) {
      // What a practice craft says unasked is no answer, as anybody sees who reads it.
      if (choice.words.find("on the radio") != std::string::npos ||
          choice.words.find("} the radio") != std::string::npos)
        continue;
      const auto is = [&](const std::string& code) { return choice.words.rfind(code + " (in ", 0) == 0; };
      const bool fits = id == "props-word" ? is(known_.codes.props_in) || is(known_.codes.props_out)
                        : id == "turn-word"
                            ? is(known_.codes.cw) || is(known_.codes.ccw)
                            : std::any_of(known_.mount->codes.begin(), known_.mount->codes.end(),
                                          [&](const auto& code) { return is(code.first); });
      if (fits) return choice.key;
    }
    return question.kind == Question::Kind::confirm ? "no" : "none";
  }
  if (id == "effect-seen")
    return known_.map->takes_effect == console::TakesEffect::at_once ? "other" : "same";
  if (id == "props-now") return says("\"" + known_.codes.props_in + "\"") ? "in" : "out";
  if (id == "turn-now") return says("\"" + known_.codes.cw + "\"") ? "cw" : "ccw";
  if (starts(id, "props-") && known_.props && says("Type the word")) {
    return id == "props-in-command" ? known_.codes.props_in : known_.codes.props_out;
  }
  if (starts(id, "set-turn") && says("Type the word"))
    return id == "set-turn-cw" ? known_.codes.cw : known_.codes.ccw;
  if (id == "sense-mount") return known_.sense->after_mount ? "craft" : "board";
  if (id == "mount-list") {
    return known_.mount->codes.size() > 20 ? "mavlink" : "own";
  }
  if (id == "mount-codes") {
    std::string text;
    for (const auto& [code, angles] : known_.mount->codes) {
      text += code + "=" + decimal(angles.yaw, 0) + "," + decimal(angles.pitch, 0) + "," +
              decimal(angles.roll, 0) + " ";
    }
    return text;
  }
  if (id == "strength-limits") {
    const console::SpinAbility& spin = *known_.spin;
    return decimal(spin.lowest, spin.decimals) + " " + decimal(spin.highest, spin.decimals) + " " +
           decimal(spin.full, spin.decimals);
  }
  if (id == "numbering") {
    return known_.numbering.at(question.frame->name).at(static_cast<std::size_t>(question.motor.number - 1));
  }
  const std::string text = command(question);
  return text == "stop" || text == "back" ? "\"" + text + "\"" : text;
}

Task<session::Answer> DialectPerson::ask(const Question& question) {
  if (hears) hears(question);
  std::string text;
  if (auto& given = first[question.id]; !given.empty()) {
    text = given.front();
    given.erase(given.begin());
  } else {
    text = answer(question);
  }
  // A lesson that never ends is a failure, not a hang.
  if (asked.size() > 200) throw Fault(FaultKind::usage, "asked again and again: " + asked.back());
  asked.push_back(question.id + ": " + question.text + " -> " + text);
  if (stops_at && asked.size() > *stops_at) throw StoppedByPerson();
  if (text == "back") co_return session::Answer(session::Back{});
  if (text == "stop") throw StoppedByPerson();
  if (!text.empty()) co_return session::Answer(text);
  Question as_understood = question;
  if (in_hands) in_hands(as_understood);
  const session::Answer by_hands = co_await hands_.ask(as_understood);
  co_return by_hands;
}

}  // namespace armwise::test
