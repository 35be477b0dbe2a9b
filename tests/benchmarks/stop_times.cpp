// How long a motor may go on turning when the tool is gone: from the kill, or the hang, to the last byte of
// the stop at the far side of a pseudo-terminal. Exits 1 where a limit is missed. On a busy machine the
// longest times are those of the kernel's worker that carries a pseudo-terminal's bytes, not the guard's: no
// real port has it in its way.
//
//   stop_times [KILLS] [HANGS]     200 and 40 unless said otherwise
#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <vector>

#include "link/guarded_tool.hpp"

namespace {

using namespace armwise::link;
using namespace armwise::link::testing;
using std::chrono::steady_clock;
using Milliseconds = std::chrono::duration<double, std::milli>;

double stop_time(int signal_number) {
  PseudoTerminal far_side;
  GuardedTool tool(far_side, {}, spin_for_ever);
  far_side.until("spin 1\r\n", std::chrono::seconds(5));
  // At another point between two beats each time.
  const std::string nothing = far_side.until("stop", std::chrono::milliseconds(std::rand() % 100));
  if (!nothing.empty()) throw std::runtime_error("the guard spoke too early");
  const auto start = steady_clock::now();
  kill(tool.tool(), signal_number);
  const std::string came = far_side.until(test_speech.stop, std::chrono::seconds(5));
  const Milliseconds took = steady_clock::now() - start;
  if (came.find(test_speech.stop) == std::string::npos) throw std::runtime_error("no stop came");
  far_side.until(test_speech.stop, std::chrono::seconds(1));
  far_side.send(test_speech.acknowledged_by);
  return took.count();
}

bool measure(const char* what, int signal_number, int runs, double median_limit, double most_limit) {
  std::vector<double> times;
  for (int i = 0; i < runs; ++i) times.push_back(stop_time(signal_number));
  std::sort(times.begin(), times.end());
  const double median = times[times.size() / 2];
  const double most = times.back();
  const bool good = median < median_limit && most < most_limit;
  std::printf(
      "%s: %d runs, median %.2f ms, least %.2f ms, most %.2f ms (limits: median %.0f, most %.0f): %s\n", what,
      runs, median, times.front(), most, median_limit, most_limit, good ? "kept" : "MISSED");
  return good;
}

}  // namespace

int main(int count, char** words) {
  const int kills = count > 1 ? std::max(1, std::atoi(words[1])) : 200;
  const int hangs = count > 2 ? std::max(1, std::atoi(words[2])) : 40;
  const bool killed = measure("killed to stop", SIGKILL, kills, 1.0, 10.0);
  const bool hung = measure("hung to stop", SIGSTOP, hangs, 300.0, 300.0);
  return killed && hung ? 0 : 1;
}
