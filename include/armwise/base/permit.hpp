// Permissions as values: a function that can turn a motor or change a setting asks for one, and a caller
// that has none does not compile. None can be made but by the function that hears the person's consent, which
// is its friend here (session/consent.hpp), or out of another one.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "armwise/base/task_fwd.hpp"

namespace armwise {

namespace craft {
struct Frame;
}
class WritePermit;
class PlayPermit;
class KeepPermit;
class RecoverPermit;

namespace session {
class Person;
struct Question;
struct Recovering;
struct Sworn;

Task<Sworn> swear_props_off(Person& person, const craft::Frame* frame);
Task<std::optional<WritePermit>> ask_to_write(Person& person, Question question,
                                              std::vector<std::string> lines);
Task<std::optional<PlayPermit>> ask_to_play(Person& person, Question question,
                                            std::vector<std::string> lines);
Task<std::optional<KeepPermit>> ask_to_keep(Person& person, Question question);
Task<Recovering> ask_to_recover(Person& person, Question question);
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

// The person has agreed to changes, and these are the very lines that make them. It covers no other line.
class WritePermit {
 public:
  const std::vector<std::string>& lines() const { return lines_; }

 private:
  friend Task<std::optional<WritePermit>> session::ask_to_write(session::Person& person,
                                                                session::Question question,
                                                                std::vector<std::string> lines);
  explicit WritePermit(std::vector<std::string> lines) : lines_(std::move(lines)) {}
  std::vector<std::string> lines_;
};

// The same of lines of a saved configuration, which armwise did not make itself.
class PlayPermit {
 public:
  const std::vector<std::string>& lines() const { return lines_; }

 private:
  friend Task<std::optional<PlayPermit>> session::ask_to_play(session::Person& person,
                                                              session::Question question,
                                                              std::vector<std::string> lines);
  explicit PlayPermit(std::vector<std::string> lines) : lines_(std::move(lines)) {}
  std::vector<std::string> lines_;
};

// What was agreed to may be taken back, without a further question.
class UndoPermit {
 public:
  explicit UndoPermit(const WritePermit& /*of_this*/) {}
  explicit UndoPermit(const PlayPermit& /*of_this*/) {}
};

// Every arm has been proven and the person wants it kept.
class KeepPermit {
  friend Task<std::optional<KeepPermit>> session::ask_to_keep(session::Person& person,
                                                              session::Question question);
  KeepPermit() = default;
};

// The person has been told how a session was cut off, and has chosen to finish it or to go back.
class RecoverPermit {
  friend Task<session::Recovering> session::ask_to_recover(session::Person& person,
                                                           session::Question question);
  RecoverPermit() = default;
};

// What a setting may be written by, a saved line played by, and what runs kept by.
using MayWrite = std::variant<WritePermit, UndoPermit, RecoverPermit>;
using MayPlay = std::variant<PlayPermit, UndoPermit, RecoverPermit>;
using MayKeep = std::variant<KeepPermit, RecoverPermit>;

// Throws Fault(internal) where the person agreed to other lines than these.
void require_agreed(const MayWrite& permit, const std::vector<std::string>& lines);
void require_agreed(const MayPlay& permit, const std::vector<std::string>& lines);
void require_agreed(const WritePermit& permit, const std::vector<std::string>& lines);

}  // namespace armwise
