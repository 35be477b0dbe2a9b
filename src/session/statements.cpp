#include "armwise/session/statements.hpp"

#include "armwise/session/person.hpp"

namespace armwise::session {

std::string sentence_of(StatementId id, const Facts& facts) {
  std::string sentence;
  std::string_view rest = id.row().sentence;
  while (true) {
    const std::size_t open = rest.find('{');
    const std::size_t close = open == std::string_view::npos ? open : rest.find('}', open);
    if (close == std::string_view::npos) return sentence += rest;
    sentence += rest.substr(0, open);
    const auto value = facts.find(std::string(rest.substr(open + 1, close - open - 1)));
    sentence += value != facts.end() ? value->second : rest.substr(open, close - open + 1);
    rest.remove_prefix(close + 1);
  }
}

Statement statement_of(StatementId id, Facts facts, Statement::Kind kind) {
  Statement statement;
  statement.kind = kind;
  statement.level = id.row().level;
  statement.id = id.row().id;
  statement.text = sentence_of(id, facts);
  statement.facts = std::move(facts);
  return statement;
}

Statement statement_of(const Fault& fault) {
  const Facts parts{{"fault", std::string(name(fault.kind()))},
                    {"happened", fault.happened()},
                    {"why", fault.why()},
                    {"next", fault.next()},
                    {"sentence", fault.sentence()}};
  Statement statement = statement_of("fault", parts);
  statement.facts.erase("sentence");  // is the text
  if (!fault.id().empty()) statement.id = fault.id();
  if (fault.kind() == FaultKind::unsafe) statement.level = Level::danger;
  return statement;
}

}  // namespace armwise::session
