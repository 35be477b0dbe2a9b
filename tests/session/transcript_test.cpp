// A session on one dialect differs from a session on any other in nothing that the person sees but the
// console's own lines.
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <string>
#include <vector>

#include "armwise/base/task.hpp"
#include "support/rehearsed_person.hpp"
#include "support/worked_craft.hpp"

namespace armwise::test::transcript_test {
namespace {

using session::MountWish;
using session::Question;
using session::Statement;

constexpr std::array dialects{"tarn", "sedge", "brook", "fell", "moor"};

std::string in_words(const session::CraftView& view) {
  std::string text = " [" + view.title;
  for (const auto& [place, at] : view.at) {
    text += "; " + view.frame->places.at(place).name + " motor " + std::to_string(at.motor.number) + " pin " +
            at.pin.name + (at.turn ? " " + std::string(name(*at.turn)) : "") +
            (at.wanted ? " wanted " + std::string(name(*at.wanted)) : "");
  }
  return text + "]";
}

std::string in_words(const Statement& statement) {
  // In the controller's own words: what it calls itself, and how long its whole configuration is.
  if (statement.id == "controller" || statement.id == "configuration-saved") return statement.id;
  std::string text = "kind " + std::to_string(static_cast<int>(statement.kind)) + " level " +
                     std::to_string(static_cast<int>(statement.level)) + ": " + statement.text;
  for (const session::CraftView& view : statement.views) text += in_words(view);
  if (statement.of > 0)
    text += " step " + std::to_string(statement.step) + " of " + std::to_string(statement.of);
  for (const auto& [key, value] : statement.facts) text += " " + key + "=" + value;
  return text;
}

std::string in_words(const Question& question) {
  std::string text = "? " + question.id + " kind " + std::to_string(static_cast<int>(question.kind)) +
                     " level " + std::to_string(static_cast<int>(question.level)) + ": " + question.text;
  for (const session::Choice& choice : question.choices) text += " | " + choice.key + " = " + choice.words;
  text += " word=" + question.word + " suggestion=" + question.suggestion + " pose=" + question.pose;
  text += " motor=" + std::to_string(question.motor.number) + " pin=" + question.pin.name +
          " attempt=" + std::to_string(question.attempt) + (question.blind ? " blind" : "") +
          (question.may_go_back ? "" : " no way back");
  return text;
}

// All that was told and asked, in order, on one dialect; every dialect numbers its motors alike here.
class Transcript : public session::Person {
 public:
  Transcript(const std::string& dialect, const practice::PracticeCraft& craft, MountWish mount,
             practice::PersonScript script = {})
      : session_(dialect, craft, std::move(script)) {
    console::Profile spoken = fixture_profile(dialect);
    spoken.numbering["quad-x"] = {"front-left", "front-right", "rear-left", "rear-right"};
    outcome = session_.bench_by(*this, spoken, worked_options(mount));
  }

  Task<session::Answer> ask(const Question& question) override {
    lines.push_back(in_words(question));
    const session::Answer answer = co_await session_.person.ask(question);
    co_return answer;
  }
  void tell(const Statement& statement) override {
    if (statement.kind != Statement::Kind::phase) lines.push_back(in_words(statement));
    session_.person.tell(statement);
  }
  Task<bool> interrupted(craft::Motor motor, Duration within) override {
    return session_.person.interrupted(motor, within);
  }

  // Up to the question whether to keep, with it.
  std::vector<std::string> up_to_keeping() const {
    const auto keep = std::find_if(lines.begin(), lines.end(),
                                   [](const std::string& line) { return line.rfind("? keep ", 0) == 0; });
    return {lines.begin(), keep == lines.end() ? keep : keep + 1};
  }

  std::vector<std::string> lines;
  Outcome outcome;

 private:
  PracticeSession session_;
};

void expect_alike(const std::string& name, const std::vector<std::string>& lines,
                  const std::vector<std::string>& other) {
  for (std::size_t i = 0; i < std::min(lines.size(), other.size()); ++i) {
    ASSERT_EQ(other[i], lines[i]) << name << ", line " << i;
  }
  EXPECT_EQ(other.size(), lines.size()) << name;
}

// The console that applies late is proven once more after the restart.
void expect_alike_where_late_is_proven_again(const std::string& name, const Transcript& one,
                                             const Transcript& other) {
  const bool late = name == "moor";
  expect_alike(name, late ? one.up_to_keeping() : one.lines, late ? other.up_to_keeping() : other.lines);
}

practice::PracticeCraft without_noise(practice::PracticeCraft craft) {
  craft.noise_g = 0;
  craft.noise_dps = 0;
  craft.pose_error = 0;
  return craft;
}

const std::vector<std::string> right_already{"front-left", "front-right", "rear-left", "rear-right"};
const std::vector<std::string> two_pairs_swapped{"front-right", "front-left", "rear-right", "rear-left"};

// Nothing to change: each dialect, line by line.
TEST(Transcript, OfACraftThatIsRightIsTheSameOnEveryDialect) {
  const practice::PracticeCraft craft = worked_craft(right_already);
  const Transcript tarn("tarn", craft, MountWish::leave);
  ASSERT_TRUE(tarn.outcome.result);
  EXPECT_GT(tarn.lines.size(), 25U);
  for (const char* dialect : dialects) {
    const Transcript other(dialect, craft, MountWish::leave);
    ASSERT_TRUE(other.outcome.result) << dialect;
    expect_alike_where_late_is_proven_again(dialect, tarn, other);
  }
}

// A map to change. The console that takes no pin for two motors has one write more for each cycle, and so
// another list of changes; the console that applies late is proven once more after the restart.
TEST(Transcript, OfAMapToBeChangedIsTheSameWhereTheRulesOfTheMapAre) {
  const practice::PracticeCraft craft = worked_craft(two_pairs_swapped);
  const Transcript tarn("tarn", craft, MountWish::leave);
  ASSERT_TRUE(tarn.outcome.result);
  for (const char* dialect : {"brook", "fell"}) {
    const Transcript other(dialect, craft, MountWish::leave);
    ASSERT_TRUE(other.outcome.result) << dialect;
    expect_alike(dialect, tarn.lines, other.lines);
  }
  const Transcript moor("moor", craft, MountWish::leave);
  ASSERT_TRUE(moor.outcome.result);
  EXPECT_FALSE(tarn.up_to_keeping().empty());
  expect_alike("moor", tarn.up_to_keeping(), moor.up_to_keeping());
}

bool about_the_changes(const std::string& line) {
  const std::string plan = "kind " + std::to_string(static_cast<int>(Statement::Kind::plan));
  const std::string wrote = "kind " + std::to_string(static_cast<int>(Statement::Kind::wrote));
  return line.rfind(plan, 0) == 0 || line.rfind(wrote, 0) == 0;
}

TEST(Transcript, WhereATakenPinIsRefusedDiffersInTheListOfChangesOnly) {
  const practice::PracticeCraft craft = worked_craft(two_pairs_swapped);
  Transcript tarn("tarn", craft, MountWish::leave), sedge("sedge", craft, MountWish::leave);
  ASSERT_TRUE(tarn.outcome.result && sedge.outcome.result);
  std::size_t freed = 0;
  for (const std::string& line : sedge.lines) {
    if (line.find(" for the moment: written") != std::string::npos) ++freed;
  }
  EXPECT_EQ(freed, 2U) << "one write more for each of the two cycles";
  EXPECT_EQ(sedge.lines.size(), tarn.lines.size() + freed);
  std::erase_if(tarn.lines, about_the_changes);
  std::erase_if(sedge.lines, about_the_changes);
  expect_alike("sedge", tarn.lines, sedge.lines);
}

// The answers that a person gets wrong are answered alike as well.
TEST(Transcript, OfSlipsIsTheSameOnEveryDialect) {
  using Slip = practice::PersonScript::Slip;
  practice::PersonScript script;
  script.slips = {{1, Slip::wrong_place}, {3, Slip::saw_nothing}, {4, Slip::saw_several},
                  {6, Slip::go_back},     {10, Slip::once_more},  {12, Slip::wrong_turn}};
  const practice::PracticeCraft craft = worked_craft(right_already);
  const Transcript tarn("tarn", craft, MountWish::leave, script);
  ASSERT_TRUE(tarn.outcome.result);
  for (const char* dialect : dialects) {
    const Transcript other(dialect, craft, MountWish::leave, script);
    ASSERT_TRUE(other.outcome.result) << dialect;
    expect_alike_where_late_is_proven_again(dialect, tarn, other);
  }
}

// The mount too, where nobody's hand shakes. The dialects differ in how finely they give a reading, so that
// the residuals may differ in their last digit.
TEST(Transcript, OfAMountIsTheSameWhereTheAccelerometerIsReadAsControllersFeelIt) {
  practice::PracticeCraft craft = without_noise(worked_craft(right_already));
  craft.mount = {90, 0, 0};
  const Transcript tarn("tarn", craft, MountWish::find);
  ASSERT_TRUE(tarn.outcome.result) << tarn.outcome.fault->sentence();
  for (const char* dialect : {"sedge", "brook", "fell"}) {
    const Transcript other(dialect, craft, MountWish::find);
    ASSERT_TRUE(other.outcome.result) << dialect;
    expect_alike(dialect, tarn.lines, other.lines);
  }
}

}  // namespace
}  // namespace armwise::test::transcript_test
