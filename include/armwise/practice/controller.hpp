// The controller of a practice craft: its console spoken from the far side, its settings, its motors.
//
// A state machine without an operating system: bytes in, bytes out, time as an argument. Time never runs
// back from call to call.
#pragma once

#include <cstdint>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "armwise/base/duration.hpp"
#include "armwise/console/profile.hpp"
#include "armwise/practice/craft.hpp"
#include "armwise/practice/mischief.hpp"

namespace armwise::practice {

// What varies from controller to controller and is no fault.
struct Habits {
  Duration latency{2};        // from a command to its answer
  Duration farewell{100};     // from an order to restart to the port's vanishing
  Duration away{1500};        // from vanishing to coming back
  int invented_lines = 300;   // of the whole configuration, around the real ones
  std::optional<bool> echo;   // absent: as the profile says, and where it says nothing, yes
  bool console_open = false;  // where the profile has something to send to get in: already sent
  bool renamed = true;        // the port comes back from a restart under another name
  bool port_stays = false;    // on a restart, as that of a serial adapter does
  Duration start{0};          // its start-up, once it is back: a byte heard then stops it in its boot loader
  std::string left_over;      // bytes of an earlier conversation that are still to come
};

// Something that happened inside the controller, for tests and for telling how a session went.
struct Happened {
  enum class What { spun, stopped, wrote, kept, refused, restarted };
  What what = What::spun;
  Instant at{0};
  std::string line;  // as received; empty for a restart
};

// What the controller's settings are, in the project's own words.
struct SettingsView {
  craft::MotorMap map;  // of a map kept by pin: the first pin of each motor
  craft::PropScheme props = craft::PropScheme::in;
  std::vector<craft::Turn> turns;              // by motor or by pin, as the profile says
  std::array<double, 3> mount{};               // yaw, pitch, roll in the console's own numbers
  std::string mount_code;                      // where the mount is a code out of a list
  std::map<std::string, std::string> entries;  // of the rest of the configuration, those that were set
  bool operator==(const SettingsView&) const = default;
};

class PracticeController {
 public:
  // `profile` outlives the controller.
  PracticeController(const console::Profile& profile, PracticeCraft craft, const MischiefPlan& mischief = {},
                     Habits habits = {});
  ~PracticeController();
  PracticeController(PracticeController&&) noexcept;
  PracticeController& operator=(PracticeController&&) noexcept;

  void receive(std::string_view bytes, Instant now);
  // What it says up to `now`.
  std::string take(Instant now);
  // When it next says something, stops a motor or leaves by itself, after `now`.
  std::optional<Instant> next_event(Instant now) const;

  // When it goes away to restart; it is then to be restarted by who plugged it in.
  std::optional<Instant> leaves_at() const;
  // Saved settings become the running ones, motors stop, what was said and not taken is lost.
  void restart(Instant now);
  int restarts() const;
  // No more mischief from now on.
  void mend();

  // What a person sees turning, from above.
  std::vector<Turning> turning(Instant now) const;
  PracticeCraft& craft();
  const PracticeCraft& craft() const;
  SettingsView saved() const;
  SettingsView running() const;
  const std::vector<Happened>& history() const;

 private:
  struct Inside;
  std::unique_ptr<Inside> inside_;
};

}  // namespace armwise::practice
