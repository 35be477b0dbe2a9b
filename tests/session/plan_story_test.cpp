// The plan's picture, the sentences beside it and the build sheet tell one story of the same craft.
#include <gtest/gtest.h>

#include <set>

#include "armwise/sheet/picture.hpp"
#include "support/rehearsed_person.hpp"
#include "support/worked_craft.hpp"

namespace armwise::test::plan_story_test {
namespace {

using session::Statement;

// The arms on which the picture marks a direction as wrong.
std::set<std::string> wrong_in(const session::CraftView& view) {
  std::set<std::string> wrong;
  for (const auto& [place, at] : view.at) {
    if (at.turn != at.wanted) wrong.insert(view.frame->places[place].name);
  }
  return wrong;
}

// The arms of which the words say so: "The motors on front-left and rear-left turn the wrong way."
std::set<std::string> wrong_in(const std::string& words, const craft::Frame& frame) {
  std::set<std::string> wrong;
  const std::size_t end = words.find(" the wrong way.");
  if (end == std::string::npos) return wrong;
  const std::size_t start = words.rfind(". ", end);
  std::string sentence = words.substr(start + 2, end - start - 2) + " ";
  std::replace(sentence.begin(), sentence.end(), ',', ' ');
  for (const craft::Place& place : frame.places) {
    if (sentence.find(" " + place.name + " ") != std::string::npos) wrong.insert(place.name);
  }
  return wrong;
}

TEST(PlanStory, TheWordsNameTheArmsThatThePictureMarks) {
  int marked = 0;
  for (const char* dialect : {"tarn", "sedge", "fell"}) {
    for (const char* frame_name : {"quad-x", "hex-plus"}) {
      for (const craft::PropScheme scheme : {craft::PropScheme::in, craft::PropScheme::out}) {
        for (std::uint64_t seed = 1; seed <= 12; ++seed) {
          const craft::Frame& frame = *craft::frame_named(frame_name);
          PracticeSession bench(dialect, practice::seeded_craft(frame, seed));
          RehearsedPerson person(bench.person);
          session::BenchOptions options = worked_options();
          options.frame = frame.name;
          options.scheme = scheme;
          options.dry_run = true;
          const Outcome outcome = bench.bench_by(person, bench.profile, options);
          ASSERT_TRUE(outcome.result) << (outcome.fault ? outcome.fault->sentence() : "stopped");
          const auto plan = std::find_if(person.told.begin(), person.told.end(), [](const Statement& told) {
            return told.kind == Statement::Kind::plan;
          });
          ASSERT_NE(plan, person.told.end());
          const auto said = std::find_if(plan, person.told.end(),
                                         [](const Statement& told) { return told.id == "sense-now"; });
          ASSERT_NE(said, person.told.end());
          const std::set<std::string> wrong = wrong_in(plan->views.at(0));
          EXPECT_EQ(wrong_in(said->text, frame), wrong) << dialect << " seed " << seed << ": " << said->text;
          marked += static_cast<int>(wrong.size());
        }
      }
    }
  }
  EXPECT_GT(marked, 100);
}

// "front-left: motor 2 on pin P1, clockwise; should be …" of the first picture that the session showed.
std::string in_sentence(const session::CraftView& view, craft::PlaceIndex place) {
  const session::CraftView::At& at = view.at.at(place);
  return view.frame->places[place].name + ": motor " + std::to_string(at.motor.number) + " on pin " +
         at.pin.name + ", " + std::string(in_words(*at.turn));
}

void expect_before_as_shown(const record::CraftRecord& record, const RehearsedPerson& person) {
  const auto shown = std::find_if(person.told.begin(), person.told.end(),
                                  [](const Statement& told) { return !told.views.empty(); });
  ASSERT_NE(shown, person.told.end());
  const std::vector<std::string> before = sheet::in_sentences(record, sheet::Side::before);
  for (const auto& [place, at] : shown->views.at(0).at) {
    const std::string wanted = in_sentence(shown->views.at(0), place);
    EXPECT_EQ(before.at(place).substr(0, wanted.size()), wanted);
  }
}

TEST(PlanStory, TheSheetsBeforeIsWhatTheSessionFoundAfterAReapplyToo) {
  int wrong = 0;
  for (const char* dialect : {"tarn", "sedge", "brook", "fell", "moor"}) {
    for (std::uint64_t seed = 5; seed <= 8; ++seed) {
      SCOPED_TRACE(std::string(dialect) + " " + std::to_string(seed));
      PracticeSession first(dialect, practice::seeded_craft(worked_frame(), seed));
      RehearsedPerson watched(first.person);
      const Outcome outcome = first.bench_by(watched, first.profile, worked_options());
      ASSERT_TRUE(outcome.result) << (outcome.fault ? outcome.fault->sentence() : "stopped");
      const record::CraftRecord record = first.store.records.at(0);
      if (record.by_hand.empty()) expect_before_as_shown(record, watched);

      practice::PracticeCraft wiped = first.port.controller().craft();
      wiped.start = {};
      PracticeSession again(dialect, wiped);
      RehearsedPerson person(again.person);
      session::ReapplyOptions options;
      options.bench.mount = session::MountWish::leave;
      const Outcome applied = again.reapply_by(person, record, options);
      ASSERT_TRUE(applied.result) << (applied.fault ? applied.fault->sentence() : "stopped");
      const record::CraftRecord& after = again.store.records.at(0);
      ASSERT_EQ(std::count_if(after.spins.begin(), after.spins.end(),
                              [](const record::SpinEntry& spin) { return spin.phase == "check"; }),
                0);
      expect_before_as_shown(after, person);
      for (const std::string& sentence : sheet::in_sentences(after, sheet::Side::before))
        wrong += sentence.find("clockwise; should be") != std::string::npos ? 1 : 0;
    }
  }
  EXPECT_GT(wrong, 10);
}

}  // namespace
}  // namespace armwise::test::plan_story_test
