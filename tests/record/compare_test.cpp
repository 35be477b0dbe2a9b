#include "armwise/record/compare.hpp"

#include <gtest/gtest.h>

#include "armwise/record/files.hpp"

namespace armwise::record::compare_test {
namespace {

CraftRecord table_quad() {
  return record_from_json(read_whole(std::string(ARMWISE_FIXTURES) + "/records/version-1.armwise.json"));
}

std::vector<std::string> words(const CraftRecord& older, const CraftRecord& newer) {
  std::vector<std::string> out;
  for (const Difference& difference : compare(older, newer))
    out.push_back(difference.about + ": " + difference.words);
  return out;
}

using Words = std::vector<std::string>;

TEST(Compare, TheSameCraftOnAnotherDayAndPortIsTheSame) {
  CraftRecord later = table_quad();
  later.made_at = "2027-01-01T10:00:00+00:00";
  later.port = "/dev/ttyACM3";
  later.spins.clear();
  EXPECT_EQ(words(table_quad(), later), Words{});
}

TEST(Compare, SaysWhatChangedInTradeWords) {
  CraftRecord later = table_quad();
  later.identity.version = "3.0";
  later.wiring["P1"] = "front-right cw";
  later.wiring.erase("P4");
  later.wiring["P6"] = "rear-left ccw";
  later.after.map.pins[3] = {"P6"};
  later.after.mount = craft::YawPitchRoll{180, 0, 0};
  later.mount_in_words = "facing backward";
  EXPECT_EQ(
      words(table_quad(), later),
      (Words{
          "controller: the firmware's version is 3.0; it was 2.1",
          "wiring: pin P1 is front-right, turning clockwise; it was front-right, turning counter-clockwise",
          "wiring: pin P4 is not used any more; it was rear-left, turning counter-clockwise",
          "wiring: pin P6 is new: rear-left, turning counter-clockwise",
          "settings: motor 4 is on pin P6 instead of pin P4",
          "settings: the mount is yaw 180, pitch 0, roll 0 degrees instead of yaw 90, pitch 0, roll 0 "
          "degrees",
          "mount: the board's true mount is facing backward; it was not told"}));
}

TEST(Compare, AProofThatIsMissingIsSaid) {
  CraftRecord later = table_quad();
  later.proof_spins = 2;
  EXPECT_EQ(words(table_quad(), later),
            Words{"proof: the craft is not proven (2 proof spins, read back as written); it was proven"});
}

// Looking from either end names the same matters.
TEST(Compare, IsAsLongBothWays) {
  CraftRecord other = table_quad();
  other.frame = "quad-plus";
  other.scheme = craft::PropScheme::out;
  other.numbering = {"front", "right", "rear", "left"};
  other.after.map.pins.push_back({"P5"});
  other.kept = false;
  EXPECT_EQ(compare(table_quad(), other).size(), compare(other, table_quad()).size());
  EXPECT_EQ(compare(table_quad(), other).size(), 8U);
}

}  // namespace
}  // namespace armwise::record::compare_test
