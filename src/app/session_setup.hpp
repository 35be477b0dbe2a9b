// From a command line to a person, a port and a console: what bench, recover and backup have in common.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "armwise/console/profile_console.hpp"
#include "armwise/link/capture.hpp"
#include "armwise/link/session_log.hpp"
#include "armwise/record/paths.hpp"
#include "armwise/session/bench.hpp"
#include "armwise/session/person.hpp"
#include "armwise/ui/front_end.hpp"
#include "practised_craft.hpp"
#include "profile_choice.hpp"
#include "runtime.hpp"
#include "session_options.hpp"

namespace armwise::app {

class Session {
 public:
  // Members are made in this order; the practice child and the guard fork before the loop exists.
  Session(const SessionOptions& options, const Common& common);
  ~Session();

  // Tells `recorder` what goes over the line; before prepare().
  void listen_in(std::shared_ptr<link::Recorder> recorder) { recorders_.push_back(std::move(recorder)); }
  // A bench on a craft of so many motors; 0: not known yet. Before prepare().
  void bench_on(int motors) { bench_on_ = motors; }
  // The person, the port and the console, ready for a flow. Question ids: `port`, `profile`.
  Task<void> prepare();
  // After prepare(): makes sure that the console answers as the profile says, and asks for another profile
  // where it does not. Nothing is written.
  Task<void> find_fitting_profile(int motors);
  // The person alone; once.
  Task<void> meet_person();
  // The person and the port only: nobody knows yet how the console is spoken.
  Task<void> prepare_to_teach();

  Runtime& runtime() { return runtime_; }
  session::Person& person() { return *person_; }
  std::unique_ptr<session::Person>& person_slot() { return person_; }
  console::Console& console() { return *console_; }
  const std::string& port() const { return port_; }
  console::Plug& plug() { return *plug_; }
  // Where this session's files go: the journals and saved configurations of a practice craft go with it.
  record::Folders folders() const;
  // Plays a flow to its end. Where it leaves a practice craft changed, that craft stays, and the fault says
  // so.
  Task<void> play(Task<session::BenchResult> flow);
  // Null: not for practice.
  const PractisedCraft* practice() const { return practice_.get(); }
  // Of the check: as `wanted`, else the same each time with a practice seed or with answers that were written
  // down in their order, else another one each time.
  std::uint32_t order_of_check(std::uint32_t wanted);
  // The guard, told how this profile says stop.
  console::Sentry& watched_by(const console::Profile& profile);

 private:
  Task<void> choose_profile();
  Task<void> choose_profile_that_answers();
  Task<void> reach_port();
  Task<void> meet_practice_craft();
  void make_console();

  SessionOptions options_;
  Common common_;
  std::unique_ptr<PractisedCraft> practice_;
  Runtime runtime_;
  std::unique_ptr<practice::Onlooker> onlooker_;  // at the practice craft
  std::unique_ptr<session::Person> front_end_, person_;
  ProfileChoice profile_;
  std::optional<int> bench_on_;  // motors
  bool just_plugged_in_ = false;
  std::string port_;
  std::vector<std::shared_ptr<link::Recorder>> recorders_;
  std::shared_ptr<link::SessionLog> log_;
  std::unique_ptr<console::Plug> plug_;
  std::unique_ptr<console::Console> console_;
};

}  // namespace armwise::app
