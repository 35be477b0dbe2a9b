// Commands that need not be typed, since what was typed and listed before implies them. Pure. Each is only a
// proposal: the person confirms it or types another, and then it is proven like any other.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "armwise/console/profile.hpp"
#include "armwise/teach/reply_table.hpp"

namespace armwise::teach {

// The map's commands, as the example from which others are drawn.
struct MapSpeech {
  std::string list;       // "WL"
  console::Template put;  // "WM,{motor},{pin}"; its steps in a row
  bool per_pin = false;   // the pin is the key, the motor the value
  std::string row = {};   // of the listing, and what it reads
  console::Values now = {};
  std::string head = {};  // the line above the listing's rows
};

// A whole configuration to look into for the answers of other commands.
struct Listing {
  Lines lines;       // cut where answers stand in a row on one line
  bool cut = false;  // then no template can read them where they stand
  std::string
      before;  // what stands before a command's name in its own answer ("+", "{\"re\":\""); may be empty
};
// `list`: the map's command, where it is known. Where its name stands in a line of the configuration, so do
// others.
Listing looked_into(const Lines& configuration, const std::string& list);
// The command whose answer this line is, by its name in it; empty where it does not tell.
std::string named_in(const Listing& listing, const std::string& line);
// Lines of the prop direction: by its name, or else the only one that ends in "in", "out" and their like.
Lines lines_of_props(const Listing& listing);

// A setting as it reads now.
struct Shown {
  std::string read;         // the command that shows it; empty: the whole configuration
  bool asked_each = false;  // the key stands in that command
  std::string line;         // of its answer
  console::Template like;   // that line's template
  console::Values now;      // what it read there
  std::string key;          // "motor" or "pin"; empty: the setting stands alone
  std::string value;        // the blank of the value: "turn", "props", "mount"; empty: all of `now` are
  std::string head = {};    // the line above the rows of that answer
};
// The command that sets it to what it is now: a verb and what the line shows, where the map is set like that;
// the line itself where it reads `name = value`; what the map's command makes of the map's listing, made of
// this one's; a sentence turned into an order ("motor 4 turns clockwise": "turn motor 4 clockwise"); what
// shows it, and the value. Empty where nothing is implied.
std::string set_like(const std::optional<MapSpeech>& map, const Shown& shown);

// The command that shows these lines, where that of the map names what it shows: "ls /out" is answered
// "/out/0/pin …", so "/seat/yaw …" is by "ls /seat". Empty where it names nothing.
std::string question_like(const std::string& list, const Lines& rows, const Lines& others);

// The command that takes a motor off its pin: the map's command with the word for no pin; or its opposite,
// where the listing tells which of its words is the verb ("is wired to": "unwire").
std::string free_like(const MapSpeech& map, const std::string& list_line, const std::string& nothing,
                      const console::Values& now);

// The same command for another name: "mount.yaw" to "mount.pitch".
std::string with_name(const std::string& text, const std::string& from, const std::string& to);

// A usual word as a command of a console that takes these two: with the sign that begins both ("/exit").
// Empty where they are not words, but numbers of a menu, letters, or names of settings.
std::string word_like(const std::string& word, const std::array<std::string, 2>& commands);

// What usually stands against a word ("in": "out"); empty where nothing does. Capitals as in the word.
std::string opposite_word(const std::string& word);

}  // namespace armwise::teach
