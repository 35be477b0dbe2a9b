#include "armwise/link/ports.hpp"

#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>

#include "commands.hpp"
#include "exit_status.hpp"

namespace armwise::app {
namespace {

std::string access_in_words(const link::PortInfo& port, const link::Caller& caller) {
  switch (port.access) {
    case link::Access::ok:
      return "can be opened";
    case link::Access::denied:
      return link::port_denied(port, caller).sentence();
    case link::Access::busy:
      return link::port_busy(port).sentence();
  }
  return {};
}

void print_json(const std::vector<link::PortInfo>& ports) {
  nlohmann::json out = nlohmann::json::array();
  for (const link::PortInfo& port : ports) {
    const char* access = port.access == link::Access::ok       ? "ok"
                         : port.access == link::Access::denied ? "denied"
                                                               : "busy";
    out.push_back({{"port", port.node.string()},
                   {"vendor", port.identity.vendor},
                   {"product", port.identity.product},
                   {"serial", port.identity.serial},
                   {"manufacturer", port.manufacturer},
                   {"name", port.product_name},
                   {"access", access}});
  }
  std::cout << out.dump(2) << "\n";
}

}  // namespace

CommandSpec ports_command() {
  return {
      "ports", "what is plugged in, and whether it can be opened", "armwise ports",
      [](CLI::App& command, Chosen&) {
        auto json = std::make_shared<bool>(false);
        command.add_flag("--json", *json, "as JSON");
        return [json] {
          const link::Caller caller = link::Caller::of_this_process();
          const auto ports = link::list_ports(link::DeviceRoot::from_environment(), caller);
          if (*json) {
            print_json(ports);
            return done;
          }
          if (ports.empty()) {
            std::cout << "No serial port is plugged in over USB. Plug the controller in (a cable that only "
                         "charges shows nothing), then try again.\n";
          }
          for (const link::PortInfo& port : ports) {
            std::cout << port.in_words() << "\n  " << access_in_words(port, caller) << "\n";
          }
          return done;
        };
      }};
}

}  // namespace armwise::app
