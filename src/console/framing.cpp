#include "framing.hpp"

#include <algorithm>
#include <string_view>

#include "armwise/base/text.hpp"

namespace armwise::console {
namespace {

std::string without_digits(std::string text) {
  std::erase_if(text, [](char c) { return c >= '0' && c <= '9'; });
  return text;
}

bool begins_like(const Template& answer, const std::string& prompt) {
  const std::vector<Piece>& pieces = answer.pieces();
  return !prompt.empty() && !pieces.empty() && !pieces.front().blank &&
         pieces.front().text.starts_with(prompt);
}

}  // namespace

void Framing::look_at(const std::string& line) {
  if (profile_.open.reply_end && profile_.open.reply_end->match(line, profile_.case_sensitive))
    end_line_seen_ = true;
}

void Framing::note_usual(const std::string& tail) {
  usual_tail_ = without_digits(tail);
}

void Framing::learn_prompts(const std::vector<std::string>& reply) {
  const bool stands_inside = std::any_of(reply.begin(), reply.end(), [&](const std::string& line) {
    return !prompts_.top().empty() && line.starts_with(prompts_.top()) &&
           !behind_prompts(line, prompts_.top()).empty();
  });
  if (stands_inside) trusts_prompts_ = false;
}

bool Framing::take_out(std::vector<std::string>& lines, const std::string& sent,
                       std::vector<std::string>* before) const {
  const EchoKnown known = echo_.value_or(false) ? EchoKnown::yes : EchoKnown::no;
  return take_out_echo(lines, echo_of(sent), prompts_.top(), known, before);
}

bool Framing::is_usual_prompt(const PromptSeen& seen, const std::string& tail) const {
  return seen.line_start || (!usual_tail_.empty() && without_digits(tail) == usual_tail_);
}

bool Framing::is_answered(const std::vector<std::string>& lines, Answers answers) const {
  if (!trusts_prompts_ || !echo_) return false;
  return std::any_of(answers.begin(), answers.end(), [&](const Template& answer) {
    return !begins_like(answer, prompts_.top()) &&
           std::any_of(lines.begin(), lines.end(), [&](const std::string& line) {
             return answer.match(line, profile_.case_sensitive).has_value();
           });
  });
}

std::optional<Framing::Ending> Framing::ending_of(const ReplyBuffer& buffer, const std::string& sent,
                                                  Answers answers) const {
  const Duration quiet = profile_.timing.quiet, at_once{0};
  if (prompts_.top().empty() && end_line_seen_) {
    const bool answered = is_answered(buffer.first_lines(), answers);
    return Ending{{"", true, true}, answered ? at_once : quiet};
  }
  const std::string tail = buffer.tail();
  const std::optional<PromptSeen> seen = prompts_.at_end_of(tail);
  if (!seen) {
    // A question on the way may end its line. A prompt that may still come is waited for.
    const auto question = prompts_.at_end_of(buffer.ended_line());
    if (!question || question->top) return std::nullopt;
    return Ending{*question, profile_.timing.reply};
  }
  if (seen->top && profile_.open.reply_end && !end_line_seen_) return std::nullopt;
  std::vector<std::string> lines = buffer.first_lines();
  if (echo_.value_or(false)) {
    // A prompt before the echo is one from before: an answer is still to come.
    if (!take_out(lines, sent)) return Ending{*seen, profile_.timing.reply};
  }
  if (seen->top && is_usual_prompt(*seen, tail) && is_answered(lines, answers)) return Ending{*seen, at_once};
  return Ending{*seen, seen->line_start ? quiet : mid_line_patience * quiet};
}

bool Framing::asks_for_more(const ReplyBuffer& buffer) const {
  const std::string_view more = trimmed(profile_.open.more);
  return !more.empty() && buffer.tail().ends_with(more);
}

std::vector<std::string> Framing::without_prompts(std::vector<std::string> lines) const {
  const std::string_view more = trimmed(profile_.open.more);
  for (std::string& line : lines) {
    if (!more.empty() && line.starts_with(more)) line.erase(0, more.size());
  }
  if (!lines.empty()) {
    std::string& last = lines.back();
    const auto seen = prompts_.at_end_of(trimmed(last));
    if (seen) last = std::string(trimmed(last.substr(0, last.rfind(seen->prompt))));
  }
  std::erase_if(lines,
                [&](const std::string& line) { return trimmed(line).empty() || prompts_.is_prompt(line); });
  return lines;
}

void Framing::learn_echo(bool echoed) {
  missing_echoes_ = echoed ? 0 : missing_echoes_ + 1;
  if (!echo_) {
    echo_ = echoed;
  } else if (*echo_ && missing_echoes_ >= 2) {
    echo_.reset();
  }
}

}  // namespace armwise::console
