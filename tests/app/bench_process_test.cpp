// `armwise bench` as a person starts it: a process with a home of its own, a practice craft behind a real
// pseudo-terminal that is as slow as a serial line, and a restart in which the port goes away.
#include <gtest/gtest.h>

#include <deque>

#include "app/workshop.hpp"
#include "armwise/record/craft_record.hpp"

namespace armwise::test::bench_process_test {
namespace {

constexpr int crafts = 50;
constexpr std::size_t at_a_time = 25;
constexpr std::array dialects{"tarn", "sedge", "brook", "fell", "moor"};

struct Bench {
  std::string dialect, name, record;
  craft::PropScheme scheme = craft::PropScheme::in;
  Truth truth;
  std::unique_ptr<Program> program;
};

// How each console's whole configuration says that a motor is on a pin; written out by hand.
std::string listed(const std::string& dialect, int motor, const std::string& pin) {
  const std::string number = std::to_string(motor);
  if (dialect == "tarn") return "motor " + number + " drives " + pin;
  if (dialect == "sedge") return "output." + std::to_string(motor - 1) + " = " + pin;
  if (dialect == "brook") return "{\"m\":" + number + ",\"pin\":\"" + pin + "\"}";
  if (dialect == "fell") return "Pin " + pin + " belongs to " + std::to_string(100 + motor);
  return number + ":" + pin;
}

Bench start(const Workshop& workshop, int number) {
  Bench bench;
  const auto seed = static_cast<unsigned>(1000 + number);
  const auto& frames = craft::frames();
  const auto at = static_cast<std::size_t>(number);
  const craft::Frame& frame = frames[at % frames.size()];
  bench.dialect = dialects[at % dialects.size()];
  bench.name = "craft-" + std::to_string(number) + ".json";
  bench.record = workshop.file("record-" + std::to_string(number) + ".json");
  bench.scheme = number % 2 == 0 ? craft::PropScheme::in : craft::PropScheme::out;
  bench.truth = workshop.make_craft(bench.name, frame, seed);
  std::vector<std::string> arguments{"bench",
                                     "--practice",
                                     "--play",
                                     "--baud",
                                     "115200",
                                     "--profile",
                                     bench.dialect,
                                     "--practice-craft",
                                     workshop.file(bench.name),
                                     "--frame",
                                     frame.name,
                                     "--props",
                                     std::string(craft::name(bench.scheme)),
                                     "--craft",
                                     bench.name,
                                     "--output",
                                     bench.record,
                                     "--spin-time",
                                     "200"};
  // One on each dialect finds the mount out as well.
  if (number % 11 != 0) arguments.emplace_back("--leave-mount");
  bench.program = workshop.start(arguments);
  return bench;
}

void expect_the_truth(const Bench& bench, const record::CraftRecord& record) {
  const auto& after = record.after;
  std::size_t reversed_by_hand = 0;
  const auto places = bench.truth.frame->places.size();
  ASSERT_EQ(record.numbering.size(), places);
  for (std::size_t i = 0; i < places; ++i) {
    const std::string pin = after.map.pins.at(i).name;
    const auto wire = bench.truth.wiring.find(pin);
    ASSERT_NE(wire, bench.truth.wiring.end()) << pin;
    EXPECT_EQ(wire->second.place, record.numbering[i]) << "motor " << i + 1;
    craft::Turn turn = wire->second.turn;
    if (after.turn_key != solve::TurnKey::not_settable && after.turns.at(i) == craft::Turn::ccw)
      turn = craft::opposite(turn);
    const craft::Turn wanted =
        bench.truth.frame->wanted(*bench.truth.frame->find(record.numbering[i]), record.scheme);
    if (after.turn_key == solve::TurnKey::not_settable) {
      if (turn != wanted) ++reversed_by_hand;
    } else {
      EXPECT_EQ(turn, wanted) << "motor " << i + 1;
    }
  }
  EXPECT_EQ(record.by_hand.size(), reversed_by_hand);
}

void expect_right(Bench& bench) {
  SCOPED_TRACE(bench.dialect + " " + bench.truth.frame->name + " " + bench.name);
  ASSERT_EQ(bench.program->ended(), 0) << bench.program->output() << bench.program->errors();
  EXPECT_EQ(bench.program->errors(), "");
  EXPECT_EQ(bench.program->output().find('\x1b'), std::string::npos) << "an escape code in a pipe";
  EXPECT_EQ(bench.program->output().find('\r'), std::string::npos);
  const record::CraftRecord record = record::record_from_json(contents(bench.record));
  EXPECT_EQ(record.frame, bench.truth.frame->name);
  EXPECT_EQ(record.craft_name, bench.name);
  EXPECT_TRUE(record.proven_whole());
  EXPECT_EQ(record.proof_spins, bench.truth.frame->size());
  expect_the_truth(bench, record);
  // What the controller itself says after its restart, in its own words.
  if (!record.kept) return;
  const std::filesystem::path beside = std::filesystem::path(bench.record).parent_path();
  const std::string configuration = contents(beside / record.configuration_after);
  for (int motor = 1; motor <= bench.truth.frame->size(); ++motor) {
    const std::string wanted =
        listed(bench.dialect, motor, record.after.map.pin_of(craft::Motor{motor}).name);
    EXPECT_NE(configuration.find(wanted), std::string::npos) << wanted << " is not in\n" << configuration;
  }
}

TEST(BenchProcess, FiftyCraftsOverPseudoTerminalsEndKeptAndRight) {
  const Workshop workshop;
  std::deque<Bench> running;
  for (int number = 0; number < crafts; ++number) {
    if (running.size() == at_a_time) {
      expect_right(running.front());
      running.pop_front();
    }
    running.push_back(start(workshop, number));
  }
  for (Bench& bench : running) expect_right(bench);
  // Nothing was put anywhere but in the home: the state and the crafts that were named.
  for (const auto& entry : std::filesystem::directory_iterator(workshop.home())) {
    const std::string name = entry.path().filename();
    EXPECT_TRUE(name == ".local" || name.starts_with("craft-") || name.starts_with("record-")) << name;
  }
}

}  // namespace
}  // namespace armwise::test::bench_process_test
