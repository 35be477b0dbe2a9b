// What the lessons of teach_from_log() share.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "armwise/session/teach.hpp"
#include "armwise/teach/saved_session.hpp"

namespace armwise::session {

class LogFlow {
 public:
  LogFlow(const std::string& log, Person& person) : session_(teach::saved_session(log)), person_(person) {}

  Task<console::Profile> run(std::string name);

 private:
  using Values = console::Values;

  // Which value stands where in a command of the log.
  struct Settled {
    console::Template command;
    Values values;
  };
  using InWords = std::function<std::string(const Values&)>;

  // The lessons, in their order.
  Task<void> identify();
  Task<void> map();
  Task<void> assign();
  Task<void> free_pin();
  Task<void> props();
  Task<void> turn();
  Task<void> set_turn(console::TurnAbility& turn, std::string now, std::string other);
  Task<void> mount();
  Task<void> set_mount(console::MountAbility& mount);
  Task<void> ask_angle_unit(console::MountAbility& mount);
  Task<void> spin();
  Task<bool> strengths(console::SpinAbility& spin);
  Task<void> sense();
  Task<void> orders();

  // The exchange that the person takes; nothing where they take none.
  Task<const teach::SavedExchange*> choose(std::string id, std::string what);
  // What was meant is not known: each choice of values that leaves one reading of the command is shown, until
  // the person takes one.
  Task<std::optional<Settled>> settle(std::string command, std::vector<Values> choices, InWords in_words);
  Task<bool> right(std::string text);
  Task<std::string> one_of(std::string id, std::string text, std::vector<Choice> choices);
  Task<std::string> typed(std::string id, std::string text);
  Task<std::optional<console::Query>> question(std::string id, std::string what);
  Task<std::optional<console::Command>> order(std::string id, std::string what);
  Task<std::string> other_word(std::string id, std::string text, std::string now);
  static console::Steps steps_of(const teach::SavedExchange& exchange);

  teach::SavedSession session_;
  Person& person_;
  console::Profile profile_;
  teach::KnownFromLog known_;
};

}  // namespace armwise::session
