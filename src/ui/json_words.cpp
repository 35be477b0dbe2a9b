#include "json_words.hpp"

#include <cmath>
#include <utility>

#include "armwise/base/text.hpp"
#include "armwise/ui/strip.hpp"

namespace armwise::ui {
namespace {

// Made safe, but for the line breaks that our own texts have.
std::string printable_lines(std::string_view text) {
  std::string out;
  while (true) {
    const std::size_t end = text.find('\n');
    out += printable(text.substr(0, end));
    if (end == std::string_view::npos) return out;
    out += '\n';
    text.remove_prefix(end + 1);
  }
}

using Ordered = nlohmann::ordered_json;
using session::Question;
using session::Statement;
using Kind = Question::Kind;

std::string_view name_of(Kind kind) {
  switch (kind) {
    case Kind::confirm:
      return "confirm";
    case Kind::choose:
      return "choose";
    case Kind::typed_word:
      return "typed-word";
    case Kind::text:
      return "text";
    case Kind::go:
      return "go";
    case Kind::spin:
      return "spin";
    case Kind::pose:
      return "pose";
  }
  return "text";
}

std::string_view name_of(session::Level level) {
  switch (level) {
    case session::Level::info:
      return "info";
    case session::Level::warn:
      return "warn";
    case session::Level::problem:
      return "problem";
    case session::Level::danger:
    case session::Level::alarm:
      return "danger";
  }
  return "info";
}

Ordered choices_of(const Question& question) {
  Ordered choices = Ordered::object();
  switch (question.kind) {
    case Kind::confirm:
      choices["answer"] = {"yes", "no"};
      break;
    case Kind::choose:
      for (const session::Choice& choice : question.choices)
        choices["answer"][printable(choice.key)] = printable(choice.words);
      break;
    case Kind::typed_word:
      choices["answer"] = Ordered::array({question.word});
      break;
    case Kind::pose:
      choices["answer"] = Ordered::array({"ready"});
      break;
    case Kind::go:
      choices["answer"] = Ordered::array({"spin"});
      break;
    case Kind::text:
      break;
    case Kind::spin:
      choices["arm"] = place_names(*question.frame);
      choices["turn"] = {"cw", "ccw"};
      choices["seen"] = {"none", "several", "again", "stop"};
      break;
  }
  return choices;
}

Ordered angles(const craft::YawPitchRoll& mount) {
  return {{"yaw", mount.yaw}, {"pitch", mount.pitch}, {"roll", mount.roll}};
}

struct ChangeObject {
  Ordered operator()(const solve::SetMap& map) const {
    const bool put = map.write.kind == solve::MapWrite::Kind::put;
    return {{"what", put ? "map" : "free"},
            {"motor", map.write.motor.number},
            {"from", printable(map.before.name)},
            {"to", put ? printable(map.write.pin.name) : std::string()}};
  }
  Ordered operator()(const solve::SetProps& props) const {
    return {{"what", "props"}, {"from", name(props.from)}, {"to", name(props.to)}};
  }
  Ordered operator()(const solve::SetTurn& turn) const {
    return {{"what", "turn"},
            {"motor", turn.motor.number},
            {"pin", printable(turn.pin.name)},
            {"from", name(turn.from)},
            {"to", name(turn.to)}};
  }
  Ordered operator()(const solve::SetMount& mount) const {
    return {{"what", "mount"}, {"from", angles(mount.from)}, {"to", angles(mount.to)}};
  }
};

void add_plan(Ordered& object, const solve::Plan& plan) {
  object["changes"] = Ordered::array();
  for (const solve::Change& change : plan.changes) {
    Ordered one = std::visit(ChangeObject{}, change.what);
    one["reason"] = printable(change.reason);
    object["changes"].push_back(std::move(one));
  }
  object["by_hand"] = Ordered::array();
  for (const solve::HandWork& work : plan.by_hand) {
    object["by_hand"].push_back({{"motor", work.motor.number},
                                 {"pin", printable(work.pin.name)},
                                 {"seen", name(work.seen)},
                                 {"wanted", name(work.wanted)},
                                 {"instruction", printable(work.instruction)}});
  }
}

Ordered view_object(const session::CraftView& view) {
  Ordered object{{"title", printable(view.title)}};
  if (view.frame == nullptr) return object;
  object["frame"] = view.frame->name;
  object["arms"] = Ordered::object();
  for (const auto& [place, at] : view.at) {
    Ordered one{{"motor", at.motor.number}, {"pin", printable(at.pin.name)}};
    if (at.turn) one["turn"] = name(*at.turn);
    if (at.wanted) one["wanted"] = name(*at.wanted);
    object["arms"][view.frame->places.at(place).name] = std::move(one);
  }
  return object;
}

std::string_view name_of(Statement::Kind kind) {
  switch (kind) {
    case Statement::Kind::say:
    case Statement::Kind::why:
    case Statement::Kind::phase:
      return "say";
    case Statement::Kind::found:
      return "found";
    case Statement::Kind::plan:
      return "plan";
    case Statement::Kind::wrote:
      return "wrote";
    case Statement::Kind::progress:
      return "progress";
    case Statement::Kind::done:
      return "done";
  }
  return "say";
}

}  // namespace

Ordered ask_object(const Question& question) {
  Ordered object{{"type", "ask"}, {"id", question.id}, {"kind", name_of(question.kind)}};
  if (question.kind == Kind::go || question.kind == Kind::spin) {
    if (question.motor.number != 0) {
      object["motor"] = question.motor.number;
      object["pin"] = printable(question.pin.name);
    }
  }
  if (question.place) object["arm"] = question.frame->places.at(*question.place).name;
  if (question.kind == Kind::spin) {
    object["attempt"] = question.attempt;
    object["blind"] = question.blind;
    object["frame"] = question.frame->name;
  }
  object["text"] = printable(question.text);
  if (question.level != session::Level::info) object["level"] = name_of(question.level);
  if (question.kind == Kind::typed_word) object["word"] = question.word;
  if (!question.suggestion.empty()) object["suggestion"] = printable(question.suggestion);
  if (question.kind == Kind::pose) object["pose"] = question.pose;
  for (const std::string& line : question.shown) object["shown"].push_back(printable(line));
  for (const auto& [blank, value] : question.values) object["values"][printable(blank)] = printable(value);
  if (question.plan != nullptr) add_plan(object, *question.plan);
  object["choices"] = choices_of(question);
  object["back"] = question.may_go_back;
  return object;
}

Ordered statement_object(const Statement& statement) {
  Ordered object{{"type", name_of(statement.kind)}};
  if (!statement.id.empty()) object["id"] = statement.id;
  if (name_of(statement.kind) == "say" || statement.level != session::Level::info)
    object["level"] = name_of(statement.level);
  for (const auto& [key, value] : statement.facts) {
    if (value == "true" || value == "false") {
      object[key] = value == "true";
    } else {
      object[key] = printable(value);
    }
  }
  if (!statement.text.empty()) object["text"] = printable_lines(statement.text);
  if (statement.of > 0) {
    object["step"] = statement.step;
    object["of"] = statement.of;
  }
  if (statement.within > Duration{0}) object["within_ms"] = statement.within.count();
  if (statement.plan != nullptr) add_plan(object, *statement.plan);
  if (!statement.views.empty()) {
    object["views"] = Ordered::array();
    for (const session::CraftView& view : statement.views) object["views"].push_back(view_object(view));
  }
  if (!statement.console_lines.empty()) {
    object["lines"] = Ordered::array();
    for (const std::string& line : statement.console_lines) object["lines"].push_back(printable(line));
  }
  return object;
}

std::string one_line(const Ordered& object) {
  return object.dump(-1, ' ', false, Ordered::error_handler_t::replace) + "\n";
}

}  // namespace armwise::ui
