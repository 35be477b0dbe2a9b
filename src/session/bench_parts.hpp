// What a bench session is made of: what it works with, what each phase hands to the next, and the phases.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "armwise/base/permit.hpp"
#include "armwise/session/bench.hpp"
#include "armwise/session/reapply.hpp"
#include "armwise/solve/flight_sense.hpp"
#include "armwise/solve/identify.hpp"
#include "armwise/solve/plan.hpp"
#include "ledger.hpp"
#include "mount_finder.hpp"
#include "recall.hpp"
#include "spin_checker.hpp"
#include "spin_rounds.hpp"

namespace armwise::session {

// What a session works with. A phase asks and measures through its Recall, and takes nothing else from here
// that could differ when it runs again.
struct Bench {
  console::Console& console;
  Person& person;
  record::Store& store;
  Clock& clock;
  BenchOptions options;
  SpinChecker spins;
  Ledger ledger;
  // For the record: what was done for good.
  std::vector<std::string> by_hand{}, warnings{};
  std::string command = "bench";  // as the person typed it

  const console::Profile& profile() const { return console.profile(); }
};

// What is to be built.
struct Setup {
  const craft::Frame* frame = nullptr;
  craft::PropScheme scheme = craft::PropScheme::in;
  craft::Numbering numbering;
};

// How the board sits.
struct Mounted {
  std::optional<FoundMount> mount;   // the true mount; absent: not found out
  std::optional<FoundMount> by_eye;  // where it was not
  bool to_be_proven = false;
};

// What is known before anything is planned: found out by investigate(), or out of a record by recalled().
struct Wired {
  Setup setup;
  SpinPermit permit;
  Mounted mounted;
  solve::Wiring wiring;
  Inquiry inquiry;                           // how it is known
  std::string by_record;                     // when it was made; empty: each motor was spun to find out
  std::optional<craft::PropScheme> way_out;  // chosen where every turn is opposite
  std::vector<std::string> warnings;

  const craft::Frame& frame() const { return *setup.frame; }
  craft::PropScheme scheme() const { return way_out.value_or(setup.scheme); }
};

struct Agreed {
  Wired wired;
  solve::Plan plan;
  solve::Snapshot after;              // the settings, once it is written
  std::optional<WritePermit> permit;  // absent: no setting needs to change
};

struct Verified {
  bool otherwise = false;  // the answers fit together otherwise: to be planned anew
  std::optional<Inquiry> inquiry;
  std::optional<KeepPermit> permit;  // absent: nothing was written, and the profile knows no way to keep
  bool mount_proven = false;
  std::string flight_sense;
  int proof_spins = 0;
  std::vector<std::string> warnings;
};

// bench.cpp. Who is there, and everything it holds on disk.
Task<void> meet(Bench& b);

// investigate.cpp
Task<Wired> investigate(Bench& b, Recall& r);
// `recorded`: the numbering, where a record says it.
Task<Setup> set_up(Bench& b, Recall& r, std::string frame, std::optional<craft::PropScheme> scheme,
                   const record::CraftRecord* record);
Task<SpinPermit> take_props_off(Recall& r, const Setup& setup);
// Where the mount is neither measured nor set, the person's eyes still tell whether the craft would flip.
Task<Mounted> look_at_mount(Bench& b, Recall& r);
Task<void> connect_battery(Recall& r);
Task<Inquiry> check_spins(Bench& b, Recall& r, const Setup& setup, const SpinPermit& permit);
// What is planned with, and what everything is taken back to: a byte lost on the line must not get into it.
Task<solve::Snapshot> read_twice(Bench& b, const craft::Frame& frame);

// recalled.cpp, play_whole.cpp. `configuration`: the saved one, to be played back; empty: it is not.
Task<Wired> recalled(Bench& b, Recall& r, const record::CraftRecord& record,
                     const std::vector<std::string>& configuration);
std::optional<craft::Numbering> numbering_of(const record::CraftRecord& record,
                                             const console::Profile& profile, const craft::Frame& frame);
// Returns warnings.
Task<std::vector<std::string>> play_whole(Bench& b, Recall& r, const craft::Frame& frame,
                                          const record::CraftRecord& record,
                                          const std::vector<std::string>& configuration);

// agree.cpp
void tell_what_was_found(const Bench& b, Recall& r, const Wired& wired);
// Absent: a dry run ends here. The only place that asks for a WritePermit, but for a trial of the mount.
Task<std::optional<Agreed>> agree(Bench& b, Recall& r, Wired wired);
Task<void> work_by_hand(Bench& b, const Agreed& agreed);

// verify.cpp, verify_mount.cpp. The only place that asks for a KeepPermit.
Task<Verified> verify(Bench& b, Recall& r, const Agreed& agreed);
struct MountVerified {
  bool proven = false;           // by poses
  bool display_follows = false;  // by the person's attitude display
  bool unseen = false;           // nothing shows whether the controller uses it
  solve::Snapshot settings;      // as they are now: another mount may have been tried
  std::vector<std::string> warnings;
};
Task<MountVerified> verify_mount(Bench& b, Recall& r, const Agreed& agreed);
// Where the map, the turns or the mount take effect only with the restart.
Task<void> verify_after_restart(Bench& b, const Agreed& agreed, Verified& verified);
Task<bool> verify_mount_after_restart(Bench& b, Recall& r, const Agreed& agreed);
// What the craft does when its controller answers a disturbance.
solve::FlightSense flight_sense(const Wired& wired, const MountVerified& verified, const craft::MotorMap& map,
                                const solve::Wiring& wiring, const solve::Snapshot& settings);
bool differ_in_mount(const solve::Snapshot& a, const solve::Snapshot& b);

// keep.cpp, write_record.cpp
Task<void> keep(Bench& b, const Agreed& agreed, const Verified& verified);
// Its file.
Task<std::string> write_record(Bench& b, const Agreed& agreed, const Verified& verified);

}  // namespace armwise::session
