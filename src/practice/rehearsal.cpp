#include "armwise/practice/rehearsal.hpp"

#include <boost/asio/co_spawn.hpp>
#include <boost/asio/io_context.hpp>
#include <exception>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/console/profile_console.hpp"
#include "armwise/console/sentry.hpp"
#include "armwise/practice/in_process.hpp"
#include "armwise/practice/person.hpp"
#include "armwise/session/bench.hpp"

namespace armwise::practice {
namespace {

constexpr std::uint64_t some_wiring = 20;

class NobodyNeeded : public console::Sentry {
 public:
  void turning(Duration) override {}
  void stopped() override {}
};

std::vector<std::string> missing_in(const console::Profile& profile) {
  std::vector<std::string> missing;
  const auto need = [&](bool there, const char* what) {
    if (!there) missing.emplace_back(what);
  };
  need(profile.map && profile.map->put, "how a motor is put on a pin");
  need(profile.spin.has_value(), "how a motor is spun and stopped");
  need(profile.keep.has_value(), "how settings are saved");
  need(!profile.numbering.empty(), "which motor number sits on which arm");
  return missing;
}

std::vector<std::string> not_covered_by(const console::Profile& profile) {
  std::vector<std::string> out;
  const auto cover = [&](bool there, const char* what) {
    if (!there) out.emplace_back(what);
  };
  cover(profile.identify.has_value(), "which controller it is");
  cover(profile.whole_configuration.has_value(), "the backup");
  cover(profile.turn && profile.turn->set, "reversing a motor");
  cover(profile.props && profile.props->set, "the prop direction");
  cover(profile.mount && profile.mount->settable(), "the board's mount");
  cover(profile.sense.has_value(), "the accelerometer");
  return out;
}

// Several that are complete each: the practice craft knows the steps of a menu, which ask on.
bool is_several(const console::Profile& profile, const std::optional<console::Command>& command) {
  if (!command || command->steps.size() < 2) return false;
  const std::string& asks = command->steps.front().prompt;
  return asks.empty() || asks == profile.open.prompt;
}

// One command may show two things; the practice craft shows the first of them only. A mount it knows by
// angles and codes.
console::Profile as_played(console::Profile profile) {
  // What it holds besides is nothing.
  const auto bits = [](const auto& ability) { return ability && ability->set && ability->set->sets_bits(); };
  if (bits(profile.turn)) profile.turn.reset();
  if (bits(profile.props)) profile.props.reset();
  if (profile.mount && (bits(profile.mount) || profile.mount->form != craft::RotationForm::angles ||
                        is_several(profile, profile.mount->set))) {
    profile.mount.reset();
    if (profile.sense) profile.sense->after_mount = false;
  }
  if (profile.turn && profile.map && profile.turn->read.steps == profile.map->list.steps)
    profile.turn.reset();
  return profile;
}

bool takes_several_commands(const console::Profile& profile) {
  const auto several = [&](const auto& command) { return is_several(profile, command); };
  return several(profile.map->put) || several(profile.map->free) || several(profile.spin->spin) ||
         several(profile.spin->stop) || (profile.turn && several(profile.turn->set)) ||
         (profile.props && several(profile.props->set));
}

}  // namespace

session::Rehearsal rehearse(const console::Profile& taught, const std::filesystem::path& folder) {
  session::Rehearsal rehearsal;
  rehearsal.missing = missing_in(taught);
  if (!rehearsal.missing.empty()) return rehearsal;
  if (takes_several_commands(taught)) {
    rehearsal.not_covered.emplace_back("a session, since it takes several commands in a row for one thing");
    return rehearsal;
  }
  if (taught.map->put->sets_bits()) {
    rehearsal.not_covered.emplace_back("a session, since its numbers hold several things each");
    return rehearsal;
  }
  rehearsal.played = true;
  const console::Profile profile = as_played(taught);
  rehearsal.not_covered = not_covered_by(profile);
  const craft::Frame& frame = *craft::frame_named(profile.numbering.begin()->first);
  ManualClock clock;
  PracticePort port(profile, seeded_craft(frame, some_wiring));
  PracticePlug plug(port, clock);
  PortSight sight(port, clock);
  PracticePerson person(sight, clock);
  NobodyNeeded sentry;
  record::DiskStore store({folder, folder, folder}, "");
  console::ProfileConsole console(plug, profile, clock, sentry);
  session::BenchOptions options;
  options.frame = frame.name;
  options.scheme = craft::PropScheme::in;
  options.craft_name = "rehearsal";
  boost::asio::io_context loop;
  std::exception_ptr trouble;
  bool recorded = false;
  boost::asio::co_spawn(loop, session::bench(console, person, store, clock, options),
                        [&](std::exception_ptr error, const session::BenchResult& result) {
                          trouble = std::move(error);
                          recorded = !trouble && !result.record_file.empty();
                        });
  loop.run();
  try {
    if (trouble) std::rethrow_exception(trouble);
    if (!recorded) rehearsal.wrong = "The session ended without a record";
  } catch (const Fault& fault) {
    rehearsal.wrong = fault.sentence();
  } catch (const StoppedByPerson&) {
    rehearsal.wrong = "The practice person could not go on";
  }
  return rehearsal;
}

}  // namespace armwise::practice
