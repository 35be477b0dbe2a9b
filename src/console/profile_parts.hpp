// The parts that every section of a profile is made of: templates, commands, queries, choices.
#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "armwise/base/json.hpp"
#include "armwise/base/text.hpp"
#include "armwise/console/profile.hpp"

namespace armwise::console {

using Blanks = std::vector<std::string>;

enum class Needed { no, yes };

struct Range {
  double lowest, highest;
};

struct CommandForm {
  Blanks allowed;
  Blanks needed;  // of these, those that must stand in what is sent
};

struct QueryForm {
  Blanks in_send;
  Blanks in_lines;
  Blanks needed;  // each in some line
  // A key and a value, which each line must tie together, counting what the question itself names.
  Blanks table;
};

// Each refuses a blank that is not allowed; what is read may also hold {skip} and {rest}.
Template read_template(const JsonNode& node, const Blanks& allowed);
Command read_command(const JsonNode& node, const CommandForm& form);
Query read_query(const JsonNode& node, const QueryForm& form);
void read_text(JsonObject& object, const std::string& key, std::string& text);

// Refuses where no step has the blank.
void need_blank(const JsonNode& node, const Steps& steps, const std::string& blank);
// Refuses where some of the blanks stand in no line.
void need_in_lines(const JsonNode& node, const Query& query, const Blanks& blanks);

template <typename Choice>
Choice read_choice(const JsonNode& node, const std::vector<std::pair<const char*, Choice>>& choices) {
  const std::string text = node.text();
  std::vector<std::string> names;
  for (const auto& [name, choice] : choices) {
    if (text == name) return choice;
    names.emplace_back(name);
  }
  node.refuse("\"" + text + "\" is none of " + joined(names, ", "));
}

}  // namespace armwise::console
