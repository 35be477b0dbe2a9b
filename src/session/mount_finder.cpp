#include "mount_finder.hpp"

#include <algorithm>
#include <utility>
#include <variant>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/craft/mounts.hpp"
#include "armwise/solve/stillness.hpp"
#include "words.hpp"

namespace armwise::session {
namespace {

using solve::Pose;

constexpr Duration half_a_second{550};
// A console that takes its time gives too few readings in half a second; nobody holds still for ever.
constexpr Duration longest_hold{3000};
constexpr int most_poses = 12;
constexpr int most_pose_tries = 6;

Question pose_question(std::string id, std::string_view pose, std::string text) {
  Question question;
  question.id = std::move(id);
  question.kind = Question::Kind::pose;
  question.pose = std::string(pose);
  question.text = std::move(text);
  return question;
}

solve::SenseSample as_sample(const console::SenseReading& reading) {
  return {{reading.x, reading.y, reading.z}, reading.gyro};
}

// A newer reading of a pose takes the place of the older one.
void replace(std::vector<solve::PoseReading>& readings, const solve::PoseReading& reading) {
  std::erase_if(readings, [&](const solve::PoseReading& old) { return old.pose == reading.pose; });
  readings.push_back(reading);
}

Question choice(std::string id, std::string text, std::vector<Choice> choices) {
  Question question;
  question.id = std::move(id);
  question.kind = Question::Kind::choose;
  question.text = std::move(text);
  question.choices = std::move(choices);
  return question;
}

}  // namespace

Question turn_question(Pose held) {
  const bool level = held == Pose::level;
  return pose_question("turn-right",
                       "turning-right" + (level ? std::string() : "-" + std::string(name(held))),
                       "Hold the craft " + std::string(level ? "" : "with its ") +
                           std::string(in_words(held)) + ", answer, and in the two seconds after that turn " +
                           (level ? "its nose to the right" : "it to the right, as seen from above,") +
                           " by about a quarter turn.");
}

Task<std::vector<console::SenseReading>> MountFinder::sample(Duration length, Duration every) {
  std::vector<console::SenseReading> readings;
  const Instant start = clock_.now();
  const auto goes_on = [&] {
    const Duration passed = clock_.now() - start;
    return passed < length ||
           (readings.size() < solve::StillnessLimits().fewest_samples && passed < longest_hold);
  };
  while (goes_on()) {
    readings.push_back(co_await console_.sense());
    co_await clock_.sleep(every);
  }
  co_return readings;
}

Task<std::optional<solve::PoseReading>> MountFinder::measure(Pose pose, const std::string& id) {
  std::string last;
  for (int attempt = 0; attempt < most_pose_tries; ++attempt) {
    const Question question =
        pose_question(id, name(pose), std::string(instruction(pose)) + " Then keep still.");
    const Answer answer = co_await person_.ask(question);
    if (std::holds_alternative<Back>(answer)) co_return std::nullopt;
    const Instant start = clock_.now();
    const std::vector<console::SenseReading> readings = co_await sample(half_a_second, between_readings);
    std::vector<solve::SenseSample> samples;
    samples.reserve(readings.size());
    for (const console::SenseReading& reading : readings) samples.push_back(as_sample(reading));
    const double seconds = static_cast<double>((clock_.now() - start).count()) / 1000.0;
    const auto held = solve::held_still(samples, seconds);
    if (const auto* still = std::get_if<solve::StillReading>(&held)) {
      co_return solve::PoseReading{pose, still->average, 1};
    }
    last = std::get<solve::NotStill>(held).sentence;
    person_.say(last, Level::warn);
  }
  throw Fault(FaultKind::unreadable,
              "The craft could not be measured while it was held " + std::string(in_words(pose)), last,
              "Rest it against something, and start again");
}

Task<std::optional<FoundMount>> MountFinder::settle(const solve::MountFound& found, bool exact) {
  person_.say(found.words);
  bool free = exact;
  if (!exact && found.between_names) {
    const Question question = choice(
        "mount", "The board does not sit at any of the usual angles. Which shall the controller be told?",
        {{"free", "the angles as measured"}, {"nearest", found.nearest.words}});
    const Answer answer = co_await person_.ask(question);
    if (std::holds_alternative<Back>(answer)) co_return std::nullopt;
    free = std::get<std::string>(answer) == "free";
  }
  if (free) co_return FoundMount{found.free, found.free_angles, found.words, true};
  co_return FoundMount{found.nearest.rotation, found.nearest.angles, found.words, true};
}

Task<std::optional<FoundMount>> MountFinder::by_poses(bool exact) {
  std::vector<Pose> wanted{Pose::level, Pose::nose_down, Pose::right_down};
  std::vector<solve::PoseReading> readings;
  for (std::size_t at = 0; at < most_poses; ++at) {
    if (at >= wanted.size()) break;
    const std::optional<solve::PoseReading> reading = co_await measure(wanted[at], "pose");
    if (!reading) {
      if (at == 0) co_return std::nullopt;
      at -= 2;  // one pose back; the loop adds one
      continue;
    }
    replace(readings, *reading);
    if (at + 1 < wanted.size()) continue;
    const solve::MountAnswer answer = solve::mount_from_poses(readings);
    if (const auto* found = std::get_if<solve::MountFound>(&answer)) {
      if (found->certain || !found->next_pose) co_return co_await settle(*found, exact);
      person_.say("That is not yet certain enough, so one more pose is needed.");
      wanted.push_back(*found->next_pose);
    } else {
      const auto& problem = std::get<solve::MountNotFound>(answer);
      person_.say(problem.sentence, Level::warn);
      for (const std::string& cause : problem.likely) person_.say("It may be that " + cause, Level::warn);
      wanted.insert(wanted.end(), problem.hold_again.begin(), problem.hold_again.end());
    }
  }
  throw Fault(FaultKind::mismatch, "The poses do not agree on how the board is mounted",
              "after " + std::to_string(most_poses) + " of them there was still no certain answer",
              "Look at the board, and start again with --leave-mount to set its mount yourself");
}

Task<std::optional<FoundMount>> MountFinder::by_arrow() {
  const std::vector<std::pair<Choice, double>> headings{
      {{"nose", "to the nose"}, 0},    {{"nose-right", "half to the right of the nose"}, 45},
      {{"right", "to the right"}, 90}, {{"tail-right", "half to the right of the tail"}, 135},
      {{"tail", "to the tail"}, 180},  {{"tail-left", "half to the left of the tail"}, -135},
      {{"left", "to the left"}, -90},  {{"nose-left", "half to the left of the nose"}, -45}};
  Question arrow =
      choice("arrow", "Seen from above the craft, where does the arrow on the controller point?", {});
  for (const auto& [heading, degrees] : headings) arrow.choices.push_back(heading);
  const Question side =
      choice("side-up", "Which side of the controller is up?",
             {{"up", "the side with the arrow is up"}, {"down", "the side with the arrow is down"}});
  while (true) {
    const Answer points = co_await person_.ask(arrow);
    if (std::holds_alternative<Back>(points)) co_return std::nullopt;
    const Answer up = co_await person_.ask(side);
    if (std::holds_alternative<Back>(up)) continue;
    const auto heading = std::find_if(headings.begin(), headings.end(), [&](const auto& entry) {
      return entry.first.key == std::get<std::string>(points);
    });
    if (heading == headings.end()) throw Fault(FaultKind::usage, "There is no such direction of the arrow");
    const craft::Mount mount =
        solve::mount_from_arrow(craft::Degrees{heading->second}, std::get<std::string>(up) == "down");
    person_.say("So the board is mounted: " + mount.words + ".");
    co_return FoundMount{mount.rotation, mount.angles, mount.words, false};
  }
}

Task<std::optional<std::vector<std::array<double, 3>>>> MountFinder::turn_to_the_right() {
  const Question question = turn_question(Pose::level);
  const Answer answer = co_await person_.ask(question);
  if (std::holds_alternative<Back>(answer)) co_return std::nullopt;
  std::vector<std::array<double, 3>> rates;
  const std::vector<console::SenseReading> readings = co_await sample(turn_time, between_readings);
  for (const console::SenseReading& reading : readings) {
    if (reading.gyro) rates.push_back(*reading.gyro);
  }
  co_return rates;
}

}  // namespace armwise::session
