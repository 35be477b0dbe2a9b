#include "armwise/practice/person.hpp"

#include <algorithm>
#include <set>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/craft/strip.hpp"

namespace armwise::practice {
namespace {

using session::Answer;
using session::Question;
using session::SpinSeen;

const craft::Frame& frame_of(const Question& question) {
  if (question.frame == nullptr) {
    throw Fault(FaultKind::internal, "the question " + question.id + " about a spin names no frame");
  }
  return *question.frame;
}

SpinSeen spin_typed(const Question& question, const std::string& text) {
  if (text == "none") return {SpinSeen::What::none, 0, craft::Turn::cw};
  if (text == "several") return {SpinSeen::What::several, 0, craft::Turn::cw};
  if (text == "again") return {SpinSeen::What::again, 0, craft::Turn::cw};
  const std::size_t blank = text.find(' ');
  const auto place = frame_of(question).find(text.substr(0, blank));
  const auto turn = craft::turn_named(blank == std::string::npos ? std::string() : text.substr(blank + 1));
  if (!place || !turn)
    throw Fault(FaultKind::usage, "\"" + text + "\" does not answer the question " + question.id);
  return {SpinSeen::What::one, *place, *turn};
}

}  // namespace

PracticePerson::PracticePerson(Sight& sight, Clock& clock, PersonScript script, session::Person* audience)
    : sight_(sight), clock_(clock), script_(std::move(script)), audience_(audience) {}

int PracticePerson::asked(const std::string& id) const {
  const auto found = asked_.find(id);
  return found == asked_.end() ? 0 : found->second;
}

void PracticePerson::tell(const session::Statement& statement) {
  told_.push_back(statement);
  told_.back().plan = nullptr;
  if (statement.plan != nullptr) {
    by_hand_.clear();
    for (const solve::HandWork& work : statement.plan->by_hand) by_hand_.push_back(work.place);
  }
  if (audience_ != nullptr) audience_->tell(statement);
}

void PracticePerson::look(const std::vector<Turning>& turning) {
  for (const Turning& each : turning) {
    if (std::find(seen_.begin(), seen_.end(), each) == seen_.end()) seen_.push_back(each);
  }
}

Task<bool> PracticePerson::interrupted(craft::Motor, Duration within) {
  ++spins_;
  seen_.clear();
  look(sight_.turning());
  const Instant end = clock_.now() + within;
  const auto slip = script_.during_spin.find(spins_);
  if (slip != script_.during_spin.end() && slip->second == PersonScript::Slip::stop) {
    throw StoppedByPerson();
  }
  if (slip != script_.during_spin.end()) co_return true;
  while (clock_.now() < end) {
    const std::vector<Turning> turning = co_await sight_.change(end - clock_.now());
    look(turning);
  }
  co_return false;
}

std::string PracticePerson::scripted(const std::string& id) {
  const auto found = script_.answers.find(id);
  if (found == script_.answers.end() || found->second.empty()) return {};
  const auto turn = static_cast<std::size_t>(asked_[id] - 1);
  return found->second[std::min(turn, found->second.size() - 1)];
}

Task<Answer> PracticePerson::ask(const Question& question) {
  ++asked_[question.id];
  if (question.frame != nullptr) frame_ = question.frame;
  const std::string text = scripted(question.id);
  if (text == "stop") throw StoppedByPerson();
  if (question.kind == Question::Kind::spin && ++spin_questions_ > script_.patience) throw StoppedByPerson();
  Answer answer;
  if (!text.empty()) {
    answer = typed(question, text);
  } else if (question.kind == Question::Kind::spin) {
    answer = spin_seen(question);
  } else if (const std::string seen = of_the_spin(question); !seen.empty()) {
    answer = seen;
  } else {
    answer = co_await answer_of_itself(question);
  }
  tell_audience(question, answer);
  co_return answer;
}

Answer PracticePerson::typed(const Question& question, const std::string& text) const {
  // "back" may be one of the choices.
  const bool chosen = std::any_of(question.choices.begin(), question.choices.end(),
                                  [&](const session::Choice& choice) { return choice.key == text; });
  if (text == "back" && !chosen) return session::Back{};
  if (question.kind == Question::Kind::spin) return spin_typed(question, text);
  return text;
}

Task<Answer> PracticePerson::answer_of_itself(const Question& question) {
  switch (question.kind) {
    case Question::Kind::confirm:
      if (question.id == "by-hand") co_await work_by_hand(question);
      if (question.id == "restart") co_await sight_.replug();
      co_return Answer(std::string("yes"));
    case Question::Kind::choose:
      if (question.choices.empty()) break;
      co_return Answer(question.choices.front().key);
    case Question::Kind::typed_word:
      co_return Answer(question.word);
    case Question::Kind::text:
      co_return Answer(question.suggestion.empty() ? std::string("practice craft") : question.suggestion);
    case Question::Kind::pose:
      co_await sight_.hold(question.pose);
      co_return Answer(std::string("ready"));
    case Question::Kind::go:
      co_return Answer(std::string("spin"));
    case Question::Kind::spin:
      break;
  }
  throw Fault(FaultKind::usage, "nothing answers the question " + question.id);
}

Task<void> PracticePerson::work_by_hand(const Question& question) {
  std::vector<craft::PlaceIndex> places = by_hand_;
  if (question.plan != nullptr) {
    places.clear();
    for (const solve::HandWork& work : question.plan->by_hand) places.push_back(work.place);
  }
  if (frame_ == nullptr) co_return;
  for (const craft::PlaceIndex place : places) {
    const std::string name = frame_->places.at(place).name;
    co_await sight_.reverse(name);
  }
}

// What is asked of a spin in other words; empty: this question is not.
std::string PracticePerson::of_the_spin(const Question& question) const {
  static const std::set<std::string> known{"edge", "lid", "strip", "hand", "nose-half", "from-above"};
  if (frame_ == nullptr || !known.contains(question.id)) return {};
  if (question.id == "from-above") return "yes";
  const craft::PlaceIndex nowhere = frame_->places.size();
  const craft::PlaceIndex place =
      seen_.size() == 1 ? frame_->find(seen_.front().place).value_or(nowhere) : nowhere;
  if (question.id == "hand") return place == question.place ? "yes" : "no";
  if (question.id == "strip" && place != question.place) return "still";
  if (place == nowhere) return question.id == "nose-half" ? "no" : "unsure";
  if (question.id == "nose-half") return frame_->places[place].x > 0 ? "yes" : "no";
  const bool clockwise = seen_.front().turn == craft::Turn::cw;
  if (question.id == "lid") return clockwise ? "closing" : "opening";
  const craft::StripTest test = craft::strip_test(*frame_, place);
  const std::string toward = clockwise ? test.cw_toward : test.ccw_toward;
  const bool offered = std::any_of(question.choices.begin(), question.choices.end(),
                                   [&](const session::Choice& choice) { return choice.key == toward; });
  return offered ? toward : "unsure";
}

Answer PracticePerson::as_seen(const Question& question) const {
  if (seen_.empty()) return SpinSeen{SpinSeen::What::none, 0, craft::Turn::cw};
  const auto place = frame_of(question).find(seen_.front().place);
  if (seen_.size() > 1 || !place) return SpinSeen{SpinSeen::What::several, 0, craft::Turn::cw};
  return SpinSeen{SpinSeen::What::one, *place, seen_.front().turn};
}

Answer PracticePerson::spin_seen(const Question& question) {
  const Answer truth = as_seen(question);
  const auto slip = script_.slips.find(spin_questions_);
  return slip == script_.slips.end() ? truth : slipped(question, truth, slip->second);
}

Answer PracticePerson::slipped(const Question& question, Answer truth, PersonScript::Slip slip) const {
  using Slip = PersonScript::Slip;
  SpinSeen seen = std::get<SpinSeen>(truth);
  switch (slip) {
    case Slip::wrong_turn:
      seen.turn = opposite(seen.turn);
      return seen;
    case Slip::wrong_place:
      seen.place = (seen.place + 1) % frame_of(question).places.size();
      return seen;
    case Slip::saw_nothing:
      return SpinSeen{SpinSeen::What::none, 0, craft::Turn::cw};
    case Slip::saw_several:
      return SpinSeen{SpinSeen::What::several, 0, craft::Turn::cw};
    case Slip::once_more:
      return SpinSeen{SpinSeen::What::again, 0, craft::Turn::cw};
    case Slip::go_back:
      return session::Back{};
    case Slip::stop:
      break;
  }
  throw StoppedByPerson();
}

void PracticePerson::tell_audience(const Question& question, const Answer& answer) {
  if (audience_ == nullptr) return;
  session::Statement asked;
  asked.level = question.level;
  asked.text = question.text;
  audience_->tell(asked);
  session::Statement heard;  // no session says it, so it has no id
  heard.text = "> " + session::text(question, answer);
  audience_->tell(heard);
}

}  // namespace armwise::practice
