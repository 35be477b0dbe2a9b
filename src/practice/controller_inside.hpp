// What PracticeController keeps to itself.
#pragma once

#include <deque>

#include "armwise/practice/controller.hpp"
#include "board.hpp"
#include "misbehaviour.hpp"
#include "voice.hpp"

namespace armwise::practice {

// What is typed at it and not carried out yet.
struct Typed {
  std::string line;
  std::string knock;  // what gets into the console, or turns a page
  bool swallow_line_end = false;
  bool open_bracket = false;  // or quote

  // Where something gets one out of an open bracket or quote, such a line is gone on with until that comes.
  bool goes_on(const std::string& ended, const std::optional<std::string>& abandon);
};

struct PracticeController::Inside {
  Inside(const console::Profile& spoken, PracticeCraft craft, const MischiefPlan& plan, Habits how);

  void boot(Instant now);
  void hear_byte(char c, Instant now);

  const console::Profile& profile;
  Misbehaviour mischief;
  Habits habits;
  Board board;
  Grammar grammar;
  Voice voice;

  std::optional<Instant> leaves_at;
  int restarts = 0;
  std::vector<Happened> history;

 private:
  // The line editor.
  void edit(char c, Instant now);
  void knock(char c, Instant now);
  void open_console(Instant now);
  bool opens_with_a_key() const;
  bool is_line_end(char c) const;
  void turn_page(char c, Instant now);

  // Commands.
  void hear_line(const std::string& line, Instant now);
  void set_or_refuse(const std::string& line, Instant now);
  void do_what_was_heard(const Heard& heard, const std::string& line, Instant now);
  bool names_motors(const Phrase& phrase) const;
  bool restarts_by_mischief(const Phrase& phrase, const Heard& heard, Instant now);
  void note(const Phrase& phrase, const Outcome& outcome, const std::string& line, Instant now);

  // Answers.
  void answer(const Outcome& outcome, const std::string& line, Instant now);
  std::string refusal_line(Refusal refusal, const std::string& line) const;
  std::string answer_text(std::vector<std::string> lines, bool with_prompt);
  std::string stamped(const std::string& line);
  void say_unasked(std::vector<std::string>& lines);
  void add_reply_end(std::vector<std::string>& lines) const;
  void fold_listing(const Phrase& phrase, Outcome& outcome) const;
  void send_answer(std::string text, Instant now);
  void send_in_pages(std::vector<std::string> lines, Instant now);
  std::string small_talk(const std::string& line) const;

  bool echoes() const;
  void stop_start(Instant now);

  Instant started_at_{0};
  bool in_boot_loader_ = false;
  bool open_ = false;
  Typed typed_;
  std::string eol_;
  std::size_t lines_said_ = 0, answers_ = 0;
  std::deque<std::string> pages_;  // what follows each stop of a paged listing
};

}  // namespace armwise::practice
