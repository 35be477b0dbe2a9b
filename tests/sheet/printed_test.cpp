// The page as Chromium prints it: one A4 page, however much there is to say. Judged by poppler's pdfinfo.
#include <gtest/gtest.h>

#include <array>
#include <cstdio>
#include <regex>

#include "armwise/record/files.hpp"
#include "armwise/sheet/sheet.hpp"
#include "record/temporary_folder.hpp"
#include "sheet/sample_records.hpp"

namespace armwise::sheet::printed_test {
namespace {

std::string output_of(const std::string& command) {
  std::string out;
  FILE* pipe = ::popen((command + " 2>/dev/null").c_str(), "r");
  if (pipe == nullptr) return out;
  std::array<char, 4096> part{};
  while (const std::size_t length = std::fread(part.data(), 1, part.size(), pipe))
    out.append(part.data(), length);
  ::pclose(pipe);
  return out;
}

class Printed : public ::testing::Test {
 protected:
  void SetUp() override {
    if (output_of("command -v chromium").empty() || output_of("command -v pdfinfo").empty())
      GTEST_SKIP() << "chromium or pdfinfo is not installed";
  }

  // "1 A4": pages and size.
  std::string printed(const std::string& html) {
    const std::string page = (folder_.path() / "page.html").string();
    const std::string pdf = (folder_.path() / "page.pdf").string();
    record::write_whole(page, html);
    std::filesystem::remove(pdf);
    output_of(
        "chromium --headless --no-sandbox --disable-gpu --no-first-run --disable-background-networking "
        "--user-data-dir='" +
        (folder_.path() / "browser").string() + "' --no-pdf-header-footer --print-to-pdf='" + pdf +
        "' 'file://" + page + "'");
    const std::string told = output_of("pdfinfo '" + pdf + "'");
    std::smatch pages, size;
    if (!std::regex_search(told, pages, std::regex("Pages: +([0-9]+)"))) return "no PDF";
    const bool a4 = std::regex_search(told, size, std::regex("\\(A4\\)"));
    return pages[1].str() + (a4 ? " A4" : " other");
  }

  TemporaryFolder folder_;
};

const RecordFile some_file{"craft.armwise.json", std::string(64, 'c')};

TEST_F(Printed, OrdinaryPagesAreOneA4Page) {
  for (const char* frame : {"quad-x", "octo-x", "y6"})
    EXPECT_EQ(printed(sheet(sample(frame), some_file)), "1 A4") << frame;
}

TEST_F(Printed, ManyRepeatsAreOneA4Page) {
  for (const char* frame : {"octo-x", "x8"}) {
    for (const int repeats : {2, 4, 8}) {
      record::CraftRecord record = sample(frame, repeats);
      for (const auto& [pin, where] : record.wiring) {
        record.doubt[pin] = 2.5e-7;
        record.spins.push_back({"proof", 1, pin, 1, "nose", false, 0, "edge"});
      }
      EXPECT_EQ(printed(sheet(record, some_file)), "1 A4") << frame << " " << repeats;
    }
  }
}

TEST_F(Printed, TheFullestRecordIsOneA4Page) {
  for (const char* frame : {"octo-x", "x8"})
    EXPECT_EQ(printed(sheet(fullest(frame), some_file)), "1 A4") << frame;
  record::CraftRecord japanese = fullest("x8");
  for (std::string* text :
       {&japanese.craft_name, &japanese.operator_name, &japanese.place, &japanese.mount_found}) {
    text->clear();
    for (int i = 0; i < 60; ++i) *text += "試験機";
  }
  EXPECT_EQ(printed(sheet(japanese, some_file)), "1 A4");
}

// The count above can fail: a page with more on it than fits is more than one.
TEST_F(Printed, TooMuchWouldShow) {
  std::string page = sheet(sample("quad-x"), some_file);
  std::string more;
  for (int i = 0; i < 60; ++i) more += "<p>one more line</p>";
  page.insert(page.find("<footer>"), more);
  const std::string told = printed(page);
  EXPECT_TRUE(told == "2 A4" || told == "3 A4") << told;
}

}  // namespace
}  // namespace armwise::sheet::printed_test
