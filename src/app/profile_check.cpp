#include <iostream>
#include <memory>

#include "armwise/console/profile.hpp"
#include "commands.hpp"
#include "exit_status.hpp"
#include "profiles_at_hand.hpp"

namespace armwise::app {

CommandSpec profile_check_command() {
  return {"profile check", "check a profile, and say what it can do", "armwise profile check my-console.json",
          [](CLI::App& command, Chosen&) {
            auto file = std::make_shared<std::string>();
            command.add_option("FILE", *file, "the profile: a file or a name")->required();
            return [file] {
              const console::Profile profile = find_profile(*file).profile;
              std::cout << "The profile \"" << profile.name << "\" is sound.\n";
              for (const std::string& line : console::abilities(profile)) std::cout << "  " << line << "\n";
              return done;
            };
          }};
}

}  // namespace armwise::app
