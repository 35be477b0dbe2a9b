// What the board answers when it is asked: its settings, readings and listing as the profile's own lines.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "armwise/practice/craft.hpp"
#include "grammar.hpp"
#include "invented_entries.hpp"
#include "output_codes.hpp"
#include "settings.hpp"

namespace armwise::practice {

enum class Refusal { unknown_command, unknown_motor, unknown_pin, pin_taken, out_of_range, not_possible };
std::string_view in_words(Refusal refusal);

struct Outcome {
  std::vector<std::string> lines;
  std::optional<Refusal> refusal;
};

// How the controller misbehaves in what it is told to do this once.
struct Slip {
  bool not_stored = false;   // confirmed, but not done
  bool clamped = false;      // an angle is cut to 45 degrees, any other value is not stored
  bool not_kept = false;     // keeping confirmed, but not done
  bool not_stopped = false;  // a stop confirmed, but not done
  bool wrong_motor = false;  // the answer names the next motor
};

// The template with its blanks filled; absent where a value is missing that must not be invented.
std::optional<std::string> filled(const console::Template& line, console::Values values);

class Answers {
 public:
  // All outlive it.
  Answers(const console::Profile& profile, const PracticeCraft& craft, const Settings& running,
          const Settings& in_force, const InventedEntries& invented)
      : profile_(profile),
        craft_(craft),
        codes_{profile, craft},
        running_(running),
        in_force_(in_force),
        invented_(invented) {}

  Outcome to(const Phrase& query, const console::Values& values, const Slip& slip);

 private:
  using Entries = std::vector<console::Values>;

  Outcome table(const Phrase& phrase, const console::Values& values, const Slip& slip);
  Entries map_entries(std::optional<int> motor, std::optional<int> pin) const;
  Entries turn_entries(std::optional<int> motor, std::optional<int> pin) const;
  console::Values identity() const;
  console::Values mount_values() const;
  console::Values sensed();
  std::vector<std::string> rendered(const console::Query& query, const Entries& entries) const;
  std::vector<std::string> listing() const;
  std::vector<std::string> settings_as_lines() const;
  void add_query(std::vector<std::string>& lines, const console::Query& query, const Entries& entries) const;

  const console::Profile& profile_;
  const PracticeCraft& craft_;
  OutputCodes codes_;
  const Settings& running_;
  const Settings& in_force_;
  const InventedEntries& invented_;
  std::uint64_t readings_ = 0;
};

}  // namespace armwise::practice
