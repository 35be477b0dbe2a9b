// Permissions as values: a function that can turn a motor or change a setting asks for one, and a caller
// that has none does not compile. Only the flow that has just heard the person's consent makes one, and
// says which consent that was.
#pragma once

#include <string>
#include <utility>

namespace armwise {

// The person has said that the props are off and the cautions have been shown.
class SpinPermit {
 public:
  static SpinPermit props_are_off(std::string said) { return SpinPermit(std::move(said)); }
  const std::string& said() const { return said_; }

 private:
  explicit SpinPermit(std::string said) : said_(std::move(said)) {}
  std::string said_;
};

// The person has agreed to these very changes, and the whole configuration is on disk.
class WritePermit {
 public:
  static WritePermit plan_agreed(std::string said) { return WritePermit(std::move(said)); }
  const std::string& said() const { return said_; }

 private:
  explicit WritePermit(std::string said) : said_(std::move(said)) {}
  std::string said_;
};

// Every arm has been proven and the person wants it kept.
class KeepPermit {
 public:
  static KeepPermit proven_and_agreed(std::string said) { return KeepPermit(std::move(said)); }
  const std::string& said() const { return said_; }

 private:
  explicit KeepPermit(std::string said) : said_(std::move(said)) {}
  std::string said_;
};

}  // namespace armwise
