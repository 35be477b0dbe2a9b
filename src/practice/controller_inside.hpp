// What PracticeController keeps to itself.
#pragma once

#include <deque>

#include "armwise/base/random.hpp"
#include "armwise/practice/controller.hpp"
#include "board.hpp"

namespace armwise::practice {

struct Saying {
  Instant due{0};
  std::string bytes;
};

struct PracticeController::Inside {
  Inside(const console::Profile& spoken, PracticeCraft craft, MischiefPlan plan, Habits how);

  void boot(Instant now);
  void hear_byte(char c, Instant now);
  void say(std::string bytes, Instant due);
  std::string take(Instant now);
  std::optional<Instant> next_saying() const;

  const console::Profile& profile;
  MischiefPlan mischief;
  Habits habits;
  Board board;
  Grammar grammar;

  std::optional<Instant> leaves_at;
  int restarts = 0;
  std::vector<Happened> history;

 private:
  // The line editor.
  void edit(char c, Instant now);
  bool goes_on(const std::string& line);
  void knock(char c, Instant now);
  void open_console(Instant now);
  bool opens_with_a_key() const;
  bool is_line_end(char c) const;
  void turn_page(char c, Instant now);

  // Commands.
  void hear_line(const std::string& line, Instant now);
  void set_or_refuse(const std::string& line, Instant now);
  void do_what_was_heard(const Heard& heard, const std::string& line, Instant now);
  Slip slip_of(const Phrase& phrase);
  std::optional<Refusal> refused_by_mischief(const Phrase& phrase) const;
  bool restarts_by_mischief(const Phrase& phrase, const Heard& heard, Instant now);
  void note(const Phrase& phrase, const Outcome& outcome, const std::string& line, Instant now);

  // Answers.
  void answer(const Outcome& outcome, const std::string& line, Instant now);
  std::string refusal_line(Refusal refusal, const std::string& line) const;
  std::string answer_text(std::vector<std::string> lines, bool with_prompt) const;
  void add_reply_end(std::vector<std::string>& lines) const;
  void fold_listing(const Phrase& phrase, Outcome& outcome) const;
  void send_answer(std::string text, Instant now);
  std::string with_mischief(std::string text);
  void send_in_pages(std::vector<std::string> lines, Instant now);
  std::string small_talk(const std::string& line) const;

  bool echoes() const;
  void stop_start(Instant now);

  Instant started_at_{0};
  bool in_boot_loader_ = false;
  bool open_ = false;
  bool swallow_line_end_ = false;
  bool open_bracket_ = false;  // or quote
  std::string line_;
  std::string knock_;
  std::string eol_;
  std::deque<Saying> sayings_;
  std::deque<std::string> pages_;  // what follows each stop of a paged listing
  std::string held_answer_;        // late, until the next command
  Instant endless_from_{0};
  bool endless_ = false;
  std::uint64_t commands_ = 0, writes_ = 0, stops_ = 0, keeps_ = 0, listings_ = 0;
  bool named_wrong_ = false;
};

}  // namespace armwise::practice
