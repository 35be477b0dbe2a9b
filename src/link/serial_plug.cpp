#include "armwise/link/serial_plug.hpp"

#include <sys/stat.h>
#include <sys/sysmacros.h>

#include <algorithm>
#include <chrono>
#include <utility>
#include <vector>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/link/guard.hpp"
#include "armwise/link/waiting.hpp"
#include "line_settings.hpp"

namespace armwise::link {
namespace {

namespace fs = std::filesystem;
using std::chrono::steady_clock;
using Moment = steady_clock::time_point;

Duration time_left(Moment deadline) {
  return std::max(Duration::zero(), std::chrono::ceil<Duration>(deadline - steady_clock::now()));
}

// Tells a node from another that stands under the same name later.
struct Trace {
  fs::path node;
  dev_t folder = 0, device = 0;
  ino_t number = 0;
  std::int64_t made_at = 0;  // nanoseconds; only where numbers are used again
  fs::path target;
  bool operator==(const Trace&) const = default;
};

bool numbers_are_used_again(const struct stat& entry) {
  return S_ISLNK(entry.st_mode) || is_pseudo_terminal(major(entry.st_rdev));
}

std::int64_t change_time(const struct stat& entry) {
  constexpr std::int64_t nanoseconds = 1'000'000'000;
  return entry.st_ctim.tv_sec * nanoseconds + entry.st_ctim.tv_nsec;
}

// Empty where there is no such node, or a link that leads nowhere.
Trace trace_of(const fs::path& node) {
  struct stat entry {};
  struct stat device {};
  if (lstat(node.c_str(), &entry) != 0 || stat(node.c_str(), &device) != 0) return {};
  Trace trace{node, entry.st_dev, device.st_rdev, entry.st_ino, 0, {}};
  if (numbers_are_used_again(entry)) trace.made_at = change_time(entry);
  std::error_code error;
  trace.target = fs::canonical(node, error);
  return trace;
}

// A link in another folder (/dev/serial/by-id) may go and come: the node in DEV is what matters.
fs::path settled_node(const std::string& port, const DeviceRoot& root) {
  fs::path node = root.node(port);
  std::error_code error;
  const fs::path target = fs::canonical(node, error);
  if (error || node.parent_path() == root.dev) return node;
  return target.parent_path() == fs::canonical(root.dev, error) ? root.dev / target.filename() : node;
}

std::string names_of(const std::vector<PortInfo>& ports) {
  std::vector<std::string> names;
  names.reserve(ports.size());
  for (const PortInfo& port : ports) names.push_back(port.in_words());
  return joined(names, " and ");
}

Fault two_alike(const std::vector<PortInfo>& ports) {
  return {FaultKind::not_back, "More than one port looks like the controller that was restarted",
          names_of(ports) + " cannot be told apart", "Unplug all but the one on the bench, then start anew"};
}

}  // namespace

struct SerialPlug::State {
  boost::asio::any_io_executor loop;
  std::string port;
  PlugOptions options;
  fs::path node;
  PortIdentity identity;
  Trace trace;
  std::vector<Trace> bystanders;  // ports of the same identity that are other controllers
  std::string renamed;
  // The line handed out last, while it lives; the line itself clears it.
  std::shared_ptr<SerialLine*> line = std::make_shared<SerialLine*>(nullptr);

  std::unique_ptr<console::Line> take(const PortInfo& found);
  std::vector<PortInfo> matches() const;
  std::string who_has_the_old_name() const;
  Fault never_came(Duration within, const std::string& trouble) const;
  std::unique_ptr<FolderWatch> watch() const;
  Task<void> until_gone(FolderWatch& folder, Moment deadline) const;
  void remember(const PortInfo& found);
  void close_old_line();
};

void SerialPlug::State::close_old_line() {
  if (*line != nullptr) (*line)->close();
}

void SerialPlug::State::remember(const PortInfo& found) {
  renamed.clear();
  if (!node.empty() && node != found.node) {
    renamed = "The controller is back as " + found.node.string() + "; before, it was " + node.string() +
              " (" + found.identity.in_words() + ", as before): going on";
  }
  node = found.node;
  identity = found.identity;
  trace = trace_of(node);
  bystanders.clear();
  if (identity.empty()) return;
  for (const PortInfo& other : ports_there(options.root, options.caller)) {
    if (other.node != node && is_same_controller(identity, other.identity)) {
      bystanders.push_back(trace_of(other.node));
    }
  }
}

std::unique_ptr<console::Line> SerialPlug::State::take(const PortInfo& found) {
  require_access(found, options.caller);
  std::unique_ptr<SerialLine> opened = SerialLine::open(loop, found.node, options.speed);
  Guard* const guard = options.guard;
  const HeldPort which{found.node, found.identity, options.root, options.speed};
  const int held = guard != nullptr ? guard->hold(opened->descriptor(), which) : 0;
  *line = opened.get();
  opened->before_closing([slot = line, self = opened.get(), guard, held] {
    if (*slot == self) *slot = nullptr;
    if (guard != nullptr) guard->let_go(held);
  });
  remember(found);
  return opened;
}

std::vector<PortInfo> SerialPlug::State::matches() const {
  std::error_code error;
  if (identity.empty()) {
    if (!fs::exists(node, error)) return {};
    return {look_at_port(node.string(), options.root, options.caller)};
  }
  std::vector<PortInfo> ports = list_ports(options.root, options.caller);
  std::erase_if(ports, [&](const PortInfo& other) {
    const bool was_there =
        std::find(bystanders.begin(), bystanders.end(), trace_of(other.node)) != bystanders.end();
    return was_there || !is_same_controller(identity, other.identity);
  });
  return ports;
}

std::string SerialPlug::State::who_has_the_old_name() const {
  std::error_code error;
  if (identity.empty() || !fs::exists(node, error)) return {};
  const PortInfo there = look_at_port(node.string(), options.root, options.caller);
  if (is_same_controller(identity, there.identity)) return {};
  const std::string words = there.identity.empty() ? "a device that tells no identity" : there.in_words();
  return "Another device has taken the name " + node.string() + " and was left alone: " + words;
}

Fault SerialPlug::State::never_came(Duration within, const std::string& trouble) const {
  const std::string who = identity.empty()
                              ? "The controller at " + node.string()
                              : "The controller (" + identity.in_words() + ", last at " + node.string() + ")";
  const std::string seconds = std::to_string((within.count() + 999) / 1000);
  if (!trouble.empty()) {
    return {FaultKind::not_back, who + " is back, but could not be opened within " + seconds + " s", trouble,
            "Solve that, then run `armwise recover`"};
  }
  return {FaultKind::not_back, who + " did not come back within " + seconds + " s", who_has_the_old_name(),
          "Unplug it, plug it in again, then run `armwise recover`"};
}

std::unique_ptr<FolderWatch> SerialPlug::State::watch() const {
  return std::make_unique<FolderWatch>(loop, identity.empty() ? node.parent_path() : options.root.dev,
                                       node.filename().string());
}

Task<void> SerialPlug::State::until_gone(FolderWatch& folder, Moment deadline) const {
  while (trace_of(node) == trace && steady_clock::now() < deadline) {
    co_await folder.changed(time_left(deadline));
  }
}

SerialPlug::SerialPlug(boost::asio::any_io_executor loop, const std::string& port, PlugOptions options)
    : state_(std::make_unique<State>()) {
  state_->loop = std::move(loop);
  state_->port = port;
  state_->options = std::move(options);
}

SerialPlug::~SerialPlug() = default;

std::string SerialPlug::renamed() const {
  return state_->renamed;
}
std::string SerialPlug::identity() const {
  return state_->identity.in_words();
}
const fs::path& SerialPlug::node() const {
  return state_->node;
}
const PortIdentity& SerialPlug::port_identity() const {
  return state_->identity;
}

Task<std::unique_ptr<console::Line>> SerialPlug::open() {
  State& state = *state_;
  state.close_old_line();
  PortInfo found = look_at_port(state.port, state.options.root, state.options.caller);
  found.node = settled_node(state.port, state.options.root);
  state.node.clear();
  co_return state.take(found);
}

Task<std::unique_ptr<console::Line>> SerialPlug::reopen(Duration within) {
  State& state = *state_;
  if (state.node.empty()) co_return co_await open();
  state.close_old_line();
  const Moment deadline = steady_clock::now() + within;
  const std::unique_ptr<FolderWatch> folder = state.watch();
  co_await state.until_gone(*folder, std::min(deadline, steady_clock::now() + state.options.stays_after));

  Moment settled = Moment::max();
  while (true) {
    std::string trouble;
    const std::vector<PortInfo> matching = state.matches();
    if (matching.size() > 1) throw two_alike(matching);
    if (matching.empty()) {
      settled = Moment::max();
    } else {
      if (settled == Moment::max()) settled = steady_clock::now() + settling_time;
      try {
        co_return state.take(matching.front());
      } catch (const Fault& fault) {
        if (fault.kind() == FaultKind::unsafe) throw;
        trouble = fault.sentence();
      }
    }
    if (steady_clock::now() >= deadline) throw state.never_came(within, trouble);
    // A node can be there before it can be opened, and not every driver tells when that changes.
    constexpr Duration again{100};
    const bool settling = !trouble.empty() && steady_clock::now() < settled;
    co_await folder->changed(settling ? std::min(again, time_left(deadline)) : time_left(deadline));
  }
}

}  // namespace armwise::link
