#include "armwise/practice/process.hpp"

#include <fcntl.h>
#include <sys/prctl.h>
#include <unistd.h>

#include <boost/asio/io_context.hpp>
#include <boost/asio/signal_set.hpp>
#include <boost/asio/steady_timer.hpp>
#include <chrono>
#include <csignal>
#include <iostream>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"
#include "rig.hpp"

namespace armwise::practice {
namespace {

PracticeCraft craft_for(const PracticeOptions& options) {
  if (!options.craft.empty()) return craft_from_file(options.craft);
  const craft::Frame* frame = craft::frame_named(options.frame);
  if (frame != nullptr) return seeded_craft(*frame, options.seed);
  std::vector<std::string> names;
  for (const craft::Frame& each : craft::frames()) names.push_back(each.name);
  throw Fault(FaultKind::usage, "there is no frame named " + printable(options.frame), {},
              "Choose one of " + joined(names, ", "));
}

void say_on_standard_output(const std::string& line) {
  std::cout << line << std::endl;
}

// The kernel tells of the parent's death; a parent that had died before it was asked is seen by its number.
void end_with_parent(pid_t parent) {
  ::prctl(PR_SET_PDEATHSIG, SIGTERM);
  if (::getppid() != parent) ::raise(SIGTERM);
}

// Whoever reads what its parent writes would wait for its end, too.
void let_go_of_the_terminal() {
  const int nothing = ::open("/dev/null", O_RDWR | O_CLOEXEC);
  for (const int standard : {STDIN_FILENO, STDOUT_FILENO, STDERR_FILENO}) ::dup2(nothing, standard);
  ::close(nothing);
}

// Whoever left it behind may never come back for it.
constexpr auto stays_for = std::chrono::minutes(30);

void say_how_to_connect(const PracticeOptions& options, const console::Profile& profile,
                        const PracticeCraft& craft, const std::filesystem::path& root,
                        const std::function<void(const std::string&)>& say) {
  const std::string pace = options.baud > 0 ? std::to_string(options.baud) + " baud" : "no pacing";
  say(printable(craft.name) + ", " + craft.frame->name + ", console " + printable(profile.name) + ", " +
      pace);
  say("connect with: ARMWISE_DEVICES=" + root.string() + " armwise bench --profile " +
      options.profile.string());
  say("ready");
}

}  // namespace

int run_practice(const PracticeOptions& options) {
  const pid_t parent = ::getppid();
  // Who started it may be gone before the last line is said; the device tree is still to be taken away.
  std::signal(SIGPIPE, SIG_IGN);
  const auto say = options.say ? options.say : say_on_standard_output;
  const console::Profile profile = console::load_profile_file(options.profile);
  PracticeCraft craft = craft_for(options);
  MischiefPlan mischief;
  if (!options.mischief.empty())
    mischief = mischief_named(options.mischief, options.seed, options.mischief_at);

  boost::asio::io_context loop(1);
  boost::asio::signal_set signals(loop, SIGTERM, SIGINT, SIGHUP);
  signals.async_wait([&](boost::system::error_code error, int) {
    if (!error) loop.stop();
  });
  if (options.end_with_parent) end_with_parent(parent);
  PracticePort port(profile, std::move(craft), mischief, options.habits);
  boost::asio::steady_timer time_to_go(loop);
  const auto stay = [&] {
    ::prctl(PR_SET_PDEATHSIG, 0);
    let_go_of_the_terminal();
    time_to_go.expires_after(stays_for);
    time_to_go.async_wait([&](boost::system::error_code error) {
      if (!error) loop.stop();
    });
  };
  Rig rig(loop, port, options.directory, options.baud, say, {stay, [&loop] { loop.stop(); }});
  say_how_to_connect(options, profile, port.controller().craft(), rig.tree().root(), say);
  loop.run();
  return 0;
}

}  // namespace armwise::practice
