// The one way back: what runs again is silent, what was done is not done again, and nobody goes back past a
// write. Common practice of an "undo", no source.
#include "../../src/session/recall.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <deque>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "support/manual_clock.hpp"

namespace armwise::test::recall_test {
namespace {

using session::Answer;
using session::Back;
using session::Recall;

// Answers in turn; keeps what was asked and said, in order.
class Listener : public session::Person {
 public:
  explicit Listener(std::deque<std::string> answers) : answers_(std::move(answers)) {}
  Task<Answer> ask(const session::Question& question) override {
    heard.push_back(question.id + "?");
    const std::string next = answers_.front();
    answers_.pop_front();
    Answer answer = next;
    if (next == "back") answer = Back{};
    co_return answer;
  }
  void tell(const session::Statement& statement) override { heard.push_back(statement.text); }
  Task<bool> interrupted(craft::Motor, Duration) override { co_return false; }

  std::vector<std::string> heard;

 private:
  std::deque<std::string> answers_;
};

Task<std::string> ask(session::Person& person, std::string id) {
  session::Question question;
  question.id = std::move(id);
  const Answer answer = co_await person.ask(question);
  co_return std::get<std::string>(answer);
}

TEST(Recall, AsksTheLastQuestionOnceMoreAndSaysNothingTwice) {
  Listener person({"a", "b", "back", "c", "d"});
  const auto body = [](Recall& r) -> Task<std::string> {
    r.tell("mount-found", {{"mount", "first"}});
    std::string all = co_await ask(r, "one");
    r.tell("mount-found", {{"mount", "second"}});
    all += co_await ask(r, "two");
    r.tell("mount-found", {{"mount", "third"}});
    all += co_await ask(r, "three");
    co_return all;
  };
  EXPECT_EQ(run(phase(person, body)), "acd");
  const std::vector<std::string> wanted{"first",  "one?", "second", "two?",  "third",
                                        "three?", "two?", "third",  "three?"};
  EXPECT_EQ(person.heard, wanted);
}

TEST(Recall, DoesNotReadAgainAndUndoesWhatIsTakenBack) {
  Listener person({"a", "turned", "back", "turned", "b"});
  int read = 0, spun = 0, undone = 0;
  const auto body = [&](Recall& r) -> Task<std::string> {
    const auto reading = [&]() -> Task<int> { co_return ++read; };
    co_await r.once<int>(reading);
    std::string all = co_await ask(r, "one");
    const auto spin = [&]() -> Task<std::optional<std::string>> {
      ++spun;
      std::optional<std::string> seen = co_await ask(r.person(), "seen");
      co_return seen;
    };
    const std::function<void()> take_back = [&] { ++undone; };
    all += co_await r.answered<std::string>(spin, take_back);
    all += co_await ask(r, "two");
    co_return all;
  };
  EXPECT_EQ(run(phase(person, body)), "aturnedb");
  EXPECT_EQ(read, 1);
  EXPECT_EQ(spun, 2);
  EXPECT_EQ(undone, 1);
}

TEST(Recall, GoesBackPastNothingThatWasDoneForGood) {
  Listener person({"a", "back", "b"});
  int written = 0;
  const auto body = [&](Recall& r) -> Task<std::string> {
    std::string all = co_await ask(r, "one");
    const auto write = [&]() -> Task<bool> {
      ++written;
      co_return true;
    };
    co_await r.for_good<bool>(write);
    r.tell("mount-found", {{"mount", "written"}});
    all += co_await ask(r, "two");
    co_return all;
  };
  EXPECT_EQ(run(phase(person, body)), "ab");
  EXPECT_EQ(written, 1);
  const std::vector<std::string> wanted{"one?", "written", "two?", session::sentence_of("no-way-back", {}),
                                        "two?"};
  EXPECT_EQ(person.heard, wanted);
}

TEST(Recall, SaysAtTheFirstQuestionThatThereIsNothingBeforeIt) {
  Listener person({"back", "back", "a"});
  const auto body = [&](Recall& r) -> Task<std::string> {
    r.tell("mount-found", {{"mount", "first"}});
    co_return co_await ask(r, "one");
  };
  EXPECT_EQ(run(phase(person, body)), "a");
  EXPECT_EQ(std::count(person.heard.begin(), person.heard.end(), "first"), 1);
  EXPECT_EQ(std::count(person.heard.begin(), person.heard.end(), "one?"), 3);
}

}  // namespace
}  // namespace armwise::test::recall_test
