// What a conversation costs beside the least that can be written: a command out, its reply in, until the
// prompt.
//
//   exchanges round-trips PORT PROFILE COUNT   armwise and a bare read/write loop in turns, on the same open
//   port exchanges listing PORT PROFILE TIMES       the whole configuration, from the command's first byte to
//   the prompt
//
// Prints JSON; times in seconds. The profile is one with a prompt.
#include <fcntl.h>
#include <poll.h>
#include <unistd.h>

#include <algorithm>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/io_context.hpp>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <exception>
#include <fstream>
#include <stdexcept>
#include <string>
#include <vector>

#include "armwise/base/task.hpp"
#include "armwise/console/conversation.hpp"
#include "armwise/link/real_clock.hpp"
#include "armwise/link/serial_line.hpp"

namespace {

using namespace armwise;
using Timer = std::chrono::steady_clock;

constexpr int standard_speed = 115200;
constexpr int in_one_turn = 50;

double seconds_since(Timer::time_point start) {
  return std::chrono::duration<double>(Timer::now() - start).count();
}

double at(std::vector<double> times, double share) {
  std::sort(times.begin(), times.end());
  return times.at(static_cast<std::size_t>(share * static_cast<double>(times.size() - 1)));
}

// Written as one writes it who knows nothing but the prompt. Blocking, as simple as can be.
double bare_exchange(int descriptor, const std::string& command, const std::string& prompt) {
  const auto start = Timer::now();
  if (write(descriptor, command.data(), command.size()) != static_cast<ssize_t>(command.size()))
    throw std::runtime_error("the bare loop could not write");
  std::string came;
  char buffer[4096];
  while (!came.ends_with(prompt)) {
    const ssize_t count = read(descriptor, buffer, sizeof buffer);
    if (count <= 0) throw std::runtime_error("the bare loop could not read");
    came.append(buffer, static_cast<std::size_t>(count));
  }
  return seconds_since(start);
}

struct Bench {
  explicit Bench(const char* port, const char* profile_file)
      : profile(console::load_profile_file(profile_file)), clock(loop.get_executor()) {
    auto opened = link::SerialLine::open(loop.get_executor(), port, standard_speed);
    descriptor = opened->descriptor();
    talk = std::make_unique<console::Conversation>(std::move(opened), profile, clock);
  }
  template <typename Flow>
  void run(Flow flow) {
    std::exception_ptr trouble;
    boost::asio::co_spawn(loop, flow(), [&](std::exception_ptr error) { trouble = error; });
    loop.restart();
    loop.run();
    if (trouble) std::rethrow_exception(trouble);
  }
  console::Profile profile;
  boost::asio::io_context loop{1};
  link::RealClock clock;
  int descriptor = -1;
  std::unique_ptr<console::Conversation> talk;
};

void print(const char* name, const std::vector<double>& times) {
  std::printf("\"%s\": {\"median\": %.9f, \"p99\": %.9f}", name, at(times, 0.5), at(times, 0.99));
}

void round_trips(Bench& bench, int count) {
  const console::Query& query = bench.profile.props->read;
  const console::Values none;
  const std::string command = console::Conversation::as_sent(query.steps, none).front() +
                              std::string(console::line_end_of(bench.profile));
  std::vector<double> armwise, bare;
  for (int done = 0; done < count; done += in_one_turn) {
    bench.run([&]() -> Task<void> {
      for (int i = 0; i < in_one_turn; ++i) {
        const auto start = Timer::now();
        co_await bench.talk->run(query.steps, none, query.lines);
        armwise.push_back(seconds_since(start));
      }
    });
    const int flags = fcntl(bench.descriptor, F_GETFL);
    fcntl(bench.descriptor, F_SETFL, flags & ~O_NONBLOCK);
    for (int i = 0; i < in_one_turn; ++i)
      bare.push_back(bare_exchange(bench.descriptor, command, bench.profile.open.prompt));
    fcntl(bench.descriptor, F_SETFL, flags);
  }
  std::printf("{");
  print("armwise", armwise);
  std::printf(", ");
  print("bare", bare);
  std::printf("}\n");
}

// Not getrusage's, which begins with what the program took that started this one.
long peak_kib() {
  std::ifstream status("/proc/self/status");
  for (std::string line; std::getline(status, line);) {
    if (line.starts_with("VmHWM:")) return std::stol(line.substr(6));
  }
  return 0;
}

void listing(Bench& bench, int times) {
  const console::Values none;
  const long before = peak_kib();
  std::vector<double> all;
  std::size_t bytes = 0, lines = 0;
  bench.run([&]() -> Task<void> {
    for (int i = 0; i < times; ++i) {
      const auto start = Timer::now();
      const console::Reply reply = co_await bench.talk->run(bench.profile.whole_configuration->steps, none);
      all.push_back(seconds_since(start));
      bytes = reply.bytes.size();
      lines = reply.lines.size();
    }
  });
  std::printf("{\"bytes\": %zu, \"lines\": %zu, \"seconds\": %.6f, \"adds_kib\": %ld}\n", bytes, lines,
              at(all, 0.5), peak_kib() - before);
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 5) return 2;
  try {
    Bench bench(argv[2], argv[3]);
    bench.run([&]() -> Task<void> { co_await bench.talk->open(); });
    if (std::strcmp(argv[1], "listing") == 0) {
      listing(bench, std::atoi(argv[4]));
    } else {
      round_trips(bench, std::atoi(argv[4]));
    }
  } catch (const std::exception& error) {
    std::fprintf(stderr, "exchanges: %s\n", error.what());
    return 1;
  }
}
