// What can go wrong, in one closed set of kinds, and what a person is told about it.
//
// Every error that reaches a person answers three questions: what happened, why, and what to do next.
// Code that catches a Fault and knows more about the situation adds to it with `within()`, so that the
// sentence a person reads starts with what they were doing and ends with the cause.
#pragma once

#include <exception>
#include <optional>
#include <string>
#include <string_view>
#include <utility>

namespace armwise {

enum class FaultKind {
  usage,         // wrong command line, or a question that nothing answers         exit 2
  port_missing,  // no such port, or none plugged in                               exit 3
  port_denied,   // the port is there, but may not be opened                       exit 3
  port_busy,     // another process holds the port                                 exit 3
  line_lost,     // the port went away while it was in use
  no_reply,      // nothing, or only half a reply, came before the deadline
  unreadable,    // a reply came, but it does not read as the profile says
  refused,       // the console answered that it will not do it
  mismatch,      // what was read back is not what was written, or two readings contradict
  not_back,      // the controller did not come back after its restart
  unsafe,        // a motor may be turning and could not be stopped
  left_changed,  // changes stand in the controller that `recover` finishes or takes back  exit 4
  bad_profile,   // a console profile is not sound
  bad_data,      // a record, journal or answers file is not sound
  file,          // a file or folder could not be read or written
  internal       // a defect in armwise itself
};

std::string_view name(FaultKind kind);

class Fault : public std::exception {
 public:
  // `what_happened` is a sentence without its final full stop; `why` and `next` may be empty.
  Fault(FaultKind kind, std::string what_happened, std::string why = {}, std::string next = {});

  FaultKind kind() const { return kind_; }
  const std::string& happened() const { return happened_; }
  const std::string& why() const { return why_; }
  const std::string& next() const { return next_; }

  // A name of its own, for what a person may look up or a script has to tell from others of its kind; empty
  // where the kind is enough.
  Fault as(std::string_view id) &&;
  const std::string& id() const { return id_; }

  // The same fault, seen from one step further out: "while reading the map: no reply came".
  Fault within(std::string_view doing) const;

  // All three parts as one paragraph for a person.
  std::string sentence() const;
  const char* what() const noexcept override { return sentence_.c_str(); }

 private:
  FaultKind kind_;
  std::string happened_;
  std::string why_;
  std::string next_;
  std::string sentence_;
  std::string id_;
};

// Nothing where it is another exception.
std::optional<Fault> fault_in(const std::exception_ptr& trouble);

// The person chose to end the session. Not a failure, hence not a Fault.
class StoppedByPerson : public std::exception {
 public:
  enum class How { asked, end_of_input, interrupted };  // interrupted: Ctrl-C or a signal
  // `left`: how the craft is left, as a sentence for the person, where the session does not know that no
  // motor turns and that the controller is as it was before.
  explicit StoppedByPerson(How how = How::asked, std::string left = {}) : how_(how), left_(std::move(left)) {}
  How how() const { return how_; }
  const std::string& left() const { return left_; }
  const char* what() const noexcept override { return "stopped by the person"; }

 private:
  How how_;
  std::string left_;
};

}  // namespace armwise
