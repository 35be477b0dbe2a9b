// A profile that is written reads back as the same one.
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <iterator>
#include <nlohmann/json.hpp>
#include <random>
#include <sstream>

#include "armwise/base/fault.hpp"
#include "armwise/console/profile.hpp"
#include "support/sweep.hpp"

namespace armwise::console::profile_text_test {
namespace {

std::string whole(const std::filesystem::path& file) {
  std::ifstream in(file, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

std::vector<std::filesystem::path> fixture_profiles() {
  std::vector<std::filesystem::path> files;
  for (const auto& entry : std::filesystem::directory_iterator(std::string(ARMWISE_FIXTURES) + "/profiles")) {
    if (entry.path().extension() == ".json") files.push_back(entry.path());
  }
  return files;
}

TEST(ProfileText, EveryFixtureReadsBackTheSame) {
  ASSERT_GE(fixture_profiles().size(), 5U);
  for (const auto& file : fixture_profiles()) {
    const Profile profile = load_profile(whole(file));
    const std::string text = profile_text(profile);
    EXPECT_EQ(load_profile(text), profile) << text;
  }
}

TEST(ProfileText, IsReadable) {
  for (const auto& file : fixture_profiles()) {
    std::istringstream lines(profile_text(load_profile(whole(file))));
    int count = 0;
    for (std::string line; std::getline(lines, line); ++count) {
      // Only a template that is itself longer may go beyond.
      const bool long_template = line.find("\"{{") != std::string::npos;
      EXPECT_TRUE(long_template || line.size() <= 110U) << line;
    }
    EXPECT_LT(count, 140) << file;
  }
}

// Any part of a profile may be missing, so each fixture is thinned out at random in every way that is sound.
TEST(ProfileText, WhatIsLeftOfAFixtureReadsBackTheSame) {
  std::mt19937 random(5);
  int sound = 0;
  test::InTurn in_turn;
  for (const auto& file : fixture_profiles()) {
    const nlohmann::json full = nlohmann::json::parse(whole(file));
    for (int i = 0; i < 300; ++i) {
      nlohmann::json thinned = full;
      for (auto& [key, section] : full.items()) {
        if (random() % 16 == 0) {
          thinned.erase(key);
        } else if (section.is_object()) {
          for (const auto& [inner, value] : section.items()) {
            if (random() % 32 == 0) thinned[key].erase(inner);
          }
        }
      }
      if (in_turn.is_left_out()) continue;
      Profile profile;
      try {
        profile = load_profile(thinned.dump());
      } catch (const Fault&) {
        continue;
      }
      ++sound;
      ASSERT_EQ(load_profile(profile_text(profile)), profile) << thinned.dump(2);
    }
  }
  EXPECT_GT(sound, test::sanitized ? 50 : 500);
}

TEST(ProfileText, WritesNumbersThatAreNotWholeToTheLastDigit) {
  Profile profile;
  profile.name = "n";
  profile.open.prompt = "> ";
  profile.mount.emplace();
  profile.mount->read = {
      {{Template::parse("m"), ""}}, {Template::parse("{yaw} {pitch} {roll}")}, std::nullopt, " ", false, {}};
  profile.mount->per_degree = 0.017453292519943295;
  EXPECT_EQ(load_profile(profile_text(profile)).mount->per_degree, 0.017453292519943295);
}

}  // namespace
}  // namespace armwise::console::profile_text_test
