// From an outcome to the bytes of an answer, mischief included.
#include <array>
#include <utility>

#include "armwise/base/text.hpp"
#include "controller_inside.hpp"

namespace armwise::practice {
namespace {

constexpr std::size_t lines_of_a_page = 20;

bool is_json(const console::Template& line) {
  return !line.empty() && !line.pieces().front().blank && line.pieces().front().text.starts_with('{');
}

}  // namespace

// A line of its own that the tool must pass over; empty where the profile would take it for an answer.
std::string PracticeController::Inside::small_talk(const std::string& line) const {
  return grammar.means_something(line) ? std::string() : line + eol_;
}

std::string PracticeController::Inside::refusal_line(Refusal refusal, const std::string& line) const {
  if (profile.refusals.empty()) return std::string(in_words(refusal));
  const bool unknown = refusal == Refusal::unknown_command;
  const console::Template& said = unknown ? profile.refusals.front() : profile.refusals.back();
  std::string reason(in_words(refusal));
  if (is_json(said)) {
    reason = "\"" + reason + "\"}";
  } else if (unknown) {
    reason = printable(line);
  }
  console::Values values;
  for (const console::Piece& piece : said.pieces()) {
    const bool takes_text = piece.type == console::BlankType::rest || piece.type == console::BlankType::text;
    if (piece.blank && takes_text) values[piece.text] = reason;
  }
  return filled(said, values).value_or(std::string(in_words(refusal)));
}

// Where a line ends every answer, an answer that does not end so by itself is given one.
void PracticeController::Inside::add_reply_end(std::vector<std::string>& lines) const {
  if (!profile.open.reply_end) return;
  const console::Template& end = *profile.open.reply_end;
  if (!lines.empty() && end.match(lines.back(), profile.case_sensitive)) return;
  console::Values values;
  if (is_json(end)) values["rest"] = "\"ok\"}";
  if (auto line = filled(end, values)) lines.push_back(std::move(*line));
}

// One object for the whole listing, where the profile reads it so.
void PracticeController::Inside::fold_listing(const Phrase& phrase, Outcome& outcome) const {
  if (phrase.act != Act::list_everything) return;
  if (mischief.strikes_listing(Mischief::listing_cut_short)) outcome.lines.resize(outcome.lines.size() / 2);
  if (phrase.query->lines.empty() || !is_json(phrase.query->lines.front())) return;
  const std::string all = "\"entries\":[" + joined(outcome.lines, ",") + "]}";
  if (auto line = filled(phrase.query->lines.front(), {{"rest", all}})) outcome.lines = {std::move(*line)};
}

// What rises before each line, as a time does.
std::string PracticeController::Inside::stamped(const std::string& line) {
  std::string text;
  if (!profile.open.stamp) return line;
  ++lines_said_;
  for (const console::Piece& piece : profile.open.stamp->pieces())
    text += !piece.blank                                ? piece.text
            : piece.type == console::BlankType::letters ? "I"
                                                        : std::to_string(lines_said_);
  return text + line;
}

// Now and then a line of its own stands in an answer.
void PracticeController::Inside::say_unasked(std::vector<std::string>& lines) {
  constexpr std::size_t answers_between = 3;
  const std::vector<console::Template>& unasked = profile.open.unasked;
  if (unasked.empty() || ++answers_ % answers_between != 0) return;
  auto line = filled(unasked[answers_ / answers_between % unasked.size()], {{"skip", "7"}});
  if (line) lines.insert(lines.begin() + static_cast<std::ptrdiff_t>(lines.size() / 2), std::move(*line));
}

std::string PracticeController::Inside::answer_text(std::vector<std::string> lines, bool with_prompt) {
  add_reply_end(lines);
  say_unasked(lines);
  std::string text;
  for (const std::string& line : lines) text += stamped(line) + eol_;
  if (with_prompt) text += grammar.prompt();
  return text;
}

void PracticeController::Inside::answer(const Outcome& outcome, const std::string& line, Instant now) {
  std::vector<std::string> lines = outcome.lines;
  if (outcome.refusal) lines = {refusal_line(*outcome.refusal, line)};
  std::string text = answer_text(std::move(lines), true);
  if (mischief.strikes_listing(Mischief::restart_in_listing)) text.resize(text.size() / 2);
  send_answer(std::move(text), now);
}

void PracticeController::Inside::send_answer(std::string text, Instant now) {
  if (mischief.strikes_command(Mischief::reply_lost)) return;
  text = mischief.with_its_own(std::move(text), eol_);
  if (mischief.strikes_command(Mischief::late_answer)) {
    voice.hold(std::move(text));
    return;
  }
  voice.say(std::move(text), now + habits.latency);
  if (mischief.strikes_command(Mischief::endless_output))
    voice.go_on_for_ever("amber_limit_1 = 4" + eol_, now + habits.latency);
}

void PracticeController::Inside::send_in_pages(std::vector<std::string> lines, Instant now) {
  const std::string& more = profile.open.more;
  add_reply_end(lines);
  std::string page;
  std::vector<std::string> pages;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    if (i > 0 && i % lines_of_a_page == 0) pages.push_back(std::exchange(page, {}) + more);
    page += stamped(lines[i]) + eol_;
  }
  pages.push_back(page + grammar.prompt());
  pages_.assign(pages.begin() + 1, pages.end());
  typed_.knock.clear();
  send_answer(std::move(pages.front()), now);
}

}  // namespace armwise::practice
