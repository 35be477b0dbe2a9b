#include <memory>

#include "armwise/practice/mischief.hpp"
#include "armwise/practice/process.hpp"
#include "armwise/ui/style.hpp"
#include "checks.hpp"
#include "commands.hpp"
#include "profiles_at_hand.hpp"

namespace armwise::app {
namespace {

std::string list_of_mischiefs() {
  std::string list = "\n\nMischiefs:";
  int number = 0;
  for (const practice::MischiefKind& kind : practice::mischiefs()) {
    const std::string words =
        std::to_string(++number) + "  " + std::string(kind.name) + ": " + std::string(kind.words);
    std::string line = "  ";
    for (const std::string& part : ui::wrapped(words, ui::widest_text - 6)) {
      list += "\n" + line + part;
      line.assign(6, ' ');
    }
  }
  return list;
}

}  // namespace

CommandSpec practice_command() {
  return {
      "practice", "a simulated craft on a pseudo-terminal, until stopped",
      "armwise practice --frame hex-x --seed 7", [](CLI::App& command, Chosen&) {
        auto options = std::make_shared<practice::PracticeOptions>();
        auto profile = std::make_shared<std::string>("tarn");
        command.add_option("--frame", options->frame, "the craft's frame (quad-x)")
            ->type_name("FRAME")
            ->check(known_frame());
        command.add_option("--seed", options->seed, "chooses the hidden wiring")
            ->type_name("N")
            ->check(whole_number());
        command.add_option("--craft", options->craft, "a craft file instead")
            ->type_name("FILE")
            ->check(existing_file());
        command.add_option("--profile", *profile, "the console that it speaks")->type_name("FILE");
        command.add_option("--baud", options->baud, "line speed, 0 for none (115200)")
            ->type_name("N")
            ->check(whole_number_within(0, 10000000));
        command.add_option("--directory", options->directory, "where its device tree goes")->type_name("DIR");
        command.add_option("--mischief", options->mischief, "what goes wrong, by number or name")
            ->type_name("N");
        command.footer(command.get_footer() + list_of_mischiefs());
        return [options, profile] {
          options->profile = find_profile_file(*profile);
          return practice::run_practice(*options);
        };
      }};
}

}  // namespace armwise::app
