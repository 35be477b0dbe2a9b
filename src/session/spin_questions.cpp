#include "spin_questions.hpp"

#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/craft/strip.hpp"
#include "questions.hpp"

namespace armwise::session {
namespace {

constexpr const char* unsure = "unsure";

Question ask_where_to(std::string id, std::string text, const craft::Frame& frame, craft::PlaceIndex place,
                      Choice otherwise) {
  const craft::StripTest test = craft::strip_test(frame, place);
  // Nose first, whichever way that is: the order must not tell.
  std::string one = test.cw_toward, other = test.ccw_toward;
  if (other < one) std::swap(one, other);
  const auto toward = [](const std::string& what) {
    return Choice{what, "toward the " + what + (what == "nose" || what == "tail" ? "" : " arm"), {}};
  };
  Question question =
      one_of(std::move(id), std::move(text), {toward(one), toward(other), std::move(otherwise)});
  question.frame = &frame;
  question.place = place;
  return question;
}

const std::string& words_in(const solve::Ask& ask, const Answer& answer) {
  const auto* said = std::get_if<std::string>(&answer);
  if (said != nullptr) return *said;
  throw Fault(FaultKind::internal,
              "A question about a motor was answered with something else, asked in way " +
                  std::to_string(static_cast<int>(ask.way)));
}

std::optional<solve::Testimony> look_in(const Answer& answer) {
  const auto* seen = std::get_if<SpinSeen>(&answer);
  if (seen == nullptr) throw Fault(FaultKind::internal, "A spin was answered with something else");
  if (seen->what != SpinSeen::What::one) return std::nullopt;
  solve::Testimony said;
  said.place = seen->place;
  said.turn = seen->turn;
  said.nose_toward = seen->nose_toward;
  return said;
}

}  // namespace

std::string before_spin(const craft::Frame& frame, const SpinRequest& request) {
  const std::string motor = craft::motor_at(frame.places.at(request.ask.place));
  if (request.ask.way == solve::Way::hand) return "Hold a hand well above " + motor + ".";
  if (request.ask.way == solve::Way::strip) {
    return "Hold a strip of paper to " + motor + ", " + craft::strip_test(frame, request.ask.place).hold +
           ".";
  }
  return "Eyes on the craft.";
}

Question question_about(const craft::Frame& frame, const SpinRequest& request) {
  const craft::PlaceIndex place = request.ask.place;
  Question question;
  switch (request.ask.way) {
    case solve::Way::look:
      question.id = "prove";
      question.label = "check";
      if (!request.blind) question.id = question.label = "spin";
      question.kind = Question::Kind::spin;
      question.frame = &frame;
      question.text =
          "Which motor spun, and which way, seen from above? If it's still spinning, pull the battery.";
      break;
    case solve::Way::edge:
      question = ask_where_to("edge", "Think of the motor's side away from the craft: which way did it move?",
                              frame, place, {unsure, "can't tell", "0"});
      break;
    case solve::Way::lid:
      question =
          one_of("lid", "Did it turn like a jar lid closing or opening?",
                 {{"closing", "closing", "c"}, {"opening", "opening", "o"}, {unsure, "can't tell", "0"}});
      break;
    case solve::Way::strip:
      question = ask_where_to("strip", "Which way was the strip flicked?", frame, place,
                              {"still", "that motor stood still", "5"});
      break;
    case solve::Way::hand:
      question = yes_or_no("hand", "Did the motor under your hand spin?");
      break;
    case solve::Way::half:
      question = yes_or_no("nose-half", "Point at the craft's nose: did a motor on that half spin?");
      break;
    case solve::Way::above:
      question = yes_or_no("from-above", "Are you looking at the craft from above?");
      break;
  }
  if (request.ask.way == solve::Way::hand) {
    question.frame = &frame;
    question.place = place;
  }
  question.small = request.ask.way != solve::Way::look;
  if (!request.blind) {
    question.motor = request.shown;
    question.pin = request.pin;
  }
  question.blind = request.blind;
  question.seen = request.seen;
  question.of = request.of;
  return question;
}

std::optional<solve::Testimony> testimony_in(const craft::Frame& frame, const solve::Ask& ask,
                                             const Answer& answer) {
  if (ask.way == solve::Way::look) return look_in(answer);
  const std::string& words = words_in(ask, answer);
  if (words == unsure) return std::nullopt;
  solve::Testimony said;
  said.yes = words != "no" && words != "still";
  if (ask.way == solve::Way::lid) said.turn = words == "closing" ? craft::Turn::cw : craft::Turn::ccw;
  if (ask.way == solve::Way::edge || (ask.way == solve::Way::strip && said.yes)) {
    const auto turn = craft::turn_by_strip(frame, ask.place, words);
    if (!turn) throw Fault(FaultKind::internal, "No strip flies toward " + words + " there");
    said.turn = *turn;
  }
  return said;
}

}  // namespace armwise::session
