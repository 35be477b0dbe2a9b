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

bool is_enough(const console::Profile& profile) {
  return profile.map && profile.map->put && profile.spin && profile.keep && !profile.numbering.empty();
}

}  // namespace

std::optional<std::string> rehearse(const console::Profile& profile, const std::filesystem::path& folder) {
  if (!is_enough(profile)) return std::nullopt;
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
  boost::asio::co_spawn(
      loop, session::bench(console, person, store, clock, options),
      [&](std::exception_ptr error, const session::BenchResult&) { trouble = std::move(error); });
  loop.run();
  try {
    if (trouble) std::rethrow_exception(trouble);
  } catch (const Fault& fault) {
    return fault.sentence();
  }
  return std::nullopt;
}

}  // namespace armwise::practice
