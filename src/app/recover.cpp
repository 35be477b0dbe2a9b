#include "armwise/session/recover.hpp"

#include <iostream>
#include <memory>
#include <optional>
#include <set>
#include <string>

#include "armwise/base/task.hpp"
#include "armwise/link/guard_note.hpp"
#include "commands.hpp"
#include "exit_status.hpp"
#include "practice_child.hpp"
#include "profiles_at_hand.hpp"
#include "session_setup.hpp"

namespace armwise::app {
namespace {

using Ending = session::RecoverResult::Ending;

Task<int> run_recover(Session& session) {
  const record::Folders folders = session.folders();
  record::DiskStore store(folders);
  if (store.open_sessions().empty()) {
    // Nothing to do needs no controller.
    for (const link::GuardNote& note : link::take_guard_notes(folders.state))
      std::cout << note.in_words() << "\n";
    std::cout << "No session was cut off: there is nothing to recover.\n";
    if (session.practice() != nullptr) end_craft_left_behind();
    co_return done;
  }
  co_await session.meet_person();
  Clock& clock = session.runtime().clock();
  co_await session::settle_trials(session.person(), store, clock);
  if (!session::needs_recovery(store)) co_return store.open_sessions().empty() ? done : left_changed;
  co_await session.prepare();
  const session::RecoverResult result =
      co_await session::recover(session.console(), session.person(), store, clock);
  if (result.ending == Ending::left_open) co_return left_changed;
  if (session.practice() != nullptr) end_craft_left_behind();
  co_return result.ending == Ending::set_aside ? left_changed : done;
}

// The profile of the sessions that were cut off, where they agree: who was asked then is not asked again.
std::optional<ProfileAtHand> profile_spoken_then() {
  std::set<std::string> names;
  for (const record::OpenSession& open :
       record::DiskStore(record::Folders::from_environment()).open_sessions())
    for (const record::JournalEntry& entry : open.entries)
      if (!entry.profile_name.empty()) names.insert(entry.profile_name);
  return names.size() == 1 ? profile_called(*names.begin()) : std::nullopt;
}

}  // namespace

CommandSpec recover_command() {
  return {"recover", "finish or undo a session that was cut off", "armwise recover /dev/ttyACM0",
          [](CLI::App& command, Chosen& chosen) {
            auto options = std::make_shared<SessionOptions>();
            add_session_options(command, *options);
            command.add_flag("--practice", options->practice.left_behind,
                             "the practice craft whose session was cut off");
            return [options, &chosen] {
              if (options->profile.empty() && !options->practice.left_behind)
                options->speak_as(profile_spoken_then());
              Session session(*options, chosen.common);
              return session.runtime().run(run_recover(session), session.person_slot());
            };
          }};
}

}  // namespace armwise::app
