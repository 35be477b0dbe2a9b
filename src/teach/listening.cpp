#include "armwise/teach/listening.hpp"

#include <algorithm>
#include <functional>
#include <map>
#include <set>
#include <utility>

#include "armwise/base/text.hpp"
#include "armwise/console/screen_lines.hpp"
#include "armwise/teach/pointing.hpp"
#include "sites.hpp"
#include "words.hpp"

namespace armwise::teach {
namespace {

using console::Template;

std::size_t common_start_length(std::string_view a, std::string_view b) {
  const std::size_t most = std::min(a.size(), b.size());
  std::size_t length = 0;
  while (length < most && a[length] == b[length]) ++length;
  return length;
}

// The letters and digits that a line begins with.
std::size_t end_of_word(std::string_view line) {
  std::size_t end = 0;
  while (end < line.size() && is_letter_or_digit(line[end])) ++end;
  return end;
}

}  // namespace

HeardReply split_reply(const Exchange& exchange, bool glued) {
  HeardReply heard;
  const std::string sent = squeezed(exchange.sent);
  const std::size_t end = exchange.received.find_last_of("\r\n");
  const std::size_t last = end == std::string::npos ? 0 : end + 1;
  heard.prompt = squeezed(console::as_seen(std::string_view(exchange.received).substr(last))).empty()
                     ? std::string()
                     : console::as_seen(std::string_view(exchange.received).substr(last), true);
  for (const std::string& line : console::lines_in(std::string_view(exchange.received).substr(0, last)))
    if (const std::string text = squeezed(line); !text.empty()) heard.lines.push_back(text);
  const std::string first = heard.lines.empty() ? squeezed(heard.prompt) : heard.lines.front();
  const std::string prompt = squeezed(heard.prompt);
  const bool behind_prompt = !prompt.empty() && first.starts_with(prompt) && !heard.lines.empty() &&
                             trimmed(std::string_view(first).substr(prompt.size())) == sent;
  heard.echoed = !sent.empty() && (first == sent || behind_prompt);
  if (heard.echoed && heard.lines.empty()) heard.prompt.clear();
  if (heard.echoed && !heard.lines.empty()) heard.lines.erase(heard.lines.begin());
  if (!glued || heard.echoed || sent.empty() || !first.starts_with(sent + " ")) return heard;
  heard.echoed = true;
  (heard.lines.empty() ? heard.prompt : heard.lines.front()).erase(0, sent.size() + 1);
  return heard;
}

std::optional<Template> refusal_like(const Lines& answer, std::string_view word) {
  if (answer.empty()) return std::nullopt;
  const std::string& line = answer.front();
  // What time it is comes first.
  const std::size_t gap = line.find(' ');
  const std::string first = line.substr(0, std::min(gap, line.size()));
  const bool is_time = gap != std::string::npos && !has_letter(first) &&
                       first.find_first_of(".:") != std::string::npos &&
                       std::any_of(first.begin(), first.end(), is_digit);
  if (is_time) {
    const auto behind = refusal_like({line.substr(gap + 1)}, word);
    return behind ? template_of("{skip} " + behind->source()) : std::nullopt;
  }
  const std::size_t at = word.empty() ? std::string::npos : lower_case(line).find(lower_case(word));
  // Of an object, what stands before the second name.
  if (line.front() == '{' || line.front() == '[') {
    const std::size_t comma = line.find(',');
    if (comma == std::string::npos || comma > at) return std::nullopt;
    return template_of(as_literal(line.substr(0, comma + 1)) + "{rest}");
  }
  const std::string mark = line.substr(0, line.find(' '));
  const bool is_mark = std::any_of(mark.begin(), mark.end(), [](char c) { return !is_letter_or_digit(c); });
  if (is_mark && mark.size() < line.size() && mark.size() <= at)
    return template_of(as_literal(mark) + " {rest}");
  if (at != std::string::npos) {
    const std::string before = line.substr(0, at);
    if (has_letter(before)) return template_of(as_literal(before) + "{rest}");
    const std::string after = line.substr(at + word.size());
    if (has_letter(after)) return template_of("{skip:text}" + as_literal(after));
    // A mark behind what was sent: "qzv 1 ?".
    const bool only_a_mark = !trimmed(after).empty() && line.ends_with(after) &&
                             std::none_of(after.begin(), after.end(), is_digit);
    return only_a_mark ? template_of("{skip:text}" + as_literal(after)) : std::nullopt;
  }
  // A mark at the end of its first words: "not possible: taken".
  const std::size_t colon = line.find(": ");
  if (colon != std::string::npos) return template_of(as_literal(line.substr(0, colon + 1)) + " {rest}");
  return has_letter(line) ? template_of(as_literal(line)) : std::nullopt;
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

bool one_byte_apart(std::string_view a, std::string_view b) {
  if (a.size() < b.size()) std::swap(a, b);
  if (a == b || a.size() - b.size() > 1) return false;
  const std::size_t same = common_start_length(a, b);
  return a.substr(same + 1) == b.substr(a.size() == b.size() ? same + 1 : same);
}

std::string end_of_question(const std::map<std::string, int>& forms) {
  constexpr std::size_t at_the_same_place = 1;
  struct Odd {
    std::string form;
    std::size_t at;  // where it differs
  };
  std::vector<Odd> odd;
  std::vector<std::string> sure;
  for (const auto& each : forms) {
    const std::string& form = each.first;
    const auto usual = std::find_if(forms.begin(), forms.end(), [&](const auto& other) {
      return other.second > each.second && one_byte_apart(form, other.first);
    });
    if (each.second > 1 || usual == forms.end()) {
      sure.push_back(form);
    } else {
      odd.push_back({form, common_start_length(form, usual->first)});
    }
  }
  for (const Odd& one : odd) {
    const bool varies = std::any_of(odd.begin(), odd.end(), [&](const Odd& other) {
      return other.form != one.form &&
             std::max(one.at, other.at) - std::min(one.at, other.at) <= at_the_same_place;
    });
    if (varies) sure.push_back(one.form);
  }
  const std::string end = common_end(sure);
  return squeezed(end).empty() ? sure.front() : end;
}

namespace {

// "250 ok" behind "250-more": a number and a blank stand in front of each last line, and of no other.
bool ends_in_a_status(const std::vector<Lines>& replies) {
  const auto is_status = [](const std::string& line) {
    const std::size_t digits = line.find_first_not_of("0123456789");
    return digits != std::string::npos && digits > 0 && line[digits] == ' ';
  };
  // One in ten may have come garbled.
  constexpr std::size_t sound_for_each_odd = 9;
  std::set<std::string> ends;
  std::size_t sound = 0, odd = 0;
  for (const Lines& reply : replies) {
    if (reply.empty()) continue;
    const bool only_last = std::none_of(reply.begin(), reply.end() - 1, is_status) && is_status(reply.back());
    ++(only_last ? sound : odd);
    if (only_last) ends.insert(reply.back());
  }
  return ends.size() > 1 && sound >= sound_for_each_odd * odd;
}

}  // namespace

std::optional<Template> reply_end_of(const std::vector<Lines>& replies) {
  if (ends_in_a_status(replies)) return template_of("{skip:digits} {rest}");
  std::string start;
  bool first = true;
  // A word, and how many stand behind it: a checksum, or none.
  std::map<std::pair<std::string, std::size_t>, std::size_t> ends;
  std::size_t count = 0;
  for (const Lines& reply : replies) {
    if (reply.empty()) continue;
    const std::string& last = reply.back();
    start = first ? last : start.substr(0, common_start_length(start, last));
    first = false;
    std::size_t behind = 0;
    const std::vector<Span> words = words_of(last, ",;:=()[]{}<>|\"'");
    for (auto word = words.rbegin(); word != words.rend() && behind < 2; ++word)
      ++ends[{word->of(last), behind++}];
    ++count;
  }
  while (!start.empty() && is_letter_or_digit(start.back())) start.pop_back();
  const bool has_sign =
      std::any_of(start.begin(), start.end(), [](char c) { return !is_letter_or_digit(c) && c != ' '; });
  if (has_sign) return template_of(as_literal(start) + "{rest}");
  // One may have been garbled.
  const auto usual = std::max_element(ends.begin(), ends.end(), [](const auto& a, const auto& b) {
    return std::pair(a.second, b.first.second) < std::pair(b.second, a.first.second);
  });
  if (usual == ends.end() || usual->second < 4 || 5 * usual->second < 4 * count) return std::nullopt;
  return template_of("{skip:text} " + as_literal(usual->first.first) +
                     (usual->first.second > 0 ? " {skip}" : ""));
}

// Its answer on the line of its echo: what was sent stands there twice.
static bool answers_behind_the_echo(const std::vector<Exchange>& nonsense) {
  bool any = false;
  for (const Exchange& exchange : nonsense) {
    const HeardReply heard = split_reply(exchange);
    if (heard.lines.empty()) continue;
    const std::string sent = squeezed(exchange.sent);
    const std::string& line = heard.lines.front();
    if (!line.starts_with(sent + " ") || line.find(sent, sent.size()) == std::string::npos) return false;
    any = true;
  }
  return any;
}

// Each word stands alone at the top of its answer, in capitals. (Where nothing else does, that is its
// answer.)
static bool echoes_in_capitals(const std::vector<Exchange>& nonsense) {
  return !nonsense.empty() && std::all_of(nonsense.begin(), nonsense.end(), [](const Exchange& exchange) {
    const std::string capitals = upper_case(exchange.sent);
    const HeardReply heard = split_reply({capitals, exchange.received});
    return capitals != exchange.sent && heard.echoed && !heard.lines.empty();
  });
}

std::string nonsense_like(std::string_view command, std::string_view word) {
  const std::size_t begin = std::min(command.find_first_of("(["), command.size());
  const std::size_t from = begin == 0 ? 1 : 0,
                    end = from + end_of_word(command.substr(std::min(from, command.size())));
  if (end == from || end == command.size()) return {};
  return std::string(command.substr(0, from)) + std::string(word) + std::string(command.substr(end));
}

namespace {

std::optional<Template> like_both(const std::string& line, const std::string& other) {
  const Tokens tokens = tokens_of(line), others = tokens_of(other);
  if (shape_of(tokens) != shape_of(others)) return std::nullopt;
  std::string source;
  for (std::size_t i = 0; i < tokens.size(); ++i) {
    const bool same = tokens[i] == others[i];
    if (!same && (has_letter(tokens[i].text) || has_letter(others[i].text))) return std::nullopt;
    source += same ? as_literal(tokens[i].text) : "{skip}";
  }
  return template_of(source);
}

std::size_t read_by(const Template& like, const Lines& lines) {
  return static_cast<std::size_t>(std::count_if(
      lines.begin(), lines.end(), [&](const std::string& line) { return like.match(line).has_value(); }));
}

}  // namespace

std::optional<Template> line_that_tells(const Lines& answer, const Lines& again,
                                        const std::vector<Lines>& others) {
  for (auto line = answer.rbegin(); line != answer.rend(); ++line) {
    for (auto other = again.rbegin(); other != again.rend(); ++other) {
      auto like = like_both(*line, *other);
      const bool once = like && read_by(*like, answer) == 1 && read_by(*like, again) == 1;
      if (once && std::all_of(others.begin(), others.end(),
                              [&](const Lines& each) { return read_by(*like, each) == 0; }))
        return like;
    }
  }
  return std::nullopt;
}

namespace {

// What they begin with alike, up to the end of a word or to a sign; behind it a checksum or a clock may
// stand.
std::string shared_start(const std::vector<std::string>& texts) {
  std::string start = texts.front();
  bool whole = true;
  for (const std::string& text : texts) {
    whole = whole && text == texts.front();
    start.resize(common_start_length(start, text));
  }
  while (!whole && !start.empty() && is_letter_or_digit(start.back())) start.pop_back();
  return whole ? start : start + "{rest}";
}

// Those of several answers that differ behind the same words.
std::vector<Template> refusals_as_one(const std::vector<Template>& refusals) {
  std::vector<std::string> sources;
  sources.reserve(refusals.size());
  for (const Template& each : refusals) sources.push_back(each.source());
  if (sources.size() < 2) return refusals;
  const auto one = template_of(shared_start(sources));
  const bool says_something =
      one && std::any_of(one->pieces().begin(), one->pieces().end(),
                         [](const auto& piece) { return !piece.blank && has_letter(piece.text); });
  return says_something ? std::vector{*one} : refusals;
}

// Of all words that came back, each in its own answer.
std::optional<console::Query> barrier_of(const std::vector<std::array<std::string, 3>>& around,
                                         bool glued_echo) {
  if (around.empty()) return std::nullopt;
  std::vector<std::string> behind;
  for (const auto& [sent, before, after] : around) {
    if (sent == around.front()[0] && before == around.front()[1]) behind.push_back(after);
  }
  const auto back =
      template_of((glued_echo ? "{word} " : "") + around.front()[1] + "{word}" + shared_start(behind));
  if (!back || back->match("w")) return std::nullopt;
  console::Query barrier = console::Query::reading({*back});
  barrier.steps.push_back({Template::parse("{word}" + around.front()[0]), {}});
  return barrier;
}

}  // namespace

// What came unasked right behind a prompt has ended its line.
static void put_prompt_at_end(std::vector<HeardReply>& replies) {
  std::vector<std::string> prompts;
  for (const HeardReply& reply : replies) {
    if (!reply.prompt.empty()) prompts.push_back(reply.prompt);
  }
  const std::string prompt = common_end(prompts);
  if (trimmed(prompt).empty() || 2 * prompts.size() < replies.size()) return;
  for (HeardReply& reply : replies) {
    if (!reply.prompt.empty()) continue;
    const auto last = std::find_if(reply.lines.rbegin(), reply.lines.rend(), [&](const std::string& line) {
      return line.starts_with(trimmed(prompt));
    });
    if (last == reply.lines.rend()) continue;
    reply.lines.erase(last.base() - 1, reply.lines.end());
    reply.prompt = prompt;
  }
}

std::vector<HeardReply> heard_in(const std::vector<Exchange>& exchanges, bool glued) {
  std::vector<HeardReply> replies;
  replies.reserve(exchanges.size());
  for (const Exchange& exchange : exchanges) replies.push_back(split_reply(exchange, glued));
  put_prompt_at_end(replies);
  return replies;
}

ListenedTo listened_to(const std::vector<Exchange>& nonsense) {
  ListenedTo result;
  result.echo_in_capitals = echoes_in_capitals(nonsense);
  // What stands behind the word that was sent, before it in the answer, and behind it.
  std::vector<std::array<std::string, 3>> around;
  result.glued_echo = answers_behind_the_echo(nonsense);
  std::vector<std::string> prompts;
  std::vector<Exchange> repeated = nonsense;
  for (Exchange& exchange : repeated) {
    if (result.echo_in_capitals) exchange.sent = upper_case(exchange.sent);
  }
  const std::vector<HeardReply> replies = heard_in(repeated, result.glued_echo);
  for (std::size_t i = 0; i < nonsense.size(); ++i) {
    const Exchange& exchange = nonsense[i];
    const HeardReply& heard = replies[i];
    result.echo = result.echo || heard.echoed;
    prompts.push_back(heard.prompt);
    const std::string word = exchange.sent.substr(0, end_of_word(exchange.sent));
    const bool whole = !heard.lines.empty() && heard.lines.front().find(exchange.sent) != std::string::npos;
    const auto refusal = refusal_like(heard.lines, whole ? exchange.sent : word);
    if (refusal &&
        std::find(result.refusals.begin(), result.refusals.end(), *refusal) == result.refusals.end()) {
      result.refusals.push_back(*refusal);
    }
    if (exchange.sent.find(' ') != std::string::npos) continue;
    for (const std::string& line : heard.lines) {
      const std::size_t at = line.find(word);
      if (at == std::string::npos || line == word || line.find(word, at + 1) != std::string::npos) continue;
      around.push_back({as_literal(exchange.sent.substr(word.size())), as_literal(line.substr(0, at)),
                        as_literal(line.substr(at + word.size()))});
      break;
    }
  }
  result.refusals = refusals_as_one(result.refusals);
  result.barrier = barrier_of(around, result.glued_echo);
  result.prompt = common_end(prompts);
  result.alike = result.refusals.size() < 2 &&
                 std::adjacent_find(prompts.begin(), prompts.end(), std::not_equal_to<>()) == prompts.end();
  return result;
}

}  // namespace armwise::teach
