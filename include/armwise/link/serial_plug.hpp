// Opens a port and finds the same controller again after its restart, under whatever name.
#pragma once

#include <filesystem>
#include <memory>
#include <string>

#include "armwise/base/task_fwd.hpp"
#include "armwise/console/line.hpp"
#include "armwise/link/ports.hpp"
#include "armwise/link/serial_line.hpp"

namespace armwise::link {

class Guard;

struct PlugOptions {
  DeviceRoot root;
  Caller caller = Caller::of_this_process();
  int speed = usual_speed;
  Guard* guard = nullptr;  // given each port that is opened; outlives the plug and its lines
  // So long an old port may stay before it is believed that it never leaves at all, as that of a controller
  // behind a USB-to-serial chip of its own.
  Duration stays_after{2000};
};

class SerialPlug : public console::Plug {
 public:
  // `port`: a node, a name below DEV, or a link to one such as those in /dev/serial/by-id.
  SerialPlug(boost::asio::any_io_executor loop, const std::string& port, PlugOptions options = {});
  ~SerialPlug() override;
  SerialPlug(const SerialPlug&) = delete;
  SerialPlug& operator=(const SerialPlug&) = delete;

  Task<std::unique_ptr<console::Line>> open() override;

  // Which port is the same: vendor, product, serial number and interface as before; of a controller without a
  // serial number, the socket in the place of the number. Ports alike that were there all the time are other
  // controllers. A port without a USB identity is found again under its old name only. A port that comes back
  // but is denied or held is waited for. A line from before that still lives is closed first. Fault(not_back)
  // names the identity that never came, and what stands in its place; where two match it says which.
  Task<std::unique_ptr<console::Line>> reopen(Duration within) override;

  std::string renamed() const override;
  std::string identity() const override;

  const std::filesystem::path& node() const;  // where it was opened last
  const PortIdentity& port_identity() const;  // known once it has been opened

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace armwise::link
