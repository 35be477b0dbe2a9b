// Lesson: who it is.
#include <algorithm>

#include "armwise/base/task.hpp"
#include "teach_lessons.hpp"
#include "words.hpp"

namespace armwise::session {
namespace {

using console::Values;

constexpr std::size_t most_words = 24;

std::string as_read(const console::Query& query, const teach::Lines& lines) {
  std::string shown;
  for (const Values& values : console::rows_read(query, lines, false)) {
    for (const auto& [blank, value] : values) {
      if (blank != "rest" && blank != "skip") shown += (shown.empty() ? "" : ", ") + blank + " " + value;
    }
  }
  return shown;
}

// Nobody knows better than the person, so they are asked for each name which word it is.
Task<std::vector<console::Template>> point_at_identity(Teaching& t, teach::Lines lines) {
  std::vector<PlaceInText> words;
  for (std::size_t line = 0; line < lines.size(); ++line) {
    for (const teach::Span& word : teach::words_of(lines[line])) {
      if (words.size() < most_words) words.push_back({line, word.begin, word.end});
    }
  }
  std::vector<teach::Pointed> pointed;
  for (const std::string name : {"board", "firmware", "version", "serial"}) {
    if (words.empty()) break;
    std::vector<Choice> choices;
    for (const PlaceInText& word : words)
      add_word(choices, teach::Span{word.begin, word.end}.of(lines[word.line]), lines[word.line], word);
    const std::string asked = name == "serial" ? "serial number" : name;
    const auto which =
        co_await t.person.point("identify-" + name, "Which word is the " + asked + "?", lines, choices);
    if (!which) continue;
    const auto at = words.begin() + static_cast<std::ptrdiff_t>(*which);
    teach::point_in(pointed, lines[at->line], name, {at->begin, at->end});
    words.erase(at);
  }
  std::vector<console::Template> read;
  for (const teach::Pointed& line : pointed) {
    if (const auto like = teach::line_of_its_own(line)) read.push_back(*like);
  }
  co_return read;
}

}  // namespace

Task<void> learn_identify(Teaching& t) {
  if (t.draft.profile.identify) co_return;
  const auto said =
      co_await learn_question(t, "identify", "Type the command that says which board and firmware this is");
  if (!said) co_return;
  console::Query query;
  query.steps = t.talk.steps_of(*said);
  // A word in its words: the version is what looks like one; each name stands behind its own word.
  for (const std::string& line : said->lines) {
    auto like = teach::identity_line(line);
    const bool of_others =
        like && std::any_of(said->lines.begin(), said->lines.end(),
                            [&](const std::string& other) { return other != line && like->match(other); });
    if (of_others) like = teach::identity_line(line, true);
    if (like) query.lines.push_back(*like);
  }
  bool right = false;
  if (!query.lines.empty())
    right =
        co_await t.person.confirm("right", "It says: " + as_read(query, said->lines) + ". Is that right?");
  if (!right) {
    query.lines = co_await point_at_identity(t, said->lines);
    if (query.lines.empty()) {
      t.person.tell("identity-left-out");
      co_return;
    }
    t.person.tell("reading", {{"read", as_read(query, said->lines)}});
  }
  t.draft.profile.identify = query;
}

}  // namespace armwise::session
