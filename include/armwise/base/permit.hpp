// Permissions as values: a function that can turn a motor or change a setting asks for one, and a caller
// that has none does not compile. Only the flow that has just heard the person's consent makes one, and
// says which consent that was.
#pragma once

#include <string>
#include <utility>

#include "armwise/base/task_fwd.hpp"

namespace armwise {

namespace craft {
struct Frame;
}
namespace session {
class Person;
struct Sworn;
Task<Sworn> swear_props_off(Person& person, const craft::Frame* frame);
}  // namespace session

// The person has said that the props are off and the cautions have been shown. Whoever asked them for the
// word makes it, and nobody else can.
class SpinPermit {
 public:
  const std::string& said() const { return said_; }

 private:
  friend Task<session::Sworn> session::swear_props_off(session::Person& person, const craft::Frame* frame);
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
