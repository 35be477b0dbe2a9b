#include "profile_parts.hpp"

#include <algorithm>

#include "armwise/base/fault.hpp"

namespace armwise::console {
namespace {

constexpr std::size_t most_steps = 32;
constexpr std::size_t most_lines = 64;

Template parsed(const JsonNode& node) {
  const std::string source = node.text();
  try {
    return Template::parse(source);
  } catch (const Fault& fault) {
    node.refuse(fault.happened());
  }
}

void refuse_unknown_blanks(const JsonNode& node, const Template& read, const Blanks& allowed) {
  for (const Piece& piece : read.pieces()) {
    if (!piece.blank || std::find(allowed.begin(), allowed.end(), piece.text) != allowed.end()) continue;
    const std::string known = allowed.empty() ? "none" : "{" + joined(allowed, "}, {") + "}";
    node.refuse("the blank {" + piece.text + "} means nothing here; there may be " + known);
  }
}

Step read_step(const JsonNode& node, const Blanks& allowed) {
  Step step;
  const auto read_send = [&](const JsonNode& send) {
    step.send = parsed(send);
    refuse_unknown_blanks(send, step.send, allowed);
  };
  if (node.is_text()) {
    read_send(node);
    return step;
  }
  if (!node.is_object()) node.refuse("must be text, or an object with \"send\" and \"prompt\"");
  JsonObject object = node.object();
  read_send(object.need("send"));
  read_text(object, "prompt", step.prompt);
  object.refuse_other_keys();
  return step;
}

Steps read_steps(const JsonNode& node, const Blanks& allowed) {
  if (!node.is_list()) return {read_step(node, allowed)};
  Steps steps;
  for (const JsonNode& step : node.list(most_steps)) steps.push_back(read_step(step, allowed));
  if (steps.empty()) node.refuse("holds no step");
  return steps;
}

Blanks with_fillers(Blanks blanks) {
  blanks.insert(blanks.end(), {"skip", "rest"});
  return blanks;
}

// An item stands among others, so what fills the gap between two must not swallow the next.
Template read_item(const JsonNode& node, const Blanks& in_lines) {
  Blanks allowed = in_lines;
  allowed.emplace_back("skip");
  Template item = read_template(node, allowed);
  for (const Piece& piece : item.pieces()) {
    if (piece.blank && (piece.type == BlankType::rest || piece.type == BlankType::text)) {
      node.refuse("{" + piece.text + "} would take the other items too; make it a word or a number");
    }
  }
  return item;
}

}  // namespace

void read_text(JsonObject& object, const std::string& key, std::string& text) {
  if (const auto node = object.find(key)) text = node->text();
}

Template read_template(const JsonNode& node, const Blanks& allowed) {
  Template read = parsed(node);
  if (read.empty()) node.refuse("is empty");
  refuse_unknown_blanks(node, read, allowed);
  return read;
}

namespace {

Command command_in(const JsonNode& node, const Blanks& allowed) {
  Command command;
  if (!node.is_object()) {
    command.steps = read_steps(node, allowed);
    return command;
  }
  JsonObject object = node.object();
  command.steps = read_steps(object.need("send"), allowed);
  if (const auto confirms = object.find("confirms")) {
    command.confirms = read_template(*confirms, with_fillers(allowed));
  }
  object.refuse_other_keys();
  return command;
}

Query query_in(const JsonNode& node, const Blanks& in_send, const Blanks& in_lines) {
  Query query;
  if (!node.is_object()) {
    query.steps = read_steps(node, in_send);
    return query;
  }
  JsonObject object = node.object();
  query.steps = read_steps(object.need("send"), in_send);
  const auto item = object.find("item");
  if (item) query.item = read_item(*item, in_lines);
  read_text(object, "between_items", query.between_items);
  if (const auto rows = object.find("rows")) {
    query.columns = rows->text() == "columns";
    if (!query.columns) rows->refuse("is \"columns\" or left out");
  }
  Blanks allowed = with_fillers(in_lines);
  if (item) allowed.emplace_back("items");
  if (const auto headings = object.find("headings")) {
    for (const JsonNode& heading : headings->list(most_lines))
      query.headings.push_back(read_template(heading, with_fillers(in_lines)));
  }
  if (const auto lines = object.find("lines")) {
    for (const JsonNode& line : lines->list(most_lines)) {
      query.lines.push_back(read_template(line, allowed));
    }
  }
  object.refuse_other_keys();
  const bool has_items = std::any_of(query.lines.begin(), query.lines.end(),
                                     [](const Template& line) { return line.has("items"); });
  if (item && !has_items) item->refuse("no line has a blank {items} for it");
  return query;
}

bool is_in(const std::vector<Template>& lines, const std::string& blank) {
  return std::any_of(lines.begin(), lines.end(), [&](const Template& line) { return line.has(blank); });
}

void need_table(const JsonNode& node, const Query& query, const std::string& key, const std::string& value) {
  if (query.lines.empty()) {
    throw Fault(FaultKind::bad_profile, node.path() + ".lines: is missing, so nothing would be read");
  }
  const bool asked_for_each = std::any_of(query.steps.begin(), query.steps.end(),
                                          [&](const Step& step) { return step.send.has(key); });
  for (std::size_t i = 0; i < query.lines.size(); ++i) {
    const bool items = query.lines[i].has("items");
    const Template& line = items ? *query.item : query.lines[i];
    const std::string path = node.path() + (items ? ".item" : ".lines[" + std::to_string(i) + "]");
    // Only motors are numbered, so only they can be told by counting.
    const bool counted = items && key == "motor";
    if (!line.has(key) && !line.has(value) && !items) continue;  // a line to leave out
    if (!line.has(key) && !asked_for_each && !counted && !is_in(query.headings, key)) {
      throw Fault(FaultKind::bad_profile, path + ": has no blank {" + key + "}");
    }
    if (!line.has(value) && !is_in(query.headings, value))
      throw Fault(FaultKind::bad_profile, path + ": has no blank {" + value + "}");
  }
}

}  // namespace

void need_blank(const JsonNode& node, const Steps& steps, const std::string& blank) {
  const bool found =
      std::any_of(steps.begin(), steps.end(), [&](const Step& step) { return step.send.has(blank); });
  if (found) return;
  const std::string path = node.path() + (node.is_object() ? ".send" : "");
  throw Fault(FaultKind::bad_profile, path + ": has no blank {" + blank + "}");
}

void need_in_lines(const JsonNode& node, const Query& query, const Blanks& blanks) {
  for (const std::string& blank : blanks) {
    if (!is_in(query.lines, blank) && !is_in(query.headings, blank))
      throw Fault(FaultKind::bad_profile, node.path() + ".lines: no line has a blank {" + blank + "}");
  }
}

Command read_command(const JsonNode& node, const CommandForm& form) {
  Command command = command_in(node, form.allowed);
  for (const std::string& blank : form.needed) need_blank(node, command.steps, blank);
  return command;
}

Query read_query(const JsonNode& node, const QueryForm& form) {
  Query query = query_in(node, form.in_send, form.in_lines);
  need_in_lines(node, query, form.needed);
  if (!form.table.empty()) need_table(node, query, form.table.front(), form.table.back());
  return query;
}

}  // namespace armwise::console
