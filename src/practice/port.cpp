#include "armwise/practice/port.hpp"

#include <algorithm>

namespace armwise::practice {
namespace {

constexpr Duration in_boot_loader{3000};
constexpr Duration unplugged_for{800};

}  // namespace

PracticePort::PracticePort(const console::Profile& profile, PracticeCraft craft, MischiefPlan mischief,
                           const Habits& habits)
    : profile_(profile),
      mischief_(mischief),
      habits_(habits),
      controller_(profile, std::move(craft), mischief, habits),
      to_controller_(mischief, Way::to_controller),
      from_controller_(mischief, Way::from_controller) {
  usb_.serial = controller_.craft().serial;
}

std::optional<Instant> PracticePort::next_event() const {
  if (!present_) return returns_at_;
  std::optional<Instant> next = earlier(controller_.next_event(now_), from_controller_.next_event());
  if (!dead_ && !in_boot_loader_) next = earlier(next, to_controller_.next_event());
  next = earlier(next, returns_at_);
  return next ? std::optional(std::max(*next, now_)) : next;
}

void PracticePort::advance(Instant now) {
  // Events are met in their order; each one may bring others with it.
  while (true) {
    const std::optional<Instant> leaves = controller_.leaves_at();
    const std::optional<Instant> next = earlier(present_ ? leaves : std::nullopt, returns_at_);
    if (!next || *next > now) break;
    now_ = std::max(now_, *next);
    if (returns_at_ && *returns_at_ <= now_) {
      come_back(now_);
    } else {
      move_bytes(now_);
      if (present_) leave_for_restart(now_);
    }
  }
  now_ = std::max(now_, now);
  move_bytes(now_);
}

void PracticePort::move_bytes(Instant now) {
  if (!present_ || in_boot_loader_) return;
  const std::string heard = to_controller_.take(now);
  if (!heard.empty() && !dead_ && !deaf_) controller_.receive(heard, now);
  const std::string said = controller_.take(now);
  if (!said.empty() && !dead_) meet(from_controller_.put(said, now), now);
}

void PracticePort::receive(std::string_view bytes, Instant now) {
  advance(now);
  if (!present_ || dead_ || deaf_ || in_boot_loader_) return;
  meet(to_controller_.put(bytes, now), now);
  move_bytes(now);
}

std::string PracticePort::take(Instant now) {
  advance(now);
  if (!present_ || in_boot_loader_) return {};
  return from_controller_.take(now);
}

void PracticePort::meet(Wire::Event event, Instant now) {
  if (event == Wire::Event::none) return;
  if (event == Wire::Event::cut) {
    (mischief_.is(Mischief::stop_reading) ? deaf_ : dead_) = true;
    // What passed before the cut still counts.
    const std::string heard = to_controller_.take(now);
    if (!heard.empty()) controller_.receive(heard, now);
    return;
  }
  const std::string heard = to_controller_.take(now);
  if (!heard.empty()) controller_.receive(heard, now);
  keeps_name_ = mischief_.is(Mischief::vanish_same_name);
  vanish(now, mischief_.is(Mischief::vanish_for_ever) ? Return::never : Return::itself, unplugged_for);
}

void PracticePort::vanish(Instant now, Return as, Duration away) {
  present_ = false;
  in_boot_loader_ = false;
  returns_as_ = as;
  returns_at_.reset();
  if (as != Return::never) returns_at_ = now + away;
  to_controller_.clear();
  from_controller_.clear();
}

void PracticePort::leave_for_restart(Instant now) {
  ++restarts_;
  const auto number = static_cast<std::uint64_t>(restarts_);
  Return as = Return::itself;
  if (mischief_.strikes(Mischief::never_back, number)) as = Return::never;
  if (mischief_.strikes(Mischief::boot_loader_first, number)) as = Return::boot_loader;
  if (mischief_.strikes(Mischief::boot_loader_stuck, number)) as = Return::boot_loader;
  if (mischief_.strikes(Mischief::another_controller, number)) as = Return::another;
  keeps_name_ = !habits_.renamed;
  controller_.restart(now);
  if (habits_.port_stays) return;
  vanish(now, as, habits_.away);
}

void PracticePort::come_back(Instant now) {
  if (in_boot_loader_) {  // seen as its boot loader until now: that port goes, and it starts as itself
    usb_.product = "0001";
    usb_.product_name = "Practice Controller";
    vanish(now, Return::itself, Duration(300));
    return;
  }
  returns_at_.reset();
  present_ = true;
  ++generation_;
  if (!keeps_name_) ++number_;
  if (returns_as_ == Return::another) become_another();
  if (returns_as_ == Return::boot_loader) {
    in_boot_loader_ = true;
    usb_.product = "0002";
    usb_.product_name = "Practice Boot Loader";
    if (mischief_.is(Mischief::boot_loader_first)) returns_at_ = now + in_boot_loader;
  }
}

void PracticePort::become_another() {
  const PracticeCraft& before = controller_.craft();
  PracticeCraft other = seeded_craft(*before.frame, before.seed + 1000, before.pins);
  other.motors = before.motors;
  controller_ = PracticeController(profile_, std::move(other), {}, habits_);
}

std::vector<Turning> PracticePort::turning(Instant now) {
  advance(now);
  return controller_.turning(now);
}

void PracticePort::plug_in_again(Instant now, bool power_kept) {
  advance(now);
  mischief_ = {};
  controller_.mend();
  to_controller_ = Wire({}, Way::to_controller);
  from_controller_ = Wire({}, Way::from_controller);
  dead_ = deaf_ = in_boot_loader_ = false;
  usb_.product = "0001";
  usb_.product_name = "Practice Controller";
  if (!power_kept) controller_.restart(now);
  returns_at_.reset();
  present_ = true;
  if (habits_.port_stays) return;
  ++generation_;
  number_ = 0;
}

}  // namespace armwise::practice
