// The table of statements: ids that a script can rely on, and no blank that stays empty.
#include <gtest/gtest.h>

#include <regex>
#include <set>
#include <string>

#include "armwise/base/fault.hpp"
#include "support/rehearsed_person.hpp"
#include "support/worked_craft.hpp"

namespace armwise::test::statements_test {
namespace {

using session::Statement;
using session::TableOfStatements;

std::set<std::string> blanks_of(const TableOfStatements::Row& row) {
  static const std::regex blank("\\{([^}]*)\\}");
  const std::string sentence(row.sentence);
  std::set<std::string> names;
  for (std::sregex_iterator found(sentence.begin(), sentence.end(), blank), none; found != none; ++found)
    names.insert((*found)[1]);
  return names;
}

TEST(TableOfStatements, HasEachIdOnceAndNoValueThatHidesWhatAMachineReads) {
  std::set<std::string_view> ids;
  for (const TableOfStatements::Row& row : TableOfStatements::rows) {
    const std::string id(row.id);
    EXPECT_TRUE(ids.insert(row.id).second) << id;
    EXPECT_TRUE(std::regex_match(id, std::regex("[a-z]+(-[a-z]+)*"))) << id;
    for (const char* taken : {"type", "id", "level", "text", "step", "of"})
      EXPECT_FALSE(blanks_of(row).contains(taken)) << id;
  }
}

TEST(Statement, IsItsSentenceWithItsValuesInIt) {
  const Statement said = session::statement_of("stop-lost", {{"why", "the line is {gone}"}});
  EXPECT_EQ(said.id, "stop-lost");
  EXPECT_EQ(said.level, session::Level::alarm);
  EXPECT_NE(said.text.find("(the line is {gone})"), std::string::npos) << "a value is not looked at again";
  EXPECT_EQ(said.facts.at("why"), "the line is {gone}");
}

TEST(Statement, OfAFaultHasItsIdItsKindAndItsParts) {
  const Fault fault =
      Fault(FaultKind::mismatch, "It went wrong", "nobody knows why", "Try again").as("some-id");
  const Statement said = session::statement_of(fault.within("while looking"));
  EXPECT_EQ(said.id, "some-id") << "also one step further out";
  EXPECT_EQ(said.level, session::Level::problem);
  EXPECT_EQ(said.facts.at("fault"), "mismatch");
  EXPECT_EQ(said.facts.at("next"), "Try again");
  EXPECT_EQ(session::statement_of(Fault(FaultKind::mismatch, "It went wrong")).id, "fault");
  EXPECT_EQ(session::statement_of(Fault(FaultKind::unsafe, "It turns")).level, session::Level::danger);
}

// Of all that whole sessions say: nothing without an id, and no value forgotten.
TEST(Statement, OfAWholeSessionHasAnIdAndAllItsValues) {
  std::set<std::string> said;
  for (const char* dialect : {"tarn", "sedge", "brook", "fell", "moor"}) {
    PracticeSession session(dialect, worked_craft());
    RehearsedPerson person(session.person);
    session.bench_by(person, session.profile, worked_options(session::MountWish::find));
    for (const Statement& statement : person.told) {
      if (statement.kind == Statement::Kind::phase) continue;
      said.insert(statement.id);
      const auto* row = std::ranges::find(TableOfStatements::rows, statement.id, &TableOfStatements::Row::id);
      ASSERT_NE(row, TableOfStatements::rows.end()) << statement.text;
      for (const std::string& blank : blanks_of(*row))
        EXPECT_TRUE(statement.facts.contains(blank)) << statement.id << ": " << blank;
    }
  }
  EXPECT_GT(said.size(), 15U);
}

}  // namespace
}  // namespace armwise::test::statements_test
