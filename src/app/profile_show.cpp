// A profile in ten lines: what each ability is done with, or what stays the person's work.
#include <cstdio>
#include <iostream>
#include <memory>
#include <optional>

#include "armwise/base/text.hpp"
#include "armwise/console/profile.hpp"
#include "commands.hpp"
#include "exit_status.hpp"
#include "profiles_at_hand.hpp"

namespace armwise::app {
namespace {

using console::Command;
using console::Profile;
using console::Query;
using console::Steps;

std::string sent_in(const Steps& steps) {
  std::vector<std::string> lines;
  lines.reserve(steps.size());
  for (const console::Step& step : steps) lines.push_back(step.send.source());
  return joined(lines, " ; ");
}

std::string sent_in(const std::optional<Query>& query) {
  return query ? sent_in(query->steps) : std::string();
}

std::string sent_in(const std::optional<Command>& command) {
  return command ? sent_in(command->steps) : std::string();
}

std::string both(const std::string& first, const std::string& second) {
  return first.empty() || second.empty() || first == second ? first + (first == second ? "" : second)
                                                            : first + "   " + second;
}

std::string line_ending_name(console::LineEnding ending) {
  if (ending == console::LineEnding::cr) return "CR";
  return ending == console::LineEnding::lf ? "LF" : "CR LF";
}

std::string spoken(const Profile& profile) {
  const console::Open& open = profile.open;
  std::string text =
      open.prompt.empty() ? "replies end with a line of their own" : "prompt \"" + open.prompt + "\"";
  text += ", lines end with " + line_ending_name(open.line_ending);
  if (open.echo) text += *open.echo ? ", it repeats what is typed" : ", no echo";
  if (open.echo_in_capitals) text += ", in capitals";
  return text;
}

std::string mount_commands(const console::MountAbility& mount) {
  if (mount.set) return sent_in(mount.set);
  return both(sent_in(mount.set_yaw), both(sent_in(mount.set_pitch), sent_in(mount.set_roll)));
}

std::string stop_and_spin(const console::SpinAbility& spin) {
  return both(sent_in(spin.spin.steps), sent_in(spin.stop_all.steps)) +
         (spin.bounded() ? "   (a spin ends by itself)" : "   (only the stop ends a spin)");
}

std::string saving(const console::KeepAbility& keep) {
  if (keep.restarts) return sent_in(keep.keep.steps) + "   (it restarts by itself)";
  if (keep.restart) return both(sent_in(keep.keep.steps), sent_in(keep.restart));
  return sent_in(keep.keep.steps) + "   (you restart it by hand)";
}

struct ShownRow {
  const char* what;
  std::string how;  // empty: it cannot
  const char* instead;
};

std::vector<ShownRow> rows_of(const Profile& profile) {
  const auto& map = profile.map;
  const auto& props = profile.props;
  const auto& turn = profile.turn;
  const auto& mount = profile.mount;
  return {
      {"who it is", sent_in(profile.identify), "no; the port's own identity is used"},
      {"save everything", sent_in(profile.whole_configuration), "no; only what follows is saved"},
      {"motor pins", map ? both(sent_in(map->list.steps), sent_in(map->put)) : "", "no; bench needs it"},
      {"spin and stop", profile.spin ? stop_and_spin(*profile.spin) : "", "no; bench needs it"},
      {"directions", turn ? both(sent_in(turn->read.steps), sent_in(turn->set)) : "",
       "no; you swap two wires of a motor, or set its speed controller"},
      {"props in or out", props ? both(sent_in(props->read.steps), sent_in(props->set)) : "",
       "no; directions alone decide"},
      {"mount", mount ? both(sent_in(mount->read.steps), mount_commands(*mount)) : "",
       "no; armwise tells you what to set by hand"},
      {"readings", profile.sense ? sent_in(profile.sense->read.steps) : "",
       "no; you say how the board is mounted"},
      {"save, restart", profile.keep ? saving(*profile.keep) : "", "no; you save by hand"},
  };
}

int show(const Profile& profile) {
  constexpr int column = 16;
  std::printf("%s: %s\n", profile.name.c_str(), spoken(profile).c_str());
  for (const ShownRow& row : rows_of(profile)) {
    const std::string how = row.how.empty() ? std::string(row.instead) : row.how;
    std::printf("  %-*s %s\n", column, row.what, printable(how).c_str());
  }
  return done;
}

}  // namespace

CommandSpec profile_show_command() {
  return {"profile show", "a profile in ten lines: its commands, and what it cannot do",
          "armwise profile show my-console", [](CLI::App& command, Chosen&) {
            auto file = std::make_shared<std::string>();
            command.add_option("FILE", *file, "the profile: a file or a name")->required();
            return [file] { return show(find_profile(*file).profile); };
          }};
}

}  // namespace armwise::app
