#include "voice.hpp"

#include <algorithm>
#include <utility>

namespace armwise::practice {
namespace {

constexpr std::size_t endless_per_millisecond = 512;

}  // namespace

void Voice::say(std::string bytes, Instant due) {
  if (bytes.empty()) return;
  if (!sayings_.empty()) due = std::max(due, sayings_.back().due);
  if (!sayings_.empty() && sayings_.back().due == due) {
    sayings_.back().bytes += bytes;
  } else {
    sayings_.push_back({due, std::move(bytes)});
  }
}

void Voice::go_on_for_ever(std::string line, Instant from) {
  endless_ = std::move(line);
  endless_from_ = from;
}

void Voice::hush() {
  sayings_.clear();
  held_.clear();
  endless_.clear();
}

std::string Voice::take(Instant now) {
  std::string out;
  while (!sayings_.empty() && sayings_.front().due <= now) {
    out += sayings_.front().bytes;
    sayings_.pop_front();
  }
  // However long nobody listened, no more is made than a line could have carried meanwhile.
  if (!endless_.empty() && endless_from_ <= now) {
    while (out.size() < endless_per_millisecond) out += endless_;
    endless_from_ = now + Duration(1);
  }
  return out;
}

std::optional<Instant> Voice::next() const {
  if (!sayings_.empty()) return sayings_.front().due;
  if (!endless_.empty()) return endless_from_;
  return std::nullopt;
}

}  // namespace armwise::practice
