// Each harmless ability of a profile on a live console: what was sent, what came, what was read out of it.
#include <algorithm>
#include <array>
#include <functional>
#include <memory>
#include <optional>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/console/whole_configuration.hpp"
#include "armwise/craft/turn.hpp"
#include "commands.hpp"
#include "exit_status.hpp"
#include "session_setup.hpp"

namespace armwise::app {
namespace {

using session::Level;
using session::Person;

constexpr std::size_t most_lines_of_a_reply = 12;

// What goes over the line, as lines, until it is taken.
class Overheard : public link::Recorder {
 public:
  void sent(std::string_view bytes) override { add("> ", bytes); }
  void came(std::string_view bytes) override { add("< ", bytes); }
  void event(const std::string& name, const std::string&, const std::string&) override {
    if (name == "closed") add("- ", "the line closed");
  }

  std::vector<std::string> take() {
    std::vector<std::string> lines;
    for (const auto& [way, bytes] : said_) {
      for (const std::string& line : console::configuration_lines(without_escapes(bytes)))
        lines.push_back(way + line);
    }
    said_.clear();
    return lines;
  }

 private:
  void add(const char* way, std::string_view bytes) {
    if (said_.empty() || said_.back().first != way) said_.emplace_back(way, "");
    said_.back().second += bytes;
  }

  std::vector<std::pair<std::string, std::string>> said_;
};

std::string in_words(const solve::Snapshot& snapshot) {
  std::vector<std::string> facts;
  for (int number = 1; number <= snapshot.map.size(); ++number) {
    const auto at = static_cast<std::size_t>(number - 1);
    const std::string& pin = snapshot.map.pin_of(craft::Motor{number}).name;
    std::string fact = "motor " + std::to_string(number) + (pin.empty() ? " on no pin" : " on pin " + pin);
    if (at < snapshot.turns.size()) fact += ", " + std::string(craft::name(snapshot.turns[at]));
    facts.push_back(fact);
  }
  if (snapshot.props) facts.emplace_back(*snapshot.props == craft::PropScheme::in ? "props in" : "props out");
  if (snapshot.mount) {
    const craft::YawPitchRoll& mount = *snapshot.mount;
    facts.push_back("mount yaw " + degrees_text(mount.yaw, 1) + ", pitch " + degrees_text(mount.pitch, 1) +
                    ", roll " + degrees_text(mount.roll, 1));
  }
  return joined(facts, "; ");
}

std::string in_words(const console::SenseReading& reading) {
  std::string text = "forward " + number_text(reading.x, 2) + " g, right " + number_text(reading.y, 2) +
                     " g, down " + number_text(reading.z, 2) + " g (level reads 0, 0, -1)";
  if (reading.gyro) {
    const auto& turn = *reading.gyro;
    text += "; gyro " + number_text(turn[0], 1) + ", " + number_text(turn[1], 1) + ", " +
            number_text(turn[2], 1) + " degrees a second";
  }
  return text;
}

class Trial {
 public:
  Trial(Person& person, Overheard& overheard) : person_(person), overheard_(overheard) {}

  // Absent `ability`: the profile has none, and that is said. Runs `read`, which gives words for what was
  // read.
  Task<void> ability(const std::string& name, bool there, const std::function<Task<std::string>()>& read) {
    if (!there) {
      person_.tell("trial", {{"line", name + ": not in this profile"}});
      co_return;
    }
    ++tried_;
    std::string words;
    std::optional<Fault> trouble;
    try {
      words = co_await read();
    } catch (const Fault& fault) {
      trouble = fault;
    }
    show_lines(name);
    if (trouble) {
      ++failed_;
      person_.tell("trial-failed", {{"why", trouble->sentence()}});
    } else {
      person_.tell("trial", {{"line", "   read: " + words}});
    }
    if (trouble && trouble->kind() == FaultKind::line_lost) throw *trouble;
  }

  int tried() const { return tried_; }
  int failed() const { return failed_; }

 private:
  // Every line that was sent, and the beginning of each reply.
  void show_lines(const std::string& name) {
    person_.tell("trial", {{"line", name + ":"}});
    std::size_t came = 0;
    const auto tell_rest = [&] {
      if (came > most_lines_of_a_reply)
        person_.tell("trial",
                     {{"line", "   … and " + std::to_string(came - most_lines_of_a_reply) + " lines more"}});
      came = 0;
    };
    for (const std::string& line : overheard_.take()) {
      if (!line.starts_with('<')) tell_rest();
      if (line.starts_with('<') && ++came > most_lines_of_a_reply) continue;
      person_.tell("trial", {{"line", "   " + printable(line)}});
    }
    tell_rest();
  }

  Person& person_;
  Overheard& overheard_;
  int tried_ = 0, failed_ = 0;
};

Task<int> run_trial(Session& session, std::shared_ptr<Overheard> overheard) {
  co_await session.prepare();
  console::Console& console = session.console();
  const console::Profile& profile = console.profile();
  Trial trial(session.person(), *overheard);
  const std::function<Task<std::string>()> open = [&]() -> Task<std::string> {
    co_await console.open();
    co_return "the prompt came";
  };
  const std::function<Task<std::string>()> identify = [&]() -> Task<std::string> {
    const console::Identity identity = co_await console.identify();
    co_return identity.in_words();
  };
  const std::function<Task<std::string>()> whole = [&]() -> Task<std::string> {
    const std::string text = co_await console.whole_configuration();
    co_return std::to_string(console::configuration_lines(text).size()) + " lines";
  };
  const std::function<Task<std::string>()> settings = [&]() -> Task<std::string> {
    constexpr int fewest_motors = 4;
    const solve::Snapshot snapshot = co_await console.snapshot(fewest_motors);
    co_return in_words(snapshot);
  };
  const std::function<Task<std::string>()> sense = [&]() -> Task<std::string> {
    const console::SenseReading reading = co_await console.sense();
    co_return in_words(reading);
  };
  const std::function<Task<std::string>()> leave = [&]() -> Task<std::string> {
    co_await console.leave();
    co_return "left";
  };
  co_await trial.ability("getting in", true, open);
  if (trial.failed() == 0) {
    co_await trial.ability("who it is", profile.identify.has_value(), identify);
    co_await trial.ability("whole configuration", profile.whole_configuration.has_value(), whole);
    co_await trial.ability("motor pins, directions, props, mount", profile.map.has_value(), settings);
    co_await trial.ability("readings", profile.sense.has_value(), sense);
    co_await trial.ability("leaving", profile.leave.has_value(), leave);
  }
  if (trial.failed() > 0) {
    throw Fault(FaultKind::unreadable,
                std::to_string(trial.failed()) + " of " + std::to_string(trial.tried()) +
                    " abilities do not do what the profile says",
                "Nothing was written and no motor was spun",
                "Mend the profile by the lines above, or teach it anew: armwise teach --from");
  }
  session.person().tell("trial-done", {{"tried", std::to_string(trial.tried())}});
  co_return done;
}

}  // namespace

CommandSpec profile_try_command() {
  return {"profile try", "each harmless ability on the live console: sent, came, read",
          "armwise profile try /dev/ttyACM0 my-console", [](CLI::App& command, Chosen& chosen) {
            auto options = std::make_shared<SessionOptions>();
            add_session_options(command, *options);
            auto* file = command.add_option("FILE", options->profile, "the profile: a file or a name");
            file->excludes(command.get_option("--profile"));
            add_practice_options(command, *options);
            return [options, &chosen] {
              auto overheard = std::make_shared<Overheard>();
              Session session(*options, chosen.common);
              session.listen_in(overheard);
              return session.runtime().run(run_trial(session, overheard), session.person_slot());
            };
          }};
}

}  // namespace armwise::app
