// The bench session as a class: what it has learned so far, and its stations in their order.
#pragma once

#include <exception>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "armwise/base/permit.hpp"
#include "armwise/craft/angle_convention.hpp"
#include "armwise/session/bench.hpp"
#include "armwise/session/reapply.hpp"
#include "armwise/solve/flight_sense.hpp"
#include "armwise/solve/identify.hpp"
#include "armwise/solve/mount_convention.hpp"
#include "armwise/solve/mount_proof.hpp"
#include "armwise/solve/plan.hpp"
#include "mount_finder.hpp"
#include "phases.hpp"
#include "player.hpp"
#include "spin_checker.hpp"
#include "walk.hpp"
#include "writer.hpp"

namespace armwise::session {

solve::Sighting sighting(craft::Motor motor, const SpinSeen& seen);

class BenchFlow {
 public:
  BenchFlow(console::Console& console, Person& person, record::Store& store, Clock& clock,
            const BenchOptions& options);
  // The same again, from a record: the stations that would find out are left out.
  BenchFlow(console::Console& console, Person& person, record::Store& store, Clock& clock,
            const ReapplyOptions& options, const record::CraftRecord& record);

  Task<BenchResult> run();

 private:
  // Before the questions: who is there, and everything it holds on disk.
  Task<void> meet();
  void refuse_open_session();

  // The stations, in order (bench_questions, bench_spins, bench_plan, bench_proof, bench_keep).
  void enter(Phase phase);
  std::vector<Station> stations();
  std::vector<Station> stations_from_record();
  Task<Move> choose_frame(Entered entered);
  Task<Move> choose_props(Entered entered);
  Task<Move> read_settings(Entered entered);
  Task<Move> ask_numbering(Entered entered);
  Task<Move> take_props_off(Entered entered);
  Task<Move> match_board(Entered entered);
  Task<Move> play_whole(Entered entered);
  Task<Move> recall_wiring(Entered entered);
  Task<Move> find_mount(Entered entered);
  Task<Move> connect_battery(Entered entered);
  Task<Move> spin_checks(Entered entered);
  Task<Move> tell_what_was_found(Entered entered);
  Task<Move> agree_to_plan(Entered entered);
  Task<Move> write(Entered entered);
  Task<Move> work_by_hand(Entered entered);
  Task<Move> prove(Entered entered);
  Task<Move> prove_mount(Entered entered);
  Task<Move> weigh_flight(Entered entered);
  Task<Move> agree_to_keep(Entered entered);
  Task<Move> keep(Entered entered);
  Task<Move> prove_after_restart(Entered entered);
  Task<Move> prove_mount_after_restart(Entered entered);
  Task<Move> record_it(Entered entered);

  // from a record (bench_again)
  struct Again {
    record::CraftRecord record;
    std::vector<std::string> configuration;  // the saved whole configuration to be played back; empty: none
    bool wiring_known = false;               // no motor need be spun to find out
    bool prove_mount = false;
  };
  std::optional<craft::Numbering> numbering_of_record() const;
  void recall_mount();
  void tell_differences() const;
  void tell_what_is_to_be_played(const Player::Sorted& sorted);
  Task<void> agree_to_play(std::size_t lines);
  Task<void> tell_what_was_played(std::vector<Player::Line> refused,
                                  const std::vector<Player::Line>& left_out);

  // questions
  std::optional<craft::Numbering> numbering_known() const;
  Task<solve::Snapshot> read_twice();

  // spins
  const craft::MotorMap& map_in_force() const;
  SpinRequest check_request(craft::Motor motor) const;
  std::vector<solve::Sighting> sightings() const;
  bool contradicted();

  // plan
  void make_plan();
  Task<std::optional<Move>> choose_way_out();
  void show_plan();
  void open_journal();
  void begin_journal();
  void journal_plan(const std::vector<solve::Change>& changes);

  // mount
  bool mount_is_late() const;
  bool mount_is_to_be_proven() const;
  Task<std::optional<Move>> prove_mount_once(solve::MountProof& proof);
  Task<Move> prove_mount_by_poses();
  Task<Move> look_at_mount(Entered entered);
  Task<std::optional<Move>> ask_display();
  Task<std::optional<Move>> check_turn();
  void add_if_misread(const std::vector<solve::ProofReading>& readings, solve::MountProof& proof) const;
  Task<void> try_mount(const solve::MountCandidate& candidate);
  [[noreturn]] void mount_not_proven(const std::string& why) const;
  solve::FlightSense flight_sense(const craft::MotorMap& map, const solve::Wiring& wiring,
                                  const solve::Snapshot& settings, bool as_planned) const;

  // proof
  struct Expected {
    craft::Motor motor;      // after the plan
    craft::Motor commanded;  // what drives its pin at the moment; 0: nothing does
    craft::Pin pin;
    solve::Wired wired;
    bool turn_known = true;  // false: the turn setting takes effect only with the restart
  };
  std::vector<Expected> expected_now(bool restarted) const;
  bool needs_proof_after_restart() const;
  bool proven(const Expected& expected, const SpinSeen& seen) const;
  Task<Move> prove_all(bool restarted, std::string phase, Entered entered);
  Task<std::optional<Move>> prove_each(std::vector<Expected> pending, std::string phase, std::size_t first);
  std::vector<Expected> contradicted_proof(const std::vector<Expected>& all);

  // keep
  void note(record::JournalEntry::What what);
  Task<bool> save_and_restart();
  Task<void> read_back();
  Task<void> end_unverified();
  Task<void> write_record();
  record::CraftRecord make_record() const;
  Task<std::string> craft_name();
  Task<void> save_configuration_after();

  // the end, where it comes early
  Task<void> end_early(const std::exception_ptr& trouble);
  Task<void> get_everything_back(const std::optional<Fault>& ended_by);
  Task<void> reach_again();
  void close_journal(const std::string& how);

  craft::Motor motor(int index) const { return craft::Motor{index + 1}; }

  console::Console& console_;
  Person& person_;
  record::Store& store_;
  Clock& clock_;
  BenchOptions options_;
  SpinChecker spins_;
  Writer writer_;
  Player player_;
  std::optional<Again> again_;
  bool played_ = false;  // lines of a saved configuration, not kept yet
  MountFinder mount_finder_;

  console::Identity identity_;
  std::string configuration_before_, configuration_after_;
  const craft::Frame* frame_ = nullptr;
  craft::PropScheme scheme_ = craft::PropScheme::in;
  craft::Numbering numbering_;
  solve::Snapshot before_;    // as found
  solve::Snapshot baseline_;  // as the controller keeps it at the moment
  solve::Snapshot now_;       // as last written and read back
  std::unique_ptr<record::Journal> journal_;
  std::optional<SpinPermit> spin_permit_;

  std::optional<FoundMount> mount_;       // true mount; absent: not found out
  std::optional<FoundMount> mount_seen_;  // where it was not: by the person's eyes
  bool mount_proven_ = false;
  bool display_follows_ = false;
  std::string flight_sense_words_;

  std::map<craft::Motor, SpinSeen> seen_;  // spin checks, the answers that count
  std::vector<craft::Motor> to_spin_;      // still to be checked, in order
  solve::Wiring wiring_;
  std::optional<craft::PropScheme> way_out_;  // chosen where every turn is opposite
  solve::Plan plan_;
  bool anything_written_ = false;
  std::vector<record::ChangeEntry> changes_;
  std::vector<std::string> by_hand_, warnings_;

  std::map<craft::Pin, SpinSeen> proof_;
  bool keeping_ = false;  // between the order to keep and the read-back: not to be taken back blindly
  bool kept_ = false, verified_ = false;
  bool all_proven_ = false;  // also what takes effect only with the restart
  BenchResult result_;
  std::string made_name_;  // of the record
};

}  // namespace armwise::session
