// How teach() learns a setting that is some bits of a number: by a command that changes it and is put back.
#include <algorithm>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "teach_lessons.hpp"

namespace armwise::session {
namespace {

using console::Values;

std::string line_of(const InBits& wanted) {
  for (const std::string& line : console::rows_of(wanted.shown.columns, wanted.reply)) {
    for (const console::Template& like : wanted.shown.lines) {
      const auto read = like.match(line);
      if (read && read->contains(wanted.blank) && read->at(wanted.blank) == wanted.row.at(wanted.blank))
        return line;
    }
  }
  return {};
}

console::Query read_as(console::Query query, const std::string& blank, const std::string& type) {
  for (console::Template& line : query.lines)
    line = console::Template::parse(
        teach::with_name(line.source(), "{" + blank + "}", "{" + blank + ":" + type + "}"));
  return query;
}

bool reads_so(const console::Query& read, const teach::Lines& lines, const Values& wanted) {
  const std::vector<Values> rows = console::rows_read(read, lines, false);
  return std::any_of(rows.begin(), rows.end(), [&](const Values& row) {
    return std::all_of(wanted.begin(), wanted.end(), [&](const auto& each) {
      const auto found = row.find(each.first);
      return found != row.end() && found->second == each.second;
    });
  });
}

// The whole number that is to be read once this is set.
std::string number_set(const std::string& blank, const std::string& type, const Values& values) {
  const auto like = console::Template::parse("{" + blank + ":" + type + "}");
  return like.match(like.format(values)).value().at(console::held_with(blank));
}

}  // namespace

std::vector<teach::BitsTold> bits_told(const InBits& wanted, const teach::Typed& typed) {
  return teach::bits_told(wanted.row.at(wanted.blank), typed, line_of(wanted), wanted.value, wanted.largest);
}

Task<std::optional<LearnedBits>> learn_bits(Teaching& t, InBits wanted, WritePermit agreed) {
  const teach::Typed& typed = agreed.lines();
  const std::vector<teach::BitsTold> told = bits_told(wanted, typed);
  if (told.size() != 1) {
    if (!told.empty()) t.person.tell("ambiguous");
    if (told.empty()) t.person.tell("not-understood", {{"why", not_one_bit}});
    co_return std::nullopt;
  }
  const teach::BitsTold& bits = told.front();
  const std::string& blank = wanted.blank;
  Values now = wanted.row, then;
  now[blank] = bits.now;
  now[console::held_with(blank)] = bits.held;
  then = now;
  then[blank] = bits.then;
  std::vector<std::string> must;
  for (const auto& [name, value] : wanted.row) must.push_back(name);
  teach::CommandLesson lesson(must);
  lesson.knows({{blank, bits.type}});
  if (lesson.add(typed, then) != teach::CommandLesson::Heard::fits || !lesson.learned()) {
    t.person.tell("ambiguous");
    co_return std::nullopt;
  }
  LearnedBits learned;
  learned.read = read_as(wanted.shown, blank, bits.type);
  learned.now = bits.now;
  learned.then = bits.then;
  Said literally;
  literally.typed = typed;
  Trial trial;
  trial.what = "The " + setting_in_words(blank);
  trial.change.emplace_back(t.talk.steps_of(literally), Values{});
  trial.back.push_back({{t.talk.steps_of(*lesson.learned(), literally), now}});
  trial.read = learned.read;
  trial.asked = wanted.row;
  trial.before = co_await read_as_it_is(t, learned.read, wanted.row);
  const Tried found = co_await tried(t, trial, agreed);
  if (found.change.refused) {
    t.talk.refuse_or_tell(found.change);
    co_return std::nullopt;
  }
  // Its other bits are as they were.
  Values as_set = then;
  as_set[console::held_with(blank)] = number_set(blank, bits.type, then);
  if (!reads_so(learned.read, found.read.lines, as_set)) {
    t.person.tell("not-as-set", {{"value", in_a_row(typed)}});
    co_return std::nullopt;
  }
  learned.set.steps = t.talk.steps_of(*lesson.learned(), found.change);
  t.draft.as_found.push_back({trial.what, learned.read, wanted.row, trial.before});
  co_return learned;
}

}  // namespace armwise::session
