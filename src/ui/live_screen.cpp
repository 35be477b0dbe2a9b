#include "live_screen.hpp"

#include <algorithm>
#include <utility>

#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/ui/reading.hpp"
#include "manner.hpp"
#include "statements.hpp"
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

LiveScreen::LiveScreen(const boost::asio::any_io_executor& executor, Terminal& terminal, std::string banner)
    : terminal_(terminal), painter_(terminal), life_(executor) {
  screen.header.banner = std::move(banner);
  if (is_live()) keep_alive();
}

void LiveScreen::show() {
  if (is_live()) {
    painter_.show(screen, true);
  } else {
    std::string text =
        joined_lines(rendered_lines(on_paper(screen, terminal_.style()).lines, terminal_.style()));
    if (screen.typed) text.pop_back();
    terminal_.write(text);
  }
}

void LiveScreen::refresh() {
  if (is_live()) painter_.show(screen, false);
}

void LiveScreen::trouble(std::string sentence) {
  screen.error = std::move(sentence);
  if (is_live()) {
    refresh();
    return;
  }
  for (const std::string& line : wrapped(screen.error, terminal_.style().columns))
    terminal_.write(line + "\n");
}

void LiveScreen::put(const Question& question, std::vector<std::string> keys) {
  // Asked again at once: that answer was not taken.
  if (!folded_last_.empty() && folded_last_ == question.id + question.text) unfold();
  folded_last_.clear();
  screen.question = printable(question.text);
  screen.level = question.level;
  if (!behind_.why.empty()) keys.emplace_back("w why");
  if (!behind_.commands.empty())
    keys.push_back(behind_.commands.size() == 1
                       ? std::string("l the command")
                       : "l the " + std::to_string(behind_.commands.size()) + " commands");
  screen.header.always = {"? help"};
  if (question.may_go_back) screen.header.always.insert(screen.header.always.begin(), "u back");
  if (!is_of_a_spin(question)) screen.header.where.clear();
  screen.keys = std::move(keys);
  screen.keys_stay = manner_of(question) == Manner::pose;
  screen.busy.clear();
  screen.error.clear();
  show();
}

void LiveScreen::tell(const Statement& statement) {
  if (statement.level == Level::alarm) terminal_.write("\a");
  if (statement.kind == Statement::Kind::phase) {
    screen.header.title = printable(statement.text);
    screen.header.phases = statement.phases;
    screen.header.phase = statement.step;
    screen.header.where.clear();
    refresh();
    return;
  }
  if (is_live()) {
    tell_on_screen(statement);
    refresh();
    return;
  }
  terminal_.write(joined_lines(lines_of(statement, Shown::with_pictures, terminal_.style())));
}

void LiveScreen::tell_on_screen(const Statement& statement) {
  waiting_.since = std::chrono::steady_clock::now();
  const std::string text = printable(statement.text);
  if (!statement.views.empty()) {
    screen.picture = [views = statement.views](const Style& style) { return craft_pictures(views, style); };
    screen.aside.clear();
    screen.aside_columns = screen.rows_below = 0;
  }
  switch (statement.kind) {
    case Statement::Kind::wrote:
    case Statement::Kind::progress:
      waiting_.what = statement.of > 0 ? "[" + std::to_string(statement.step) + " of " +
                                             std::to_string(statement.of) + "] " + text
                                       : text;
      screen.busy = waiting_.what;
      return;
    case Statement::Kind::found:  // the picture says it
      waiting_.what.clear();
      return;
    case Statement::Kind::why:
      for (std::string& sentence : sentences_of(statement.text)) behind_.why.push_back(std::move(sentence));
      return;
    case Statement::Kind::plan:
      screen.facts = plan_lines(statement, terminal_.style());
      for (const std::string& line : statement.console_lines) behind_.commands.push_back(printable(line));
      for (const solve::Change& change : statement.plan->changes)
        behind_.why.push_back(printable(change.reason));
      return;
    case Statement::Kind::done:
      if (!statement.marks.empty()) {
        screen.picture = [statement](const Style& style) { return end_box(statement, style); };
        done_ = true;
        screen.facts.clear();
        for (const std::string& next : statement.next)
          screen.facts.push_back({{"  " + printable(next), Ink::plain}});
      }
      screen.question.clear();
      break;
    default:
      break;
  }
  waiting_.what.clear();
  waiting_.within = Duration{0};
  if (statement.within > Duration{0}) {
    waiting_.since = std::chrono::steady_clock::now();
    waiting_.what = text;
    waiting_.within = statement.within;
    screen.busy.clear();  // until it has lasted a while
    return;
  }
  if (!statement.text.empty()) note(statement);
  for (const std::string& line : statement.console_lines)
    screen.notes.push_back({{"    " + printable(line)}, Level::info});
}

namespace {

// "ready" and the word itself say nothing that its name does not, nor does a number for a key.
std::string answer_folded(const Question& question, const Answer& answer) {
  const auto* key = std::get_if<std::string>(&answer);
  const auto chosen = std::find_if(question.choices.begin(), question.choices.end(),
                                   [&](const session::Choice& choice) { return key && choice.key == *key; });
  if (chosen != question.choices.end() && chosen->where) {
    const session::PlaceInText& where = *chosen->where;
    return printable(question.shown[where.line].substr(where.begin, where.end - where.begin));
  }
  switch (question.kind) {
    case Question::Kind::pose:
      return question.id == "pose" ? question.pose : "done";
    case Question::Kind::typed_word:
      return {};
    default:
      return in_words(question, answer);
  }
}

}  // namespace

void LiveScreen::fold(const Question& question, const std::string& answer) {
  // A second word about a spin goes behind the first, and so does another pose.
  const std::string label = label_of(question);
  const Manner manner = manner_of(question);
  const bool goes_behind = manner == Manner::small || (manner == Manner::pose && !screen.folded.empty() &&
                                                       screen.folded.back().words.starts_with(label + " "));
  if (goes_behind && is_live() && !transcript_.empty() && !screen.folded.empty()) {
    const bool is_pose = manner == Manner::pose;
    const std::string more = std::string(second_word) + (is_pose ? answer : label + " " + answer);
    screen.folded.back().words += more;
    transcript_.back() += more;
    return;
  }
  const bool may_be_refused =
      question.kind == Question::Kind::text || question.kind == Question::Kind::choose;
  if (may_be_refused) folded_last_ = question.id + question.text;
  const std::string line = padded(label, 12) + " " + answer;
  screen.folded.push_back({line, !is_of_a_spin(question)});
  transcript_.push_back(std::string(glyphs_of(terminal_.style()).good) + " " + line);
  if (!is_live()) terminal_.write(" " + transcript_.back() + "\n");
}

// The last answer was taken back.
void LiveScreen::unfold() {
  if (screen.folded.empty()) return;
  std::string& last = screen.folded.back().words;
  const std::size_t more = last.rfind(second_word);
  if (more == std::string::npos) {
    screen.folded.pop_back();
  } else {
    last.resize(more);
  }
}

void LiveScreen::note_in_transcript(const Note& note) {
  if (note.level == Level::info) return;
  for (const std::string& sentence : note.lines) transcript_.push_back("! " + sentence);
}

// An alarm that is said again stands in place of the last; one that is over is no longer on the screen.
void LiveScreen::note(const Statement& statement) {
  const bool over = statement.id == "stop-found";
  std::erase_if(screen.notes, [&](const Note& note) {
    const bool gone = note.level == Level::alarm && (over || note.id == statement.id);
    if (gone) note_in_transcript(note);
    return gone;
  });
  screen.notes.push_back({sentences_of(statement.text), statement.level, statement.id});
}

// An answered question leaves one line; what was said before it has been read.
void LiveScreen::answered(const Question& question, const Answer& answer) {
  const bool spins = is_of_a_spin(question);
  const bool back = std::holds_alternative<session::Back>(answer);
  if (back && without_line_ > 0) {
    --without_line_;
  } else if (back) {
    unfold();
  } else if (!question.leaves_a_line) {
    ++without_line_;
  } else if (question.kind != Question::Kind::go) {
    fold(question, answer_folded(question, answer));
    without_line_ = 0;
  }
  for (const Note& note : screen.notes) note_in_transcript(note);
  screen.notes.clear();
  screen.choices.clear();
  screen.facts.clear();
  if (!screen.keys_stay) screen.keys.clear();
  screen.question.clear();
  screen.error.clear();
  screen.typed.reset();
  behind_ = {};
  if (!spins) {
    screen.picture = nullptr;
    screen.aside.clear();
    screen.aside_columns = screen.rows_below = 0;
  }
  wait_for(printable(question.then));
  screen.busy = waiting_.what;
}

void LiveScreen::person_is_asked() {
  waiting_.is_on = false;
}

void LiveScreen::wait_for(std::string what, Duration within) {
  waiting_ = Waiting{true, std::chrono::steady_clock::now(), std::move(what), within};
}

// A flow may be waiting for the controller: what for and for how long is always seen.
void LiveScreen::keep_alive() {
  life_.expires_after(sign_of_life);
  life_.async_wait([this, still = std::weak_ptr<char>(alive_)](const boost::system::error_code& error) {
    if (error || still.expired()) return;
    const auto waited =
        std::chrono::duration_cast<Duration>(std::chrono::steady_clock::now() - waiting_.since);
    if (waiting_.is_on && waited >= worth_a_word) {
      static constexpr std::string_view signs = "|/-\\";
      const std::string sign(
          1, signs[static_cast<std::size_t>(waited.count() / sign_of_life.count()) % signs.size()]);
      screen.busy = sign + "  " + (waiting_.what.empty() ? "Waiting for the controller." : waiting_.what) +
                    "  " + std::to_string(waited.count() / 1000) + " s";
      if (waiting_.within > waited)
        screen.busy += ", at most " + std::to_string(waiting_.within.count() / 1000);
      refresh();
    }
    keep_alive();
  });
}

// What stays in the terminal's own memory of lines: what was answered, and how it ended.
void LiveScreen::leave() {
  alive_.reset();
  if (!is_live()) return;
  painter_.leave();
  screen.keys.clear();
  screen.header.always.clear();
  screen.question.clear();
  screen.typed.reset();
  screen.busy.clear();
  if (!done_) {
    screen.picture = nullptr;
    screen.aside.clear();
  }
  const Style style = terminal_.style();
  std::string text;
  for (const std::string& line : transcript_) {
    std::vector<std::string> parts = wrapped(line, std::min(style.columns, widest_text), "  ");
    parts.front().erase(0, 2);
    text += joined_lines(parts);
  }
  text += joined_lines(rendered_lines(on_paper(screen, style).lines, style));
  terminal_.write(text);
}

}  // namespace armwise::ui
