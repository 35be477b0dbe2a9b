// No motor turns unasked: whatever is answered to whichever question, a spin follows on "spin" at a question
// of its own, and on nothing else.
#include <gtest/gtest.h>

#include <optional>
#include <string>
#include <vector>

#include "support/rehearsed_person.hpp"
#include "support/sweep.hpp"
#include "support/worked_craft.hpp"

namespace armwise::test::unasked_test {
namespace {

using session::Answer;
using session::Question;
using session::SpinSeen;
using Kind = Question::Kind;

// All that a front end can make of the keys and words for a question; "spin" at go apart.
std::vector<Answer> all_answers(const Question& question) {
  std::vector<Answer> all;
  if (question.may_go_back) all.emplace_back(session::Back{});
  switch (question.kind) {
    case Kind::confirm:
      all.emplace_back(std::string("yes"));
      all.emplace_back(std::string("no"));
      break;
    case Kind::choose:
      for (const session::Choice& choice : question.choices) all.emplace_back(choice.key);
      break;
    case Kind::spin:
      for (const SpinSeen::What what : {SpinSeen::What::none, SpinSeen::What::several, SpinSeen::What::again})
        all.emplace_back(SpinSeen{what, 0, craft::Turn::cw});
      for (const craft::Turn turn : {craft::Turn::cw, craft::Turn::ccw})
        all.emplace_back(SpinSeen{SpinSeen::What::one, 1, turn});
      break;
    case Kind::typed_word:
      all.emplace_back(question.word);
      all.emplace_back(std::string("spin"));
      break;
    case Kind::text:
    case Kind::pose:
    case Kind::go:
      break;
  }
  return all;
}

// Sees to it, at each question, that since the one before no more has been spun than that asked for.
class Watched {
 public:
  explicit Watched(const PracticeSession& session) : session_(session) {}

  void at(const Question& question, bool spins) {
    const int spun = session_.spins() - spun_;
    EXPECT_EQ(spun, asked_ ? 1 : 0) << "between " << last_ << " and " << question.id;
    spun_ += spun;
    asked_ = spins;
    last_ = question.id;
  }

 private:
  const PracticeSession& session_;
  int spun_ = 0;
  bool asked_ = false;
  std::string last_ = "the start";
};

// The `at`th question (from 1; 0: none) is answered so, and the session goes on to the next one.
std::vector<Question> played(const std::string& dialect, int at, const std::optional<Answer>& instead) {
  practice::PracticeCraft craft =
      worked_craft({"front-right", "rear-right", "rear-left", "front-left"}, {false, true});
  craft.mount = {90, 0, 0};
  PracticeSession session(dialect, std::move(craft));
  Watched watched(session);
  RehearsedPerson person(session.person, [&](int number, const Question& question) -> std::optional<Answer> {
    const bool answered_otherwise = number == at;
    watched.at(question, question.kind == Kind::go && !answered_otherwise);
    if (at != 0 && number > at) throw StoppedByPerson();
    if (answered_otherwise) return instead;
    if (question.id == "frame") return Answer{std::string("quad-x")};
    return std::nullopt;
  });
  session::BenchOptions options;
  options.mount = session::MountWish::find;
  const Outcome outcome = session.bench_by(person, session.profile, options);
  EXPECT_TRUE(at != 0 || outcome.result) << (outcome.fault ? outcome.fault->sentence() : "");
  EXPECT_FALSE(session.anything_turns());
  return person.asked;
}

TEST(NothingTurnsUnasked, WhateverIsAnsweredToWhicheverQuestion) {
  int sessions = 0;
  InTurn turn(every);
  for (const char* dialect : {"tarn", "fell"}) {
    const std::vector<Question> questions = played(dialect, 0, std::nullopt);
    EXPECT_GT(questions.size(), 25U);
    for (std::size_t i = 0; i < questions.size(); ++i) {
      // The plan and the frame do not outlive their question; what can be answered does not hang on them.
      for (const Answer& answer : all_answers(questions[i])) {
        if (turn.is_left_out()) continue;
        SCOPED_TRACE(std::string(dialect) + ", question " + std::to_string(i + 1) + ": " + questions[i].id);
        played(dialect, static_cast<int>(i) + 1, answer);
        ++sessions;
      }
    }
  }
  EXPECT_GT(sessions, 150 / every);
}

TEST(NothingTurnsUnasked, WhoStopsBeforeTheFirstSpinHasSpunNothing) {
  PracticeSession session("tarn", worked_craft());
  RehearsedPerson person(session.person, [](int, const Question& question) -> std::optional<Answer> {
    if (question.kind == Kind::go) throw StoppedByPerson();
    return std::nullopt;
  });
  const Outcome outcome = session.bench_by(person, session.profile, worked_options());
  EXPECT_TRUE(outcome.stopped);
  EXPECT_EQ(session.spins(), 0);
  EXPECT_EQ(outcome.left, "") << "no motor turns, and it is as it was";
}

// A defect found: whoever stopped between two spins, since the first motor turned on, was told that none
// does.
TEST(NothingTurnsUnasked, WhoStopsBeforeTheSecondSpinIsNotToldThatNoMotorTurns) {
  PracticeSession session("tarn", worked_craft());
  RehearsedPerson person(session.person, [&](int, const Question& question) -> std::optional<Answer> {
    if (question.kind == Kind::go && session.spins() > 0) throw StoppedByPerson();
    return std::nullopt;
  });
  const Outcome outcome = session.bench_by(person, session.profile, worked_options());
  EXPECT_TRUE(outcome.stopped);
  EXPECT_EQ(session.spins(), 1);
  EXPECT_NE(outcome.left, "");
  EXPECT_EQ(person.told.back().level, session::Level::danger);
}

}  // namespace
}  // namespace armwise::test::unasked_test
