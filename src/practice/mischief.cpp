#include "armwise/practice/mischief.hpp"

#include <array>
#include <charconv>
#include <vector>

#include "armwise/base/fault.hpp"
#include "armwise/base/random.hpp"
#include "armwise/base/text.hpp"

namespace armwise::practice {
namespace {

constexpr Way to = Way::to_controller;
constexpr Way from = Way::from_controller;

// New lines are added at the end: a number, once given, stays.
constexpr auto table = std::to_array<MischiefKind>({
    {Mischief::drop_byte, from, false, 4000, "drop-byte-from-controller", "one byte of a reply is lost"},
    {Mischief::drop_byte, to, false, 800, "drop-byte-to-controller", "one byte of a command is lost"},
    {Mischief::double_byte, from, false, 4000, "double-byte-from-controller",
     "one byte of a reply comes twice"},
    {Mischief::double_byte, to, false, 800, "double-byte-to-controller",
     "one byte of a command arrives twice"},
    {Mischief::damage_byte, from, false, 4000, "damage-byte-from-controller",
     "one bit of a reply is flipped"},
    {Mischief::damage_byte, to, false, 800, "damage-byte-to-controller", "one bit of a command is flipped"},
    {Mischief::delay_byte, from, false, 4000, "delay-byte-from-controller",
     "a reply stands still for a while"},
    {Mischief::delay_byte, to, false, 800, "delay-byte-to-controller", "a command arrives in two halves"},
    {Mischief::cut_line, from, false, 4000, "cut-line-from-controller",
     "after so many bytes the line is dead"},
    {Mischief::cut_line, to, false, 800, "cut-line-to-controller", "after so many bytes the line is dead"},
    {Mischief::vanish_same_name, from, false, 4000, "vanish-same-name", "the port goes and comes back"},
    {Mischief::vanish_other_name, from, false, 4000, "vanish-other-name",
     "the port comes back under another name"},
    {Mischief::vanish_for_ever, from, false, 4000, "vanish-for-ever", "the port goes and stays away"},
    {Mischief::vanish_same_name, to, false, 800, "vanish-same-name-in-command",
     "the port goes in mid-command"},
    {Mischief::vanish_other_name, to, false, 800, "vanish-other-name-in-command",
     "the same, with another name"},
    {Mischief::vanish_for_ever, to, false, 800, "vanish-for-ever-in-command", "the same, for good"},
    {Mischief::stop_reading, to, true, 800, "stop-reading", "the controller takes no more bytes"},
    {Mischief::inject_probe, to, false, 800, "inject-probe", "another program's modem probe gets in between"},
    {Mischief::restart_in_write, from, false, 6, "restart-in-write", "a write restarts the controller"},
    {Mischief::refuse_write, from, false, 6, "refuse-write", "a write is refused"},
    {Mischief::refuse_write, from, true, 6, "refuse-every-write", "from then on every write is refused"},
    {Mischief::accept_not_store, from, false, 6, "accept-not-store", "a write is confirmed but not done"},
    {Mischief::accept_not_store, from, true, 6, "accept-never-store", "from then on none is done"},
    {Mischief::clamp_write, from, false, 6, "clamp-write", "a value written is cut to what the board allows"},
    {Mischief::store_not_keep, from, false, 1, "store-not-keep",
     "keeping is confirmed but lost on the restart"},
    {Mischief::refuse_keep, from, false, 1, "refuse-keep", "keeping is refused"},
    {Mischief::reply_lost, from, false, 60, "reply-lost", "a command is carried out without an answer"},
    {Mischief::late_answer, from, false, 60, "late-answer", "an answer comes after the next command"},
    {Mischief::other_motors_line, from, false, 30, "other-motors-line", "an answer names the wrong motors"},
    {Mischief::unsolicited, from, false, 60, "unsolicited", "a line of its own in the middle of an answer"},
    {Mischief::unsolicited, from, true, 1, "unsolicited-always", "the same in every answer"},
    {Mischief::hostile_bytes, from, false, 60, "hostile-bytes", "NULs, escape codes and broken text"},
    {Mischief::giant_line, from, false, 60, "giant-line", "a line of a megabyte"},
    {Mischief::endless_output, from, false, 60, "endless-output", "an answer without end"},
    {Mischief::echo_nothing, from, true, 30, "echo-nothing", "the echo stops"},
    {Mischief::listing_cut_short, from, false, 1, "listing-cut-short",
     "the whole configuration stops half-way"},
    {Mischief::restart_in_listing, from, false, 1, "restart-in-listing",
     "a restart in the whole configuration"},
    {Mischief::boot_loader_first, from, false, 1, "boot-loader-first", "comes back as its boot loader first"},
    {Mischief::boot_loader_stuck, from, false, 1, "boot-loader-stuck", "stays in its boot loader"},
    {Mischief::another_controller, from, false, 1, "another-controller",
     "another one with the same USB numbers"},
    {Mischief::never_back, from, false, 1, "never-back", "does not come back from its restart"},
    {Mischief::swallow_stop, from, false, 6, "swallow-stop", "a stop is neither carried out nor answered"},
    {Mischief::spin_on, from, true, 6, "spin-on", "motors spin on although told to stop"},
});

constexpr std::string_view modem_probe = "AT\r";

}  // namespace

std::span<const MischiefKind> mischiefs() {
  return table;
}

MischiefPlan mischief_numbered(int number, std::uint64_t seed, std::optional<std::uint64_t> at) {
  if (number < 1 || number > static_cast<int>(table.size())) {
    throw Fault(FaultKind::usage, "there is no mischief number " + std::to_string(number),
                "They are numbered 1 to " + std::to_string(table.size()),
                "armwise practice --help lists them");
  }
  const MischiefKind& kind = table[static_cast<std::size_t>(number - 1)];
  Random random(seed * 64 + static_cast<std::uint64_t>(number));
  return {kind.what, at.value_or(1 + random.below(kind.latest)), kind.way, kind.for_ever, seed, kind.name};
}

const MischiefKind* mischief_kind(std::string_view number_or_name) {
  int number = 0;
  for (const MischiefKind& kind : table) {
    ++number;
    if (kind.name == number_or_name || std::to_string(number) == number_or_name) return &kind;
  }
  return nullptr;
}

MischiefPlan mischief_named(std::string_view number_or_name, std::uint64_t seed,
                            std::optional<std::uint64_t> at) {
  if (const MischiefKind* kind = mischief_kind(number_or_name))
    return mischief_numbered(static_cast<int>(kind - table.data()) + 1, seed, at);
  int number = 0;
  const auto [end, error] =
      std::from_chars(number_or_name.data(), number_or_name.data() + number_or_name.size(), number);
  if (error == std::errc{} && end == number_or_name.data() + number_or_name.size())
    return mischief_numbered(number, seed, at);
  std::vector<std::string> names;
  names.reserve(table.size());
  for (const MischiefKind& kind : table) names.emplace_back(kind.name);
  const std::string near = nearest(number_or_name, names);
  throw Fault(FaultKind::usage, "there is no mischief named " + printable(number_or_name), {},
              near.empty() ? "armwise practice --help lists them" : "Is " + near + " meant?");
}

bool Wire::strikes_here(std::size_t length) const {
  if (plan_.way != way_ || plan_.what == Mischief::none || plan_.what > Mischief::inject_probe) return false;
  return plan_.noted(passed_ + length >= plan_.at && (plan_.for_ever || passed_ < plan_.at));
}

void Wire::push(std::string_view bytes, Instant due) {
  if (bytes.empty()) return;
  if (!queue_.empty() && queue_.back().due == due) {
    queue_.back().bytes += bytes;
  } else {
    queue_.push_back({due, std::string(bytes)});
  }
}

Wire::Event Wire::put(std::string_view bytes, Instant now) {
  Event event = Event::none;
  if (strikes_here(bytes.size())) {
    event = put_struck(bytes, now);
  } else {
    push(bytes, std::max(now, late_until_));
  }
  passed_ += bytes.size();
  return event;
}

// `at` counts from 1: the bytes before it pass untouched.
Wire::Event Wire::put_struck(std::string_view bytes, Instant now) {
  const auto first = static_cast<std::size_t>(plan_.at > passed_ ? plan_.at - passed_ - 1 : 0);
  const std::string_view before = bytes.substr(0, first);
  std::string rest(bytes.substr(first));
  push(before, now);
  Random random(plan_.seed + 77);
  switch (plan_.what) {
    case Mischief::drop_byte:
      rest.erase(0, 1);
      break;
    case Mischief::double_byte:
      rest.insert(0, 1, rest[0]);
      break;
    case Mischief::damage_byte:
      rest[0] = static_cast<char>(rest[0] ^ static_cast<char>(1U << random.below(8)));
      break;
    case Mischief::delay_byte:
      late_until_ = now + Duration(50 + static_cast<int>(random.below(1451)));
      break;
    case Mischief::inject_probe:
      rest.insert(0, modem_probe);
      break;
    case Mischief::cut_line:
    case Mischief::stop_reading:
      return Event::cut;
    default:
      return Event::vanished;
  }
  push(rest, std::max(now, late_until_));
  return Event::none;
}

std::string Wire::take(Instant now) {
  std::string out;
  while (!queue_.empty() && queue_.front().due <= now) {
    out += queue_.front().bytes;
    queue_.pop_front();
  }
  return out;
}

std::optional<Instant> Wire::next_event() const {
  if (queue_.empty()) return std::nullopt;
  return queue_.front().due;
}

}  // namespace armwise::practice
