#include "mount_finder.hpp"

#include <algorithm>
#include <utility>
#include <variant>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/craft/mounts.hpp"
#include "armwise/solve/flight_sense.hpp"
#include "armwise/solve/stillness.hpp"
#include "questions.hpp"

namespace armwise::session {
namespace {

using solve::Pose;

constexpr Duration half_a_second{550};
// A console that takes its time gives too few readings in half a second; nobody holds still for ever.
constexpr Duration longest_hold{3000};
// Of the poses that are asked for any two are 90 degrees apart, or more.
constexpr double another_pose = 35;
// The first pose has none before it, and the craft may lie there as it came: time to stand it up.
constexpr Duration time_to_stand_it{3000};
constexpr Duration between_looks{80};
constexpr int most_poses = 18;
constexpr int most_pose_tries = 6;

Question pose_question(std::string id, std::string_view pose, std::string text) {
  Question question;
  question.id = std::move(id);
  question.kind = Question::Kind::pose;
  question.pose = std::string(pose);
  question.text = std::move(text);
  question.then = "Measuring. Hold still.";
  return question;
}

solve::SenseSample as_sample(const console::SenseReading& reading) {
  return {{reading.x, reading.y, reading.z}, reading.gyro};
}

struct Wanted {
  Pose pose = Pose::level;
  bool instead = false;  // of what was read in this pose before
};

// `readings`: one for each of `wanted`, as far as they were held.
std::vector<solve::PoseReading> that_count(const std::vector<Wanted>& wanted,
                                           const std::vector<solve::PoseReading>& readings) {
  std::vector<solve::PoseReading> count;
  for (std::size_t i = 0; i < readings.size(); ++i) {
    if (wanted[i].instead)
      std::erase_if(count, [&](const solve::PoseReading& old) { return old.pose == wanted[i].pose; });
    count.push_back(readings[i]);
  }
  return count;
}

const std::vector<std::pair<Choice, double>>& headings() {
  static const std::vector<std::pair<Choice, double>> all{
      {{"nose", "to the nose"}, 0},    {{"nose-right", "between nose and right"}, 45},
      {{"right", "to the right"}, 90}, {{"tail-right", "between tail and right"}, 135},
      {{"tail", "to the tail"}, 180},  {{"tail-left", "between tail and left"}, -135},
      {{"left", "to the left"}, -90},  {{"nose-left", "between nose and left"}, -45}};
  return all;
}

std::optional<Pose> tilt_not_held(const std::vector<solve::PoseReading>& readings) {
  for (const Pose pose : solve::all_poses) {
    const bool held = std::ranges::find(readings, pose, &solve::PoseReading::pose) != readings.end();
    if (solve::is_tilt(pose) && !held) return pose;
  }
  return std::nullopt;
}

std::string leaning(const solve::MountFound& found) {
  return "With the craft level, the board leans by " + degrees_text(found.lean.value, 0) + ". ";
}

std::string as_measured(const craft::YawPitchRoll& angles) {
  return "The board as measured: yaw " + degrees_text(angles.yaw, 0) + ", pitch " +
         degrees_text(angles.pitch, 0) + ", roll " + degrees_text(angles.roll, 0) + ".";
}

}  // namespace

Question turn_question(Pose held) {
  const bool level = held == Pose::level;
  Question question =
      pose_question("turn-right", "turning-right" + (level ? std::string() : "-" + std::string(name(held))),
                    "Hold it " + std::string(level ? "" : "with its ") + std::string(in_words(held)) +
                        ". Press Space, then straight away turn " +
                        (level ? "the nose" : "it, seen from above,") + " a quarter turn right.");
  question.then = "Turn it to the right now!";
  return question;
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

Task<solve::PoseReading> MountFinder::measure(Pose pose, std::vector<solve::PoseReading> others,
                                              First first) {
  const auto held = [&] { return hold(pose, others, first); };
  co_return co_await recall_.answered<solve::PoseReading>(held);
}

// A reading that fails is only one look less: the person can still say that they are ready.
Task<Question::Look> MountFinder::look(Watch& watch) {
  std::optional<console::SenseReading> reading;
  try {
    reading = co_await console_.sense();
  } catch (const Fault& fault) {
    if (fault.kind() == FaultKind::line_lost || fault.kind() == FaultKind::unsafe) throw;
  }
  co_await clock_.sleep(between_looks);
  if (!reading) co_return Question::Look{};
  const Instant now = clock_.now();
  watch.lately.emplace_back(now, as_sample(*reading));
  // Half a second, or as long as it takes a slow console to say enough.
  while (watch.lately.size() > solve::StillnessLimits().fewest_samples &&
         now - watch.lately[1].first >= half_a_second)
    watch.lately.erase(watch.lately.begin());
  if (now - watch.lately.front().first > longest_hold) watch.lately.erase(watch.lately.begin());
  std::vector<solve::SenseSample> samples;
  for (const auto& [when, sample] : watch.lately) samples.push_back(sample);
  const double seconds = static_cast<double>((now - watch.lately.front().first).count()) / 1000.0;
  const auto held = solve::held_still(samples, seconds);
  if (const auto* not_still = std::get_if<solve::NotStill>(&held)) {
    const bool moving = not_still->why != solve::NotStill::Why::too_few;
    watch.moved = watch.moved || moving;
    if (moving) watch.still_since.reset();
    co_return Question::Look{"Hold still.", false};
  }
  const auto& still = std::get<solve::StillReading>(held);
  const bool as_another = std::ranges::any_of(watch.others, [&](const solve::PoseReading& other) {
    return craft::angle_between(other.reading, still.average).value < another_pose;
  });
  if (as_another) co_return Question::Look{"Still as before: tip it further.", false};
  if (watch.again && !watch.moved) co_return Question::Look{"Move it, then hold it still again.", false};
  if (!watch.still_since) watch.still_since = now;
  const Duration left = watch.first ? time_to_stand_it - (now - *watch.still_since) : Duration{0};
  if (left > Duration{0}) {
    const auto seconds_left = std::to_string(left.count() / 1000 + 1);
    co_return Question::Look{"Still. Taken in " + seconds_left + " s.", false};
  }
  watch.taken = still;
  co_return Question::Look{"Got it.", true};
}

// Absent: the person wants to go back.
Task<std::optional<solve::PoseReading>> MountFinder::hold(Pose pose, std::vector<solve::PoseReading> others,
                                                          First first) {
  Person& person = recall_.person();
  Watch watch;
  watch.again = std::ranges::find(others, pose, &solve::PoseReading::pose) != others.end();
  watch.first = others.empty();
  std::erase_if(others, [&](const solve::PoseReading& other) { return other.pose == pose; });
  watch.others = std::move(others);
  std::string last;
  for (int attempt = 0; attempt < most_pose_tries; ++attempt) {
    Question question = pose_question("pose", name(pose), std::string(instruction(pose)));
    if (!watch.first || first == First::takes_itself) question.look = [this, &watch] { return look(watch); };
    const Answer answer = co_await person.ask(question);
    if (std::holds_alternative<Back>(answer)) co_return std::nullopt;
    if (watch.taken) co_return solve::PoseReading{pose, watch.taken->average, 1};
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
    person.tell("not-still", {{"why", last}});
  }
  throw Fault(FaultKind::unreadable,
              "The craft could not be measured while held " + std::string(in_words(pose)), last,
              "Rest it against something, and start again")
      .as("pose-not-measured");
}

// What the poses leave to the person: a board at no usual angle, and one that leans.
Task<MountFinder::Settled> MountFinder::settle(const solve::MountFound& found) {
  if (!found.between_names && !found.leans) co_return Settled::named;
  const Choice measured{"exact", "take the angles as measured"};
  Question question;
  if (found.between_names) {
    question = one_of("mount", "Which mount shall we set?",
                      {measured, {"nearest", found.nearest.words}, {"again", "hold the poses again"}});
  } else {
    question = one_of("lean",
                      leaning(found) + "Flown like that, the craft drifts " +
                          number_text(solve::drift(found.lean), 1) + " m in two seconds. What now?",
                      {measured, {"again", "measure level again, the craft on a flat table"}});
  }
  const std::string said = co_await answer_to(recall_, std::move(question));
  if (said == "again") co_return Settled::again;
  co_return said == "nearest" ? Settled::named : Settled::measured;
}

void MountFinder::tell_problem(const solve::MountNotFound& problem) {
  recall_.tell("mount-contradiction", {{"why", problem.sentence}});
  for (const std::string& cause : problem.likely) recall_.tell("mount-cause", {{"cause", cause}});
}

// What follows from the poses held so far: the mount, or the poses to hold next.
Task<MountFinder::Step> MountFinder::weigh(std::vector<solve::PoseReading> readings, bool& exact) {
  const solve::MountAnswer answer = solve::mount_from_poses(readings);
  if (const auto* problem = std::get_if<solve::MountNotFound>(&answer)) {
    tell_problem(*problem);
    co_return Step{{}, problem->hold_again, true, problem->sentence};
  }
  const auto& found = std::get<solve::MountFound>(answer);
  if (!exact) {
    recall_.tell(found.certain ? StatementId("mount-found") : StatementId("mount-unsure"),
                 {{"mount", found.words}});
    if (!found.certain && !found.between_names) co_return Step{{}, {*found.next_pose}, false, found.words};
    const Settled settled = co_await settle(found);
    if (settled == Settled::named) {
      const FoundMount named{found.nearest.rotation, found.nearest.angles, found.words, true, found.lean};
      co_return Step{named, {}, false, {}};
    }
    if (settled == Settled::again && found.between_names)
      co_return Step{{}, {solve::all_poses.begin(), solve::all_poses.end() - 1}, true, found.words};
    if (settled == Settled::again) co_return Step{{}, {Pose::level}, true, leaning(found)};
    exact = true;
  }
  // Every tilt: what hand and sensor add to one, they take from its opposite.
  const std::optional<Pose> missing = tilt_not_held(readings);
  if (missing) co_return Step{{}, {*missing}, false, found.words};
  if (!found.poses_agree) co_return Step{{}, {found.residuals[found.worst].pose}, true, found.words};
  const FoundMount measured{found.free, found.free_angles, as_measured(found.free_angles), true, {}};
  recall_.tell("mount-measured", {{"mount", measured.words}});
  co_return Step{measured, {}, false, {}};
}

Task<FoundMount> MountFinder::by_poses(bool exact) {
  std::vector<Wanted> wanted{{Pose::level}, {Pose::nose_down}, {Pose::right_down}};
  std::vector<solve::PoseReading> readings;
  std::string open;
  while (readings.size() < most_poses) {
    const Pose pose = wanted[readings.size()].pose;
    readings.push_back(co_await measure(pose, readings));
    if (readings.size() < wanted.size()) continue;
    const Step step = co_await weigh(that_count(wanted, readings), exact);
    if (step.mount) co_return *step.mount;
    for (const Pose next : step.next) wanted.push_back({next, step.instead});
    open = step.open;
  }
  throw Fault(
      FaultKind::mismatch, "The board's mount could not be found",
      "after " + std::to_string(most_poses) + " poses: " + open,
      "Stand the craft on a level table for level, and start again; --exact takes the angles as measured")
      .as("mount-not-found");
}

Task<std::optional<FoundMount>> MountFinder::by_arrow(bool may_be_unknown) {
  Question arrow = one_of("arrow", "Seen from above, where does the arrow on the board point?", {});
  for (const auto& [heading, degrees] : headings()) arrow.choices.push_back(heading);
  if (may_be_unknown) arrow.choices.push_back({"unknown", "somewhere else, or it can't be seen"});
  const std::string pointed = co_await answer_to(recall_, arrow);
  if (may_be_unknown && pointed == "unknown") co_return std::nullopt;
  Question side =
      one_of("side-up", "Which side of the board is up?",
             {{"up", "the side with the arrow is up"}, {"down", "the side with the arrow is down"}});
  side.label = "arrow side";
  const std::string up = co_await answer_to(recall_, side);
  const auto heading = std::ranges::find(headings(), pointed, [](const auto& h) { return h.first.key; });
  if (heading == headings().end()) throw Fault(FaultKind::usage, "There is no such direction of the arrow");
  const craft::Mount mount = solve::mount_from_arrow(craft::Degrees{heading->second}, up == "down");
  recall_.tell("mount-by-eye", {{"mount", mount.words}});
  co_return FoundMount{mount.rotation, mount.angles, mount.words, false, {}};
}

Task<std::vector<std::array<double, 3>>> MountFinder::turn_to_the_right() {
  const auto turned = [this] { return turn(); };
  co_return co_await recall_.answered<std::vector<std::array<double, 3>>>(turned);
}

// Absent: the person wants to go back.
Task<std::optional<std::vector<std::array<double, 3>>>> MountFinder::turn() {
  const Question question = turn_question(Pose::level);
  const Answer answer = co_await recall_.person().ask(question);
  if (std::holds_alternative<Back>(answer)) co_return std::nullopt;
  std::vector<std::array<double, 3>> rates;
  const std::vector<console::SenseReading> readings = co_await sample(turn_time, between_readings);
  for (const console::SenseReading& reading : readings) {
    if (reading.gyro) rates.push_back(*reading.gyro);
  }
  co_return rates;
}

}  // namespace armwise::session
