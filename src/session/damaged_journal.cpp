#include "damaged_journal.hpp"

#include <optional>
#include <vector>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/console/whole_configuration.hpp"
#include "armwise/solve/difference.hpp"
#include "player.hpp"
#include "words.hpp"

namespace armwise::session {
namespace {

constexpr std::size_t most_missing_said = 20;

void tell_damage(Person& person, const CutOff& cut, const solve::Snapshot& now) {
  person.tell("journal-damaged", {{"damage", cut.damage}});
  person.tell(cut.identity ? StatementId("journal-unfinishable") : StatementId("journal-of-nobody"));
  if (!cut.before) {
    person.tell("journal-without-before");
  } else {
    const std::string differing = joined(solve::differences_in_words(now, *cut.before), "; ");
    person.tell(differing.empty() ? StatementId("as-before") : StatementId("not-as-before"),
                {{"differences", differing}});
  }
  if (!cut.configuration.empty()) person.tell("configuration-before", {{"file", cut.configuration}});
}

}  // namespace

Task<Recovering> ask_about_damage(Person& person, const CutOff& cut, const solve::Snapshot& now) {
  tell_damage(person, cut, now);
  co_return co_await ask_what_to_recover(person, cut);
}

Task<void> tell_what_else_differs(console::Console& console, Person& person, record::Store& store,
                                  const std::string& file) {
  if (file.empty() || !console.profile().whole_configuration) co_return;
  std::vector<std::string> missing;
  std::optional<Fault> trouble;
  try {
    const std::vector<std::string> before = store.read_configuration(file);
    const std::string now = co_await console.whole_configuration();
    missing = lines_missing(before, console::configuration_lines(now));
  } catch (const Fault& fault) {
    if (fault.kind() == FaultKind::line_lost) throw;
    trouble = fault;
  }
  if (trouble) person.tell("rest-unknown", {{"why", trouble->sentence()}});
  if (missing.empty()) co_return;
  const std::size_t all = missing.size();
  if (all > most_missing_said) missing.resize(most_missing_said);
  for (std::string& line : missing) line = "\"" + printable(line) + "\"";
  person.tell("rest-differs", {{"lines", std::to_string(all)},
                               {"list", joined(missing, ", ") + (all > most_missing_said ? ", …" : ".")}});
}

}  // namespace armwise::session
