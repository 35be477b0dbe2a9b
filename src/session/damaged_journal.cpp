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

constexpr std::size_t most_lines_said = 20;

void tell_damage(Person& person, const CutOff& cut, const solve::Snapshot& now) {
  person.say(cut.damage, Level::warn);
  person.say(cut.identity ? "So it isn't known how far that session came, and it can't be finished."
                          : "So it isn't known which controller that session was with: perhaps this one.",
             Level::warn);
  if (!cut.before) {
    person.say("It doesn't say what the settings were before, either.", Level::warn);
  } else {
    const std::vector<std::string> differing = solve::differences_in_words(now, *cut.before);
    person.say(differing.empty() ? "The settings now are just as they were before that session."
                                 : "Against before that session: " + joined(differing, "; ") + ".");
  }
  if (!cut.configuration.empty())
    person.say("The whole configuration from before is in " + cut.configuration + ".");
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
  if (trouble) person.say("What else may differ isn't known: " + trouble->sentence(), Level::warn);
  if (missing.empty()) co_return;
  const std::size_t all = missing.size();
  if (all > most_lines_said) missing.resize(most_lines_said);
  for (std::string& line : missing) line = "\"" + printable(line) + "\"";
  person.say(words::count(all, "line", "lines") +
                 " of the configuration from before that session read otherwise now: " +
                 joined(missing, ", ") + (all > most_lines_said ? ", …" : "."),
             Level::warn);
}

}  // namespace armwise::session
