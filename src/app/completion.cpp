#include "completion.hpp"

#include <CLI/Option.hpp>
#include <iostream>
#include <memory>
#include <set>

#include "armwise/base/text.hpp"
#include "checks.hpp"
#include "commands.hpp"
#include "exit_status.hpp"

namespace armwise::app {
namespace {

bool is_visible(const CLI::App* command) {
  return !command->get_group().empty();
}

// CLI11 writes a set of allowed words behind the value's name: "WHEN:{auto,always,never}".
Value value_of(const CLI::Option& option) {
  if (!option.get_positional() && option.get_items_expected_max() == 0) return {};
  const std::string named = option.get_positional() ? option.get_name(true) : option.get_type_name();
  const std::string type = option.get_type_name();
  const std::size_t open = type.find('{');
  const std::size_t close = type.find('}', open);
  Value value{Value::Kind::text, {}};
  if (open != std::string::npos && close != std::string::npos) {
    value.kind = Value::Kind::choice;
    std::string word;
    for (const char c : type.substr(open + 1, close - open - 1) + ",") {
      if (c != ',') {
        word += c;
      } else if (!word.empty()) {
        value.choices.push_back(word);
        word.clear();
      }
    }
    return value;
  }
  static const std::set<std::string> files{"FILE", "RECORD", "OLDER", "NEWER", "PORT", "PROFILE", "FOLDER"};
  if (files.count(named) != 0) value.kind = Value::Kind::file;
  return value;
}

void add_options(const CLI::App& app, CompletionNode& node) {
  for (const CLI::Option* option : app.get_options([](const CLI::Option*) { return true; })) {
    if (option->get_positional() || option->get_group().empty()) continue;
    CompletionOption known;
    if (!option->get_snames().empty()) known.short_name = option->get_snames().front();
    if (!option->get_lnames().empty()) known.long_name = option->get_lnames().front();
    bool there = false;
    for (const CompletionOption& other : node.options) there = there || other.long_name == known.long_name;
    if (there) continue;
    known.description = option->get_description();
    known.value = value_of(*option);
    node.options.push_back(std::move(known));
  }
}

void walk(const CLI::App& app, std::vector<std::string> path, std::vector<CompletionNode>& nodes) {
  path.push_back(app.get_name());
  CompletionNode node;
  node.path = path;
  node.description = app.get_description();
  // What a command does not know falls through to those above it.
  for (const CLI::App* at = &app; at != nullptr; at = at->get_parent()) add_options(*at, node);
  for (const CLI::Option* option : app.get_options([](const CLI::Option* o) { return o->get_positional(); }))
    node.takes_files = node.takes_files || value_of(*option).kind == Value::Kind::file;
  const auto commands = app.get_subcommands(is_visible);
  for (const CLI::App* command : commands)
    node.commands.emplace_back(command->get_name(), command->get_description());
  nodes.push_back(std::move(node));
  for (const CLI::App* command : commands) walk(*command, path, nodes);
}

}  // namespace

std::string CompletionNode::path_words() const {
  return joined(path, " ");
}

std::vector<CompletionNode> completion_nodes(const CLI::App& root) {
  std::vector<CompletionNode> nodes;
  walk(root, {}, nodes);
  return nodes;
}

// Hidden: packages and people who set up a shell call it.
CommandSpec completion_command() {
  return {"completion", "the completion script for a shell", "armwise completion bash",
          [](CLI::App& command, Chosen&) {
            auto shell = std::make_shared<std::string>();
            command.group("");
            command.add_option("SHELL", *shell, "bash, zsh or fish")
                ->required()
                ->check(one_of({"bash", "zsh", "fish"}));
            return [shell, root = command.get_parent()] {
              const std::vector<CompletionNode> nodes = completion_nodes(*root);
              std::cout << (*shell == "bash"  ? bash_completion(nodes)
                            : *shell == "zsh" ? zsh_completion(nodes)
                                              : fish_completion(nodes));
              return done;
            };
          }};
}

}  // namespace armwise::app
