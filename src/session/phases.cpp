#include "phases.hpp"

#include <array>
#include <map>
#include <utility>
#include <vector>

namespace armwise::session {
namespace {

void tell(Person& person, const std::string& about, std::vector<std::string> phases, int at) {
  Statement statement;
  statement.kind = Statement::Kind::phase;
  statement.text = about;
  statement.step = at + 1;
  statement.of = static_cast<int>(phases.size());
  statement.phases = std::move(phases);
  person.tell(statement);
}

}  // namespace

void tell_phase(Person& person, const std::string& about, Phase phase) {
  tell(person, about, {"find", "plan", "write", "check", "save"}, static_cast<int>(phase));
}

void tell_lesson(Person& person, const std::string& station) {
  static const std::map<std::string, int> begins{
      {"listen", 0}, {"list-map", 1}, {"sense", 2}, {"stop", 3}, {"keep", 4}};
  const auto found = begins.find(station);
  if (found == begins.end()) return;
  tell(person, "teach", {"listen", "settings", "sensors", "motors", "save"}, found->second);
}

}  // namespace armwise::session
