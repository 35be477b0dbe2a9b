// The sections that move or sense something: spin, sense, keep.
#include <set>
#include <string>
#include <utility>

#include "profile_parts.hpp"
#include "profile_sections.hpp"

namespace armwise::console {
namespace {

// A spin check is there to be seen, not to be felt: these bounds hold whatever a profile says.
constexpr double strongest_standard_per_cent = 25;
constexpr double strongest_per_cent = 50;

void check_strengths(const JsonNode& node, const SpinAbility& spin) {
  if (spin.zero >= spin.full) node.refuse("zero must be less than full");
  const auto& [zero, full] = std::pair(spin.zero, spin.full);
  if (spin.lowest < zero || spin.lowest > spin.standard || spin.standard > spin.highest ||
      spin.highest > full) {
    node.refuse("strengths must rise from zero over lowest, standard and highest to full");
  }
  if (spin.standard <= zero) node.refuse("standard is no strength at all");
  if (spin.per_cent(spin.standard) > strongest_standard_per_cent) {
    node.refuse("standard is more than 25 % of full strength, too much for a spin check");
  }
  if (spin.per_cent(spin.highest) > strongest_per_cent) {
    node.refuse("highest is more than 50 % of full strength, too much for a spin check");
  }
}

}  // namespace

SpinAbility read_spin(const JsonNode& node) {
  SpinAbility spin;
  JsonObject object = node.object();
  const JsonNode command = object.need("spin");
  spin.spin = read_command(command, {"motor", "strength", "milliseconds"});
  need_blank(command, spin.spin.steps, "motor");
  need_blank(command, spin.spin.steps, "strength");
  if (const auto stop = object.find("stop")) {
    spin.stop = read_command(*stop, {"motor"});
    need_blank(*stop, spin.stop->steps, "motor");
  }
  spin.stop_all = read_command(object.need("stop_all"), {});
  const auto read = [&](const char* key, double& value) {
    if (const auto found = object.find(key)) value = found->number(-1e6, 1e6);
  };
  read("zero", spin.zero);
  read("full", spin.full);
  spin.standard = object.need("standard").number(-1e6, 1e6);
  spin.lowest = spin.highest = spin.standard;
  read("lowest", spin.lowest);
  read("highest", spin.highest);
  if (const auto decimals = object.find("decimals")) spin.decimals = decimals->whole(0, 6);
  read_text(object, "unit", spin.unit);
  object.refuse_other_keys();
  check_strengths(node, spin);
  return spin;
}

SenseAbility read_sense(const JsonNode& node) {
  SenseAbility sense;
  JsonObject object = node.object();
  const JsonNode read = object.need("read");
  sense.read = read_query(read, {}, {"x", "y", "z", "gx", "gy", "gz"});
  need_in_lines(read, sense.read, {"x", "y", "z"});
  if (const auto per_g = object.find("per_g")) sense.per_g = per_g->number(1e-3, 1e6);
  if (const auto per_dps = object.find("per_dps")) {
    sense.per_dps = per_dps->number(1e-6, 1e6);
    need_in_lines(read, sense.read, {"gx", "gy", "gz"});
  }
  if (const auto axes = object.find("axes")) {
    const auto list = axes->list(3);
    std::set<char> used;
    if (list.size() != 3) axes->refuse("must be three axes");
    for (std::size_t i = 0; i < 3; ++i) {
      sense.axes.at(i) = read_choice<std::string>(
          list[i], {{"x", "x"}, {"y", "y"}, {"z", "z"}, {"-x", "-x"}, {"-y", "-y"}, {"-z", "-z"}});
      if (!used.insert(sense.axes.at(i).back()).second) list[i].refuse("the same axis twice");
    }
  }
  if (const auto after = object.find("after_mount")) sense.after_mount = after->truth();
  if (const auto force = object.find("specific_force")) sense.specific_force = force->truth();
  object.refuse_other_keys();
  return sense;
}

KeepAbility read_keep(const JsonNode& node) {
  KeepAbility keep;
  JsonObject object = node.object();
  keep.keep = read_command(object.need("keep"), {});
  if (const auto restarts = object.find("restarts")) keep.restarts = restarts->truth();
  if (const auto restart = object.find("restart")) keep.restart = read_command(*restart, {});
  object.refuse_other_keys();
  return keep;
}

}  // namespace armwise::console
