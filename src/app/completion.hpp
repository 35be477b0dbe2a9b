// The command tree as data, and shell completions made of it.
#pragma once

#include <CLI/App.hpp>
#include <string>
#include <vector>

namespace armwise::app {

// What stands behind an option or in a place of the command line.
struct Value {
  enum class Kind { none, text, file, choice };
  Kind kind = Kind::none;
  std::vector<std::string> choices;
};

struct CompletionOption {
  std::string short_name, long_name;  // without dashes; either may be empty
  std::string description;
  Value value;
};

// One command with the words that lead to it: {"armwise", "profile", "check"}.
struct CompletionNode {
  std::vector<std::string> path;
  std::string description;
  std::vector<CompletionOption> options;                      // those of the commands above it too
  std::vector<std::pair<std::string, std::string>> commands;  // name, description
  bool takes_files = false;

  std::string path_words() const;
};

// Top first. Hidden commands are left out.
std::vector<CompletionNode> completion_nodes(const CLI::App& root);

std::string bash_completion(const std::vector<CompletionNode>& nodes);
std::string zsh_completion(const std::vector<CompletionNode>& nodes);
std::string fish_completion(const std::vector<CompletionNode>& nodes);

}  // namespace armwise::app
