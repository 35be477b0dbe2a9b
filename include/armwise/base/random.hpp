// Random numbers that are the same on every machine: the distributions of <random> are not.
#pragma once

#include <cmath>
#include <cstdint>

namespace armwise {

class Random {
 public:
  explicit Random(std::uint64_t seed) : state_(seed) {}

  // SplitMix64 (Steele, Lea, Flood 2014, "Fast splittable pseudorandom number generators") [from memory].
  std::uint64_t next() {
    state_ += 0x9E3779B97F4A7C15ULL;
    std::uint64_t z = state_;
    z = (z ^ (z >> 30U)) * 0xBF58476D1CE4E5B9ULL;
    z = (z ^ (z >> 27U)) * 0x94D049BB133111EBULL;
    return z ^ (z >> 31U);
  }

  // 0 to count-1. The bias of the remainder is of no account for counts this small.
  std::uint64_t below(std::uint64_t count) { return count == 0 ? 0 : next() % count; }
  bool one_in(std::uint64_t count) { return below(count) == 0; }

  bool happens(double chance) { return fraction() < chance; }

  // In [0, 1).
  double fraction() { return static_cast<double>(next() >> 11U) * 0x1.0p-53; }

  // Mean 0, standard deviation 1 (Box and Muller 1958).
  double normal() {
    constexpr double two_pi = 6.283185307179586;
    return std::sqrt(-2.0 * std::log(1.0 - fraction())) * std::cos(two_pi * fraction());
  }

  template <typename List>
  void shuffle(List& list) {
    for (std::size_t left = list.size(); left > 1; --left) {
      using std::swap;
      swap(list[left - 1], list[static_cast<std::size_t>(below(left))]);
    }
  }

 private:
  std::uint64_t state_;
};

}  // namespace armwise
