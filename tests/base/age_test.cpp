#include "armwise/base/age.hpp"

#include <gtest/gtest.h>

namespace armwise::age_test {
namespace {

TEST(Age, IsSaidInTheUnitThatItIsLongIn) {
  const std::string now = "2026-11-28T16:00:00+01:00";
  EXPECT_EQ(age_in_words("2026-11-28T15:00:30+00:00", now), "2026-11-28") << "still to come";
  EXPECT_EQ(age_in_words("2026-11-28T14:59:30+00:00", now), "just now") << "by its offset";
  EXPECT_EQ(age_in_words("2026-11-28T14:59:00+00:00", now), "1 minute ago");
  EXPECT_EQ(age_in_words("2026-11-28T12:30:00+00:00", now), "2 hours ago");
  EXPECT_EQ(age_in_words("2026-11-18T12:30:00+00:00", now), "10 days ago");
  EXPECT_EQ(age_in_words("2026-09-30T12:30:00+00:00", now), "8 weeks ago");
  EXPECT_EQ(age_in_words("2026-02-28T12:30:00+00:00", now), "9 months ago");
  EXPECT_EQ(age_in_words("2024-02-28T12:30:00+00:00", now), "2024-02-28");
  EXPECT_EQ(age_in_words("yesterday", now), "yesterday");
  EXPECT_EQ(age_in_words("\x1B[2Jx", now), "x") << "printable";
}

}  // namespace
}  // namespace armwise::age_test
