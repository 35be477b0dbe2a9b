// How teach() tries what changes something: said first, and put back after, come what may.
#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <exception>

#include "armwise/base/cancellation.hpp"
#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"
#include "armwise/console/conversation.hpp"
#include "teach_lessons.hpp"

namespace armwise::session {
namespace {

using console::Values;

constexpr Duration late_answer{500}, longest_late{4000};
constexpr int most_menus = 5, most_reads = 5, tries_of_a_change = 2;

std::vector<Values> rows_in_order(const console::Query& query, const teach::Lines& lines) {
  std::vector<Values> rows = console::rows_read(query, lines, false);
  std::sort(rows.begin(), rows.end());
  return rows;
}

bool reads_alike(const console::Query& query, const teach::Lines& before, const teach::Lines& now) {
  return rows_in_order(query, before) == rows_in_order(query, now);
}

// Numbers as numbers: "0.5" may come back as "0.500".
bool same_value(const std::string& a, const std::string& b) {
  if (lower_case(a) == lower_case(b)) return true;
  char *end_a = nullptr, *end_b = nullptr;
  const double number_a = std::strtod(a.c_str(), &end_a), number_b = std::strtod(b.c_str(), &end_b);
  const bool numbers = *end_a == 0 && *end_b == 0 && end_a != a.c_str() && end_b != b.c_str();
  return numbers && std::abs(number_a - number_b) <= 1e-4 * std::max(1.0, std::abs(number_a));
}

bool reads_as(const console::Query& query, const teach::Lines& lines, const Values& wanted) {
  const std::vector<Values> rows = console::rows_read(query, lines, false);
  return std::any_of(rows.begin(), rows.end(), [&](const Values& row) {
    return std::all_of(row.begin(), row.end(), [&](const auto& entry) {
      const auto found = wanted.find(entry.first);
      return found != wanted.end() && same_value(found->second, entry.second);
    });
  });
}

// '"yaw 10" then "pitch 0"'
std::string to_be_typed(const Writes& way) {
  std::string text;
  for (const auto& each : way) text += (text.empty() ? "\"" : " then \"") + in_a_row(lines_of({each})) + "\"";
  return text;
}

std::string in_quotes(const teach::Lines& lines) {
  constexpr std::size_t most = 6;
  std::string text;
  for (std::size_t i = 0; i < lines.size() && i < most; ++i)
    text += (text.empty() ? "\"" : ", \"") + lines[i] + "\"";
  return lines.size() > most ? text + ", …" : text;
}

}  // namespace

std::string setting_in_words(const std::string& blank) {
  return blank == "props"                      ? "prop direction"
         : blank == "mount" || blank == "turn" ? blank
                                               : "mount's " + blank;
}

namespace {

// What sets each row again that reads otherwise now.
Writes rows_back(const console::Steps& set, const console::Query& read, const Values& asked,
                 const teach::Lines& before, const teach::Lines& now) {
  const std::vector<Values> there = rows_in_order(read, now);
  Writes back;
  std::vector<Values> rows = console::rows_read(read, before, false);
  // What is one thing may be read out of several lines.
  const Values all = teach::values_read(read, before);
  if (rows.size() > 1 && !all.empty() && all != teach::values_read(read, now)) rows.push_back(all);
  for (Values row : rows) {
    if (std::find(there.begin(), there.end(), row) != there.end()) continue;
    row.insert(asked.begin(), asked.end());
    const bool whole = std::all_of(set.begin(), set.end(), [&](const console::Step& step) {
      return std::all_of(
          step.send.pieces().begin(), step.send.pieces().end(),
          [&](const console::Piece& piece) { return !piece.blank || row.contains(piece.text); });
    });
    if (whole) back.emplace_back(set, row);
  }
  return back;
}

// After a cut the console may be anywhere: what is half typed, which may be a spin by a slip, is spoiled, the
// stop goes out behind it where it is known, and menus are left.
Task<void> come_to_rest(Teaching& t) {
  const std::string nothing;
  const std::string spoiled =
      console::spoiled_line_end(t.draft.profile) + console::stop_lines(t.draft.profile);
  const Duration silence = late_answer + std::min(t.talk.ear.slowest, longest_late);
  bool lost = false;
  try {
    co_await t.talk.ear.raw(spoiled, silence);
    Ear::Heard heard = co_await t.talk.ear.say(nothing);
    for (int i = 0;
         i < most_menus && !t.draft.profile.open.home.empty() && !t.talk.is_top(heard.reply.prompt); ++i) {
      heard = co_await t.talk.ear.say(t.draft.profile.open.home);
    }
    lost = heard.closed;
  } catch (const Fault& fault) {
    if (fault.kind() != FaultKind::line_lost) throw;
    lost = true;
  }
  if (lost) co_await t.talk.reopen();
}

// On disk before the other value is sent: whatever ends this, the next command knows what to put back.
void leave_word(Teaching& t, const Trial& trial) {
  if (!t.options.journal) return;
  record::JournalEntry trying;
  trying.what = record::JournalEntry::What::trying;
  trying.when = t.clock.date_and_time();
  trying.text = trial.what + " was set to another value. Before, it read " + in_quotes(trial.before) + ".";
  for (const auto& way : trial.back) trying.lines.push_back(to_be_typed(way));
  t.options.journal().append(trying);
}

void take_word_back(Teaching& t) {
  if (!t.options.journal) return;
  record::JournalEntry back;
  back.what = record::JournalEntry::What::put_back;
  back.when = t.clock.date_and_time();
  try {
    t.options.journal().append(back);
  } catch (const Fault& fault) {
    t.person.tell("trial-unrecorded", {{"why", fault.sentence()}});
  }
}

}  // namespace

Task<Tried> tried(Teaching& t, Trial trial, WritePermit agreed) {
  const MayWrite permit = agreed, undo = UndoPermit(agreed);
  Tried found;
  leave_word(t, trial);
  std::exception_ptr trouble;
  try {
    for (const auto& [steps, values] : trial.change) {
      found.change = co_await t.talk.set_to(steps, values, permit);
      found.all.push_back(found.change);
      if (found.change.closed) break;
    }
    if (!found.change.closed) found.read = co_await t.talk.ask_again(trial.read.steps, trial.asked);
    if (trial.meanwhile && !found.change.closed && !found.change.refused) co_await trial.meanwhile();
  } catch (...) {
    trouble = std::current_exception();
  }
  bool unrest = trouble || found.change.closed || found.read.closed;
  bool as_before = false;
  const std::size_t ways = trial.back.size();
  for (int attempt = 0; attempt < 2 && !as_before; ++attempt) {
    if (trouble) co_await in_spite_of_cancellation();
    trial.back.resize(ways);
    try {
      if (unrest) co_await come_to_rest(t);
      for (std::size_t way = 0; way < trial.back.size() && !as_before; ++way) {
        const Writes back = trial.back[way];
        for (const auto& [steps, values] : back) co_await t.talk.set_to(steps, values, undo);
        const Said after = co_await t.talk.ask_again(trial.read.steps, trial.asked);
        as_before = !after.closed && reads_alike(trial.read, trial.before, after.lines);
        // A byte that was lost may have changed another one than was meant.
        if (as_before || after.closed || way + 1 != ways || back.empty()) continue;
        const Writes rows = rows_back(back.back().first, trial.read, trial.asked, trial.before, after.lines);
        if (!rows.empty()) trial.back.push_back(rows);
      }
    } catch (...) {
      if (!trouble) trouble = std::current_exception();
    }
    unrest = true;
  }
  if (!as_before) {
    throw Fault(FaultKind::left_changed, trial.what + " could not be put back as it was",
                "It was tried with another value. Before, it read " + in_quotes(trial.before),
                "Nothing was kept: restart the controller, and look whether it is as it was");
  }
  take_word_back(t);
  if (trouble) std::rethrow_exception(trouble);
  co_return found;
}

// What is to be put back must be known first: an answer that was garbled would never be met again. So it has
// to come twice.
Task<teach::Lines> read_as_it_is(Teaching& t, const console::Query& query, const Values& asked) {
  std::optional<teach::Lines> before;
  for (int attempt = 0; attempt < most_reads; ++attempt) {
    const Said said = co_await t.talk.say_again(query.steps, asked);
    if (said.closed) co_await t.talk.reopen();
    if (said.closed || said.refused || console::rows_read(query, said.lines, false).empty()) continue;
    if (before && reads_alike(query, *before, said.lines)) co_return said.lines;
    before = said.lines;
  }
  throw Fault(FaultKind::unreadable, "what is set now cannot be read any more",
              "\"" + query.steps.front().send.source() + "\" is answered otherwise than before",
              "Look at the cable, and start again");
}

// Sets the other value, reads it, puts the old one back, reads that. True where both were read.
Task<bool> try_change(Teaching& t, console::Command& set, const console::Query& query, Values now,
                      Values other, std::string blank) {
  Trial trial;
  trial.what = "The " + setting_in_words(blank);
  trial.change.emplace_back(set.steps, other);
  const std::optional<WritePermit> agreed = co_await t.person.may_try(
      "May we set the " + setting_in_words(blank) + " to \"" + other.at(blank) +
          "\" for a moment, and back to \"" + now.at(blank) + "\"? Nothing is saved.",
      trial.change);
  if (!agreed) {
    t.draft.profile.notes.push_back("Setting the " + setting_in_words(blank) +
                                    " was not tried with another value.");
    co_return true;
  }
  const teach::Lines before = co_await read_as_it_is(t, query, now);
  trial.back.push_back({{set.steps, now}});
  trial.read = query;
  trial.asked = now;
  trial.before = before;
  bool was_set = false;
  for (int attempt = 0; attempt < tries_of_a_change && !was_set; ++attempt) {
    const Tried found = co_await tried(t, trial, *agreed);
    was_set = reads_as(query, found.read.lines, other);
    if (was_set) forget_unless_confirmed(set, found.change, other);
  }
  if (!was_set) {
    t.person.tell("not-as-set", {{"value", other.at(blank)}});
  }
  co_return was_set;
}

// What was read once reads the same again, or a command that was typed has changed it.
Task<std::string> what_has_changed(Teaching& t) {
  std::string changed;
  const std::vector<AsFound> all = t.draft.as_found;
  for (const AsFound& found : all) {
    const Said once = co_await t.talk.say_again(found.read.steps, found.asked);
    if (!once.closed && reads_alike(found.read, found.lines, once.lines)) continue;
    if (once.closed) co_await t.talk.reopen();
    const teach::Lines now = co_await read_as_it_is(t, found.read, found.asked);
    if (!reads_alike(found.read, found.lines, now)) changed += (changed.empty() ? "" : " and ") + found.what;
  }
  co_return changed;
}

namespace {

// The command that sets what is read so, as far as it has been taught.
std::vector<console::Steps> setters_of(const console::Profile& known, const console::Query& read) {
  const auto reads = [&](const char* blank) {
    return std::any_of(read.lines.begin(), read.lines.end(),
                       [&](const console::Template& line) { return line.has(blank); });
  };
  std::vector<console::Steps> all;
  const auto add = [&](const std::optional<console::Command>& set) {
    if (set) all.push_back(set->steps);
  };
  if (known.turn && reads("turn")) add(known.turn->set);
  if (known.props && reads("props")) add(known.props->set);
  if (known.map && reads("pin") && !reads("turn")) {
    if (!known.map->rules.shared_meanwhile) add(known.map->free);
    add(known.map->put);
  }
  if (!known.mount || !reads(known.mount->blanks().front().c_str())) return all;
  for (const auto* set :
       {&known.mount->set, &known.mount->set_yaw, &known.mount->set_pitch, &known.mount->set_roll})
    add(*set);
  return all;
}

}  // namespace

// By a command that was typed, or by one that came garbled: what was taught since can put it back.
Task<bool> put_back_as_found(Teaching& t, std::string what) {
  Writes back;
  const std::vector<AsFound> all = t.draft.as_found;
  for (const AsFound& found : all) {
    const teach::Lines now = co_await read_as_it_is(t, found.read, found.asked);
    if (reads_alike(found.read, found.lines, now)) continue;
    for (const console::Steps& set : setters_of(t.draft.profile, found.read)) {
      for (const auto& each : rows_back(set, found.read, found.asked, found.lines, now)) back.push_back(each);
    }
  }
  if (back.empty()) co_return false;
  const auto agreed = co_await t.person.may_try(
      what + " has changed since the start, by a command that you typed. May we put it back?", back);
  if (!agreed) co_return false;
  for (const auto& [steps, values] : back) co_await t.talk.set_to(steps, values, *agreed);
  const std::string changed = co_await what_has_changed(t);
  co_return changed.empty();
}

Task<void> require_as_before(Teaching& t) {
  const std::string changed = co_await what_has_changed(t);
  if (changed.empty()) co_return;
  throw Fault(FaultKind::left_changed,
              changed + " is not as it was after a command that should change nothing",
              "The command was another, or one of its values was",
              "Nothing was kept: restart the controller, then try again");
}

}  // namespace armwise::session
