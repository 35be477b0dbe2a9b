#include "armwise/session/bench.hpp"

#include <memory>
#include <optional>
#include <utility>

#include "armwise/base/task.hpp"
#include "bench_options.hpp"
#include "checks.hpp"
#include "commands.hpp"
#include "exit_status.hpp"
#include "session_setup.hpp"

namespace armwise::app {
namespace {

struct BenchArguments {
  SessionOptions session;
  session::BenchOptions bench;
  SpinArguments spins;
  std::string scheme;
  bool exact = false, leave_mount = false;
};

void add_options(CLI::App& command, BenchArguments& arguments) {
  add_session_options(command, arguments.session);
  command.add_option("--frame", arguments.bench.frame, "quad-x, hex-plus, … (default: you're asked)")
      ->type_name("FRAME")
      ->check(known_frame());
  command.add_option("--props", arguments.scheme, "in or out (default: you're asked)")
      ->type_name("WAY")
      ->check(one_of({"in", "out"}));
  command.add_option("--craft", arguments.bench.craft_name, "the craft's name (default: you're asked)")
      ->type_name("NAME");
  add_spin_options(command, arguments.spins, arguments.bench);
  auto* exact = command.add_flag("--exact", arguments.exact,
                                 "tell the controller the mount as measured, not the nearest usual one");
  command
      .add_flag("--leave-mount", arguments.leave_mount, "neither find out nor set how the board is mounted")
      ->excludes(exact);
  add_practice_options(command, arguments.session);
}

Task<int> run_bench(Session& session, const BenchArguments& arguments) {
  const craft::Frame* frame = craft::frame_named(arguments.bench.frame);
  session.bench_on(frame == nullptr ? 0 : frame->size());
  co_await session.prepare();
  session::BenchOptions options = arguments.bench;
  options.scheme = craft::scheme_named(arguments.scheme);
  complete(options, arguments.spins, session);
  if (arguments.exact) options.mount = session::MountWish::exact;
  if (arguments.leave_mount) options.mount = session::MountWish::leave;
  if (options.frame.empty() && session.practice() != nullptr) options.frame = session.practice()->frame();
  record::DiskStore store(session.folders(), arguments.spins.output);
  co_await session.play(
      session::bench(session.console(), session.person(), store, session.runtime().clock(), options));
  co_return done;
}

}  // namespace

CommandSpec bench_command() {
  return {"bench", "the guided session: find out, plan, write, check, save, record",
          "armwise bench /dev/ttyACM0 --profile my-console.json --frame quad-x",
          [](CLI::App& command, Chosen& chosen) {
            auto arguments = std::make_shared<BenchArguments>();
            add_options(command, *arguments);
            return [arguments, &chosen] {
              SessionOptions& options = arguments->session;
              if (options.practice.frame.empty()) options.practice.frame = arguments->bench.frame;
              options.practice.asks_frame = true;
              Session session(options, chosen.common);
              return session.runtime().run(run_bench(session, *arguments), session.person_slot());
            };
          }};
}

}  // namespace armwise::app
