// The practice craft's end of the onlooker's socket.
#pragma once

#include <boost/asio/io_context.hpp>
#include <boost/asio/local/stream_protocol.hpp>
#include <filesystem>
#include <functional>
#include <memory>
#include <set>
#include <string>

namespace armwise::practice {

class OnlookerServer {
 public:
  // Gives the answer to one line of the protocol.
  using Answer = std::function<std::string(const std::string& line)>;

  // Throws Fault(file): no socket can be made there, or another practice craft is at work.
  OnlookerServer(boost::asio::io_context& loop, std::filesystem::path socket, Answer answer);
  // Takes the socket away.
  ~OnlookerServer();
  OnlookerServer(const OnlookerServer&) = delete;
  OnlookerServer& operator=(const OnlookerServer&) = delete;

  // Told to all who look on, and to everyone who comes, until the next one.
  void show(std::string state);

 private:
  struct Guest;
  void accept_on();

  std::filesystem::path path_;
  Answer answer_;
  boost::asio::local::stream_protocol::acceptor acceptor_;
  std::set<std::shared_ptr<Guest>> guests_;
  std::string state_;
};

}  // namespace armwise::practice
