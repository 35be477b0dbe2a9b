// Which profile a session speaks by: the one that was named, or one chosen out of those at hand by what the
// console answers.
#pragma once

#include <filesystem>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "armwise/base/clock.hpp"
#include "armwise/base/task_fwd.hpp"
#include "armwise/console/line.hpp"
#include "armwise/console/sentry.hpp"
#include "armwise/session/person.hpp"
#include "profiles_at_hand.hpp"
#include "taught_profiles.hpp"

namespace armwise::app {

class ProfileChoice {
 public:
  // `named`: file or name; empty: ask() has to be called. `read`: the same, where it was read already.
  ProfileChoice(std::string named, std::optional<ProfileAtHand> read)
      : named_(std::move(named)), known_(std::move(read)) {}

  bool is_made() const { return !named_.empty(); }
  // Asks the person, who is shown which of their own ones this console answers to. Question id: `profile`.
  // Throws Fault(bad_profile) where none is left.
  Task<void> ask(session::Person& person, console::Plug& plug, Clock& clock, console::Sentry& sentry);
  // Reads it where it has not been yet. Throws Fault(usage, file, bad_profile).
  void read();
  const console::Profile& profile() const { return known_->profile; }

  // ask() has heard the console answer to it.
  bool was_answered() const;
  bool any_answered() const { return !answered_.empty(); }
  // Another has to be chosen; a misfit is not offered again.
  void take_back();
  void take_back_misfit();

 private:
  std::string named_;
  std::optional<ProfileAtHand> known_;
  std::set<std::filesystem::path> misfits_;
  std::vector<AnswersTo> answered_;  // of the profiles at hand
};

}  // namespace armwise::app
