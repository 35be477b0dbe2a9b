#include "prompt.hpp"

#include <algorithm>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/ui/reading.hpp"
#include "manner.hpp"
#include "pointer.hpp"
#include "statements.hpp"

namespace armwise::ui {

using session::Answer;
using session::Back;
using session::Question;

namespace {

// The keys of a list, in order: without u, which goes back.
constexpr std::string_view usual_keys = "123456789abcdefghijklmnopqrstvwxyz";
// More choices than this are put as their names alone, side by side.
constexpr std::size_t longest_list = 7;
constexpr std::size_t longest_typed = 1000;
// How soon a new size of the window is noticed, and how fast an arc runs.
constexpr Duration look_again{120};
// How long after a word that needs no Enter one still comes out of habit.
constexpr Duration habit{2000};

bool is_number(const std::string& key) {
  return key.find_first_not_of("0123456789") == std::string::npos;
}

// One each. A choice keeps its own key, whatever else stands in the list.
std::string keys_of_list(const Question& question) {
  std::string keys;
  for (const session::Choice& choice : question.choices) keys += choice.cap.size() == 1 ? choice.cap : "";
  if (keys.size() == question.choices.size()) return keys;
  return std::string(usual_keys.substr(0, question.choices.size()));
}

// A number for a key says nothing that the words do not.
std::string choice_in_words(const session::Choice& choice) {
  if (is_number(choice.key) || choice.words == choice.key || choice.words.empty())
    return printable(choice.words.empty() ? choice.key : choice.words);
  return printable(choice.key) + ": " + printable(choice.words);
}

std::vector<Line> whole_list(const Question& question, const Style& style) {
  std::vector<Line> lines;
  const std::string list_keys = keys_of_list(question);
  for (std::size_t i = 0; i < list_keys.size(); ++i) {
    const session::Choice& choice = question.choices[i];
    const std::string mark = choice.key == question.marked && !choice.key.empty() ? "*" : " ";
    std::vector<std::string> words = wrapped(choice_in_words(choice), style.columns, "      ");
    words.front().erase(0, 6);
    lines.push_back({{"  ", Ink::plain},
                     {std::string(1, list_keys[i]), Ink::keycap},
                     {" " + mark + " ", Ink::strong},
                     {words.front(), Ink::plain}});
    for (std::size_t more = 1; more < words.size(); ++more) lines.push_back({{words[more], Ink::plain}});
  }
  return lines;
}

// The names alone, in columns; where a name says nothing, or the words are as short, those.
std::vector<Line> short_list(const Question& question, const Style& style) {
  constexpr int widest_name = 20;
  const std::string list_keys = keys_of_list(question);
  const std::size_t count = list_keys.size();
  std::vector<std::string> names;
  int widest = 0;
  for (std::size_t i = 0; i < count; ++i) {
    const session::Choice& choice = question.choices[i];
    const std::string words = choice_in_words(choice), name = printable(choice.key);
    const bool says_nothing = is_number(choice.key);
    const std::string shown = says_nothing || columns_of(words) <= widest_name ? words : name;
    names.push_back(shown.substr(0, bytes_that_fit(shown, style.columns - 7)));
    widest = std::max(widest, columns_of(names.back()));
  }
  const int cell = widest + 7;
  const std::size_t across = static_cast<std::size_t>(std::max(1, (style.columns - 1) / cell));
  std::vector<Line> lines;
  for (std::size_t i = 0; i < count; ++i) {
    if (i % across == 0) lines.emplace_back();
    const std::string mark = question.choices[i].key == question.marked ? "*" : " ";
    lines.back().push_back({"  ", Ink::plain});
    lines.back().push_back({std::string(1, list_keys[i]), Ink::keycap});
    lines.back().push_back({padded(" " + mark + names[i], cell - 3), Ink::plain});
  }
  return lines;
}

std::string without_last(std::string text) {
  while (!text.empty() && (static_cast<unsigned char>(text.back()) & 0xC0U) == 0x80U) text.pop_back();
  if (!text.empty()) text.pop_back();
  return text;
}

// The end of a text that is too long for a line: what is typed now has to be seen.
std::string last_of(std::string text, int columns) {
  while (columns_of(text) > columns) {
    std::size_t length = 1;
    while (length < text.size() && (static_cast<unsigned char>(text[length]) & 0xC0U) == 0x80U) ++length;
    text.erase(0, length);
  }
  return text;
}

}  // namespace

Prompt::Prompt(LiveScreen& live, SpinScene& scene)
    : terminal_(live.terminal()), live_(live), screen_(live.screen), scene_(scene) {}

void Prompt::put(const Question& question, std::vector<std::string> keys) {
  if (question.frame != nullptr && manner_of(question) != Manner::place) scene_.is_about(*question.frame);
  if (question.small) scene_.show_craft();
  live_.put(question, std::move(keys));
}

Task<Prompt::Common> Prompt::common(const Question& question, Key key, std::string help) {
  if (key.is(key::back)) {
    if (question.may_go_back) co_return Common::back;
    live_.trouble("There is nothing to go back to from here.");
  } else if (key.is(key::help)) {
    // Before the first phase, and in what has none, nothing turns and nothing is written.
    live_.trouble(help +
                  (screen_.header.phases.empty()
                       ? " Ctrl-C ends it."
                       : " Ctrl-C ends the session: the motors are told to stop, and what isn't saved is "
                         "undone."));
  } else if (key.is("w") && !live_.behind().why.empty()) {
    std::vector<Line> all;
    for (const std::string& sentence : live_.behind().why) {
      for (Line& line : wrapped_lines(sentence, Ink::plain, terminal_.style(), " "))
        all.push_back(std::move(line));
      all.emplace_back();
    }
    co_await pages(std::move(all));
  } else if (key.is("l") && !live_.behind().commands.empty()) {
    std::vector<Line> all{{{" Commands to send:", Ink::strong}}};
    for (const std::string& line : live_.behind().commands) all.push_back({{"    " + line, Ink::plain}});
    co_await pages(std::move(all));
  } else if (key.is("m") && live_.is_live() && !screen_.notes.empty()) {
    std::vector<Line> all;
    for (const Note& note : screen_.notes) {
      for (Line& line : note_lines(note, terminal_.style())) all.push_back(std::move(line));
    }
    co_await pages(std::move(all));
  } else {
    co_return Common::none;
  }
  co_return Common::handled;
}

void Prompt::refuse(const Key& key, std::string_view instead) {
  const std::string what = key.kind == Key::Kind::enter ? "Enter chooses nothing here."
                                                        : "Not here: " + printable(key.in_words()) + ".";
  live_.trouble(what + " " + std::string(instead));
}

// While nobody presses anything, arcs run on, and a new size of the window is looked for.
Task<Key> Prompt::press() {
  while (true) {
    const std::optional<Duration> patience = live_.is_live() ? std::optional(look_again) : std::nullopt;
    const std::optional<Key> key = co_await terminal_.key_within(patience);
    if (!key) {
      scene_.run_on();
      continue;
    }
    const bool alone = co_await terminal_.was_alone();
    if (!alone) {
      live_.trouble("That came faster than a hand types, so none of it counts. One key at a time.");
      continue;
    }
    if (is_left_over(*key)) continue;
    screen_.error.clear();
    co_return *key;
  }
}

bool Prompt::is_left_over(const Key& key) {
  const auto since = std::exchange(word_whole_, std::nullopt);
  return since && key.kind == Key::Kind::enter && std::chrono::steady_clock::now() - *since < habit;
}

Task<void> Prompt::pages(std::vector<Line> content) {
  if (!live_.is_live()) {
    terminal_.write("\n" + joined_lines(rendered_lines(content, terminal_.style())));
    live_.show();
    co_return;
  }
  Screen page;
  std::swap(page, screen_);
  screen_.header = page.header;
  screen_.header.always.clear();
  const std::size_t rows = static_cast<std::size_t>(std::max(3, terminal_.style().rows - 5));
  for (std::size_t at = 0; at < content.size(); at += rows) {
    const std::size_t end = std::min(content.size(), at + rows);
    screen_.choices.assign(content.begin() + static_cast<std::ptrdiff_t>(at),
                           content.begin() + static_cast<std::ptrdiff_t>(end));
    screen_.keys = {end < content.size() ? "any key: more" : "any key: back to the question"};
    live_.show();
    co_await press();
  }
  std::swap(page, screen_);
  live_.show();
}

Task<Answer> Prompt::confirm(const Question& question) {
  const bool marked = question.marked == "yes" || question.marked == "no";
  std::vector<std::string> keys{question.plan != nullptr ? "y write" : "y yes",
                                question.plan != nullptr ? "n stop" : "n no"};
  if (marked) keys.front() += "   Enter " + question.marked;
  put(question, std::move(keys));
  while (true) {
    const Key key = co_await press();
    if (key.is("y") || key.is("n")) co_return Answer{std::string(key.is("y") ? "yes" : "no")};
    if (marked && key.kind == Key::Kind::enter) co_return Answer{question.marked};
    const Common what = co_await common(
        question, key,
        question.plan == nullptr
            ? "Press y for yes or n for no, one key, without Enter."
            : "y writes them. n ends the session; nothing stays changed. w: why each one. l: the "
              "commands to send.");
    if (what == Common::back) co_return Answer{Back{}};
    if (what == Common::none) refuse(key, "Press y or n.");
  }
}

Task<Answer> Prompt::choose(const Question& question) {
  const bool all_words = question.choices.size() <= longest_list;
  const std::string list_keys = keys_of_list(question);
  screen_.choices =
      all_words ? whole_list(question, terminal_.style()) : short_list(question, terminal_.style());
  std::vector<std::string> keys;
  const bool marked = !question.marked.empty();
  if (marked) keys.push_back("Enter " + question.marked);
  put(question, std::move(keys));
  while (true) {
    const Key key = co_await press();
    const std::string pressed = key.kind == Key::Kind::text ? lower_case(key.text) : std::string();
    const std::size_t index = pressed.size() == 1 ? list_keys.find(pressed.front()) : std::string_view::npos;
    if (index != std::string::npos) co_return Answer{question.choices[index].key};
    if (marked && key.kind == Key::Kind::enter) co_return Answer{question.marked};
    if (key.is(key::help) && !all_words) {
      co_await pages(whole_list(question, terminal_.style()));
      continue;
    }
    const Common what = co_await common(question, key, "Press the key in front of your choice.");
    if (what == Common::back) co_return Answer{Back{}};
    if (what == Common::none) refuse(key, "Press one of the keys in the list.");
  }
}

Task<Answer> Prompt::point(const Question& question) {
  Pointer pointer(question);
  const session::Choice& none = question.choices.back();
  screen_.picture = [&pointer](const Style& style) { return pointer.drawn(style); };
  put(question, {"arrows, then Enter takes it", "n none of these"});
  while (true) {
    const Key key = co_await press();
    if (key.kind == Key::Kind::enter) co_return Answer{pointer.choice().key};
    if (key.is(none.cap)) co_return Answer{none.key};
    if (pointer.move(key.kind)) {
      live_.refresh();
      continue;
    }
    const Common what = co_await common(
        question, key,
        "The arrows move from word to word and from line to line; down goes into a word, up out again.");
    if (what == Common::back) co_return Answer{Back{}};
    if (what == Common::none) refuse(key, "Press an arrow, Enter, or n.");
  }
}

Task<std::string> Prompt::typed_line(const Question& question) {
  std::string text;
  while (true) {
    screen_.typed = "> " + last_of(text, std::min(terminal_.style().columns, widest_text) - 5);
    if (live_.is_live()) {
      live_.refresh();
    } else {
      terminal_.overwrite(*screen_.typed);
    }
    const std::optional<Duration> patience = live_.is_live() ? std::optional(look_again) : std::nullopt;
    const std::optional<Key> pressed = co_await terminal_.key_within(patience);
    if (!pressed || is_left_over(*pressed)) continue;
    // The word that is asked for begins with neither; any other text may.
    const bool acts = pressed->is(key::help) || (pressed->is(key::back) && question.may_go_back);
    if (acts && text.empty() && question.kind == Question::Kind::typed_word) co_return pressed->text;
    if (pressed->kind == Key::Kind::text && text.size() < longest_typed) text += pressed->text;
    if (pressed->kind == Key::Kind::backspace) text = without_last(text);
    if (pressed->kind == Key::Kind::erase_line) text.clear();
    if (pressed->kind == Key::Kind::escape && question.kind == Question::Kind::text && !question.word.empty())
      co_return question.word;
    if (pressed->kind == Key::Kind::tab && text.empty()) text = question.suggestion;
    // Whole, it says all that Enter could.
    if (question.kind == Question::Kind::typed_word && lower_case(text) == question.word) {
      if (!live_.is_live()) terminal_.finish_line();
      word_whole_ = std::chrono::steady_clock::now();
      co_return text;
    }
    if (pressed->kind != Key::Kind::enter) continue;
    if (trimmed(text).empty()) text = question.marked;
    if (!live_.is_live()) terminal_.finish_line();
    if (!trimmed(text).empty()) co_return std::string(trimmed(text));
    live_.trouble(question.suggestion.empty()
                      ? "Type it, then Enter."
                      : "Type it, or Tab for " + printable(question.suggestion) + ".");
  }
}

Task<Answer> Prompt::typed(const Question& question) {
  std::vector<std::string> keys;
  if (!question.marked.empty()) {
    keys.push_back("Enter " + printable(question.marked));
  } else if (question.kind == Question::Kind::text) {
    keys.emplace_back(question.is_command ? "Enter sends it" : "Enter takes it");
  }
  if (!question.suggestion.empty() && question.suggestion != question.marked)
    keys.push_back("Tab types \"" + printable(question.suggestion) + "\"");
  if (question.kind == Question::Kind::text && !question.word.empty())
    keys.push_back("Esc " + printable(question.word));
  if (question.kind == Question::Kind::text) keys.emplace_back("u, ?: then Enter");
  screen_.typed = "> ";
  put(question, std::move(keys));
  while (true) {
    const std::string text = co_await typed_line(question);
    screen_.error.clear();
    if (lower_case(text) == key::back && question.may_go_back) co_return Answer{Back{}};
    if (text == key::help) {
      live_.trouble(what_can_be_said(question));
      continue;
    }
    // Words that mean something in lines are a text like any other where a text is asked for.
    const bool is_text = question.kind == Question::Kind::text;
    const Reading reading = is_text ? read_text_answer(question, text) : read_words(question, text);
    if (std::holds_alternative<StopWanted>(reading)) throw StoppedByPerson();
    if (const auto* answer = std::get_if<Answer>(&reading)) {
      const Answer result = *answer;
      co_return result;
    }
    if (const auto* unread = std::get_if<Unread>(&reading)) live_.trouble(unread->why);
  }
}

// True where the pose has taken itself; false where a key is there to be read.
Task<bool> Prompt::held_until_key(const Question& question) {
  while (true) {
    const bool pressed = co_await terminal_.has_key();
    if (pressed) co_return false;
    const Question::Look look = co_await question.look();
    if (look.taken) terminal_.write("\a");
    screen_.busy = look.words;
    live_.refresh();
    if (look.taken && !live_.is_live()) terminal_.write(look.words + "\n");
    if (look.taken) co_return true;
  }
}

Task<Answer> Prompt::pose(const Question& question) {
  const std::string held = question.pose;
  if (!pose_picture(held, {}).empty())
    screen_.picture = [held](const Style& style) { return pose_picture(held, style); };
  put(question, {question.look ? "Space take it now" : "Space ready"});
  while (true) {
    if (question.look) {
      const bool taken = co_await held_until_key(question);
      if (taken) co_return Answer{std::string("ready")};
    }
    const Key key = co_await press();
    if (key.is(" ")) co_return Answer{std::string("ready")};
    const Common what = co_await common(question, key,
                                        "The poses show how the board is mounted. Hold it as drawn until "
                                        "it's taken, or press the space bar.");
    if (what == Common::back) co_return Answer{Back{}};
    if (what == Common::none) refuse(key, "Press the space bar once you hold it like this.");
  }
}

}  // namespace armwise::ui
