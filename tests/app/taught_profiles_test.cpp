// Which of the profiles that a person has taught are offered where none is named: those that the console on
// the port answers to. Another process is the craft.
#include <gtest/gtest.h>

#include <algorithm>
#include <functional>

#include "app/machine_driver.hpp"
#include "app/workshop.hpp"
#include "armwise/session/teach.hpp"

namespace armwise::test::taught_profiles_test {
namespace {

using nlohmann::json;

class TaughtProfiles : public ::testing::Test {
 protected:
  using Otherwise = std::function<void(json&)>;

  TaughtProfiles() {
    std::filesystem::create_directories(folder_);
    workshop_.make_craft("craft.json", *craft::frame_named("quad-x"), 4242);
  }
  void teach(const std::string& name, const Otherwise& otherwise = {}) const {
    json profile = json::parse(contents(std::string(ARMWISE_FIXTURES) + "/profiles/" + name + ".json"));
    if (otherwise) otherwise(profile);
    std::ofstream(folder_ / ("taught-" + name + ".json")) << profile.dump(1);
  }

  // What a backup of a craft that speaks so is offered, name -> words, before it goes on with `chosen`.
  json offered(const std::string& spoken, const std::string& chosen) {
    const auto craft =
        workshop_.start({"practice", "--profile", spoken, "--craft", workshop_.file("craft.json"),
                         "--directory", workshop_.file("devices"), "--baud", "0"});
    while (const auto line = craft->line()) {
      if (*line == "ready") break;
    }
    const auto backup = workshop_.start(
        {"backup", "--machine", "-o", workshop_.file("backup.txt"), "--capture", workshop_.file("capture")},
        {{"ARMWISE_DEVICES", workshop_.file("devices")}}, true);
    MachineDriver driver(*backup);
    driver.answers["profile"] = {{"answer", chosen}};
    json choices;
    driver.at_line = [&](const json& line) {
      if (line.value("id", "") != "profile" || !choices.is_null()) return;
      choices = line.at("choices").at("answer");
      sent_before_ = lines_sent();
    };
    driver.run();
    EXPECT_EQ(backup->ended(), 0) << driver.all();
    EXPECT_GT(std::filesystem::file_size(workshop_.file("backup.txt")), 100U);
    for (const json& line : driver.lines) said_.push_back(line.dump());
    return choices;
  }
  static bool answers(const json& choices, const std::string& name) {
    return choices.at(name).get<std::string>().starts_with("the console answers to it");
  }
  int times_said(const std::string& part) const {
    return static_cast<int>(std::count_if(said_.begin(), said_.end(), [&](const std::string& text) {
      return text.find(part) != std::string::npos;
    }));
  }
  // Whether it stands anywhere in what went to the console before the person chose.
  bool sent_any(const std::string& part) const {
    return std::any_of(sent_before_.begin(), sent_before_.end(),
                       [&](const std::string& sent) { return sent.find(part) != std::string::npos; });
  }
  // Whether this went to the console before the person chose.
  bool sent(const std::string& line) const {
    return std::count(sent_before_.begin(), sent_before_.end(), line) > 0;
  }

  Workshop workshop_;

 private:
  std::vector<std::string> lines_sent() const {
    std::vector<std::string> sent;
    std::istringstream capture(contents(workshop_.file("capture")));
    for (std::string line; std::getline(capture, line);) {
      const json entry = json::parse(line);
      if (entry.contains("sent")) sent.push_back(entry["sent"]);
    }
    return sent;
  }

  std::filesystem::path folder_ = workshop_.home() / ".local" / "share" / "armwise" / "profiles";
  std::vector<std::string> said_, sent_before_;
};

TEST_F(TaughtProfiles, TheOneThatTheConsoleAnswersToIsOfferedAsSuch) {
  teach("brook");
  teach("tarn");
  const json choices = offered("tarn", "taught-tarn");
  EXPECT_TRUE(answers(choices, "taught-tarn")) << choices;
  EXPECT_FALSE(answers(choices, "taught-brook")) << choices;
}

// A console that is silent until its word is typed was never matched.
TEST_F(TaughtProfiles, OneWhoseConsoleNeedsAWordIsOfferedToo) {
  teach("brook");
  teach("sedge");
  teach("tarn");
  const json choices = offered("sedge", "taught-sedge");
  EXPECT_TRUE(answers(choices, "taught-sedge")) << choices;
  EXPECT_FALSE(answers(choices, "taught-tarn")) << choices;
  EXPECT_TRUE(sent("edit\n"));
  EXPECT_EQ(times_said(R"("sent":"edit")"), 1);
}

// One console's word may be an order on another that is open.
TEST_F(TaughtProfiles, NoWordGoesToAConsoleThatAnswers) {
  teach("sedge");
  const json choices = offered("tarn", "tarn");
  EXPECT_FALSE(answers(choices, "taught-sedge")) << choices;
  EXPECT_FALSE(sent("edit\n"));
  EXPECT_EQ(times_said("opening-tried"), 0);
}

// Silent consoles may listen all the same: what another profile at hand keeps, restarts or spins with is no
// word to try, and neither is a key.
TEST_F(TaughtProfiles, NoWordIsTriedThatIsAnOrderElsewhereOrAKey) {
  const std::string order = "halt every motor", key = "+++\x03";
  teach("sedge", [&](json& profile) { profile["open"]["send"] = order; });
  teach("brook", [&](json& profile) { profile["open"]["send"] = key; });
  const json choices = offered("sedge", "sedge");
  EXPECT_FALSE(answers(choices, "taught-sedge")) << choices;
  EXPECT_FALSE(sent(order + "\n"));
  EXPECT_FALSE(sent(key));
  EXPECT_FALSE(sent(key + "\r"));
  EXPECT_EQ(times_said("opening-tried"), 0);
}

// The first answer, whatever it is, shows that something is open.
TEST_F(TaughtProfiles, AfterTheFirstAnswerNoMoreWordsAreTyped) {
  teach("sedge", [](json& profile) { profile["open"]["prompt"] = "another> "; });
  teach("tarn", [](json& profile) { profile["open"]["send"] = "let me in"; });
  const json choices = offered("sedge", "sedge");
  EXPECT_FALSE(answers(choices, "taught-sedge")) << choices;
  EXPECT_TRUE(sent("edit\n"));
  EXPECT_EQ(times_said("opening-tried"), 1);
  EXPECT_EQ(times_said("let me in"), 0);
}

// To play with a profile of one's own before a battery is near: the practice craft is then a stranger.
TEST_F(TaughtProfiles, APracticeCraftOfAnotherConsoleIsMetWithThem) {
  teach("sedge");
  const auto bench = workshop_.start(
      {"bench", "--practice", "--practice-console", "sedge", "--machine", "--baud", "0"}, {}, true);
  MachineDriver driver(*bench);
  driver.answers["profile"] = {{"answer", "taught-sedge"}};
  driver.answers["frame"] = {{"answer", "quad-x"}};
  driver.answers["props-off"] = {{"id", "stop"}};
  json choices;
  driver.at_line = [&](const json& line) {
    if (line.value("id", "") == "profile") choices = line.at("choices").at("answer");
  };
  driver.run();
  EXPECT_EQ(bench->ended(), 5) << driver.all();
  ASSERT_TRUE(choices.is_object()) << driver.all();
  EXPECT_TRUE(answers(choices, "taught-sedge")) << choices;
  EXPECT_EQ(driver.asked("frame"), 1) << driver.all();
}

// A defect found: a prompt that ended alike was enough for a profile's stop, its question and its way in to
// be sent unsaid, whatever they are on the console that listens.
TEST_F(TaughtProfiles, WordsThatAreOrdersElsewhereDoNotGoToAConsoleWhosePromptEndsAlike) {
  teach("sedge", [](json& profile) {
    profile["open"]["prompt"] = "> ";
    profile["spin"]["stop_all"] = "keep it";
  });
  const json choices = offered("tarn", "tarn");
  EXPECT_FALSE(answers(choices, "taught-sedge")) << choices;
  EXPECT_FALSE(sent_any("keep it"));
  EXPECT_FALSE(sent_any("about.*"));
  EXPECT_EQ(times_said("introduction-left-out"), 1);
}

TEST_F(TaughtProfiles, NorToOneThatHasTheSamePromptAsAnotherProfile) {
  teach("sedge", [](json& profile) {
    profile["open"]["prompt"] = "tarn> ";
    profile["open"]["home"] = "start over";
  });
  const json choices = offered("tarn", "tarn");
  EXPECT_FALSE(answers(choices, "taught-sedge")) << choices;
  EXPECT_FALSE(sent_any("start over"));
}

TEST_F(TaughtProfiles, WhereOnlyTheEndIsAlikeThePersonIsToldWhatIsSent) {
  teach("tarn", [](json& profile) { profile["open"]["prompt"] = "> "; });
  const json choices = offered("tarn", "taught-tarn");
  EXPECT_TRUE(answers(choices, "taught-tarn")) << choices;
  EXPECT_EQ(times_said(R"("sent":"\"halt every motor\", \"say bench417\", \"who are you\"")"), 1);
}

TEST_F(TaughtProfiles, NothingIsSentOutOfAProfileThatNobodyHasProven) {
  teach("tarn", [](json& profile) {
    profile["notes"] = {"Prepared from a saved console session; not proven on a console."};
  });
  const json choices = offered("tarn", "tarn");
  EXPECT_FALSE(answers(choices, "taught-tarn")) << choices;
  EXPECT_FALSE(sent_any("halt every motor"));
}

}  // namespace
}  // namespace armwise::test::taught_profiles_test
