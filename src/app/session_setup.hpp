// From a command line to a person, a port and a console: what bench, recover and backup have in common.
#pragma once

#include <CLI/App.hpp>
#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>

#include "armwise/console/profile_console.hpp"
#include "armwise/link/capture.hpp"
#include "armwise/link/ports.hpp"
#include "armwise/practice/onlooker.hpp"
#include "armwise/session/person.hpp"
#include "armwise/ui/front_end.hpp"
#include "command_line.hpp"
#include "profiles_at_hand.hpp"
#include "runtime.hpp"

namespace armwise::app {

struct SessionOptions {
  std::string port;     // empty: found or asked
  std::string profile;  // file or name; empty: asked
  std::string capture;
  std::string answers;
  bool machine = false, plain = false, ascii = false, yes = false;
  int wait_seconds = 30;

  bool practice = false, play = false;
  std::string practice_frame = "quad-x", practice_craft, mischief;
  std::uint64_t seed = 0;  // 0: another one each time
  int baud = 115200;

  // Speaks as this one, where there is one; it was read already.
  void speak_as(std::optional<ProfileAtHand> known);
  std::optional<ProfileAtHand> known;  // the one that `profile` names
};

void add_session_options(CLI::App& command, SessionOptions& options);  // with the positional PORT
void add_console_options(CLI::App& command, SessionOptions& options);  // without a port
void add_practice_options(CLI::App& command, SessionOptions& options);

// A practice craft of this process's own, as a child that ends with it.
class PracticeChild {
 public:
  // Forks: make it before any thread or event loop exists.
  PracticeChild(const SessionOptions& options, const std::filesystem::path& profile);
  ~PracticeChild();
  PracticeChild(const PracticeChild&) = delete;
  PracticeChild& operator=(const PracticeChild&) = delete;
  std::filesystem::path socket() const { return directory_ / "onlooker"; }

 private:
  std::filesystem::path directory_;
  int process_ = -1;
};

class Session {
 public:
  // Members are made in this order; the practice child and the guard fork before the loop exists.
  Session(const SessionOptions& options, const Common& common);
  ~Session();

  // The person, the port and the console, ready for a flow. Question ids: `port`, `profile`.
  Task<void> prepare();
  // After prepare(): makes sure that the console answers as the profile says, and asks for another profile
  // where it does not. Nothing is written.
  Task<void> find_fitting_profile(int motors);
  // The person alone.
  Task<void> meet_person();
  // The person and the port only: nobody knows yet how the console is spoken.
  Task<void> prepare_to_teach();

  Runtime& runtime() { return runtime_; }
  session::Person& person() { return *person_; }
  std::unique_ptr<session::Person>& person_slot() { return person_; }
  console::Console& console() { return *console_; }
  const std::string& port() const { return port_; }
  console::Plug& plug() { return *plug_; }
  // The guard, told how this profile says stop.
  console::Sentry& watched_by(const console::Profile& profile);

 private:
  Task<void> choose_profile();
  Task<void> ask_for_profile();
  Task<void> choose_port();
  void have_motors_guarded(const console::Profile& profile);
  void make_plug();
  void make_console();
  ui::UiOptions ui_options() const;

  SessionOptions options_;
  Common common_;
  std::unique_ptr<PracticeChild> practice_;
  Runtime runtime_;
  std::unique_ptr<practice::Onlooker> onlooker_;
  std::unique_ptr<session::Person> front_end_, person_;
  console::Profile profile_;
  std::string port_;
  std::shared_ptr<link::CaptureFile> capture_;
  std::unique_ptr<console::Plug> plug_;
  std::unique_ptr<console::Console> console_;
};

}  // namespace armwise::app
