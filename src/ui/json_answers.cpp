// The way in: an answer out of JSON.
#include <utility>

#include "armwise/base/text.hpp"
#include "armwise/ui/strip.hpp"
#include "json_words.hpp"

namespace armwise::ui {
namespace {

using nlohmann::json;
using session::Question;
using Kind = Question::Kind;

constexpr int deepest_answer = 6;

// A member that must be a string where it is there; absent with `why` set where it is something else.
std::optional<std::string> text_at(const json& object, const char* key, std::string& why) {
  const auto found = object.find(key);
  if (found == object.end()) return std::nullopt;
  if (found->is_string()) return found->get<std::string>();
  why = "\"" + std::string(key) + "\" has to be a string.";
  return std::nullopt;
}

Reading read_spin_object(const Question& question, const json& object) {
  std::string why;
  const auto seen = text_at(object, "seen", why);
  const auto arm = text_at(object, "arm", why);
  const auto turn = text_at(object, "turn", why);
  const auto flicked = text_at(object, "flicked", why);
  const auto answer = text_at(object, "answer", why);
  if (!why.empty()) return Unread{why};
  if (seen && arm) return Unread{"\"seen\" and \"arm\" exclude each other."};
  if (seen) {
    if (*seen != "none" && *seen != "several" && *seen != "again" && *seen != "stop")
      return Unread{"\"seen\" is one of none, several, again, stop."};
    return read_words(question, *seen);
  }
  if (!arm) {
    if (answer) return read_words(question, *answer);
    return Unread{"A spin is answered with \"arm\" and \"turn\", or with \"seen\"."};
  }
  if (!question.frame->find(*arm))
    return Unread{"\"arm\" is one of " + joined(place_names(*question.frame), ", ") + "."};
  if (turn.has_value() == flicked.has_value())
    return Unread{"With \"arm\" goes either \"turn\" (cw or ccw) or \"flicked\"."};
  const craft::PlaceIndex place = *question.frame->find(*arm);
  const std::optional<craft::Turn> which =
      turn ? craft::turn_named(*turn) : turn_by_strip(*question.frame, place, *flicked);
  if (which) return session::Answer{session::SpinSeen{session::SpinSeen::What::one, place, *which}};
  if (turn) return Unread{"\"turn\" is cw or ccw."};
  const craft::StripTest test = strip_test(*question.frame, place);
  return Unread{"\"flicked\" is " + test.cw_toward + " or " + test.ccw_toward + " there."};
}

Reading only_answers(const Reading& reading, const Question& question) {
  if (std::holds_alternative<PlaceOnly>(reading))
    return Unread{"The turn is missing. " + what_can_be_said(question)};
  return reading;
}

// A safety word is said by a program with "yes": the program's author has read which word it stands for.
Reading read_text(const Question& question, const std::string& text) {
  if (question.kind == Kind::typed_word && lower_case(trimmed(text)) == "yes")
    return session::Answer{question.word};
  // A program has {"id":"stop"} and {"id":"back"}: a text is a text.
  if (question.kind == Kind::text) return read_text_answer(question, text);
  return only_answers(read_words(question, text), question);
}

}  // namespace

std::optional<json> parsed(std::string_view text, std::string& why) {
  bool too_deep = false;
  const auto watch_depth = [&](int depth, json::parse_event_t, json&) {
    if (depth > deepest_answer) too_deep = true;
    return !too_deep;
  };
  json value = json::parse(text, watch_depth, false);
  if (too_deep) {
    why = "That is nested more deeply than any answer.";
    return std::nullopt;
  }
  if (value.is_discarded()) {
    why = "That is no JSON.";
    return std::nullopt;
  }
  return value;
}

Reading read_object(const Question& question, const json& object) {
  if (question.kind == Kind::spin) return read_spin_object(question, object);
  std::string why;
  const auto answer = text_at(object, "answer", why);
  if (!why.empty()) return Unread{why};
  if (!answer) return Unread{"There is no \"answer\". " + what_can_be_said(question)};
  return read_text(question, *answer);
}

Reading read_value(const Question& question, const json& value) {
  if (value.is_object()) return read_object(question, value);
  if (value.is_string()) return read_text(question, value.get<std::string>());
  return Unread{"An answer is a string or an object."};
}

}  // namespace armwise::ui
