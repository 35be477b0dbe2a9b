#include "armwise/practice/onlooker.hpp"

#include <algorithm>
#include <boost/asio/as_tuple.hpp>
#include <boost/asio/connect.hpp>
#include <boost/asio/local/stream_protocol.hpp>
#include <boost/asio/read_until.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/this_coro.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <boost/asio/write.hpp>
#include <deque>
#include <nlohmann/json.hpp>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"

namespace armwise::practice {
namespace {

namespace asio = boost::asio;
using Socket = asio::local::stream_protocol::socket;
using Json = nlohmann::json;

constexpr auto as_result = asio::as_tuple(asio::use_awaitable);
constexpr std::size_t longest_message = 65536;
constexpr Duration between_tries{20};
constexpr Duration answer_time{2000};

[[noreturn]] void gone(const std::string& why) {
  throw Fault(FaultKind::file, "the practice craft is gone", why, "Start it again with armwise practice");
}

std::vector<Turning> turning_told(const Json& told) {
  std::vector<Turning> turning;
  for (const Json& each : told) {
    if (!each.is_object()) continue;
    const auto turn = craft::turn_named(each.value("turn", ""));
    if (turn) turning.push_back({each.value("place", ""), *turn});
  }
  return turning;
}

}  // namespace

struct Onlooker::State : std::enable_shared_from_this<Onlooker::State> {
  explicit State(Socket connected) : socket(std::move(connected)) {}

  void read_on() {
    asio::async_read_until(socket, asio::dynamic_buffer(buffer, longest_message), '\n',
                           [self = shared_from_this()](boost::system::error_code error, std::size_t size) {
                             self->got(error, size);
                           });
  }

  void got(boost::system::error_code error, std::size_t size) {
    if (error) {
      turning.clear();
      open = false;
    } else {
      take_line(buffer.substr(0, size));
      buffer.erase(0, size);
      read_on();
    }
    for (asio::steady_timer* timer : waiting) timer->cancel();
  }

  void take_line(const std::string& line) {
    const Json json = Json::parse(line, nullptr, false);
    if (!json.is_object()) return;
    if (json.contains("ok")) {
      answers.push_back(line);
      return;
    }
    if (!json.contains("turning") || !json["turning"].is_array()) return;
    turning = turning_told(json["turning"]);
    frame = json.value("frame", "");
    mischief = json.value("mischief", "");
    port =
        json.contains("port") && json["port"].is_string() ? json["port"].get<std::string>() : std::string();
  }

  // Until something is told, or `within` is over.
  Task<void> news(Duration within) {
    asio::steady_timer timer(socket.get_executor(), within);
    waiting.push_back(&timer);
    co_await timer.async_wait(as_result);
    waiting.erase(std::find(waiting.begin(), waiting.end(), &timer));
  }

  Socket socket;
  std::string buffer;
  bool open = true;
  std::vector<Turning> turning;
  std::string frame, port, mischief;
  std::deque<std::string> answers;
  std::vector<asio::steady_timer*> waiting;
};

Onlooker::Onlooker(std::shared_ptr<State> state) : state_(std::move(state)) {}

Onlooker::~Onlooker() {
  boost::system::error_code ignored;
  state_->socket.close(ignored);
}

Task<std::unique_ptr<Onlooker>> Onlooker::connect(std::filesystem::path socket, Duration within) {
  const auto executor = co_await asio::this_coro::executor;
  const auto deadline = std::chrono::steady_clock::now() + within;
  const asio::local::stream_protocol::endpoint endpoint(socket.string());
  while (true) {
    Socket connection(executor);
    const auto [error] = co_await connection.async_connect(endpoint, as_result);
    if (!error) {
      auto state = std::make_shared<State>(std::move(connection));
      state->read_on();
      std::unique_ptr<Onlooker> onlooker(new Onlooker(state));
      const Duration first_sight = answer_time;
      while (state->frame.empty() && state->open &&
             std::chrono::steady_clock::now() < deadline + first_sight) {
        co_await state->news(first_sight);
      }
      co_return onlooker;
    }
    if (std::chrono::steady_clock::now() >= deadline) gone(socket.string() + ": " + error.message());
    asio::steady_timer timer(executor, between_tries);
    co_await timer.async_wait(as_result);
  }
}

std::vector<Turning> Onlooker::turning() {
  return state_->turning;
}
std::string Onlooker::frame() const {
  return state_->frame;
}
std::string Onlooker::port() const {
  return state_->port;
}
std::string Onlooker::mischief() const {
  return state_->mischief;
}
bool Onlooker::connected() const {
  return state_->open;
}

Task<std::vector<Turning>> Onlooker::change(Duration within) {
  const auto deadline = std::chrono::steady_clock::now() + within;
  const std::vector<Turning> before = state_->turning;
  const std::shared_ptr<State> state = state_;
  while (state->turning == before) {
    const auto left = std::chrono::duration_cast<Duration>(deadline - std::chrono::steady_clock::now());
    // Rounded up, or the last millisecond would be waited for again and again.
    if (left <= Duration(0)) break;
    co_await state->news(left + Duration(1));
  }
  co_return state->turning;
}

Task<std::string> Onlooker::request(std::string line) {
  const std::shared_ptr<State> state = state_;
  const std::string bytes = line + "\n";
  state->answers.clear();
  const auto [error, size] = co_await asio::async_write(state->socket, asio::buffer(bytes), as_result);
  if (error) gone(error.message());
  const auto deadline = std::chrono::steady_clock::now() + answer_time;
  while (state->answers.empty()) {
    if (!state->open || std::chrono::steady_clock::now() >= deadline) gone("It does not answer");
    co_await state->news(answer_time);
  }
  co_return state->answers.front();
}

Task<void> Onlooker::hold(std::string pose) {
  const std::string line = Json{{"pose", pose}}.dump(-1, ' ', false, Json::error_handler_t::replace);
  const std::string answer = co_await request(line);
  if (!Json::parse(answer).value("ok", false)) no_such_pose(printable(pose));
}

Task<void> Onlooker::reverse(std::string place) {
  const std::string line = Json{{"reverse", place}}.dump(-1, ' ', false, Json::error_handler_t::replace);
  const std::string answer = co_await request(line);
  if (!Json::parse(answer).value("ok", false)) no_such_place(printable(place));
}

Task<void> Onlooker::replug() {
  const std::string line = R"({"plug":"again"})";
  co_await request(line);
}

}  // namespace armwise::practice
