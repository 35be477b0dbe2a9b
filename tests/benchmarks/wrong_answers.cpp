// How often a wrong answer ends in a wrong craft: simulated sessions, and their tables in DEVELOPERS.md.
//
//     wrong_answers                  1,000,000 sessions of quad-x and hex-x, 100,000 of octo-x, in each row
//     wrong_answers --sessions N     so many of quad-x and hex-x, a tenth of octo-x
//     wrong_answers --quick          10,000 and 1,000
//     wrong_answers --only "quad-x, 2 %"   only the rows whose name has this in it
#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <numeric>
#include <string>
#include <vector>

#include "solve/answering_people.hpp"

namespace {

using namespace armwise;
using solve::Ending;
using solve::PersonKind;
using solve::Rows;

struct Frames {
  const craft::Frame* frame;
  craft::Numbering numbering;
  std::shared_ptr<const solve::BeliefTables> tables;
};

Frames frame_for(const std::string& name) {
  Frames frames{craft::frame_named(name), {}, nullptr};
  frames.numbering.place_of_motor.resize(frames.frame->places.size());
  std::iota(frames.numbering.place_of_motor.begin(), frames.numbering.place_of_motor.end(), 0U);
  frames.tables = solve::Belief::tables(*frames.frame, frames.numbering);
  return frames;
}

// Any wiring, all alike.
Rows any_wiring(const craft::Frame& frame, Random& dice) {
  Rows rows{};
  for (std::size_t i = 0; i < frame.places.size(); ++i) {
    rows[i].place = i;
    std::swap(rows[i].place, rows[dice.below(i + 1)].place);
  }
  for (std::size_t i = 0; i < frame.places.size(); ++i) {
    rows[i].turn = dice.happens(0.5) ? craft::Turn::cw : craft::Turn::ccw;
  }
  return rows;
}

struct Row {
  std::string name, frame;
  bool plain_way = false, has_plain_way = false;
  double sure = 1e-4;
  PersonKind person;
  bool mixed = true;  // one in a hundred each looks from below, mirrors, holds the nose toward them
};

PersonKind drawn(const Row& row, Random& dice) {
  PersonKind kind = row.person;
  if (!row.mixed) return kind;
  const double which = dice.fraction();
  if (which < 0.01) {
    kind.view = {false, false, true};
  } else if (which < 0.02) {
    kind.view = {true, false, false};
  } else if (which < 0.03) {
    kind.view = {true, true, false};
  }
  return kind;
}

struct Counts {
  long sessions = 0, wrong = 0, given_up = 0;
  double spins = 0, questions = 0, microseconds = 0;
  std::vector<long> spins_taken = std::vector<long>(400);
  int percentile(double share) const {
    long count = 0;
    for (std::size_t i = 0; i < spins_taken.size(); ++i) {
      count += spins_taken[i];
      if (static_cast<double>(count) >= share * static_cast<double>(sessions)) return static_cast<int>(i);
    }
    return 0;
  }
};

Counts simulated(const Row& row, long sessions) {
  const Frames frames = frame_for(row.frame);
  Counts counts;
  const std::clock_t start = std::clock();
  for (long session = 0; session < sessions; ++session) {
    Random dice(static_cast<std::uint64_t>(session) * 7919 + 17);
    const Rows truth = any_wiring(*frames.frame, dice);
    const PersonKind kind = drawn(row, dice);
    const Ending ending = row.plain_way
                              ? plainly(*frames.frame, kind, truth, dice.next())
                              : interviewed(frames.tables, row.sure, *frames.frame, kind, truth, dice.next());
    ++counts.sessions;
    counts.wrong += ending.kept && !ending.right;
    counts.given_up += !ending.kept;
    counts.spins += ending.spins;
    counts.questions += ending.questions;
    ++counts.spins_taken[static_cast<std::size_t>(std::min(ending.spins, 399))];
  }
  counts.microseconds =
      1e6 * static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC / static_cast<double>(sessions);
  return counts;
}

std::string of(const Counts& counts, long which) {
  return std::to_string(which) + " of " + std::to_string(counts.sessions);
}

// One row, in Markdown; the time of a session goes to stderr.
void print(Row row, long sessions) {
  const Counts counts = simulated(row, sessions);
  std::string plainly;
  if (row.has_plain_way) {
    row.plain_way = true;
    const Counts plain = simulated(row, sessions);
    plainly = of(plain, plain.wrong);
  }
  const auto n = static_cast<double>(counts.sessions);
  std::printf("| %s | %s | %s | %.2f, %d | %.1f | %ld |\n", row.name.c_str(), plainly.c_str(),
              of(counts, counts.wrong).c_str(), counts.spins / n, counts.percentile(0.99),
              counts.questions / n, counts.given_up);
  std::fprintf(stderr, "%s: %.1f us a session\n", row.name.c_str(), counts.microseconds);
  std::fflush(stdout);
}

std::string per_cent(double share) {
  char text[32];
  std::snprintf(text, sizeof text, "%g %%", 100 * share);
  return text;
}

Row usual(const std::string& frame, double wrong) {
  Row row;
  row.frame = frame;
  row.person.wrong = wrong;
  row.name = frame + ", " + per_cent(wrong);
  return row;
}

// Any craft, and one person in a hundred each who sees it from below, mirrored, or turned.
std::vector<Row> main_rows(const std::string& frame) {
  std::vector<Row> rows;
  rows.push_back(usual(frame, 0));
  rows.back().mixed = false;
  rows.back().name = frame + ", none";
  for (const double wrong : {0.005, 0.01, 0.02, 0.05, 0.10}) {
    rows.push_back(usual(frame, wrong));
    rows.back().has_plain_way = true;
  }
  rows.push_back(usual(frame, 0.02));
  rows.back().sure = 1e-6;
  rows.back().name += ", --sure 1e-6";
  return rows;
}

// People who are not as the belief takes them to be.
std::vector<Row> other_people(const std::string& frame) {
  std::vector<Row> rows;
  rows.push_back(usual(frame, 0.20));
  for (const double wrong : {0.02, 0.05}) {
    rows.push_back(usual(frame, wrong));
    rows.back().person.repeats = 0.5;
    rows.back().name += ", half of the slips come again at the motor";
  }
  const std::pair<const char*, solve::View> seen[] = {
      {"all from below", {false, false, true}},
      {"all left for right", {true, false, false}},
      {"all front for rear", {false, true, false}},
      {"all with the nose toward them", {true, true, false}},
      {"all from below and left for right", {true, false, true}}};
  for (const auto& [name, view] : seen) {
    rows.push_back(usual(frame, 0.02));
    rows.back().mixed = false;
    rows.back().person.view = view;
    rows.back().name += std::string(", ") + name;
  }
  rows.push_back(usual(frame, 0.02));
  rows.back().mixed = false;
  rows.back().person.answers_plan = true;
  rows.back().name += ", all answer the check as planned";
  return rows;
}

void table(const char* what, const std::vector<Row>& rows, long sessions, const std::string& only) {
  std::printf(
      "\n| %s | the plain way: kept wrong | armwise: kept wrong | spins: mean, 99th percentile | spins and "
      "small questions | given up |\n| --- | ---: | ---: | ---: | ---: | ---: |\n",
      what);
  for (const Row& row : rows) {
    if (row.name.find(only) != std::string::npos)
      print(row, row.frame == "octo-x" ? sessions / 10 : sessions);
  }
}

}  // namespace

int main(int argc, char** argv) {
  long sessions = 1000000;
  std::string only;
  for (int i = 1; i < argc; ++i) {
    const std::string option = argv[i];
    if (option == "--quick") sessions = 10000;
    if (option == "--sessions" && i + 1 < argc) sessions = std::atol(argv[++i]);
    if (option == "--only" && i + 1 < argc) only = argv[++i];
  }
  for (const char* frame : {"quad-x", "hex-x", "octo-x"})
    table("answers wrong", main_rows(frame), sessions, only);
  table("other people", other_people("quad-x"), sessions / 10, only);
  return 0;
}
