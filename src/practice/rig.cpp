#include "rig.hpp"

#include <fcntl.h>
#include <unistd.h>

#include <algorithm>
#include <boost/asio/buffer.hpp>
#include <cerrno>
#include <nlohmann/json.hpp>
#include <utility>

namespace armwise::practice {
namespace {

namespace asio = boost::asio;
using OrderedJson = nlohmann::ordered_json;
using boost::system::error_code;

// What waits to be sent or to be heard: more is left where it comes from, as a small board would.
constexpr std::size_t most_waiting = 4096;
// Timers are no finer than this; the bytes of a millisecond go together.
constexpr Pacer::Time tick = std::chrono::milliseconds(1);

int copy_of(int descriptor) {
  return ::fcntl(descriptor, F_DUPFD_CLOEXEC, 0);
}

}  // namespace

Rig::Rig(asio::io_context& loop, PracticePort& port, std::filesystem::path directory, int baud, Say say,
         Wishes wishes)
    : loop_(loop),
      port_(port),
      say_(std::move(say)),
      wishes_(std::move(wishes)),
      tree_(std::move(directory)),
      timer_(loop),
      inbound_(baud),
      outbound_(baud),
      onlookers_(loop, tree_.root() / "onlooker", [this](const std::string& line) { return answer(line); }) {
  turn_the_crank();
}

Rig::Plugged::Plugged(asio::io_context& loop, int its_generation)
    : far_side(loop, copy_of(terminal.far_side())), generation(its_generation) {}

void Rig::turn_the_crank() {
  const Pacer::Time time = now();
  const Instant instant = rounded(time);
  if (plugged_) {
    const std::string heard = inbound_.arrived(time, most_waiting);
    if (!heard.empty()) port_.receive(heard, instant);
  }
  port_.advance(instant);
  meet_the_port(instant);
  if (plugged_) {
    if (outbound_.waiting() < most_waiting) outbound_.put(port_.take(instant), time);
    send(time);
    read_on();
  }
  show();
  set_timer(time);
}

void Rig::meet_the_port(Instant now) {
  if (plugged_ && (!port_.present() || !is_plugged(port_.generation()))) pull_out();
  if (!plugged_ && port_.present()) plug_in();
  port_.advance(now);
}

void Rig::plug_in() {
  plugged_.emplace(loop_, port_.generation());
  tree_.plug_in(port_.name(), port_.usb(), plugged_->terminal.near_path());
  say_("plugged in: " + tree_.node(port_.name()).string() + " (USB " + port_.usb().vendor + ":" +
       port_.usb().product + ", serial number " + port_.usb().serial + ")");
}

void Rig::pull_out() {
  tree_.pull_out();
  plugged_.reset();
  inbound_.clear();
  outbound_.clear();
  say_("the port has gone away");
}

void Rig::read_on() {
  if (plugged_->reading || !port_.reads() || inbound_.waiting() >= most_waiting) return;
  plugged_->reading = true;
  const int generation = plugged_->generation;
  plugged_->far_side.async_read_some(asio::buffer(plugged_->read_buffer),
                                     [this, generation](error_code error, std::size_t size) {
                                       if (error == asio::error::operation_aborted || !is_plugged(generation))
                                         return;
                                       plugged_->reading = false;
                                       if (!error) inbound_.put({plugged_->read_buffer.data(), size}, now());
                                       if (!error) turn_the_crank();
                                     });
}

void Rig::send(Pacer::Time time) {
  if (plugged_->blocked) return;
  std::string bytes = outbound_.arrived(time, most_waiting);
  while (!bytes.empty()) {
    const ssize_t sent = ::write(plugged_->terminal.far_side(), bytes.data(), bytes.size());
    if (sent > 0) {
      bytes.erase(0, static_cast<std::size_t>(sent));
      continue;
    }
    if (sent < 0 && errno == EINTR) continue;
    // Nobody reads and the buffer is full: a USB device waits for its host.
    if (errno == EAGAIN) {
      outbound_.put_back(bytes);
      plugged_->blocked = true;
      const int generation = plugged_->generation;
      plugged_->far_side.async_wait(asio::posix::stream_descriptor::wait_write,
                                    [this, generation](error_code error) {
                                      if (error || !is_plugged(generation)) return;
                                      plugged_->blocked = false;
                                      turn_the_crank();
                                    });
    }
    return;
  }
}

void Rig::set_timer(Pacer::Time time) {
  std::optional<Pacer::Time> next;
  const auto consider = [&](std::optional<Pacer::Time> when) {
    if (when && (!next || *when < *next)) next = when;
  };
  if (plugged_) consider(inbound_.next_arrival());
  if (plugged_ && !plugged_->blocked) consider(outbound_.next_arrival());
  const bool full = outbound_.waiting() >= most_waiting;
  if (const std::optional<Instant> event = port_.next_event(); event && !full) consider(*event);
  if (!next) {
    timer_.cancel();
    return;
  }
  timer_.expires_at(start_ + std::max(*next, time + tick));
  timer_.async_wait([this](error_code error) {
    if (!error) turn_the_crank();
  });
}

std::string Rig::state() const {
  OrderedJson turning = OrderedJson::array();
  for (const Turning& each : port_.controller().turning(rounded(now()))) {
    turning.push_back({{"place", each.place}, {"turn", craft::name(each.turn)}});
  }
  const PracticeCraft& craft = port_.controller().craft();
  OrderedJson state{{"turning", turning}, {"pose", craft.pose}, {"frame", craft.frame->name}};
  state["port"] = port_.present() ? OrderedJson(port_.name()) : OrderedJson(nullptr);
  if (!port_.struck().empty()) state["mischief"] = port_.struck();
  return state.dump();
}

void Rig::show() {
  std::string state_now = state();
  if (state_now == shown_) return;
  shown_ = state_now;
  if (!port_.struck().empty() && !std::exchange(mischief_said_, true)) {
    const MischiefStory story = story_of(*mischief_kind(port_.struck()));
    say_("mischief: " + std::string(story.what) + ". You'd notice " + std::string(story.notice) +
         "; armwise " + std::string(story.answer) + ".");
  }
  onlookers_.show(std::move(state_now));
}

namespace {

OrderedJson truth_of(const PracticeCraft& craft) {
  OrderedJson wiring = OrderedJson::object();
  for (const auto& [pin, end] : craft.wiring) {
    wiring[pin] = {{"place", craft.frame->places[end.place].name}, {"turn", craft::name(end.turn)}};
  }
  return {{"frame", craft.frame->name},
          {"pins", craft.pins},
          {"wiring", wiring},
          {"mount", {{"yaw", craft.mount.yaw}, {"pitch", craft.mount.pitch}, {"roll", craft.mount.roll}}}};
}

}  // namespace

std::string Rig::answer(const std::string& line) {
  const OrderedJson asked = OrderedJson::parse(line, nullptr, false);
  const auto named = [&](const char* key) {
    return asked.is_object() && asked.contains(key) && asked[key].is_string()
               ? std::optional(asked[key].get<std::string>())
               : std::nullopt;
  };
  OrderedJson answer{{"ok", true}};
  PracticeCraft& craft = port_.controller().craft();
  if (const auto pose = named("pose")) {
    if (!craft.hold(*pose)) answer = {{"ok", false}, {"why", "no such pose"}};
  } else if (const auto place = named("reverse")) {
    if (!craft.reverse(*place)) answer = {{"ok", false}, {"why", "no such place"}};
  } else if (named("plug") == "again") {
    port_.plug_in_again(rounded(now()));
  } else if (asked.is_object() && asked.contains("stay")) {
    port_.plug_in_again(rounded(now()), true);
    wishes_.stay();
  } else if (asked.is_object() && asked.contains("end")) {
    wishes_.end();
  } else if (asked.is_object() && asked.contains("truth")) {
    answer["truth"] = truth_of(craft);
  } else {
    answer = {{"ok", false}, {"why", "not understood"}};
  }
  turn_the_crank();
  return answer.dump();
}

}  // namespace armwise::practice
