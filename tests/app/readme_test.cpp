// What the manual pages promise is so: the example runs, and the messages that are explained are those that
// are said.
#include <gtest/gtest.h>

#include <regex>
#include <set>

#include "app/workshop.hpp"

namespace armwise::test {
namespace {

const std::filesystem::path root = std::filesystem::path(ARMWISE_FIXTURES).parent_path();

std::string between(const std::string& text, const std::string& first, const std::string& last) {
  const std::size_t begin = text.find(first);
  if (begin == std::string::npos) return {};
  const std::size_t end = text.find(last, begin + first.size());
  return text.substr(begin + first.size(), end - begin - first.size());
}

std::string manual(const std::string& page) {
  return contents(root / "scripts" / "package" / (page + ".scd"));
}

TEST(Manual, TheMachineExampleInPythonPlaysAWholeSession) {
  const Workshop workshop;
  const std::string example = between(manual("armwise-machine.5"), "```\nimport", "```");
  ASSERT_FALSE(example.empty());
  std::ofstream(workshop.file("drive.py")) << "import" << example;
  Program script({"/usr/bin/python3", workshop.file("drive.py"), ARMWISE_PROGRAM, "--baud", "0",
                  "--spin-time", "200", "--seed", "5"},
                 workshop.home());
  EXPECT_EQ(script.ended(), 0) << script.output() << script.errors();
  EXPECT_NE(script.output().find("Done and proven"), std::string::npos) << script.output();
  EXPECT_TRUE(
      std::filesystem::exists(workshop.home() / ".local/share/armwise/crafts/my-first-quad.armwise.json"));
}

// All string literals of the program, those that stand beside each other joined.
std::string all_that_is_said() {
  std::string said;
  for (const auto& entry : std::filesystem::recursive_directory_iterator(root / "src")) {
    if (entry.path().extension() != ".cpp") continue;
    bool inside = false;
    const std::string text = contents(entry.path());
    for (std::size_t i = 0; i < text.size(); ++i) {
      if (text[i] == '\\' && inside) {
        said += text[++i];
      } else if (text[i] == '"') {
        inside = !inside;
      } else if (inside) {
        said += text[i];
      } else if (std::isspace(static_cast<unsigned char>(text[i])) == 0) {
        said += '\x1f';  // code in between: another literal
      }
    }
  }
  return said;
}

TEST(Manual, ExplainsOnlyMessagesThatAreSaid) {
  std::istringstream lines(between(manual("armwise-messages.7"), "# MESSAGES\n", "\n# "));
  const std::string said = all_that_is_said();
  int messages = 0;
  for (std::string message; std::getline(lines, message);) {
    if (message.empty() || message.front() == '\t') continue;
    for (std::size_t gap = 0; gap != std::string::npos;) {
      gap = message.find("…");
      std::string part = message.substr(0, gap);
      while (part.ends_with(' ')) part.pop_back();
      while (part.starts_with(' ')) part.erase(0, 1);
      EXPECT_TRUE(part.empty() || said.find(part) != std::string::npos) << part;
      if (gap != std::string::npos) message.erase(0, gap + std::string("…").size());
    }
    ++messages;
  }
  EXPECT_GT(messages, 10);
}

// An id is given where a question is made (`question.id = "frame"`), or as the first word for a function that
// asks.
std::set<std::string> ids_asked_under() {
  const std::regex given(
      R"re((?:\bid = |(?:confirm|yes_or_no|ask_\w+|choose\w*|one_of|learn\w*)\(\s*)"([a-z]+(?:-[a-z]+)*)")re");
  std::set<std::string> ids;
  for (const char* floor : {"src/session", "src/app"}) {
    for (const auto& entry : std::filesystem::directory_iterator(root / floor)) {
      const std::string text = contents(entry.path());
      for (std::sregex_iterator found(text.begin(), text.end(), given), none; found != none; ++found)
        ids.insert((*found)[1]);
    }
  }
  return ids;
}

TEST(Manual, EveryQuestionIdIsThere) {
  const std::string scripting = manual("armwise-machine.5");
  const std::set<std::string> ids = ids_asked_under();
  EXPECT_GT(ids.size(), 40U);
  for (const std::string& id : ids) {
    const std::string first = id.ends_with("-again") ? id.substr(0, id.size() - 6) : id;
    EXPECT_NE(scripting.find("*" + first + "*"), std::string::npos) << id;
  }
}

}  // namespace
}  // namespace armwise::test
