// What a console gives away without being asked anything but nonsense. Pure.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "armwise/console/profile.hpp"
#include "armwise/teach/reply_table.hpp"

namespace armwise::teach {

// Raw bytes, both ways.
struct Exchange {
  std::string sent;  // without its line end
  std::string received;
};

struct HeardReply {
  Lines lines;         // printable, not blank, without echo and prompt
  std::string prompt;  // what stood after the last line end
  bool echoed = false;
};
// `glued`: the console puts its answer on the line of the echo.
HeardReply split_reply(const Exchange& exchange, bool glued = false);
// Of several: also where something came unasked behind a prompt.
std::vector<HeardReply> heard_in(const std::vector<Exchange>& exchanges, bool glued = false);

// The template of refusals like this one: from the first line of an answer to a command that no console has.
// `word`: the command. Absent where the line is no use ("ok").
std::optional<console::Template> refusal_like(const Lines& answer, std::string_view word);

struct ListenedTo {
  std::string prompt;  // empty: there is none
  bool echo = false, glued_echo = false, echo_in_capitals = false;
  std::vector<console::Template> refusals;
  std::optional<console::Query> barrier;  // where the word came back
  bool alike = true;                      // all were answered alike
};
// The nonsense built like a command: its first word in the place of the command's ("qzvakw()" for "help()").
// Empty where the command is a bare word, or begins with none.
std::string nonsense_like(std::string_view command, std::string_view word);

// From exchanges of which each sent a different word that no console has, by itself or built like a command.
ListenedTo listened_to(const std::vector<Exchange>& nonsense);

// What stands before each line of all replies and rises from line to line: a time or a count, maybe with a
// level.
struct Stamp {
  console::Template like;
  bool sure = false;  // false: it has not risen yet, or by no more than a count of refusals would
};
std::optional<Stamp> stamp_of(const std::vector<Lines>& replies);
// What these lines are like that came while nothing was asked: the same words, with any numbers. None that
// begins without a word, and none that is in each of the answers.
std::vector<console::Template> unasked_like(const Lines& lines, const std::vector<Lines>& answers);

// The longest text that all end with, beginning at a sign or a word.
std::string common_end(const std::vector<std::string>& texts);
// One byte lost, doubled or changed.
bool one_byte_apart(std::string_view a, std::string_view b);
// By what a question is known that is asked in other words each time, with how often it was heard in which:
// the end that they share. One that came once, a byte from another, may have been garbled on the way; unless
// others differ from that at the same place, as a value does.
std::string end_of_question(const std::map<std::string, int>& forms);
// How every reply ends where there is no prompt: the beginning that the last lines of all replies share, with
// a sign in it; or a word at their end, behind which something may stand. Absent where there is neither.
// `replies`: without refusals, which may end otherwise.
std::optional<console::Template> reply_end_of(const std::vector<Lines>& replies);

// What stands once in both answers to a question, but for its numbers, and in none of these others; its last
// such line. Absent: nothing does.
std::optional<console::Template> line_that_tells(const Lines& answer, const Lines& again,
                                                 const std::vector<Lines>& others);

}  // namespace armwise::teach
