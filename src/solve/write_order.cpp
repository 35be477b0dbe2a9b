#include "armwise/solve/write_order.hpp"

#include <algorithm>
#include <map>
#include <optional>
#include <string>
#include <utility>

#include "armwise/base/fault.hpp"

namespace armwise::solve {
namespace {

using craft::Motor;
using craft::MotorMap;
using craft::Pin;

Pin pin_at(const MotorMap& map, int index) {
  return index < map.size() ? map.pins[static_cast<std::size_t>(index)] : Pin{};
}

bool holds(const MotorMap& map, const Pin& pin) {
  return !pin.name.empty() && map.motor_on(pin).number > 0;
}

// A map that tells every motor's pin, those included that `wanted` says nothing of: such a motor stays
// where it is, unless another one needs its pin; then it is left on none.
MotorMap completed(const MotorMap& now, const MotorMap& wanted) {
  MotorMap whole = wanted;
  for (int i = wanted.size(); i < now.size(); ++i) {
    whole.pins.push_back(holds(wanted, pin_at(now, i)) ? Pin{} : pin_at(now, i));
  }
  return whole;
}

// Two motors found on one pin and left there are no harm that a write could do.
void refuse_sharing(const MotorMap& now, const MotorMap& wanted) {
  for (int i = 0; i < wanted.size(); ++i) {
    const Pin& pin = wanted.pin_of(Motor{i + 1});
    const Motor first = wanted.motor_on(pin);
    if (pin.name.empty() || first == Motor{i + 1}) continue;
    if (pin_at(now, i) == pin && pin_at(now, first.number - 1) == pin) continue;
    throw Fault(FaultKind::mismatch,
                "Pin " + pin.name + " is wanted for motor " + std::to_string(first.number) +
                    " and for motor " + std::to_string(i + 1),
                "A pin can drive one motor only", "Give each motor a pin of its own and try again");
  }
}

// Writes collected while the table that the console keeps is followed from step to step.
class PerMotor {
 public:
  PerMotor(const MotorMap& now, const MotorMap& wanted, bool shared) : wanted_(wanted), shared_(shared) {
    for (int i = 0; i < wanted.size(); ++i) {
      table_.pins.push_back(pin_at(now, i));
      if (table_.pins.back() != pin_at(wanted, i)) pending_.push_back(Motor{i + 1});
    }
  }

  std::vector<MapWrite> run() {
    while (!pending_.empty()) {
      const auto ready = std::find_if(pending_.begin(), pending_.end(), [&](Motor m) { return is_ready(m); });
      if (ready != pending_.end()) {
        write(*ready);
        pending_.erase(ready);
      } else {
        open_a_cycle();
      }
    }
    return std::move(writes_);
  }

 private:
  bool is_ready(Motor motor) const {
    const Pin& pin = wanted_.pin_of(motor);
    return pin.name.empty() || !holds(table_, pin);
  }

  void write(Motor motor) {
    const Pin& pin = wanted_.pin_of(motor);
    const bool put = !pin.name.empty();
    writes_.push_back(
        {put ? MapWrite::Kind::put : MapWrite::Kind::free, motor, put ? pin : table_.pin_of(motor)});
    table_.pin_of(motor) = pin;
  }

  // Nobody can go to a pin that is empty: all that is left goes round in circles.
  void open_a_cycle() {
    const auto first = std::find_if(pending_.begin(), pending_.end(),
                                    [&](Motor m) { return !table_.pin_of(m).name.empty(); });
    if (shared_) {
      write(*first);
      pending_.erase(first);
    } else {
      writes_.push_back({MapWrite::Kind::free, *first, table_.pin_of(*first)});
      table_.pin_of(*first) = {};
    }
  }

  MotorMap wanted_;
  bool shared_;
  MotorMap table_;
  std::vector<Motor> pending_;
  std::vector<MapWrite> writes_;
};

// The console keeps a motor for each pin: what is written to a pin takes the place of what stood there.
class PerPin {
 public:
  PerPin(const MotorMap& now, const MotorMap& wanted, bool shared) : wanted_(wanted), shared_(shared) {
    for (int i = 0; i < now.size(); ++i) {
      const Pin& pin = pin_at(now, i);
      if (!pin.name.empty()) table_.emplace(pin, Motor{i + 1});
    }
    for (int i = 0; i < wanted.size(); ++i) {
      const Pin& pin = pin_at(wanted, i);
      const auto stands = table_.find(pin);
      if (pin.name.empty() || (stands != table_.end() && stands->second == Motor{i + 1})) continue;
      pending_.push_back(Motor{i + 1});
    }
  }

  std::vector<MapWrite> run() {
    // First, so that a motor is never taken off the pin that it was just put on.
    free_what_nobody_wants();
    while (!pending_.empty()) {
      const auto ready = std::find_if(pending_.begin(), pending_.end(), [&](Motor m) { return !stands(m); });
      if (ready != pending_.end()) {
        put(*ready);
        pending_.erase(ready);
      } else if (shared_) {
        put(pending_.front());
        pending_.erase(pending_.begin());
      } else {
        free(*stands(pending_.front()));
      }
    }
    return std::move(writes_);
  }

 private:
  std::optional<Pin> stands(Motor motor) const {
    for (const auto& [pin, on] : table_) {
      if (on == motor) return pin;
    }
    return std::nullopt;
  }

  void free_what_nobody_wants() {
    std::vector<std::pair<Motor, Pin>> unwanted;
    for (const auto& [pin, motor] : table_) {
      if (!holds(wanted_, pin)) unwanted.emplace_back(motor, pin);
    }
    std::sort(unwanted.begin(), unwanted.end());
    for (const auto& [motor, pin] : unwanted) free(pin);
  }

  void free(const Pin& pin) {
    writes_.push_back({MapWrite::Kind::free, table_.at(pin), pin});
    table_.erase(pin);
  }

  void put(Motor motor) {
    const Pin& pin = wanted_.pin_of(motor);
    writes_.push_back({MapWrite::Kind::put, motor, pin});
    table_[pin] = motor;
  }

  MotorMap wanted_;
  bool shared_;
  std::map<Pin, Motor> table_;
  std::vector<Motor> pending_;
  std::vector<MapWrite> writes_;
};

}  // namespace

std::vector<MapWrite> write_order(const MotorMap& now, const MotorMap& wanted, MapRules rules) {
  const MotorMap whole = completed(now, wanted);
  refuse_sharing(now, whole);
  if (rules.kept == MapKept::per_pin) return PerPin(now, whole, rules.shared_meanwhile).run();
  return PerMotor(now, whole, rules.shared_meanwhile).run();
}

}  // namespace armwise::solve
