#include "armwise/ui/terminal_person.hpp"

#include <algorithm>
#include <chrono>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/ui/reading.hpp"
#include "statements.hpp"
#include "terminal_state.hpp"

namespace armwise::ui {

using session::Answer;
using session::Back;
using session::Question;
using session::Statement;

namespace {

// The keys of a list, in order: without u, which goes back.
constexpr std::string_view list_keys = "123456789abcdefghijklmnopqrstvwxyz";
// More choices than this are put as their names alone, side by side.
constexpr std::size_t longest_list = 7;
constexpr std::size_t longest_typed = 1000;
// How soon a new size of the window is noticed, and how fast an arc runs.
constexpr Duration look_again{120};

bool is_number(const std::string& key) {
  return key.find_first_not_of("0123456789") == std::string::npos;
}

// A number for a key says nothing that the words do not.
std::string choice_in_words(const session::Choice& choice) {
  if (is_number(choice.key) || choice.words == choice.key || choice.words.empty())
    return printable(choice.words.empty() ? choice.key : choice.words);
  return printable(choice.key) + ": " + printable(choice.words);
}

std::vector<Line> whole_list(const Question& question, const Style& style) {
  std::vector<Line> lines;
  for (std::size_t i = 0; i < std::min(question.choices.size(), list_keys.size()); ++i) {
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

// The names alone, in columns.
std::vector<Line> short_list(const Question& question, const Style& style) {
  std::size_t widest = 0;
  const std::size_t count = std::min(question.choices.size(), list_keys.size());
  for (std::size_t i = 0; i < count; ++i)
    widest = std::max(widest, printable(question.choices[i].key).size());
  const std::size_t cell = widest + 7;
  const std::size_t across = std::max<std::size_t>(1, static_cast<std::size_t>(style.columns - 1) / cell);
  std::vector<Line> lines;
  for (std::size_t i = 0; i < count; ++i) {
    if (i % across == 0) lines.emplace_back();
    const session::Choice& choice = question.choices[i];
    const std::string mark = choice.key == question.marked ? "*" : " ";
    lines.back().push_back({"  ", Ink::plain});
    lines.back().push_back({std::string(1, list_keys[i]), Ink::keycap});
    lines.back().push_back(
        {padded(" " + mark + printable(choice.key), static_cast<int>(cell) - 3), Ink::plain});
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

TerminalPerson::State::State(const boost::asio::any_io_executor& executor, int descriptor,
                             TerminalOptions given)
    : terminal(executor, descriptor, given.style),
      painter(terminal),
      options(std::move(given)),
      life(executor) {
  LearnedLetters learned = load_letters(options.keys_file);
  letters = learned.letters;
  letters_trouble = std::move(learned.trouble);
  if (options.onlooker) screen.banner = "practice: nothing can turn";
  waiting_since = std::chrono::steady_clock::now();
  if (painter.is_live()) keep_alive();
}

TerminalPerson::State::~State() {
  farewell();
}

TerminalPerson::TerminalPerson(const boost::asio::any_io_executor& executor, int terminal,
                               TerminalOptions options)
    : state_(std::make_unique<State>(executor, terminal, std::move(options))) {}

TerminalPerson::~TerminalPerson() = default;

void TerminalPerson::tell(const Statement& statement) {
  state_->tell(statement);
}

Task<Answer> TerminalPerson::ask(const Question& question) {
  const NoSignals ctrl_c_is_a_key(state_->terminal.descriptor());
  // A key that stopped a spin is its answer only where it came alone.
  if (state_->early) {
    const std::optional<Key> more = co_await state_->terminal.key_within(Duration{0});
    if (more || question.kind != Question::Kind::spin) state_->early.reset();
  }
  state_->terminal.forget_keys();
  state_->asking = true;
  std::exception_ptr trouble;
  Answer answer;
  try {
    answer = co_await state_->answer_to(question);
  } catch (...) {
    trouble = std::current_exception();
  }
  state_->asking = false;
  state_->early.reset();
  if (trouble) std::rethrow_exception(trouble);
  state_->answered(question, answer);
  // A key held a little too long is no answer to the next question, and must not end the next spin.
  state_->terminal.forget_keys();
  co_return answer;
}

Manner manner_of(const Question& question) {
  if (question.small) return Manner::small;
  switch (question.kind) {
    case Question::Kind::confirm:
      return Manner::yes_or_no;
    case Question::Kind::choose:
      break;
    case Question::Kind::typed_word:
    case Question::Kind::text:
      return Manner::typed;
    case Question::Kind::pose:
      return Manner::pose;
    case Question::Kind::go:
      return Manner::go;
    case Question::Kind::spin:
      return Manner::spin;
  }
  const bool in_picture =
      question.frame != nullptr && std::ranges::any_of(question.choices, [&](const session::Choice& choice) {
        return question.frame->find(choice.key).has_value();
      });
  return in_picture ? Manner::place : Manner::list;
}

Task<Answer> TerminalPerson::State::answer_to(const Question& question) {
  switch (manner_of(question)) {
    case Manner::yes_or_no:
      return confirm(question);
    case Manner::list:
      return choose(question);
    case Manner::place:
      return place(question);
    case Manner::small:
      return small(question);
    case Manner::typed:
      return typed(question);
    case Manner::pose:
      return pose(question);
    case Manner::go:
      return go(question);
    case Manner::spin:
      return spin(question);
  }
  throw Fault(FaultKind::internal, "A question of no known kind");
}

void TerminalPerson::State::put(const Question& question, std::vector<std::string> keys) {
  const Manner manner = manner_of(question);
  if (question.frame != nullptr && manner != Manner::place) round_frame = question.frame;
  if (manner == Manner::small) show_craft();
  screen.question = printable(question.text);
  screen.level = question.level;
  if (!why.empty()) keys.emplace_back("w why");
  if (!lines.empty()) keys.push_back("l the " + std::to_string(lines.size()) + " commands");
  screen.always = {"? help"};
  if (question.may_go_back) screen.always.insert(screen.always.begin(), "u back");
  if (!is_of_a_spin(question)) screen.where.clear();
  screen.keys = std::move(keys);
  screen.keys_stay = manner == Manner::pose;
  screen.busy.clear();
  screen.error.clear();
  show();
}

Task<TerminalPerson::State::Common> TerminalPerson::State::common(const Question& question, Key key,
                                                                  std::string help) {
  if (key.is(key::back)) {
    if (question.may_go_back) co_return Common::back;
    trouble("There is nothing to go back to from here.");
  } else if (key.is(key::help)) {
    trouble(help + " Ctrl-C ends the session: the motors are told to stop, and what isn't saved is undone.");
  } else if (key.is("w") && !why.empty()) {
    std::vector<Line> all;
    for (const std::string& sentence : why) {
      for (Line& line : wrapped_lines(sentence, Ink::plain, terminal.style(), " "))
        all.push_back(std::move(line));
      all.emplace_back();
    }
    co_await pages(std::move(all));
  } else if (key.is("l") && !lines.empty()) {
    std::vector<Line> all{{{" Commands to send:", Ink::strong}}};
    for (const std::string& line : lines) all.push_back({{"    " + line, Ink::plain}});
    co_await pages(std::move(all));
  } else if (key.is("m") && painter.is_live() && !screen.notes.empty()) {
    std::vector<Line> all;
    for (const Note& note : screen.notes) {
      for (Line& line : note_lines(note, terminal.style())) all.push_back(std::move(line));
    }
    co_await pages(std::move(all));
  } else {
    co_return Common::none;
  }
  co_return Common::handled;
}

void TerminalPerson::State::refuse(const Key& key, std::string_view instead) {
  const std::string what = key.kind == Key::Kind::enter ? "Enter chooses nothing here."
                                                        : "Not here: " + printable(key.in_words()) + ".";
  trouble(what + " " + std::string(instead));
}

// While nobody presses anything, arcs run on, and a new size of the window is looked for.
Task<Key> TerminalPerson::State::press() {
  while (true) {
    const std::optional<Duration> patience = painter.is_live() ? std::optional(look_again) : std::nullopt;
    const std::optional<Key> key = co_await terminal.key_within(patience);
    if (!key) {
      ++spinning.step;
      refresh();
      continue;
    }
    const bool alone = co_await terminal.was_alone();
    if (!alone) {
      trouble("That came faster than a hand types, so none of it counts. One key at a time.");
      continue;
    }
    screen.error.clear();
    co_return *key;
  }
}

Task<void> TerminalPerson::State::pages(std::vector<Line> content) {
  if (!painter.is_live()) {
    terminal.write("\n" + joined_lines(rendered_lines(content, terminal.style())));
    show();
    co_return;
  }
  Screen page;
  std::swap(page, screen);
  screen.title = page.title;
  screen.phases = page.phases;
  screen.phase = page.phase;
  const std::size_t rows = static_cast<std::size_t>(std::max(3, terminal.style().rows - 5));
  for (std::size_t at = 0; at < content.size(); at += rows) {
    const std::size_t end = std::min(content.size(), at + rows);
    screen.choices.assign(content.begin() + static_cast<std::ptrdiff_t>(at),
                          content.begin() + static_cast<std::ptrdiff_t>(end));
    screen.keys = {end < content.size() ? "any key: more" : "any key: back to the question"};
    show();
    co_await press();
  }
  std::swap(page, screen);
  show();
}

Task<Answer> TerminalPerson::State::confirm(const Question& question) {
  const bool marked = question.marked == "yes" || question.marked == "no";
  std::vector<std::string> keys{question.plan != nullptr ? "y write" : "y yes",
                                question.plan != nullptr ? "n stop" : "n no"};
  if (marked) keys.front() += "   Enter " + question.marked;
  put(question, std::move(keys));
  while (true) {
    const Key key = co_await press();
    if (key.is("y") || key.is("n")) co_return Answer{std::string(key.is("y") ? "yes" : "no")};
    if (marked && key.kind == Key::Kind::enter) co_return Answer{question.marked};
    const Common what =
        co_await common(question, key, "Press y for yes or n for no, one key, without Enter.");
    if (what == Common::back) co_return Answer{Back{}};
    if (what == Common::none) refuse(key, "Press y or n.");
  }
}

Task<Answer> TerminalPerson::State::choose(const Question& question) {
  const bool all_words = question.choices.size() <= longest_list;
  screen.choices =
      all_words ? whole_list(question, terminal.style()) : short_list(question, terminal.style());
  std::vector<std::string> keys;
  const bool marked = !question.marked.empty();
  if (marked) keys.push_back("Enter " + question.marked);
  put(question, std::move(keys));
  const std::size_t count = std::min(question.choices.size(), list_keys.size());
  while (true) {
    const Key key = co_await press();
    const std::string pressed = key.kind == Key::Kind::text ? lower_case(key.text) : std::string();
    const std::size_t index = pressed.size() == 1 ? list_keys.find(pressed.front()) : std::string_view::npos;
    if (index < count) co_return Answer{question.choices[index].key};
    if (marked && key.kind == Key::Kind::enter) co_return Answer{question.marked};
    if (key.is(key::help) && !all_words) {
      co_await pages(whole_list(question, terminal.style()));
      continue;
    }
    const Common what = co_await common(question, key, "Press the key in front of your choice.");
    if (what == Common::back) co_return Answer{Back{}};
    if (what == Common::none) refuse(key, "Press one of the keys in the list.");
  }
}

Task<std::string> TerminalPerson::State::typed_line(const Question& question) {
  std::string text;
  while (true) {
    screen.typed = "> " + last_of(text, std::min(terminal.style().columns, widest_text) - 5);
    if (painter.is_live()) {
      refresh();
    } else {
      terminal.overwrite(*screen.typed);
    }
    const std::optional<Duration> patience = painter.is_live() ? std::optional(look_again) : std::nullopt;
    const std::optional<Key> pressed = co_await terminal.key_within(patience);
    if (!pressed) continue;
    // The word that is asked for begins with neither; any other text may.
    const bool acts = pressed->is(key::help) || (pressed->is(key::back) && question.may_go_back);
    if (acts && text.empty() && question.kind == Question::Kind::typed_word) co_return pressed->text;
    if (pressed->kind == Key::Kind::text && text.size() < longest_typed) text += pressed->text;
    if (pressed->kind == Key::Kind::backspace) text = without_last(text);
    if (pressed->kind == Key::Kind::erase_line) text.clear();
    if (pressed->kind == Key::Kind::tab && text.empty()) text = question.suggestion;
    if (pressed->kind != Key::Kind::enter) continue;
    if (trimmed(text).empty()) text = question.marked;
    if (!painter.is_live()) terminal.finish_line();
    if (!trimmed(text).empty()) co_return std::string(trimmed(text));
    trouble(question.suggestion.empty() ? "Type it, then Enter."
                                        : "Type it, or Tab for " + printable(question.suggestion) + ".");
  }
}

Task<Answer> TerminalPerson::State::typed(const Question& question) {
  std::vector<std::string> keys{question.marked.empty() ? "Enter sends it"
                                                        : "Enter " + printable(question.marked)};
  if (!question.suggestion.empty() && question.suggestion != question.marked)
    keys.push_back("Tab " + printable(question.suggestion));
  if (question.kind == Question::Kind::text) keys.emplace_back("u, ?: then Enter");
  screen.typed = "> ";
  put(question, std::move(keys));
  while (true) {
    const std::string text = co_await typed_line(question);
    screen.error.clear();
    if (lower_case(text) == key::back && question.may_go_back) co_return Answer{Back{}};
    if (text == key::help) {
      trouble(what_can_be_said(question));
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
    if (const auto* unread = std::get_if<Unread>(&reading)) trouble(unread->why);
  }
}

// True where the pose has taken itself; false where a key is there to be read.
Task<bool> TerminalPerson::State::held_until_key(const Question& question) {
  while (true) {
    const bool pressed = co_await terminal.has_key();
    if (pressed) co_return false;
    const Question::Look look = co_await question.look();
    if (look.taken) terminal.write("\a");
    screen.busy = look.words;
    refresh();
    if (look.taken && !painter.is_live()) terminal.write(look.words + "\n");
    if (look.taken) co_return true;
  }
}

Task<Answer> TerminalPerson::State::pose(const Question& question) {
  const std::string held = question.pose;
  if (!pose_picture(held, {}).empty())
    screen.picture = [held](const Style& style) { return pose_picture(held, style); };
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
