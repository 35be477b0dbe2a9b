// A practice controller as it is plugged in: present or away, under which name, with which USB numbers,
// and the line to it with what may happen to its bytes. No operating system: time is an argument.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "armwise/practice/controller.hpp"

namespace armwise::practice {

// 1209:0001 to 0010 are set aside by pid.codes for tests and prototypes.
struct UsbNumbers {
  std::string vendor = "1209";
  std::string product = "0001";
  std::string serial;
  std::string manufacturer = "Practice Bench";
  std::string product_name = "Practice Controller";
  bool operator==(const UsbNumbers&) const = default;
};

// Whether it is plugged in, and as what the computer sees it then.
class UsbPresence {
 public:
  // What it comes back as.
  enum class As { itself, boot_loader, another, never };

  bool present() const { return present_; }
  bool in_boot_loader() const { return in_boot_loader_; }
  int generation() const { return generation_; }
  std::string name() const { return "ttyACM" + std::to_string(number_); }
  const UsbNumbers& numbers() const { return numbers_; }
  void set_serial(std::string serial) { numbers_.serial = std::move(serial); }

  void vanish(Instant now, As as, Duration away, bool keeps_name);
  // When it changes by itself; absent: not.
  std::optional<Instant> changes_at() const { return changes_at_; }
  // At that time: comes back, or leaves its boot loader. Returns as what it is there now; `never`: it is
  // away.
  As change(Instant now, bool leaves_boot_loader);
  // The person plugs it in again, under its first name. `stays`: it never was away.
  void plug_in(bool stays);

 private:
  void leave_boot_loader();

  UsbNumbers numbers_;
  bool present_ = true, in_boot_loader_ = false, keeps_name_ = false;
  int generation_ = 1;
  int number_ = 0;
  As comes_back_as_ = As::itself;
  std::optional<Instant> changes_at_;
};

class PracticePort {
 public:
  // `profile` outlives the port.
  PracticePort(const console::Profile& profile, PracticeCraft craft, const MischiefPlan& mischief = {},
               const Habits& habits = {});

  // What happens by itself up to `now`: a port vanishes, comes back, bytes move. Called by all below.
  void advance(Instant now);
  // When something next happens by itself, after the last advance().
  std::optional<Instant> next_event() const;

  bool present() const { return usb_.present(); }
  // One more each time it comes back: a line that was opened before is gone for good.
  int generation() const { return usb_.generation(); }
  std::string name() const { return usb_.name(); }
  const UsbNumbers& usb() const { return usb_.numbers(); }

  // Bytes from the tool; lost where the port is away.
  void receive(std::string_view bytes, Instant now);
  // Bytes for the tool up to `now`.
  std::string take(Instant now);
  // False once the controller has stopped reading: what is sent stays in the operating system's buffer.
  bool reads() const { return !deaf_; }

  // The motors of a controller that is away keep turning, unless it is restarting.
  std::vector<Turning> turning(Instant now);

  PracticeController& controller() { return controller_; }
  const PracticeController& controller() const { return controller_; }

  // The person plugs it out and in again: no more mischief, and it is there under its first name.
  // `power_kept`: the battery stays on, so the controller does not restart.
  void plug_in_again(Instant now, bool power_kept = false);

  // The mischief that has happened, by name; empty: none yet.
  std::string_view struck() const { return *planned_.struck ? planned_.name : std::string_view(); }

 private:
  void vanish(Instant now, UsbPresence::As as, Duration away, bool keeps_name);
  void change_presence(Instant now);
  void leave_for_restart(Instant now);
  void meet(Wire::Event event, Instant now);
  void move_bytes(Instant now);
  void become_another();

  const console::Profile& profile_;
  MischiefPlan planned_;
  MischiefPlan mischief_;  // as long as it is not over
  Habits habits_;
  PracticeController controller_;
  Wire to_controller_, from_controller_;
  UsbPresence usb_;
  Instant now_{0};
  bool dead_ = false;  // nothing passes, either way
  bool deaf_ = false;
  int restarts_ = 0;
};

}  // namespace armwise::practice
