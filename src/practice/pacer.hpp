// One direction of a serial line: bytes arrive one after the other, each a byte's time after the last.
#pragma once

#include <algorithm>
#include <chrono>
#include <optional>
#include <string>
#include <string_view>

namespace armwise::practice {

class Pacer {
 public:
  using Time = std::chrono::nanoseconds;  // since an arbitrary start

  // Ten bits a byte: start, eight of data, stop. 0: no pacing.
  explicit Pacer(int baud) : per_byte_(baud > 0 ? Time(10'000'000'000LL / baud) : Time(0)) {}

  void put(std::string_view bytes, Time now) {
    if (bytes.empty()) return;
    if (waiting_.empty()) last_arrival_ = std::max(last_arrival_, now);
    waiting_ += bytes;
  }

  // The bytes that have arrived by `now`, at most `most`.
  std::string arrived(Time now, std::size_t most) {
    std::size_t count = std::min(waiting_.size(), most);
    if (per_byte_.count() > 0) {
      const auto due = now > last_arrival_ ? (now - last_arrival_) / per_byte_ : 0;
      count = std::min(count, static_cast<std::size_t>(due));
      last_arrival_ += per_byte_ * static_cast<long>(count);
    }
    std::string bytes = waiting_.substr(0, count);
    waiting_.erase(0, count);
    return bytes;
  }

  // Bytes that had arrived and could not be taken: they come first, at once.
  void put_back(std::string_view bytes) {
    waiting_.insert(0, bytes);
    last_arrival_ -= per_byte_ * static_cast<long>(bytes.size());
  }

  std::optional<Time> next_arrival() const {
    if (waiting_.empty()) return std::nullopt;
    return last_arrival_ + per_byte_;
  }

  std::size_t waiting() const { return waiting_.size(); }
  void clear() { waiting_.clear(); }

 private:
  Time per_byte_;
  Time last_arrival_{0};
  std::string waiting_;
};

}  // namespace armwise::practice
