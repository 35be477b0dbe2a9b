// A console's bytes: the abilities of a controller, asked for through its profile, whatever comes back.
//
// Input: the profile, the line's habits, three things to do, then the script (faulty_controller.hpp).
#include <array>
#include <cmath>
#include <cstdint>
#include <cstdio>
#include <filesystem>
#include <functional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "armwise/console/profile_console.hpp"
#include "armwise/console/whole_configuration.hpp"
#include "faulty_line.hpp"
#include "support/permits.hpp"
#include "support/sworn.hpp"

namespace armwise::fuzz {
namespace {

using console::Profile;
using console::ProfileConsole;

constexpr std::size_t things_to_do = 3;
constexpr std::size_t longest_script = 8192;
// Of the line's time, for one thing that is asked or ordered: so many times the longest listing.
constexpr int longest_wait_in_listings = 30;

// A tenth of the deadlines, and a twentieth of a listing's: what takes its time by the manual clock takes
// ours, since a flood has to be read.
console::Timing hurried() {
  console::Timing timing;
  timing.reply = Duration{100};
  timing.quiet = Duration{5};
  timing.listing = Duration{1000};
  timing.restart = Duration{1500};
  return timing;
}

const std::vector<Profile>& profiles() {
  static const std::vector<Profile> all = [] {
    std::vector<Profile> read;
    for (const char* name : {"tarn", "fell", "sedge", "brook", "moor"}) {
      const auto file = std::filesystem::path(ARMWISE_FIXTURES) / "profiles" / (std::string(name) + ".json");
      read.push_back(console::load_profile_file(file));
      read.back().timing = hurried();
    }
    return read;
  }();
  return all;
}

std::string with_decimals(double number, int decimals) {
  std::array<char, 64> text{};
  std::snprintf(text.data(), text.size(), "%.*f", decimals, number);
  return text.data();
}

class WatchingSentry : public console::Sentry {
 public:
  bool turning_told = false;
  void turning(Duration) override { turning_told = true; }
  void stopped() override { turning_told = false; }
};

class Bench {
 public:
  Bench(const Profile& profile, std::string_view script, Habits habits)
      : wire_(clock_, profile, script, habits), plug_(wire_), console_(plug_, profile, clock_, sentry_) {}

  void open() {
    lost_ = false;
    fairly([this] { test::run(console_.open()); });
  }
  void act(unsigned byte) {
    if (lost_) open();
    const unsigned motor = 1 + byte / 16U % 4U;
    switch (byte % 16U) {
      case 0:
        return identify();
      case 1:
        return configuration();
      case 2:
        return snapshot();
      case 3:
        return snapshot_as_left();
      case 4:
        return sense();
      case 5:
        return spin(static_cast<int>(motor));
      case 6:
        return stop();
      case 7:
        return apply(
            {solve::SetMap{{solve::MapWrite::Kind::put, craft::Motor{static_cast<int>(motor)}, pin()},
                           craft::Pin{}},
             ""});
      case 8:
        return apply({solve::SetProps{craft::PropScheme::in, craft::PropScheme::out}, ""});
      case 9:
        return apply({solve::SetTurn{craft::Motor{static_cast<int>(motor)}, pin(), solve::TurnKey::motor,
                                     craft::Turn::cw, craft::Turn::ccw},
                      ""});
      case 10:
        return apply({solve::SetMount{{}, {90, 0, 0}}, ""});
      case 11:
        return keep();
      case 12:
        return restart();
      case 13:
        return leave();
      default:
        return open();
    }
  }

 private:
  // Runs to its end, in bounded time, and refuses in words if it must.
  bool fairly(const std::function<void()>& doing) {
    const Instant start = clock_.now();
    bool done = true;
    try {
      doing();
    } catch (const Fault& fault) {
      must_be_a_fair_refusal(fault);
      done = false;
    }
    must(clock_.now() - start < longest_wait_in_listings * hurried().listing,
         "whatever a console does, the wait for it ends");
    return done;
  }

  // One that the console named itself, where it did.
  craft::Pin pin() const { return pin_.name.empty() ? craft::Pin{"P3"} : pin_; }

  void identify() {
    console::Identity identity;
    fairly([&] { identity = test::run(console_.identify()); });
    must_be_sayable(identity.in_words());
  }
  void configuration() {
    std::string text;
    fairly([&] { text = test::run(console_.whole_configuration()); });
    for (const std::string& line : console::configuration_lines(text)) must_be_sayable(line);
  }
  void note(const solve::Snapshot& snapshot) {
    for (const craft::Pin& pin : snapshot.map.pins) must_be_sayable(pin.name);
    if (!snapshot.map.pins.empty()) pin_ = snapshot.map.pins.back();
    if (!snapshot.mount) return;
    for (const double angle : {snapshot.mount->yaw, snapshot.mount->pitch, snapshot.mount->roll})
      must(std::isfinite(angle), "an angle is a number");
  }
  void snapshot() {
    solve::Snapshot found;
    if (!fairly([&] { found = test::run(console_.snapshot(4)); })) return;
    note(found);
    must(found.map.size() >= 4, "a snapshot has all motors that were asked for");
    std::set<std::string> pins;
    for (const craft::Pin& one : found.map.pins)
      must(one.name.empty() || pins.insert(lower_case(one.name)).second, "no pin drives two motors",
           one.name);
  }
  void snapshot_as_left() {
    solve::Snapshot found;
    if (fairly([&] { found = test::run(console_.snapshot_as_left(4)); })) note(found);
  }
  void sense() {
    console::SenseReading reading;
    fairly([&] { reading = test::run(console_.sense()); });
    must(std::isfinite(reading.x) && std::isfinite(reading.y) && std::isfinite(reading.z),
         "a reading is a number");
    if (reading.gyro) {
      for (const double rate : *reading.gyro) must(std::isfinite(rate), "a reading is a number");
    }
  }
  void spin(int number) {
    const console::SpinAbility& ability = *console_.profile().spin;
    const console::Values values{{"motor", console_.profile().motor_code(craft::Motor{number})},
                                 {"strength", with_decimals(ability.standard, ability.decimals)},
                                 {"milliseconds", "1000"}};
    wire_.spin_line =
        ability.spin.steps.back().send.format(values) + std::string(console::line_end_of(console_.profile()));
    wire_.spins_sent = 0;
    const SpinPermit permit = test::sworn_permit();
    const bool spins = fairly(
        [&] { test::run(console_.spin(craft::Motor{number}, ability.standard, Duration{1000}, permit)); });
    must(wire_.spins_sent <= 1, "a spin is never sent twice");
    must(wire_.spins_sent == 0 || sentry_.turning_told, "nothing spins unwatched");
    must(!spins || wire_.spins_sent == 1, "what is said to spin was told to");
    wire_.spin_line.clear();
  }
  void stop() {
    const bool was_turning = sentry_.turning_told;
    try {
      const console::TellUnstopped nobody;
      test::run(console_.stop_all(nobody));
      must(!sentry_.turning_told, "the sentry learns of the stop");
    } catch (const Fault& fault) {
      must(fault.kind() == FaultKind::unsafe, "a stop that is not sure is unsafe", fault.what());
      must_be_sayable(fault.sentence());
      must(sentry_.turning_told == was_turning, "only a stop that is sure is one");
    }
  }
  void apply(const solve::Change& change) {
    fairly([&] { test::run(console_.apply(change, test::write_permit(console_.lines_for(change)))); });
  }
  void keep() {
    const MayKeep permit = test::keep_permit();
    lost_ = !fairly([&] { test::run(console_.keep_and_restart(permit)); });
  }
  void restart() {
    lost_ = !fairly([this] { test::run(console_.restart_without_keeping()); });
  }
  void leave() {
    fairly([this] { test::run(console_.leave()); });
  }

  test::ManualClock clock_;
  WatchingSentry sentry_;
  Wire wire_;
  FaultyPlug plug_;
  ProfileConsole console_;
  craft::Pin pin_;
  bool lost_ = false;  // it did not come back after a restart: nothing can be asked before it is opened again
};

void check(std::string_view bytes) {
  if (bytes.size() < 2 + things_to_do || bytes.size() > longest_script) return;
  const auto at = [&](std::size_t i) { return static_cast<unsigned>(static_cast<unsigned char>(bytes[i])); };
  const Profile& profile = profiles()[at(0) % profiles().size()];
  Bench bench(profile, bytes.substr(2 + things_to_do), Habits::chosen_by(at(1)));
  bench.open();
  for (std::size_t i = 0; i < things_to_do; ++i) bench.act(at(2 + i));
}

}  // namespace
}  // namespace armwise::fuzz

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  armwise::fuzz::check({reinterpret_cast<const char*>(data), size});
  return 0;
}
