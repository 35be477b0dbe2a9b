// A console written out by hand, with the habits and bad habits of real ones; no profile is behind it.
#pragma once

#include <functional>
#include <map>
#include <set>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "support/scripted_line.hpp"

namespace armwise::test {

class HandConsole : public FarSide {
 public:
  // Gives the answer to one command, lines ended by '\n'; nothing: an empty line was sent.
  using Answer = std::function<std::string(const std::string& command)>;

  explicit HandConsole(Answer answer) : answer_(std::move(answer)) {}

  bool echo = true;
  std::string prompt = "> ";
  std::function<std::string()> answer_gives_prompt;  // asked after each answer, where there are menus
  std::string line_end = "\r\n";
  std::string ends_command = "\r";  // what ends a command; the other end is passed over
  bool silent = false;              // hears all, says nothing

  // By the number of the command, counted from 1 over all of them, empty lines included.
  std::map<int, Duration> late;            // answered so much later
  std::map<int, std::string> interrupts;   // said in the middle of the echo
  std::map<int, std::string> afterwards;   // said behind the prompt
  std::map<int, std::string> instead;      // not done, and these raw bytes come back
  std::set<int> unsaid;                    // done, but nothing comes back
  std::vector<std::string> commands;       // all that were understood
  std::function<void()> before_answering;  // for what happens to the line then

  std::vector<Chunk> receive(std::string_view bytes) override {
    std::vector<Chunk> answers;
    for (const char c : bytes) {
      if (ends_command.find(c) == std::string::npos) {
        if (c != '\r' && c != '\n') typed_ += c;
        continue;
      }
      answers.push_back(answer_to(std::exchange(typed_, {})));
    }
    return answers;
  }

  void type(std::string_view half_a_command) { typed_ += half_a_command; }

 private:
  Chunk answer_to(const std::string& command) {
    commands.push_back(command);
    const int number = static_cast<int>(commands.size());
    if (before_answering) before_answering();
    Chunk chunk;
    if (silent) return chunk;
    if (late.contains(number)) chunk.after = late[number];
    if (instead.contains(number)) {
      chunk.bytes = instead[number];
      return chunk;
    }
    if (unsaid.contains(number)) {
      answer_(command);
      return chunk;
    }
    if (echo) chunk.bytes = echoed(command, number);
    for (const char c : command.empty() ? std::string() : answer_(command)) {
      if (c == '\n') {
        chunk.bytes += line_end;
      } else {
        chunk.bytes += c;
      }
    }
    chunk.bytes += answer_gives_prompt ? answer_gives_prompt() : prompt;
    if (afterwards.contains(number)) chunk.bytes += afterwards[number];
    return chunk;
  }

  std::string echoed(const std::string& command, int number) {
    if (!interrupts.contains(number)) return command + line_end;
    const std::size_t middle = command.size() / 2;
    return command.substr(0, middle) + interrupts[number] + command.substr(middle) + line_end;
  }

  Answer answer_;
  std::string typed_;
};

}  // namespace armwise::test
