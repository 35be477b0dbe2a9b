// Lesson: whether three more numbers of the accelerometer's answer are a gyro's, and what they mean.
#include <algorithm>
#include <array>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/solve/pose.hpp"
#include "armwise/teach/gyro.hpp"
#include "mount_finder.hpp"
#include "teach_lessons.hpp"

namespace armwise::session {
namespace {

using solve::Pose;
using teach::NoGyro;

constexpr std::array<Pose, 3> held{Pose::level, Pose::nose_down, Pose::right_down};
constexpr Duration at_rest{1000};
constexpr int most_gyro_rounds = 3;

struct SensedAt {
  double seconds = 0;
  teach::Lines lines;
};
using Turns = std::array<std::vector<SensedAt>, held.size()>;
struct FoundGyro {
  console::Query way;
  teach::GyroFound found;
};

std::string in_words(NoGyro why) {
  constexpr std::array words{
      "No number followed the turns.",
      "No axes fit the three turns.",
      "The three turns read very differently.",
      "Its answers come too seldom to measure a turn.",
      "What follows the turns does not read zero at rest, and a profile cannot say by how much.",
      "It counts some axes the other way round than the accelerometer, and a profile cannot say that."};
  return words.at(static_cast<std::size_t>(why));
}

// Turning it once more may help: a turn that went to the left looks like an axis that is the other way round.
bool is_for_another_round(NoGyro why) {
  return why != NoGyro::too_few && why != NoGyro::not_zero;
}

std::string shown(const std::vector<console::Query>& ways, const teach::Lines& reply) {
  std::vector<std::string> all;
  for (const console::Query& way : ways) {
    const console::Values values = teach::values_read(way, reply);
    all.push_back(values.at("gx") + ", " + values.at("gy") + ", " + values.at("gz"));
  }
  return joined(all, "; ");
}

// One answer after the other, each with the time at which it was asked for.
Task<std::vector<SensedAt>> sense_for(Teaching& t, Duration length, std::size_t lines) {
  std::vector<SensedAt> all;
  const Instant start = t.clock.now();
  for (Duration passed{0}; passed < length; passed = t.clock.now() - start) {
    SensedAt each{static_cast<double>(passed.count()) / 1000, {}};
    const console::Steps& steps = t.draft.profile.sense->read.steps;
    for (const console::Step& step : steps) {
      const std::string line = step.send.format({});
      const Ear::Heard heard = co_await t.talk.ear.say(line, {}, lines);
      if (heard.closed) throw Fault(FaultKind::line_lost, "the line to the controller was lost");
      each.lines.insert(each.lines.end(), heard.reply.lines.begin(), heard.reply.lines.end());
    }
    all.push_back(std::move(each));
    co_await t.clock.sleep(between_readings);
  }
  co_return all;
}

// Answers that cannot be read are passed over.
teach::Turning turning_of(const std::vector<SensedAt>& sensed, const console::Query& way) {
  teach::Turning turning;
  for (const SensedAt& each : sensed) {
    const auto acceleration = teach::numbers_read(way, each.lines);
    const auto rate = teach::numbers_read(way, each.lines, teach::gyro_names);
    if (acceleration && rate) turning.push_back({each.seconds, *acceleration, *rate});
  }
  return turning;
}

std::variant<FoundGyro, NoGyro> find_gyro(const console::SenseAbility& sense,
                                          const std::vector<console::Query>& ways,
                                          const std::vector<SensedAt>& still, const Turns& turns) {
  teach::SenseAxes axes;
  axes.axes = sense.axes;
  axes.specific_force = sense.specific_force;
  std::optional<FoundGyro> best;
  NoGyro why = NoGyro::did_not_turn;
  for (const console::Query& way : ways) {
    const teach::Turning at_rest_read = turning_of(still, way);
    teach::Numbers rest{};
    for (const teach::RateSample& sample : at_rest_read) {
      for (std::size_t k = 0; k < rest.size(); ++k)
        rest.at(k) += sample.rate.at(k) / static_cast<double>(at_rest_read.size());
    }
    const auto answer = teach::gyro_from_turns(
        axes, rest, {turning_of(turns[0], way), turning_of(turns[1], way), turning_of(turns[2], way)});
    if (const auto* found = std::get_if<teach::GyroFound>(&answer)) {
      if (!best || (found->usual_unit && !best->found.usual_unit)) best = FoundGyro{way, *found};
    } else {
      why = std::max(why, std::get<NoGyro>(answer));
    }
  }
  if (best) return *best;
  return why;
}

Task<Turns> turn_in_three_ways(Teaching& t, std::size_t lines) {
  Turns turns;
  for (std::size_t i = 0; i < held.size(); ++i) {
    const Question question = turn_question(held.at(i));
    co_await t.person.put(question);
    turns.at(i) = co_await sense_for(t, turn_time, lines);
  }
  co_return turns;
}

// Turned to the left each time, it would read just like axes that are all mirrored.
Task<bool> turned_to_the_right(Teaching& t, const FoundGyro& gyro) {
  if (!gyro.found.mirrored) co_return true;
  const bool right = co_await t.person.confirm(
      "right",
      "By the accelerometer's axes as they were taken, all three turns went to the left. Did you turn it to "
      "the right, clockwise as seen from above, each time?");
  if (!right) t.person.tell("turn-to-the-right");
  co_return right;
}

void take_gyro(Teaching& t, const FoundGyro& gyro) {
  console::SenseAbility& sense = *t.draft.profile.sense;
  teach::take_gyro(sense, gyro.way, gyro.found);
  const std::string unit = number_text(sense.per_dps, sense.per_dps < 1 ? 5 : 1);
  if (gyro.found.mirrored) {
    t.person.tell("axes-mirrored", {{"axes", joined({sense.axes[0], sense.axes[1], sense.axes[2]}, ", ")}});
  }
  t.person.tell("gyro-found", {{"unit", unit}});
  if (gyro.found.usual_unit) return;
  t.draft.profile.notes.push_back("Gyro: a degree a second is " + unit +
                                  " of its units, as measured by turns of a hand; no usual unit is near.");
  t.person.tell("gyro-unit-measured");
}

}  // namespace

Task<void> learn_gyro(Teaching& t) {
  console::Profile& profile = t.draft.profile;
  if (!profile.sense || profile.sense->per_dps > 0) co_return;
  const teach::Lines reply = co_await t.talk.read(profile.sense->read);
  const std::vector<console::Query> ways = teach::with_three_more(reply, profile.sense->read);
  if (ways.empty()) co_return;
  const bool may = co_await t.person.confirm(
      "gyro", "That answer has other numbers besides: " + shown(ways, reply) +
                  ". If that's a gyro, we find it by turning the craft to the right, held in three ways. "
                  "Try it?");
  if (!may) co_return;
  for (int round = 1;; ++round) {
    Question level;
    level.id = "pose";
    level.kind = Question::Kind::pose;
    level.pose = solve::name(Pose::level);
    level.text = std::string(solve::instruction(Pose::level)) + " Keep still.";
    co_await t.person.put(level);
    const std::vector<SensedAt> still = co_await sense_for(t, at_rest, reply.size());
    const Turns turns = co_await turn_in_three_ways(t, reply.size());
    const auto answer = find_gyro(*profile.sense, ways, still, turns);
    if (const auto* found = std::get_if<FoundGyro>(&answer)) {
      const bool sure = co_await turned_to_the_right(t, *found);
      if (sure) take_gyro(t, *found);
      if (sure) co_return;
      continue;
    }
    const NoGyro why = std::get<NoGyro>(answer);
    const bool again = is_for_another_round(why) && round < most_gyro_rounds;
    t.person.tell(again ? StatementId("gyro-again") : StatementId("gyro-left-out"), {{"why", in_words(why)}});
    if (!again) co_return;
  }
}

}  // namespace armwise::session
