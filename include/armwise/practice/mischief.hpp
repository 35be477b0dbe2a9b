// What can go wrong with a line or a controller, on demand: one mischief a run, by number, repeatable by
// seed. Pure.
#pragma once

#include <cstdint>
#include <deque>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "armwise/base/duration.hpp"

namespace armwise::practice {

enum class Mischief {
  none,
  // The line. `at` counts bytes, that way, from 1.
  drop_byte,
  double_byte,
  damage_byte,       // one bit flipped
  delay_byte,        // that byte and all after it come 50 to 1500 ms late
  cut_line,          // the port stays, but nothing passes any more, either way
  vanish_same_name,  // the port goes and comes back; the controller keeps running, and motors turning
  vanish_other_name,
  vanish_for_ever,
  stop_reading,  // the controller takes no more bytes
  inject_probe,  // another program's modem probe ("AT") gets into what the controller hears
  // The controller. `at` counts what is named, from 1.
  restart_in_write,    // the nth write: without an answer; stored or not by the seed
  refuse_write,        // the nth write
  accept_not_store,    // the nth write
  clamp_write,         // the nth write: an angle is cut to 45, anything else not stored
  store_not_keep,      // the nth keep: acknowledged, and lost on the restart
  refuse_keep,         // the nth keep
  reply_lost,          // the nth command is carried out, but not answered
  late_answer,         // the nth command's answer comes after the next was sent
  other_motors_line,   // the first answer from the nth command on that names motors: the next one's number
  unsolicited,         // a line of its own in the middle of the nth command's answer
  hostile_bytes,       // NULs, escape codes and broken UTF-8 in the nth command's answer
  giant_line,          // a line of a megabyte in the nth command's answer
  endless_output,      // the nth command's answer never ends
  echo_nothing,        // from the nth command on
  listing_cut_short,   // the nth whole configuration stops half-way, with a prompt as if whole
  restart_in_listing,  // the controller restarts by itself in the nth whole configuration
  boot_loader_first,   // on the nth restart: seen as its boot loader for 3 s, then as itself
  boot_loader_stuck,   // on the nth restart: stays in its boot loader
  another_controller,  // on the nth restart: another one with the same USB numbers comes back
  never_back,          // on the nth restart
  swallow_stop,        // the nth stop: not carried out, not answered
  spin_on,             // the nth stop: answered, not carried out
};

enum class Way { to_controller, from_controller };

struct MischiefPlan {
  Mischief what = Mischief::none;
  std::uint64_t at = 1;
  Way way = Way::from_controller;
  bool for_ever = false;  // not once but from `at` on
  std::uint64_t seed = 0;
  std::string_view name = {};  // in the table of mischiefs
  // Has it happened? The same for all copies of the plan.
  std::shared_ptr<bool> struck = std::make_shared<bool>(false);

  bool is(Mischief mischief) const { return what == mischief; }
  // Does it happen at this count of its things?
  bool strikes(Mischief mischief, std::uint64_t count) const {
    return what == mischief && noted(for_ever ? count >= at : count == at);
  }
  bool noted(bool strikes) const {
    if (strikes) *struck = true;
    return strikes;
  }
};

// One line of the table of mischiefs; its number is its place in the table, from 1.
struct MischiefKind {
  Mischief what = Mischief::none;
  Way way = Way::from_controller;
  bool for_ever = false;
  std::uint64_t latest = 1;  // a seed chooses `at` from 1 to this
  std::string_view name;     // "drop-byte-from-controller"
  std::string_view words;    // what happens, for --help
};

std::span<const MischiefKind> mischiefs();

// What somebody at the bench would make of it, to be told once it is over: "You'd notice {notice}; armwise
// {answer}."
struct MischiefStory {
  std::string_view what, notice, answer;
};
MischiefStory story_of(const MischiefKind& kind);
// By number ("7") or name; null: there is none.
const MischiefKind* mischief_kind(std::string_view number_or_name);
// Throws Fault(usage) where there is no such number. `at`: instead of the seed's choice.
MischiefPlan mischief_numbered(int number, std::uint64_t seed, std::optional<std::uint64_t> at = {});
// By number ("7") or name. Throws Fault(usage) that suggests the nearest.
MischiefPlan mischief_named(std::string_view number_or_name, std::uint64_t seed,
                            std::optional<std::uint64_t> at = {});

// One direction of a line, with the mischief that happens to its bytes.
class Wire {
 public:
  Wire(const MischiefPlan& plan, Way way) : plan_(plan), way_(way) {}

  // What happened to the port itself while bytes passed.
  enum class Event { none, cut, vanished };

  // Bytes in at `now`; what comes out is had from take().
  Event put(std::string_view bytes, Instant now);
  std::string take(Instant now);
  std::optional<Instant> next_event() const;
  void clear() { queue_.clear(); }
  void mend() { plan_ = {}; }

 private:
  struct Piece {
    Instant due{0};
    std::string bytes;
  };
  bool strikes_here(std::size_t length) const;
  Event put_struck(std::string_view bytes, Instant now);
  void push(std::string_view bytes, Instant due);

  MischiefPlan plan_;
  Way way_;
  std::uint64_t passed_ = 0;
  Instant late_until_{0};
  std::deque<Piece> queue_;
};

}  // namespace armwise::practice
