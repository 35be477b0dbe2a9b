#include "prompts.hpp"

#include <algorithm>

#include "armwise/base/text.hpp"

namespace armwise::console {
namespace {

using AllSteps = std::vector<const Steps*>;

void gather(AllSteps& all, const std::optional<Query>& query) {
  if (query) all.push_back(&query->steps);
}
void gather(AllSteps& all, const std::optional<Command>& command) {
  if (command) all.push_back(&command->steps);
}

AllSteps every_steps_of(const Profile& profile) {
  AllSteps all;
  gather(all, profile.identify);
  gather(all, profile.whole_configuration);
  gather(all, profile.leave);
  if (const auto& map = profile.map) {
    all.push_back(&map->list.steps);
    gather(all, map->put);
    gather(all, map->free);
  }
  if (const auto& props = profile.props) {
    all.push_back(&props->read.steps);
    gather(all, props->set);
  }
  if (const auto& turn = profile.turn) {
    all.push_back(&turn->read.steps);
    gather(all, turn->set);
  }
  if (const auto& mount = profile.mount) {
    all.push_back(&mount->read.steps);
    for (const auto* set : {&mount->set, &mount->set_yaw, &mount->set_pitch, &mount->set_roll})
      gather(all, *set);
  }
  if (const auto& spin = profile.spin) {
    all.push_back(&spin->spin.steps);
    all.push_back(&spin->stop_all.steps);
    gather(all, spin->stop);
  }
  if (const auto& sense = profile.sense) all.push_back(&sense->read.steps);
  if (const auto& keep = profile.keep) {
    all.push_back(&keep->keep.steps);
    gather(all, keep->restart);
  }
  return all;
}

}  // namespace

std::string_view behind_prompts(std::string_view line, std::string_view prompt) {
  const std::string_view mark = trimmed(prompt);
  line = trimmed(line);
  while (!mark.empty() && line.starts_with(mark)) line = trimmed(line.substr(mark.size()));
  return line;
}

Prompts::Prompts(const Profile& profile) : top_(trimmed(profile.open.prompt)) {
  for (const Steps* steps : every_steps_of(profile)) {
    for (const Step& step : *steps) {
      const std::string prompt(trimmed(step.prompt));
      if (!prompt.empty() && prompt != top_) inner_.push_back(prompt);
    }
  }
  std::sort(inner_.begin(), inner_.end());
  inner_.erase(std::unique(inner_.begin(), inner_.end()), inner_.end());
}

std::optional<PromptSeen> Prompts::at_end_of(std::string_view tail) const {
  std::optional<PromptSeen> longest;
  const auto look_for = [&](const std::string& prompt, bool top) {
    if (prompt.empty() || !tail.ends_with(prompt)) return;
    if (longest && longest->prompt.size() >= prompt.size()) return;
    longest = PromptSeen{prompt, top, tail.size() == prompt.size()};
  };
  look_for(top_, true);
  for (const std::string& prompt : inner_) look_for(prompt, false);
  return longest;
}

bool Prompts::is_prompt(std::string_view line) const {
  const auto seen = at_end_of(trimmed(line));
  return seen && seen->line_start;
}

}  // namespace armwise::console
