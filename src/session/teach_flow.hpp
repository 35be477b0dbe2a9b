// What the lessons of teach() share.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "armwise/base/permit.hpp"
#include "armwise/session/teach.hpp"
#include "armwise/teach/command_lesson.hpp"
#include "armwise/teach/reply_table.hpp"
#include "ear.hpp"

namespace armwise::session {

// The person wants to go one question back; caught by the station.
struct WantsBack {};

class TeachFlow {
 public:
  TeachFlow(console::Plug& plug, Person& person, Clock& clock, const TeachOptions& options);

  Task<TeachResult> run();

 private:
  using Typed = teach::Typed;
  using Values = console::Values;

  // A command with its several steps, as it was sent and answered.
  struct Said {
    Typed typed;
    std::vector<std::string> prompts;  // after each step
    teach::Lines lines;                // of all steps
    bool closed = false;
    bool refused = false;
  };
  // A command as learned, and what the first example answered.
  struct Learned {
    console::Command command;
    Said said;
    teach::Reading reading;
  };

  // The lessons, in their order.
  Task<void> listen();
  Task<void> learn_identify();
  Task<void> learn_configuration();
  Task<void> learn_map();
  Task<void> learn_assign();
  Task<void> learn_free();
  Task<void> learn_props();
  Task<void> learn_turn();
  Task<void> learn_mount();
  Task<void> learn_stop();
  Task<void> learn_spin();
  Task<void> learn_sense();
  Task<void> learn_numbering();
  Task<void> learn_takes_effect();
  Task<void> learn_keep();
  Task<void> learn_leave();
  Task<TeachResult> finish();
  console::Profile draft() const;

  // Asking. Each throws WantsBack.
  Task<std::optional<Typed>> ask_command(std::string id, std::string text, Values values = {});
  Task<std::string> ask_text(std::string id, std::string text, std::string suggestion = {});
  Task<std::string> choose(std::string id, std::string text, std::vector<Choice> choices);
  Task<bool> confirm(std::string id, std::string text);
  Task<std::string> put(Question question);

  // Sending.
  Task<void> open_line();
  Task<void> enter_console();
  Task<Said> say(Typed typed, std::string id);
  Task<Said> say_again(const console::Steps& steps, const Values& values);
  Task<teach::Lines> read(const console::Query& query);
  void refuse_or_tell(const Said& said);
  Task<void> reopen();

  // A question whose reply is of interest: asked, sent, and its answer given back. Absent: skipped.
  Task<std::optional<Said>> learn_question(std::string id, std::string text);
  // A command that is sent as typed; asked again until it is unambiguous. `choices`: values that change
  // nothing; `unsent`: values for examples that are only typed.
  Task<std::optional<Learned>> learn_command(std::string id, std::string text, std::vector<std::string> must,
                                             std::vector<std::string> may, std::vector<Values> choices,
                                             std::vector<Values> unsent);
  Task<std::optional<Learned>> propose(std::string what, std::vector<std::string> must, Values values,
                                       std::vector<std::string> candidates);
  std::vector<std::string> guesses(const teach::Lines& lines, const console::Query& query, const Values& now,
                                   const std::vector<std::string>& behind) const;
  console::Steps steps_of(const Said& said) const;
  console::Steps steps_of(const teach::Reading& reading, const Said& said) const;
  std::optional<console::Template> confirmation_of(const Said& said, const Values& values) const;
  bool is_top(const std::string& prompt) const;
  void follow_prompt(const std::string& prompt);

  // The map.
  Task<std::optional<teach::MapReading>> choose_map_reading(const teach::Lines& reply);
  std::vector<Values> map_rows() const;
  std::vector<Values> values_that_change_nothing() const;
  std::vector<Values> values_not_sent() const;
  std::vector<std::string> motor_codes() const;
  std::vector<std::string> pin_names() const;
  Task<void> prove_assign(const Learned& learned, const Values& first);
  Task<void> try_sharing();

  Task<std::optional<console::Query>> choose_word(teach::Lines reply, std::string blank, std::string id,
                                                  std::string question, std::string& value);
  Task<std::string> learn_other_code(std::string id, std::string question, std::string now);
  Task<bool> try_change(const console::Command& set, const console::Query& read, const Values& now,
                        const Values& other, std::string blank);
  Task<void> learn_mount_angles(const Said& said);
  Task<void> learn_mount_code(const Said& said);
  Task<void> learn_axes();

  console::Plug& plug_;
  Person& person_;
  Clock& clock_;
  const TeachOptions& options_;
  console::Profile profile_;
  Ear ear_;
  int typed_ = 0;
  std::string top_prompt_;
  std::vector<teach::Lines> replies_;  // all so far, for consoles without a prompt
  std::optional<Said> configuration_;
  std::vector<Values> rows_;  // of the map, as it was read
  std::optional<SpinPermit> spin_permit_;
};

}  // namespace armwise::session
