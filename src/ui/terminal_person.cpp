#include "armwise/ui/terminal_person.hpp"

#include <algorithm>
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

std::string leave_keys(const Question& question) {
  return question.may_go_back ? "   u: back   ?: help" : "   ?: help";
}

// Before the first spin, so that nobody is asked while a motor has just turned; where no arm will be asked
// for, it does not matter.
bool needs_the_nose(const Question& question) {
  return question.kind == Question::Kind::spin || (question.id == "props-off" && question.frame != nullptr);
}

bool is_number(const std::string& key) {
  return key.find_first_not_of("0123456789") == std::string::npos;
}

// A number for a key says nothing that the words do not.
std::string in_words(const session::Choice& choice) {
  if (is_number(choice.key) || choice.words == choice.key) return printable(choice.words);
  return printable(choice.key) + ": " + printable(choice.words);
}

}  // namespace

TerminalPerson::State::State(const boost::asio::any_io_executor& executor, int descriptor,
                             TerminalOptions given)
    : terminal(executor, descriptor, given.style), options(std::move(given)) {
  LearnedLetters learned = load_letters(options.keys_file);
  letters = learned.letters;
  letters_trouble = std::move(learned.trouble);
}

TerminalPerson::TerminalPerson(const boost::asio::any_io_executor& executor, int terminal,
                               TerminalOptions options)
    : state_(std::make_unique<State>(executor, terminal, std::move(options))) {}

TerminalPerson::~TerminalPerson() = default;

void TerminalPerson::tell(const Statement& statement) {
  if (statement.level == session::Level::alarm) state_->terminal.write("\a");
  state_->terminal.write(joined_lines(lines_of(statement, Shown::with_pictures, state_->terminal.style())));
}

Task<Answer> TerminalPerson::ask(const Question& question) {
  const NoSignals ctrl_c_is_a_key(state_->terminal.descriptor());
  const FreshLine fresh_line(state_->terminal);
  state_->terminal.forget_keys();
  if (needs_the_nose(question) && !state_->nose) {
    const bool known = co_await state_->ask_nose(question);
    if (!known) co_return Answer{Back{}};
    state_->terminal.forget_keys();
  }
  Answer answer = co_await state_->answer_to(question);
  // A key held a little too long is no answer to the next question, and must not end the next spin.
  state_->terminal.forget_keys();
  co_return answer;
}

Task<Answer> TerminalPerson::State::answer_to(const Question& question) {
  switch (question.kind) {
    case Question::Kind::confirm:
      return confirm(question);
    case Question::Kind::choose:
      return asks_for_a_place(question) ? place(question) : choose(question);
    case Question::Kind::typed_word:
    case Question::Kind::text:
      return typed(question);
    case Question::Kind::go:
      return go(question);
    case Question::Kind::spin:
      return spin(question);
    case Question::Kind::pose:
      return pose(question);
  }
  throw Fault(FaultKind::internal, "A question of no known kind");
}

TerminalPerson::State::Common TerminalPerson::State::common(const Question& question, const Key& key,
                                                            std::string_view help) {
  if (key.is(key::back)) {
    if (question.may_go_back) {
      terminal.overwrite("Back.");
      terminal.finish_line();
      return Common::back;
    }
    terminal.finish_line();
    terminal.line("There is no way back from here.");
    return Common::handled;
  }
  if (key.is(key::help)) {
    terminal.finish_line();
    terminal.line(help);
    terminal.line(
        "Ctrl-C ends the session: the motors are told to stop, and what is not kept is taken back or said.");
    return Common::handled;
  }
  return Common::none;
}

void TerminalPerson::State::refuse(const Key& key, std::string_view instead) {
  terminal.finish_line();
  const std::string what = key.kind == Key::Kind::enter ? "Enter alone chooses nothing."
                                                        : printable(key.in_words()) + " is no answer here.";
  std::string sentence = what + " " + std::string(instead);
  if (sentence.front() >= 'a' && sentence.front() <= 'z')
    sentence.front() = static_cast<char>(sentence.front() - 'a' + 'A');
  terminal.line(sentence, Ink::strong);
}

Task<Key> TerminalPerson::State::press(std::string prompt) {
  // On a narrow terminal the hints get lines of their own, or they would be cut off.
  if (columns_of(prompt) + 2 > terminal.style().columns) {
    terminal.line(prompt);
    prompt = ">";
  }
  while (true) {
    terminal.overwrite(prompt + " ");
    const std::optional<Key> key = co_await terminal.lone_key();
    if (key) co_return *key;
    terminal.finish_line();
    terminal.line("That came faster than a hand types, so none of it counts. One key at a time.",
                  Ink::strong);
  }
}

void TerminalPerson::State::echo(std::string_view prompt, std::string_view answer) {
  terminal.overwrite(std::string(prompt) + " " + printable(answer));
  terminal.finish_line();
}

void TerminalPerson::State::put(const Question& question) {
  terminal.write("\n");
  const Ink ink = question.level == session::Level::danger ? Ink::wrong : Ink::strong;
  terminal.line(prefix_of(question.level) + printable(question.text), ink);
}

Task<Answer> TerminalPerson::State::confirm(const Question& question) {
  put(question);
  const std::string prompt = "y: yes   n: no" + leave_keys(question) + "  >";
  while (true) {
    const Key key = co_await press(prompt);
    const Common what = common(question, key, "Press y for yes or n for no, one key, without Enter.");
    if (what == Common::back) co_return Answer{Back{}};
    if (what == Common::handled) continue;
    if (key.is("y") || key.is("n")) {
      const std::string answer = key.is("y") ? "yes" : "no";
      echo(prompt, answer);
      co_return Answer{answer};
    }
    refuse(key, "Press y or n.");
  }
}

Task<Answer> TerminalPerson::State::choose(const Question& question) {
  put(question);
  const std::size_t count = std::min(question.choices.size(), list_keys.size());
  for (std::size_t i = 0; i < count; ++i) {
    const session::Choice& choice = question.choices[i];
    const std::string text = in_words(choice);
    std::vector<std::string> lines = wrapped(text, terminal.style().columns, "     ");
    lines.front().replace(0, 5, "  " + std::string(1, list_keys[i]) + "  ");
    terminal.write(joined_lines(lines));
  }
  const std::string prompt = "Press its key." + leave_keys(question) + "  >";
  while (true) {
    const Key key = co_await press(prompt);
    const Common what = common(question, key, "Press the key that stands before what you choose.");
    if (what == Common::back) co_return Answer{Back{}};
    if (what == Common::handled) continue;
    const std::string pressed = key.kind == Key::Kind::text ? lower_case(key.text) : std::string();
    const std::size_t index = pressed.size() == 1 ? list_keys.find(pressed.front()) : std::string_view::npos;
    if (index < count) {
      const session::Choice& chosen = question.choices[index];
      echo("Chosen:", is_number(chosen.key) ? chosen.words : chosen.key);
      co_return Answer{question.choices[index].key};
    }
    refuse(key, "Press one of the keys at the left of the list.");
  }
}

Task<Answer> TerminalPerson::State::typed(const Question& question) {
  put(question);
  std::string hint = question.may_go_back ? "Enter sends it; u and Enter goes back." : "Enter sends it.";
  if (!question.suggestion.empty()) hint += " Tab puts \"" + printable(question.suggestion) + "\" there.";
  terminal.line(hint);
  while (true) {
    const std::string text = co_await terminal.typed_line("> ", question.suggestion);
    if (lower_case(text) == key::back && question.may_go_back) co_return Answer{Back{}};
    if (text == key::help) {
      terminal.line(what_can_be_said(question));
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
    if (const auto* unread = std::get_if<Unread>(&reading)) terminal.line(unread->why, Ink::strong);
  }
}

Task<Answer> TerminalPerson::State::pose(const Question& question) {
  put(question);
  // The text says how to hold the board; "pose" is a craft's.
  if (!question.pose.empty() && !question.pose.starts_with("board-"))
    terminal.line("Pose: " + printable(question.pose), Ink::strong);
  const std::string prompt = "Space bar: ready" + leave_keys(question) + "  >";
  while (true) {
    const Key key = co_await press(prompt);
    const Common what = common(question, key, "Hold the craft so, keep it still, and press the space bar.");
    if (what == Common::back) co_return Answer{Back{}};
    if (what == Common::handled) continue;
    if (key.is(" ")) {
      echo(prompt, "ready");
      co_return Answer{std::string("ready")};
    }
    refuse(key, "Press the space bar when you hold it so.");
  }
}

// Space alone spins: whoever presses another key has something else in mind, or their eyes on the keys.
Task<Answer> TerminalPerson::State::go(const Question& question) {
  terminal.write("\n");
  terminal.line(printable(question.text) + " Space spins " + spun_by(question) + ".", Ink::strong);
  const std::string prompt = "Space: spin" + leave_keys(question) + "  >";
  while (true) {
    const Key key = co_await press(prompt);
    const Common what =
        common(question, key, "Look at the craft, then press the space bar. Any key stops the motor.");
    if (what == Common::back) co_return Answer{Back{}};
    if (what == Common::handled) continue;
    if (key.is(" ")) {
      echo(prompt, "spin");
      co_return Answer{std::string("spin")};
    }
    refuse(key, "Only Space spins.");
  }
}

}  // namespace armwise::ui
