#include "armwise/record/compare.hpp"

#include <algorithm>
#include <set>
#include <utility>

#include "armwise/solve/difference.hpp"

namespace armwise::record {
namespace {

class Differences {
 public:
  void text(const char* about, const std::string& what, const std::string& older, const std::string& newer) {
    if (older == newer) return;
    const auto shown = [](const std::string& value) { return value.empty() ? "not told" : value; };
    add(about, what + " is " + shown(newer) + "; it was " + shown(older));
  }
  void add(const char* about, std::string words) { all_.push_back({about, std::move(words)}); }
  std::vector<Difference> take() { return std::move(all_); }

 private:
  std::vector<Difference> all_;
};

// "front-left, turning clockwise" out of "front-left cw".
std::string place_and_turn(const std::string& text) {
  const std::size_t space = text.rfind(' ');
  if (space == std::string::npos) return text;
  const auto turn = craft::turn_named(text.substr(space + 1));
  return turn ? text.substr(0, space) + ", turning " + std::string(in_words(*turn)) : text;
}

void compare_identity(const CraftRecord& older, const CraftRecord& newer, Differences& out) {
  out.text("craft", "the craft's name", older.craft_name, newer.craft_name);
  const console::Identity& was = older.identity;
  const console::Identity& is = newer.identity;
  out.text("controller", "the board", was.board, is.board);
  out.text("controller", "the board's serial number", was.serial, is.serial);
  out.text("controller", "the firmware", was.firmware, is.firmware);
  out.text("controller", "the firmware's version", was.version, is.version);
  out.text("controller", "the console profile", older.profile_name, newer.profile_name);
  out.text("frame", "the frame", older.frame, newer.frame);
  out.text("props", "the prop scheme", std::string(in_words(older.scheme)),
           std::string(in_words(newer.scheme)));
}

void compare_wiring(const CraftRecord& older, const CraftRecord& newer, Differences& out) {
  std::set<std::string> pins;
  for (const auto& [pin, wired] : older.wiring) pins.insert(pin);
  for (const auto& [pin, wired] : newer.wiring) pins.insert(pin);
  for (const std::string& pin : pins) {
    const auto was = older.wiring.find(pin);
    const auto is = newer.wiring.find(pin);
    if (was == older.wiring.end()) {
      out.add("wiring", "pin " + pin + " is new: " + place_and_turn(is->second));
    } else if (is == newer.wiring.end()) {
      out.add("wiring", "pin " + pin + " is not used any more; it was " + place_and_turn(was->second));
    } else if (was->second != is->second) {
      out.add("wiring",
              "pin " + pin + " is " + place_and_turn(is->second) + "; it was " + place_and_turn(was->second));
    }
  }
}

void compare_settings(const CraftRecord& older, const CraftRecord& newer, Differences& out) {
  const std::size_t motors = std::max(older.numbering.size(), newer.numbering.size());
  for (std::size_t i = 0; i < motors; ++i) {
    const auto place = [&](const CraftRecord& record) {
      return i < record.numbering.size() ? record.numbering[i] : std::string("on no place");
    };
    out.text("numbering", "motor " + std::to_string(i + 1), place(older), place(newer));
  }
  for (const std::string& sentence : solve::differences_in_words(newer.after, older.after))
    out.add("settings", sentence);
  out.text("mount", "the board's true mount", older.mount_in_words, newer.mount_in_words);
  out.text("mount", "the flight sense", older.flight_sense, newer.flight_sense);
}

std::string proof_in_words(const CraftRecord& record) {
  if (record.proven_whole()) return "proven";
  return "not proven (" + std::to_string(record.proof_spins) + " proof spins, " +
         (record.read_back_matches ? "read back as written" : "not read back as written") + ")";
}

}  // namespace

std::vector<Difference> compare(const CraftRecord& older, const CraftRecord& newer) {
  Differences out;
  compare_identity(older, newer, out);
  compare_wiring(older, newer, out);
  compare_settings(older, newer, out);
  out.text("proof", "the craft", proof_in_words(older), proof_in_words(newer));
  return out.take();
}

}  // namespace armwise::record
