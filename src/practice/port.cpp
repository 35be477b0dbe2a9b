#include "armwise/practice/port.hpp"

#include <algorithm>

namespace armwise::practice {
namespace {

using As = UsbPresence::As;

constexpr Duration stays_in_boot_loader{3000};
constexpr Duration unplugged_for{800};
constexpr Duration leaves_for_itself{300};

}  // namespace

void UsbPresence::vanish(Instant now, As as, Duration away, bool keeps_name) {
  present_ = in_boot_loader_ = false;
  keeps_name_ = keeps_name;
  comes_back_as_ = as;
  changes_at_.reset();
  if (as != As::never) changes_at_ = now + away;
}

UsbPresence::As UsbPresence::change(Instant now, bool leaves_boot_loader) {
  if (in_boot_loader_) {  // seen as its boot loader until now: that port goes, and it starts as itself
    leave_boot_loader();
    vanish(now, As::itself, leaves_for_itself, keeps_name_);
    return As::never;
  }
  changes_at_.reset();
  present_ = true;
  ++generation_;
  if (!keeps_name_) ++number_;
  if (comes_back_as_ == As::boot_loader) {
    in_boot_loader_ = true;
    numbers_.product = "0002";
    numbers_.product_name = "Practice Boot Loader";
    if (leaves_boot_loader) changes_at_ = now + stays_in_boot_loader;
  }
  return comes_back_as_;
}

void UsbPresence::leave_boot_loader() {
  const UsbNumbers itself;
  in_boot_loader_ = false;
  numbers_.product = itself.product;
  numbers_.product_name = itself.product_name;
}

void UsbPresence::plug_in(bool stays) {
  leave_boot_loader();
  changes_at_.reset();
  present_ = true;
  if (stays) return;
  ++generation_;
  number_ = 0;
}

PracticePort::PracticePort(const console::Profile& profile, PracticeCraft craft, const MischiefPlan& mischief,
                           const Habits& habits)
    : profile_(profile),
      planned_(mischief),
      mischief_(mischief),
      habits_(habits),
      controller_(profile, std::move(craft), mischief, habits),
      to_controller_(mischief, Way::to_controller),
      from_controller_(mischief, Way::from_controller) {
  usb_.set_serial(controller_.craft().serial);
}

std::optional<Instant> PracticePort::next_event() const {
  if (!usb_.present()) return usb_.changes_at();
  std::optional<Instant> next = earlier(controller_.next_event(now_), from_controller_.next_event());
  if (!dead_ && !usb_.in_boot_loader()) next = earlier(next, to_controller_.next_event());
  next = earlier(next, usb_.changes_at());
  return next ? std::optional(std::max(*next, now_)) : next;
}

void PracticePort::advance(Instant now) {
  // Events are met in their order; each one may bring others with it.
  while (true) {
    const std::optional<Instant> leaves = controller_.leaves_at();
    const std::optional<Instant> next = earlier(present() ? leaves : std::nullopt, usb_.changes_at());
    if (!next || *next > now) break;
    now_ = std::max(now_, *next);
    if (usb_.changes_at() && *usb_.changes_at() <= now_) {
      change_presence(now_);
    } else {
      move_bytes(now_);
      if (present()) leave_for_restart(now_);
    }
  }
  now_ = std::max(now_, now);
  move_bytes(now_);
}

void PracticePort::move_bytes(Instant now) {
  if (!present() || usb_.in_boot_loader()) return;
  const std::string heard = to_controller_.take(now);
  if (!heard.empty() && !dead_ && !deaf_) controller_.receive(heard, now);
  const std::string said = controller_.take(now);
  if (!said.empty() && !dead_) meet(from_controller_.put(said, now), now);
}

void PracticePort::receive(std::string_view bytes, Instant now) {
  advance(now);
  if (!present() || dead_ || deaf_ || usb_.in_boot_loader()) return;
  meet(to_controller_.put(bytes, now), now);
  move_bytes(now);
}

std::string PracticePort::take(Instant now) {
  advance(now);
  if (!present() || usb_.in_boot_loader()) return {};
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
  vanish(now, mischief_.is(Mischief::vanish_for_ever) ? As::never : As::itself, unplugged_for,
         mischief_.is(Mischief::vanish_same_name));
}

void PracticePort::vanish(Instant now, As as, Duration away, bool keeps_name) {
  usb_.vanish(now, as, away, keeps_name);
  to_controller_.clear();
  from_controller_.clear();
}

void PracticePort::leave_for_restart(Instant now) {
  ++restarts_;
  const auto number = static_cast<std::uint64_t>(restarts_);
  As as = As::itself;
  if (mischief_.strikes(Mischief::never_back, number)) as = As::never;
  if (mischief_.strikes(Mischief::boot_loader_first, number)) as = As::boot_loader;
  if (mischief_.strikes(Mischief::boot_loader_stuck, number)) as = As::boot_loader;
  if (mischief_.strikes(Mischief::another_controller, number)) as = As::another;
  controller_.restart(now);
  if (habits_.port_stays) return;
  vanish(now, as, habits_.away, !habits_.renamed);
}

void PracticePort::change_presence(Instant now) {
  const As as = usb_.change(now, mischief_.is(Mischief::boot_loader_first));
  if (as == As::another) become_another();
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
  dead_ = deaf_ = false;
  if (!power_kept) controller_.restart(now);
  usb_.plug_in(habits_.port_stays);
}

}  // namespace armwise::practice
