#include "onlooker_server.hpp"

#include <boost/asio/read_until.hpp>
#include <boost/asio/write.hpp>
#include <system_error>
#include <utility>

#include "armwise/base/fault.hpp"

namespace armwise::practice {
namespace {

namespace asio = boost::asio;
using Socket = asio::local::stream_protocol::socket;

constexpr std::size_t longest_request = 4096;
// Whoever looks on and does not read is dropped.
constexpr std::size_t most_unsent = 1024UL * 1024UL;

}  // namespace

// One that looks on. Its pending operations hold it; the server's set is what keeps it welcome.
struct OnlookerServer::Guest : std::enable_shared_from_this<OnlookerServer::Guest> {
  Guest(OnlookerServer& server, Socket connected) : host(&server), socket(std::move(connected)) {}

  void read_on() {
    asio::async_read_until(socket, asio::dynamic_buffer(received, longest_request), '\n',
                           [self = shared_from_this()](boost::system::error_code error, std::size_t size) {
                             if (self->host == nullptr) return;
                             if (error) return self->leave();
                             const std::string line = self->received.substr(0, size - 1);
                             self->received.erase(0, size);
                             self->send(self->host->answer_(line));
                             if (self->host != nullptr) self->read_on();
                           });
  }

  void send(const std::string& line) {
    unsent += line + "\n";
    if (unsent.size() > most_unsent) return leave();
    if (sending.empty()) send_on();
  }

  void send_on() {
    sending = std::exchange(unsent, {});
    asio::async_write(socket, asio::buffer(sending),
                      [self = shared_from_this()](boost::system::error_code error, std::size_t) {
                        self->sending.clear();
                        if (self->host == nullptr) return;
                        if (error) return self->leave();
                        if (!self->unsent.empty()) self->send_on();
                      });
  }

  void leave() {
    boost::system::error_code ignored;
    socket.close(ignored);
    OnlookerServer* server = std::exchange(host, nullptr);
    if (server != nullptr) server->guests_.erase(shared_from_this());
  }

  OnlookerServer* host;
  Socket socket;
  std::string received, unsent, sending;
};

OnlookerServer::OnlookerServer(asio::io_context& loop, std::filesystem::path socket, Answer answer)
    : path_(std::move(socket)), answer_(std::move(answer)), acceptor_(loop) {
  try {
    const asio::local::stream_protocol::endpoint endpoint(path_.string());
    Socket probe(loop);
    boost::system::error_code nobody;
    probe.connect(endpoint, nobody);
    if (!nobody) {
      throw Fault(FaultKind::file, "another practice craft is at work in " + path_.parent_path().string(), {},
                  "Stop it, or name another folder with --dir");
    }
    std::filesystem::remove(path_);
    acceptor_.open(endpoint.protocol());
    acceptor_.bind(endpoint);
    acceptor_.listen();
  } catch (const std::system_error& error) {
    throw Fault(FaultKind::file, "no socket could be made at " + path_.string(), error.code().message(),
                "Name a folder with a shorter path with --dir");
  }
  accept_on();
}

OnlookerServer::~OnlookerServer() {
  while (!guests_.empty()) (*guests_.begin())->leave();
  std::error_code ignored;
  std::filesystem::remove(path_, ignored);
}

void OnlookerServer::accept_on() {
  acceptor_.async_accept([this](boost::system::error_code error, Socket connected) {
    if (error == asio::error::operation_aborted) return;
    if (!error) {
      const auto guest = std::make_shared<Guest>(*this, std::move(connected));
      guests_.insert(guest);
      if (!state_.empty()) guest->send(state_);
      guest->read_on();
    }
    accept_on();
  });
}

void OnlookerServer::show(std::string state) {
  state_ = std::move(state);
  const std::set<std::shared_ptr<Guest>> all = guests_;
  for (const std::shared_ptr<Guest>& guest : all) guest->send(state_);
}

}  // namespace armwise::practice
