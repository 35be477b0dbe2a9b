#include "guard_statements.hpp"

#include <gtest/gtest.h>

#include <set>
#include <string_view>

namespace armwise::link::guard_statements_test {
namespace {

TEST(GuardStatements, EachHasAnIdOfItsOwnAndATextThatJsonTakesAsItIs) {
  std::set<std::string_view> ids;
  for (const GuardStatement& statement : guard_statements) {
    EXPECT_TRUE(ids.insert(statement.id).second) << statement.id;
    EXPECT_EQ(statement.level, "danger") << statement.id;
    EXPECT_FALSE(statement.text.empty()) << statement.id;
    EXPECT_EQ(statement.text.find_first_of("\"\\\r\n\t"), std::string_view::npos) << statement.id;
  }
}

}  // namespace
}  // namespace armwise::link::guard_statements_test
