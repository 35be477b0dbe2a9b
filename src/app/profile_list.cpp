#include <iostream>

#include "armwise/console/profile.hpp"
#include "commands.hpp"
#include "exit_status.hpp"
#include "profiles_at_hand.hpp"

namespace armwise::app {

CommandSpec profile_list_command() {
  return {"profile list", "the console profiles that are at hand", "armwise profile list",
          [](CLI::App&, Chosen&) {
            return [] {
              for (const std::filesystem::path& file : profile_files()) {
                std::cout << file.stem().string() << "  " << file.string() << "\n";
                try {
                  console::load_profile_file(file);
                } catch (const Fault& fault) {
                  std::cout << "  not sound: " << fault.sentence() << "\n";
                }
              }
              return done;
            };
          }};
}

}  // namespace armwise::app
