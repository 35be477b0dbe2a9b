#include "bench_options.hpp"

#include "checks.hpp"

namespace armwise::app {

void add_spin_options(CLI::App& command, SpinArguments& arguments, session::BenchOptions& bench) {
  command.add_option("-o,--output", arguments.output, "where the record goes")->type_name("FILE");
  command.add_option("--operator", bench.operator_name, "who does it, for the record")->type_name("NAME");
  command.add_option("--place", bench.place, "where, for the record")->type_name("TEXT");
  command.add_option("--throttle", arguments.strength, "throttle of a spin, within the profile's limits")
      ->type_name("PERCENT")
      ->check(number_within(0.1, 50));
  command.add_option("--spin-time", arguments.spin_milliseconds, "length of a spin")
      ->type_name("MS")
      ->check(whole_number_within(200, 3000));
  command.add_option("--sure", bench.sure, "the chance of saving something wrong that you take (0.0001)")
      ->type_name("P")
      ->check(number_within(1e-9, 0.5));
  // Of a log that is played again (scripts/replay).
  command.add_option("--order", arguments.order, "the order of the check")->check(whole_number())->group("");
  command.add_flag("--dry-run", bench.dry_run, "show the plan and write nothing");
}

void complete(session::BenchOptions& bench, const SpinArguments& arguments, Session& session) {
  bench.port = session.port();
  bench.tool_version = ARMWISE_VERSION;
  if (session.practice() != nullptr) {
    bench.reached_by = session.practice()->reached_by();
    bench.caveat = "PRACTICE: a simulated craft, so none of this is true of a real one.";
  }
  bench.order = session.order_of_check(arguments.order);
  bench.spin_time = Duration{arguments.spin_milliseconds};
  bench.suspended = [&session] { return session.runtime().suspended(); };
  if (arguments.strength > 0) bench.strength_per_cent = arguments.strength;
}

}  // namespace armwise::app
