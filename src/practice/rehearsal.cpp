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

}  // namespace

session::Rehearsal rehearse(const console::Profile& profile, const std::filesystem::path& folder) {
  session::Rehearsal rehearsal;
  rehearsal.missing = missing_in(profile);
  if (!rehearsal.missing.empty()) return rehearsal;
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
