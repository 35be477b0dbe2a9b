#include "armwise/console/playback.hpp"

#include <gtest/gtest.h>

#include <cctype>

namespace armwise::console::playback_test {
namespace {

Profile fixture_profile(const std::string& name) {
  return load_profile_file(std::string(ARMWISE_FIXTURES) + "/profiles/" + name + ".json");
}

std::string first_of(const std::string& command) {
  return command.substr(0, command.find_first_of(" ="));
}

TEST(Playback, NoLineThatSpinsKeepsRestartsOrLeavesIsEverSent) {
  for (const char* name : {"tarn", "sedge", "brook", "moor"}) {
    const Profile profile = fixture_profile(name);
    EXPECT_EQ(why_no_playback(profile), "") << name;
    const Values values{{"motor", "1"}, {"strength", "7"}, {"milliseconds", "1000"}};
    std::vector<std::string> dangerous{profile.spin->spin.steps.front().send.format(values),
                                       profile.spin->stop_all.steps.front().send.format({}),
                                       profile.keep->keep.steps.front().send.format({})};
    if (profile.keep->restart) dangerous.push_back(profile.keep->restart->steps.front().send.format({}));
    if (profile.leave) dangerous.push_back(profile.leave->steps.front().send.format({}));
    for (const std::string& line : dangerous) {
      EXPECT_NE(why_left_out(profile, line), "") << name << ": " << line;
      EXPECT_NE(why_left_out(profile, "  " + line + " \t"), "") << name << ": " << line;
      EXPECT_NE(why_left_out(profile, line + " more"), "") << name << ": " << line;
      std::string loud = line;
      for (char& c : loud) c = static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
      EXPECT_NE(why_left_out(profile, loud), "") << name << ": " << loud;
    }
  }
}

TEST(Playback, ASpinWithOtherValuesIsStillASpin) {
  const Profile profile = fixture_profile("sedge");
  const std::string spin = profile.spin->spin.steps.front().send.source();
  const std::string opening = spin.substr(0, spin.find('{'));
  EXPECT_NE(why_left_out(profile, opening + "all = 9999 please"), "");
  const Profile other = fixture_profile("tarn");
  EXPECT_NE(why_left_out(other, first_of(other.spin->spin.steps.front().send.source()) + "  \t 3"), "");
}

TEST(Playback, OrdinaryLinesMayBeSent) {
  const Profile sedge = fixture_profile("sedge");
  EXPECT_EQ(why_left_out(sedge, "output.0 = P4"), "");
  EXPECT_EQ(why_left_out(sedge, "amber_limit_1 = 17"), "");
  // A name that only begins like the command that keeps.
  const std::string keep = sedge.keep->keep.steps.front().send.source();
  EXPECT_EQ(why_left_out(sedge, keep + "_delay = 3"), "");
}

TEST(Playback, WhatNobodyCouldHaveTypedStaysOut) {
  const Profile sedge = fixture_profile("sedge");
  EXPECT_NE(why_left_out(sedge, ""), "");
  EXPECT_NE(why_left_out(sedge, "output.0 = P4\x1b[2J"), "");
  EXPECT_NE(why_left_out(sedge, "output.0 = P4\rwrite"), "");
  EXPECT_NE(why_left_out(sedge, "a\xff = 3"), "");
  EXPECT_NE(why_left_out(sedge, std::string(501, 'a')), "");
}

TEST(Playback, MenusAreNotPlayedTo) {
  EXPECT_NE(why_no_playback(fixture_profile("fell")), "");
  Profile without = fixture_profile("sedge");
  without.whole_configuration.reset();
  EXPECT_NE(why_no_playback(without), "");
}

}  // namespace
}  // namespace armwise::console::playback_test
