#include "armwise/teach/listening.hpp"

#include <algorithm>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"
#include "sites.hpp"
#include "words.hpp"

namespace armwise::teach {
namespace {

using console::Template;

bool is_letter_or_digit(char c) {
  return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}
bool has_letter(std::string_view text) {
  return std::any_of(text.begin(), text.end(),
                     [](char c) { return is_letter_or_digit(c) && !(c >= '0' && c <= '9'); });
}

std::optional<Template> parsed(const std::string& source) {
  try {
    return Template::parse(source);
  } catch (const Fault&) {
    return std::nullopt;
  }
}

std::size_t common_start_length(std::string_view a, std::string_view b) {
  const std::size_t most = std::min(a.size(), b.size());
  std::size_t length = 0;
  while (length < most && a[length] == b[length]) ++length;
  return length;
}

}  // namespace

HeardReply split_reply(const Exchange& exchange) {
  HeardReply heard;
  std::string line;
  const std::string sent = squeezed(exchange.sent);
  const auto end_line = [&] {
    const std::string text = squeezed(printable(line));
    line.clear();
    if (text.empty()) return;
    if (!heard.echoed && heard.lines.empty() && !sent.empty() && text == sent) {
      heard.echoed = true;
      return;
    }
    heard.lines.push_back(text);
  };
  for (const char c : exchange.received) {
    if (c == '\r' || c == '\n') {
      end_line();
    } else {
      line += c;
    }
  }
  heard.prompt = printable(line);
  if (squeezed(heard.prompt).empty()) heard.prompt.clear();
  if (!heard.echoed && !sent.empty() && heard.lines.empty() && squeezed(heard.prompt) == sent) {
    heard.echoed = true;
    heard.prompt.clear();
  }
  return heard;
}

std::optional<Template> refusal_like(const Lines& answer, std::string_view word) {
  if (answer.empty()) return std::nullopt;
  const std::string& line = answer.front();
  const std::size_t at = word.empty() ? std::string::npos : lower_case(line).find(lower_case(word));
  // Of an object, what stands before the second name.
  if (line.front() == '{' || line.front() == '[') {
    const std::size_t comma = line.find(',');
    if (comma == std::string::npos || comma > at) return std::nullopt;
    return parsed(as_literal(line.substr(0, comma + 1)) + "{rest}");
  }
  const std::string mark = line.substr(0, line.find(' '));
  const bool is_mark = std::any_of(mark.begin(), mark.end(), [](char c) { return !is_letter_or_digit(c); });
  if (is_mark && mark.size() < line.size() && mark.size() <= at) return parsed(as_literal(mark) + " {rest}");
  if (at != std::string::npos) {
    const std::string before = line.substr(0, at);
    if (has_letter(before)) return parsed(as_literal(before) + "{rest}");
    const std::string after = line.substr(at + word.size());
    if (has_letter(after)) return parsed("{skip}" + as_literal(after));
    return std::nullopt;
  }
  // A mark at the end of its first words: "not possible: taken".
  const std::size_t colon = line.find(": ");
  if (colon != std::string::npos) return parsed(as_literal(line.substr(0, colon + 1)) + " {rest}");
  return has_letter(line) ? parsed(as_literal(line)) : std::nullopt;
}

std::string common_end(const std::vector<std::string>& texts) {
  if (texts.empty()) return {};
  std::string end = texts.front();
  for (const std::string& text : texts) {
    std::size_t length = 0;
    while (length < std::min(end.size(), text.size()) &&
           end[end.size() - 1 - length] == text[text.size() - 1 - length])
      ++length;
    end = end.substr(end.size() - length);
  }
  // Not from the middle of a word, unless it is the whole of each.
  const bool whole =
      std::all_of(texts.begin(), texts.end(), [&](const std::string& text) { return text == end; });
  while (!whole && !end.empty() && is_letter_or_digit(end.front())) end.erase(0, 1);
  return squeezed(end).empty() ? std::string() : end;
}

std::optional<Template> reply_end_of(const std::vector<Lines>& replies) {
  std::string start;
  bool first = true;
  for (const Lines& reply : replies) {
    if (reply.empty()) continue;
    const std::string& last = reply.back();
    start = first ? last : start.substr(0, common_start_length(start, last));
    first = false;
  }
  while (!start.empty() && is_letter_or_digit(start.back())) start.pop_back();
  const bool has_sign =
      std::any_of(start.begin(), start.end(), [](char c) { return !is_letter_or_digit(c) && c != ' '; });
  if (!has_sign) return std::nullopt;
  return parsed(as_literal(start) + "{rest}");
}

ListenedTo listened_to(const std::vector<Exchange>& nonsense) {
  ListenedTo result;
  std::vector<std::string> prompts;
  for (const Exchange& exchange : nonsense) {
    const HeardReply heard = split_reply(exchange);
    result.echo = result.echo || heard.echoed;
    prompts.push_back(heard.prompt);
    const std::string word = exchange.sent.substr(0, exchange.sent.find(' '));
    const auto refusal = refusal_like(heard.lines, word);
    if (refusal &&
        std::find(result.refusals.begin(), result.refusals.end(), *refusal) == result.refusals.end()) {
      result.refusals.push_back(*refusal);
    }
    if (result.barrier || exchange.sent != word) continue;
    for (const std::string& line : heard.lines) {
      const std::size_t at = line.find(word);
      if (at == std::string::npos || line == word || line.find(word, at + 1) != std::string::npos) continue;
      const auto back =
          parsed(as_literal(line.substr(0, at)) + "{word}" + as_literal(line.substr(at + word.size())));
      if (!back || back->match("w")) continue;
      result.barrier = console::Query{{{Template::parse("{word}"), ""}}, {*back}, std::nullopt, " "};
      break;
    }
  }
  result.prompt = common_end(prompts);
  return result;
}

}  // namespace armwise::teach
