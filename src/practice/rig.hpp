// The practice port on the real clock: its bytes paced through a pseudo-terminal, its comings and goings in
// a device tree, its motors shown to whoever looks on.
#pragma once

#include <array>
#include <boost/asio/io_context.hpp>
#include <boost/asio/posix/stream_descriptor.hpp>
#include <boost/asio/steady_timer.hpp>
#include <functional>
#include <memory>
#include <optional>
#include <string>

#include "armwise/practice/port.hpp"
#include "device_tree.hpp"
#include "onlooker_server.hpp"
#include "pacer.hpp"
#include "pseudo_terminal.hpp"

namespace armwise::practice {

class Rig {
 public:
  using Say = std::function<void(const std::string&)>;
  // What an onlooker may ask of the process: to outlive the one that started it, to end.
  struct Wishes {
    std::function<void()> stay, end;
  };

  // `loop` and `port` outlive the rig.
  Rig(boost::asio::io_context& loop, PracticePort& port, std::filesystem::path directory, int baud, Say say,
      Wishes wishes);

  const DeviceTree& tree() const { return tree_; }

 private:
  // Everything that has come due is done, and the timer set to what comes next.
  void turn_the_crank();
  void meet_the_port(Instant now);
  void plug_in();
  void pull_out();
  void read_on();
  void send(Pacer::Time now);
  void set_timer(Pacer::Time now);
  void show();
  std::string state() const;
  std::string answer(const std::string& line);

  Pacer::Time now() const { return std::chrono::steady_clock::now() - start_; }
  static Instant rounded(Pacer::Time time) { return std::chrono::duration_cast<Instant>(time); }

  boost::asio::io_context& loop_;
  PracticePort& port_;
  Say say_;
  Wishes wishes_;
  DeviceTree tree_;
  std::chrono::steady_clock::time_point start_ = std::chrono::steady_clock::now();
  // The port as it is plugged in.
  struct Plugged {
    Plugged(boost::asio::io_context& loop, int its_generation);
    PseudoTerminal terminal;
    boost::asio::posix::stream_descriptor far_side;  // a copy of the terminal's, for the loop
    int generation;
    std::array<char, 4096> read_buffer{};
    bool reading = false;
    bool blocked = false;  // the terminal's buffer is full
  };
  bool is_plugged(int generation) const { return plugged_ && plugged_->generation == generation; }

  std::optional<Plugged> plugged_;
  boost::asio::steady_timer timer_;
  Pacer inbound_, outbound_;
  std::string shown_;
  bool mischief_said_ = false;
  OnlookerServer onlookers_;
};

}  // namespace armwise::practice
