// The command tree, the help that fits 80 columns, and what is said of a slip of the fingers.
#pragma once

#include <CLI/App.hpp>
#include <CLI/Validators.hpp>
#include <functional>
#include <string>
#include <vector>

namespace armwise::app {

// What is common to all commands.
struct Common {
  std::string color = "auto";
  std::string about;  // the version and what was typed, for the log
};

// A parsed command line: what to run, returning the exit status.
struct Chosen {
  Common common;
  std::function<int()> run;
};

// Adds a command; `setup` adds its options and returns what runs it.
using Setup = std::function<std::function<int()>(CLI::App& command, Chosen& chosen)>;
struct CommandSpec {
  std::string name;
  std::string description;  // one line
  std::string example;      // a line a person could type
  Setup setup;
};

// The whole tree, ready to parse.
void build(CLI::App& app, Chosen& chosen, const std::vector<CommandSpec>& commands);

// Parses; where the line is wrong, says so with the nearest right word, and returns the exit status to end
// with (0 for help, 2 for wrong usage); -1: go on with chosen.run.
int parse(CLI::App& app, int argc, char** argv);

}  // namespace armwise::app
