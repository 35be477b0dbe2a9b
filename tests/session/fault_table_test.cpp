// Every mischief in every phase of a session: a table, generated, each cell with the ends that it may have.
//
// A first session, to which nothing happens, is listened to: which command belongs to which phase, and after
// how many bytes, commands, writes and stops it comes. Then each mischief is aimed at the beginning, the
// middle and the end of each phase in which it can strike.
#include <gtest/gtest.h>
#include <malloc.h>

#include <algorithm>
#include <array>
#include <cstdlib>
#include <fstream>
#include <iostream>
#include <map>
#include <set>
#include <string>
#include <vector>

#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/console/conversation.hpp"
#include "support/sweep.hpp"
#include "support/torn.hpp"
#include "support/worked_craft.hpp"

namespace armwise::test::fault_table_test {
namespace {

using practice::Mischief;
using practice::MischiefKind;
using practice::MischiefPlan;
using practice::Way;

enum class Phase { opening, listing, reading, poses, spin, stop, write, proof, keep, restart, read_back };
constexpr std::array phases{Phase::opening, Phase::listing, Phase::reading,  Phase::poses,
                            Phase::spin,    Phase::stop,    Phase::write,    Phase::proof,
                            Phase::keep,    Phase::restart, Phase::read_back};

const char* name(Phase phase) {
  constexpr std::array names{"opening", "listing", "reading", "poses",   "spin",     "stop",
                             "write",   "proof",   "keep",    "restart", "read back"};
  return names[static_cast<std::size_t>(phase)];
}

// One line that was sent, with what had passed before it.
struct Said {
  Phase phase = Phase::opening;
  std::string line;
  Passed before, after;
  std::uint64_t commands = 0, writes = 0, stops = 0, keeps = 0;  // up to and with this one
};

// Tells by the profile what each sent line is, and by what came before it which phase that is.
class Listener : public console::Line {
 public:
  struct Log {
    const console::Profile* profile = nullptr;
    std::vector<Said> said;
    Passed passed;
  };
  Listener(std::unique_ptr<console::Line> line, Log& log) : line_(std::move(line)), log_(log) {}

  Task<console::Received> read(Duration within) override {
    console::Received received = co_await line_->read(within);
    log_.passed.from_controller += received.bytes.size();
    if (!log_.said.empty()) log_.said.back().after = log_.passed;
    co_return received;
  }
  Task<void> write(std::string_view bytes, Duration within) override {
    // Opening sends several lines at once.
    for (std::string_view rest = bytes; !rest.empty();) {
      const std::size_t end = rest.find_first_not_of("\r\n", rest.find_first_of("\r\n"));
      const std::string_view line = rest.substr(0, end);
      noted(std::string(trimmed(line)), line.size());
      rest.remove_prefix(line.size());
    }
    co_await line_->write(bytes, within);
  }
  void discard_input() override {}  // what is thrown away could not be counted; it is read as a banner
  std::string name() const override { return line_->name(); }

 private:
  static bool is(const std::optional<console::Command>& command, const std::string& line) {
    if (!command) return false;
    return std::any_of(command->steps.begin(), command->steps.end(),
                       [&](const console::Step& step) { return step.send.match(line).has_value(); });
  }
  static bool is(const std::optional<console::Query>& query, const std::string& line) {
    return query && query->steps.front().send.match(line);
  }
  bool is_write(const std::string& line) const {
    const console::Profile& profile = *log_.profile;
    return (profile.map && (is(profile.map->put, line) || is(profile.map->free, line))) ||
           (profile.props && is(profile.props->set, line)) || (profile.turn && is(profile.turn->set, line)) ||
           (profile.mount && (is(profile.mount->set, line) || is(profile.mount->set_yaw, line) ||
                              is(profile.mount->set_pitch, line) || is(profile.mount->set_roll, line)));
  }
  void noted(const std::string& line, std::size_t bytes) {
    const console::Profile& profile = *log_.profile;
    Said now = log_.said.empty() ? Said{} : log_.said.back();
    const bool written = now.writes > 0;
    now.line = line;
    now.before = log_.passed;
    // A console that has to be entered takes nothing for a command before it is.
    entered_ = entered_ || profile.open.send.empty() || line == profile.open.send;
    if (entered_ && !line.empty() && line != profile.open.send) ++now.commands;
    if (is(profile.open.barrier, line)) {
      // belongs to what it serves
    } else if (is(std::optional(profile.spin->spin), line)) {
      now.phase = now.keeps > 0 ? Phase::read_back : written ? Phase::proof : Phase::spin;
    } else if (is(std::optional(profile.spin->stop_all), line)) {
      ++now.stops;
      if (now.phase == Phase::spin) now.phase = Phase::stop;
    } else if (is_write(line)) {
      ++now.writes;
      now.phase = Phase::write;
    } else if (is(std::optional(profile.keep->keep), line)) {
      ++now.keeps;
      now.phase = profile.keep->restarts ? Phase::restart : Phase::keep;
    } else if (is(profile.keep->restart, line)) {
      now.phase = Phase::restart;
    } else if (is(profile.identify, line) && now.keeps > 0) {
      now.phase = Phase::read_back;
    } else if (is(profile.whole_configuration, line) && now.keeps == 0) {
      now.phase = Phase::listing;
    } else if (now.phase == Phase::listing) {
      now.phase = Phase::reading;
    } else if (profile.sense && is(std::optional(profile.sense->read), line) && now.keeps == 0) {
      now.phase = written ? Phase::proof : Phase::poses;
    }
    log_.passed.to_controller += bytes;
    now.after = log_.passed;
    log_.said.push_back(now);
  }

  std::unique_ptr<console::Line> line_;
  Log& log_;
  bool entered_ = false;
};

class ListeningPlug : public console::Plug {
 public:
  ListeningPlug(console::Plug& plug, Listener::Log& log) : plug_(plug), log_(log) {}
  Task<std::unique_ptr<console::Line>> open() override {
    std::unique_ptr<console::Line> line = co_await plug_.open();
    co_return std::make_unique<Listener>(std::move(line), log_);
  }
  Task<std::unique_ptr<console::Line>> reopen(Duration within) override {
    std::unique_ptr<console::Line> line = co_await plug_.reopen(within);
    co_return std::make_unique<Listener>(std::move(line), log_);
  }
  std::string renamed() const override { return plug_.renamed(); }
  std::string identity() const override { return plug_.identity(); }

 private:
  console::Plug& plug_;
  Listener::Log& log_;
};

// What a mischief counts, and hence where it can strike.
enum class Counts { bytes, commands, writes, keeps, stops, listings, restarts };

Counts counted_by(Mischief what) {
  if (what <= Mischief::inject_probe) return Counts::bytes;
  switch (what) {
    case Mischief::restart_in_write:
    case Mischief::refuse_write:
    case Mischief::accept_not_store:
    case Mischief::clamp_write:
      return Counts::writes;
    case Mischief::store_not_keep:
    case Mischief::refuse_keep:
      return Counts::keeps;
    case Mischief::swallow_stop:
    case Mischief::spin_on:
      return Counts::stops;
    case Mischief::listing_cut_short:
    case Mischief::restart_in_listing:
      return Counts::listings;
    case Mischief::boot_loader_first:
    case Mischief::boot_loader_stuck:
    case Mischief::another_controller:
    case Mischief::never_back:
      return Counts::restarts;
    default:
      return Counts::commands;
  }
}

// Where in its phase's `which` of three places (beginning, middle, end) a mischief is aimed; empty where it
// cannot strike in that phase.
std::optional<std::uint64_t> aimed(const MischiefKind& kind, Phase phase, const std::vector<Said>& said,
                                   int which) {
  std::vector<const Said*> in_phase;
  const Said* before = nullptr;
  for (const Said& each : said) {
    if (each.phase == phase) in_phase.push_back(&each);
  }
  if (in_phase.empty()) return std::nullopt;
  const std::size_t at = (in_phase.size() - 1) * static_cast<std::size_t>(which) / 2;
  const Said& target = *in_phase[at];
  if (&target != &said.front()) before = &target - 1;
  switch (counted_by(kind.what)) {
    case Counts::bytes: {
      const bool sent = kind.way == Way::to_controller;
      const std::uint64_t from = sent ? target.before.to_controller : target.before.from_controller;
      const std::uint64_t end = sent ? target.after.to_controller : target.after.from_controller;
      if (end == from) return std::nullopt;
      // At the end: within the prompt or the line end, for what follows the last byte belongs to the next
      // phase.
      if (which == 2) return end > from + 3 ? end - 3 : end;
      return from + 1 + (end - from - 1) * static_cast<std::uint64_t>(which) / 2;
    }
    case Counts::commands:
      if (target.commands == 0 || (before != nullptr && before->commands == target.commands))
        return std::nullopt;
      return target.commands;
    case Counts::writes:
      return phase == Phase::write ? std::optional(target.writes) : std::nullopt;
    case Counts::keeps:
      return phase == Phase::keep || (phase == Phase::restart && target.keeps == 1)
                 ? std::optional(target.keeps)
                 : std::nullopt;
    case Counts::stops: {
      const bool stops = phase == Phase::stop || phase == Phase::proof;
      return stops && target.stops > 0 ? std::optional(target.stops) : std::nullopt;
    }
    case Counts::listings:
      if (phase == Phase::listing) return 1;
      return phase == Phase::read_back ? std::optional<std::uint64_t>(2) : std::nullopt;
    case Counts::restarts:
      return phase == Phase::restart ? std::optional<std::uint64_t>(1) : std::nullopt;
  }
  return std::nullopt;
}

bool is_line_dead(Mischief what) {
  return what == Mischief::cut_line || what == Mischief::vanish_for_ever || what == Mischief::stop_reading;
}
bool is_line_gone(Mischief what) {
  return what == Mischief::vanish_same_name || what == Mischief::vanish_other_name;
}

// The rules: how a session may end to which this happens in that phase. Beside these, judge() holds
// everywhere.
std::set<Ended> allowed(const MischiefKind& kind, Phase phase, const std::string& dialect) {
  const bool answers_look_like_echoes = dialect == "sedge";
  const bool prompts = dialect != "brook" && dialect != "moor";
  using enum Ended;
  const bool changed = phase == Phase::write || phase == Phase::proof;
  const bool keeping = phase == Phase::keep || phase == Phase::restart;
  const bool spinning = phase == Phase::spin || phase == Phase::stop;
  const bool kept = phase == Phase::read_back;
  // 1. A line that is dead for good: before anything is written, as before, or a motor that may be turning;
  //    from the first write on, a journal for recover. Once all is read back, only the record is missing,
  //    or all is done but for the good-bye.
  if (is_line_dead(kind.what)) {
    if (changed || keeping) return {recoverable};
    if (kept) return {recoverable, proven, kept_not_recorded};
    if (spinning) return {as_before, unsafe, recoverable};  // recoverable: acknowledged just before
    return {as_before};
  }
  // 2. A line that goes and comes back: what was written is taken back; once told to keep, recover decides.
  //    While the controller is away anyway, nobody notices.
  if (is_line_gone(kind.what)) {
    if (keeping) return {recoverable, proven};
    if (kept) return {recoverable, proven, kept_not_recorded};
    return {as_before};
  }
  // 2b. Where answers repeat the command, as in name = value, one without its echo is taken for the echo
  // alone.
  if (kind.what == Mischief::echo_nothing && answers_look_like_echoes) {
    if (keeping || kept) return {proven, recoverable};
    return {proven, as_before};
  }
  // 3. What goes on for ever: nothing is kept that was not proven.
  if (kind.for_ever && kind.what != Mischief::echo_nothing && kind.what != Mischief::spin_on) {
    std::set<Ended> ends{as_before, recoverable};
    if (kept) ends.insert({proven, kept_not_recorded});
    if (kind.what == Mischief::unsolicited) ends.insert(unsafe);
    return ends;
  }
  switch (kind.what) {
    // 4. No difference to how it ends.
    case Mischief::echo_nothing:
    case Mischief::listing_cut_short:
    case Mischief::boot_loader_first:
    case Mischief::swallow_stop:
      return {proven};
    // 5. A controller that does not do as it is told is left as it was.
    case Mischief::refuse_write:
    case Mischief::accept_not_store:
    case Mischief::refuse_keep:
    case Mischief::restart_in_write:
      return {as_before};
    case Mischief::clamp_write:
      return {as_before, proven};
    case Mischief::restart_in_listing:
      return phase == Phase::listing ? std::set{as_before} : std::set{proven};
    // 6. Told to keep, and not back as itself, or not with what was kept: recover.
    case Mischief::store_not_keep:
    case Mischief::boot_loader_stuck:
    case Mischief::another_controller:
    case Mischief::never_back:
      return {recoverable};
    // 7. A motor that spins on is seen by the person, who stops; or it was the last one.
    //    Where directions count only after a restart, that may be in the second check, when all is saved.
    case Mischief::spin_on:
      if (dialect == "moor" && phase == Phase::proof) return {as_before, proven, kept_not_recorded};
      return {as_before, proven};
    // 8. An answer without end drowns all that follows; the answer to a stop is told from it where it has
    // words.
    case Mischief::endless_output:
      if (keeping || kept) return {recoverable, proven, kept_not_recorded};  // the restart ends it
      // Where each reply ends with a line of its own, what follows it drowns nothing.
      if (spinning && !prompts) return {unsafe, as_before, recoverable, proven};
      if (spinning) return {unsafe, as_before, recoverable};
      if (changed) return prompts ? std::set{recoverable} : std::set{recoverable, proven};
      return prompts ? std::set{as_before} : std::set{as_before, proven};
    // 9. One byte, one answer: asked again where asking changes nothing, else ended as before; from the order
    // to
    //    keep on, recover decides where it cannot be told what was heard.
    default:
      if (keeping) return {proven, as_before, recoverable};
      if (kept) return {proven, recoverable, kept_not_recorded};
      return {proven, as_before};
  }
}

struct Table {
  const char* dialect;
  session::MountWish mount;
};

class EveryMischief : public ::testing::TestWithParam<Table> {
 protected:
  static practice::Habits habits() {
    practice::Habits short_listing;
    short_listing.invented_lines = 20;
    return short_listing;
  }
  static practice::PracticeCraft craft() {
    practice::PracticeCraft made =
        worked_craft({"rear-left", "front-right", "rear-right", "front-left"}, {false, true});
    made.mount = {90, 0, 0};
    return made;
  }
  static practice::PersonScript script(const std::string& recover) {
    practice::PersonScript made;
    made.patience = 40;
    made.answers["recover"] = {recover};
    return made;
  }

  void SetUp() override {
    PracticeSession session(GetParam().dialect, craft(), script("back"), {}, {}, habits());
    settings_.before = session.port.controller().saved();
    practice::PracticePlug plug(session.port, session.clock);
    log_.profile = &session.profile;
    ListeningPlug listening(plug, log_);
    const Outcome outcome = bench_on(listening, session.profile, session.person, session.store, session.clock,
                                     worked_options(GetParam().mount));
    ASSERT_TRUE(outcome.result) << (outcome.fault ? outcome.fault->sentence() : "");
    settings_.after = session.port.controller().saved();
  }

  void cell(int number, const MischiefKind& kind, Phase phase, std::uint64_t at) {
    const MischiefPlan plan = practice::mischief_numbered(number, at, at);
    PracticeSession session(GetParam().dialect, craft(), script(at % 2 == 0 ? "back" : "finish"), plan, {},
                            habits());
    const Instant began = session.clock.now();
    const Outcome outcome = session.bench(worked_options(GetParam().mount));
    std::string broken;
    const bool another = kind.what == Mischief::another_controller;
    Ended ended = Ended::recoverable;
    if (another) {
      // The controller that sits there now is not the one of the session: its settings are its own.
      if (!outcome.fault || outcome.fault->kind() != FaultKind::left_changed) broken += "not left changed\n";
    } else {
      ended = judge(session, outcome, settings_, broken);
    }
    if (!allowed(kind, phase, GetParam().dialect).contains(ended))
      broken += std::string("ended: ") + name(ended) + "\n";
    const Duration took = session.clock.now() - began;
    longest_ = std::max(longest_, took);
    if (took > std::chrono::minutes(15)) broken += "took " + std::to_string(took.count()) + " ms\n";
    if (!another && kind.what != Mischief::spin_on) {
      judge_recovery(session, settings_, at % 4 == 0 && kind.what != Mischief::endless_output, broken);
    }
    ++ended_[ended];
    ++cells_;
    if (broken.empty()) return;
    std::string told;
    told += session.all_told();
    ADD_FAILURE() << GetParam().dialect << ": " << kind.name << " at " << at << " in " << name(phase) << "\n"
                  << broken << (outcome.fault ? outcome.fault->sentence() : "no fault") << "\n"
                  << told;
  }

  OldAndNew settings_;
  Listener::Log log_;
  std::map<Ended, int> ended_;
  int cells_ = 0;
  Duration longest_{0};
};

// The most memory this process has had at once since the last time (proc(5): VmHWM, clear_refs).
long highest_kilobytes() {
  long most = 0;
  std::ifstream status("/proc/self/status");
  for (std::string line; std::getline(status, line);) {
    if (line.starts_with("VmHWM:")) most = std::strtol(line.c_str() + 6, nullptr, 10);
  }
  std::ofstream("/proc/self/clear_refs") << "5";
  return most;
}

TEST_P(EveryMischief, InEveryPhaseEndsAsTheRulesSay) {
  // What other tests in this process have freed goes back first.
  malloc_trim(0);
  highest_kilobytes();
  const long before = highest_kilobytes();
  std::set<std::pair<int, Phase>> struck;
  int number = 0, reached = 0;
  for (const MischiefKind& kind : practice::mischiefs()) {
    ++number;
    for (const Phase phase : phases) {
      std::set<std::uint64_t> done;
      for (const int which : {0, 1, 2}) {
        const auto at = aimed(kind, phase, log_.said, which);
        if (!at || !done.insert(*at).second) continue;
        if (reached++ % every != first_of(every)) continue;
        struck.insert({number, phase});
        cell(number, kind, phase, *at);
      }
    }
  }
  // A sanitizer keeps what was freed.
  if (!sanitized) {
    EXPECT_LT(highest_kilobytes() - before, 100'000) << "kilobytes: a reply without end must not be kept";
  }
  std::cout << GetParam().dialect << ": " << struck.size() << " cells (mischief x phase), " << cells_
            << " sessions:";
  for (const auto& [ended, count] : ended_) std::cout << " " << name(ended) << " " << count << ";";
  std::cout << " the longest took " << longest_.count() / 1000 << " s of its time\n";
}

INSTANTIATE_TEST_SUITE_P(
    Dialects, EveryMischief,
    ::testing::Values(Table{"tarn", session::MountWish::find}, Table{"sedge", session::MountWish::leave},
                      Table{"brook", session::MountWish::leave}, Table{"moor", session::MountWish::leave}),
    [](const ::testing::TestParamInfo<Table>& given) { return std::string(given.param.dialect); });

}  // namespace
}  // namespace armwise::test::fault_table_test
