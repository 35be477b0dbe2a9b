// What stands on the terminal's screen between the answers: what was said, what is waited for, and what stays
// behind at the end.
#include <algorithm>

#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/ui/reading.hpp"
#include "statements.hpp"
#include "terminal_state.hpp"
#include "told.hpp"

namespace armwise::ui {

using session::Answer;
using session::Level;
using session::Question;
using session::Statement;

namespace {

constexpr Duration sign_of_life{200};
constexpr Duration worth_a_word{500};
constexpr std::string_view second_word = "; ";

std::vector<std::string> sentences_of(const std::string& text) {
  std::vector<std::string> all;
  std::size_t at = 0;
  while (at <= text.size()) {
    const std::size_t end = std::min(text.find('\n', at), text.size());
    all.push_back(printable(std::string_view(text).substr(at, end - at)));
    at = end + 1;
  }
  return all;
}

std::string label_of(const Question& question) {
  std::string label = question.label.empty() ? question.id : question.label;
  std::replace(label.begin(), label.end(), '-', ' ');
  return label;
}

}  // namespace

bool is_of_a_spin(const Question& question) {
  const Manner manner = manner_of(question);
  return manner == Manner::go || manner == Manner::spin || manner == Manner::small;
}

void TerminalPerson::State::show() {
  if (painter.is_live()) {
    painter.show(screen, true);
  } else {
    std::string text =
        joined_lines(rendered_lines(on_paper(screen, terminal.style()).lines, terminal.style()));
    if (screen.typed) text.pop_back();
    terminal.write(text);
  }
}

void TerminalPerson::State::refresh() {
  if (painter.is_live()) painter.show(screen, false);
}

void TerminalPerson::State::trouble(std::string sentence) {
  screen.error = std::move(sentence);
  if (painter.is_live()) {
    refresh();
    return;
  }
  for (const std::string& line : wrapped(screen.error, terminal.style().columns)) terminal.write(line + "\n");
}

void TerminalPerson::State::tell(const Statement& statement) {
  if (statement.level == Level::alarm) terminal.write("\a");
  if (statement.kind == Statement::Kind::phase) {
    screen.title = printable(statement.text);
    screen.phases = statement.phases;
    screen.phase = statement.step;
    screen.where.clear();
    refresh();
    return;
  }
  if (painter.is_live()) {
    tell_on_screen(statement);
    refresh();
    return;
  }
  terminal.write(joined_lines(lines_of(statement, Shown::with_pictures, terminal.style())));
}

void TerminalPerson::State::tell_on_screen(const Statement& statement) {
  waiting_since = std::chrono::steady_clock::now();
  const std::string text = printable(statement.text);
  if (!statement.views.empty()) {
    screen.picture = [views = statement.views](const Style& style) { return craft_pictures(views, style); };
    screen.aside.clear();
  }
  switch (statement.kind) {
    case Statement::Kind::wrote:
    case Statement::Kind::progress:
      waiting_for = statement.of > 0 ? "[" + std::to_string(statement.step) + " of " +
                                           std::to_string(statement.of) + "] " + text
                                     : text;
      screen.busy = waiting_for;
      return;
    case Statement::Kind::found:  // the picture says it
      waiting_for.clear();
      return;
    case Statement::Kind::why:
      for (std::string& sentence : sentences_of(statement.text)) why.push_back(std::move(sentence));
      return;
    case Statement::Kind::plan:
      screen.facts = plan_lines(statement, terminal.style());
      for (const std::string& line : statement.console_lines) lines.push_back(printable(line));
      for (const solve::Change& change : statement.plan->changes) why.push_back(printable(change.reason));
      return;
    case Statement::Kind::done:
      if (!statement.marks.empty()) {
        screen.picture = [statement](const Style& style) { return end_box(statement, style); };
        screen.facts.clear();
        for (const std::string& next : statement.next)
          screen.facts.push_back({{"  " + printable(next), Ink::plain}});
      }
      screen.question.clear();
      break;
    default:
      break;
  }
  waiting_for.clear();
  waiting_within = Duration{0};
  if (statement.within > Duration{0}) {
    waiting_since = std::chrono::steady_clock::now();
    waiting_for = text;
    waiting_within = statement.within;
    screen.busy.clear();  // until it has lasted a while
    return;
  }
  if (!statement.text.empty()) screen.notes.push_back({sentences_of(statement.text), statement.level});
  for (const std::string& line : statement.console_lines)
    screen.notes.push_back({{"    " + printable(line)}, Level::info});
}

namespace {

// "ready" and the word itself say nothing that its name does not.
std::string answer_folded(const Question& question, const Answer& answer) {
  switch (question.kind) {
    case Question::Kind::pose:
      return question.id == "pose" ? question.pose : std::string();
    case Question::Kind::typed_word:
      return {};
    default:
      return in_words(question, answer);
  }
}

}  // namespace

void TerminalPerson::State::fold(const Question& question, const std::string& answer) {
  // A second word about a spin goes behind the first, and so does another pose.
  const std::string label = label_of(question);
  const Manner manner = manner_of(question);
  const bool goes_behind = manner == Manner::small || (manner == Manner::pose && !screen.folded.empty() &&
                                                       screen.folded.back().starts_with(label + " "));
  if (goes_behind && painter.is_live() && !transcript.empty() && !screen.folded.empty()) {
    const bool is_whole = question.kind != Question::Kind::confirm;
    const std::string more = std::string(second_word) + (is_whole ? answer : label + " " + answer);
    screen.folded.back() += more;
    transcript.back() += more;
    return;
  }
  const std::string line = padded(label, 12) + " " + answer;
  screen.folded.push_back(line);
  transcript.push_back(std::string(glyphs_of(terminal.style()).good) + " " + line);
  if (!painter.is_live()) terminal.write(" " + transcript.back() + "\n");
}

// The last answer was taken back.
void TerminalPerson::State::unfold() {
  if (screen.folded.empty()) return;
  std::string& last = screen.folded.back();
  const std::size_t more = last.rfind(second_word);
  if (more == std::string::npos) {
    screen.folded.pop_back();
  } else {
    last.resize(more);
  }
}

// An answered question leaves one line; what was said before it has been read.
void TerminalPerson::State::answered(const Question& question, const Answer& answer) {
  const bool spins = is_of_a_spin(question);
  const bool back = std::holds_alternative<session::Back>(answer);
  if (back) unfold();
  if (!back && question.kind != Question::Kind::go) fold(question, answer_folded(question, answer));
  for (const Note& note : screen.notes) {
    if (note.level == Level::info) continue;
    for (const std::string& sentence : note.lines) transcript.push_back("! " + sentence);
  }
  screen.notes.clear();
  screen.choices.clear();
  screen.facts.clear();
  if (!screen.keys_stay) screen.keys.clear();
  screen.question.clear();
  screen.error.clear();
  screen.typed.reset();
  why.clear();
  lines.clear();
  if (!spins) {
    screen.picture = nullptr;
    screen.aside.clear();
    screen.aside_columns = 0;
  }
  waiting_since = std::chrono::steady_clock::now();
  waiting_for = printable(question.then);
  waiting_within = Duration{0};
  screen.busy = waiting_for;
}

// A flow may be waiting for the controller: what for and for how long is always seen.
void TerminalPerson::State::keep_alive() {
  life.expires_after(sign_of_life);
  life.async_wait([this, still = std::weak_ptr<char>(alive)](const boost::system::error_code& error) {
    if (error || still.expired()) return;
    const auto waited =
        std::chrono::duration_cast<Duration>(std::chrono::steady_clock::now() - waiting_since);
    if (!asking && waited >= worth_a_word) {
      static constexpr std::string_view signs = "|/-\\";
      const std::string sign(
          1, signs[static_cast<std::size_t>(waited.count() / sign_of_life.count()) % signs.size()]);
      screen.busy = sign + "  " + (waiting_for.empty() ? "Waiting for the controller." : waiting_for) + "  " +
                    std::to_string(waited.count() / 1000) + " s";
      if (waiting_within > waited)
        screen.busy += " of at most " + std::to_string(waiting_within.count() / 1000);
      refresh();
    }
    keep_alive();
  });
}

// What stays in the terminal's own memory of lines: what was answered, and how it ended.
void TerminalPerson::State::farewell() {
  alive.reset();
  if (!painter.is_live()) return;
  painter.leave();
  screen.keys.clear();
  screen.always.clear();
  screen.question.clear();
  screen.typed.reset();
  screen.busy.clear();
  const Style style = terminal.style();
  std::string text;
  for (const std::string& line : transcript) {
    for (const std::string& part : wrapped(line, std::min(style.columns, widest_text))) text += part + "\n";
  }
  text += joined_lines(rendered_lines(on_paper(screen, style).lines, style));
  terminal.write(text);
}

}  // namespace armwise::ui
