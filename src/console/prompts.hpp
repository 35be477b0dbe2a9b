// What can stand at the end of a console's reply, and what of it stands there.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "armwise/console/profile.hpp"

namespace armwise::console {

struct PromptSeen {
  std::string prompt;       // without blanks at its ends
  bool top = false;         // the profile's own prompt, not one from inside a menu
  bool line_start = false;  // nothing else stands on its line
};

// The line without the prompts that it begins with (several, where nothing was said between) and without
// blanks at its ends.
std::string_view behind_prompts(std::string_view line, std::string_view prompt);

class Prompts {
 public:
  explicit Prompts(const Profile& profile);

  // The longest prompt that the text ends with.
  std::optional<PromptSeen> at_end_of(std::string_view tail) const;
  bool is_prompt(std::string_view line) const;
  const std::string& top() const { return top_; }
  bool has_menus() const { return !inner_.empty(); }

 private:
  std::string top_;
  std::vector<std::string> inner_;
};

}  // namespace armwise::console
