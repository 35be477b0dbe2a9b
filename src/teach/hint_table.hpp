// Words of the trade: what is asked for and how consoles mostly speak of it. Nothing depends on them.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace armwise::teach {

// What speaks of an ability. Where two speak alike, the first has it: a stop is never hinted at as a
// question, nor a spin as anything else.
enum class Topic { stop, spin, keep, restart, leave, identity, props, sense, turn, mount, map, everything };

// What a question asks for, and the blanks that it needs; "key": a motor or a pin.
struct Wanted {
  std::string_view ability;
  Topic topic = Topic::everything;
  std::vector<std::string> blanks;
};
// Null: nothing is known of it.
const Wanted* wanted_by(std::string_view ability);

// How many of the topic's words the text holds.
int hits(Topic topic, std::string_view text);
// Words of commands that nobody wants by a slip.
bool is_never_hinted(std::string_view usage, std::string_view about);
// Which way a motor spins is a setting, and no spin.
bool speaks_of_a_way(std::string_view text);
// "puts a motor on a pin": no question.
bool speaks_of_a_change(std::string_view about);
// "back   leaves this shell"
bool is_way_back(std::string_view usage, std::string_view about);
bool is_consent(std::string_view word);

// True where consoles call the blank so in a usage.
bool names(std::string_view slot, std::string_view blank);
// A word that stands for a value, whichever.
bool names_any(std::string_view word);
// The value as this slot wants it: a time in seconds, say.
std::string in_unit_of(std::string_view slot, const std::string& blank, const std::string& value);
// In which part of a degree a text says that angles are counted: "0.1 deg", "tenths of a degree".
int parts_of_a_degree(std::string_view text);

}  // namespace armwise::teach
