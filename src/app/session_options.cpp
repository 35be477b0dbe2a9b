#include "session_options.hpp"

#include <CLI/App.hpp>
#include <utility>

#include "checks.hpp"

namespace armwise::app {

void add_session_options(CLI::App& command, SessionOptions& options) {
  command.add_option("PORT", options.port, "the port (default: the one that's plugged in)");
  add_console_options(command, options);
}

void add_console_options(CLI::App& command, SessionOptions& options) {
  command.add_option("--profile", options.profile, "this console's profile: a file or a name")
      ->type_name("FILE");
  command.add_option("--wait", options.wait_seconds, "how long to wait for a port to be plugged in")
      ->type_name("SECONDS")
      ->check(whole_number_within(0, 3600));
  command.add_option("--capture", options.capture, "keep every byte both ways, with times")
      ->type_name("FILE");
  command.add_flag("-v,--verbose", options.verbose, "print progress to stderr, with times");
  command.add_option("--log-file", options.log_file, "write the log here, not among the last 20 kept")
      ->type_name("FILE");
  command.add_option("--answers", options.answers, "answer from a JSON file: question id to answer")
      ->type_name("FILE")
      ->check(existing_file());
  auto* machine = command.add_flag("--machine", options.machine, "one JSON object a line, out and in");
  command.add_flag("--plain", options.plain, "lines of text only, for a screen reader or a pipe")
      ->excludes(machine);
  command.add_flag("--ascii", options.ascii, "draw with seven-bit characters only");
  command.add_flag("--yes", options.yes, "say yes to questions about settings, never to a spin");
}

void add_practice_options(CLI::App& command, SessionOptions& options) {
  auto* practice = command.add_flag("--practice", options.practice.wanted,
                                    "on a simulated craft: no hardware, nothing can turn");
  command.add_flag("--play", options.practice.play, "with --practice: the craft plays the person, too")
      ->needs(practice)
      ->excludes(command.get_option("--answers"));
  const auto add = [&](const char* name, auto& value, const char* what) {
    return command.add_option(name, value, std::string("with --practice: ") + what)->needs(practice);
  };
  add("--practice-console", options.practice.console, "the console it speaks (default: --profile)")
      ->type_name("FILE");
  add("--practice-craft", options.practice.craft, "this craft")->type_name("FILE")->check(existing_file());
  add("--practice-frame", options.practice.frame, "this frame")->type_name("FRAME")->check(known_frame());
  add("--seed", options.practice.seed, "this hidden wiring")->type_name("N")->check(whole_number());
  add("--baud", options.practice.baud, "line speed, 0 for none")
      ->type_name("N")
      ->check(whole_number_within(0, 10000000));
  add("--mischief", options.practice.mischief, "what goes wrong, by number or name")->type_name("N");
}

void SessionOptions::speak_as(std::optional<ProfileAtHand> one) {
  known = std::move(one);
  profile = known ? known->file.string() : std::string();
}

}  // namespace armwise::app
