#include "armwise/teach/saved_session.hpp"

#include <algorithm>
#include <array>
#include <map>
#include <optional>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"
#include "armwise/teach/command_lesson.hpp"
#include "armwise/teach/units.hpp"
#include "sites.hpp"
#include "words.hpp"

namespace armwise::teach {
namespace {

constexpr std::size_t longest_log = std::size_t{4} << 20U, longest_saved_line = 1000, most_exchanges = 2000;
constexpr std::size_t longest_prompt = 40, fewest_prompts = 3;

Lines lines_of(std::string_view log) {
  Lines lines;
  log = log.substr(0, longest_log);
  for (std::size_t at = 0; at < log.size();) {
    const std::size_t end = std::min(log.find_first_of("\r\n", at), log.size());
    if (end > at) {
      std::string line = printable(log.substr(at, std::min(end - at, longest_saved_line)));
      if (!squeezed(line).empty()) lines.push_back(std::move(line));
    }
    at = end + 1;
  }
  return lines;
}

// What a line begins with, up to the first sign that a prompt may end in, and a blank behind it.
std::string start_of(const std::string& line) {
  const std::size_t sign = line.find_first_of(">#$:?%");
  if (sign >= longest_prompt) return {};  // npos, too
  const bool blank = sign + 1 < line.size() && line[sign + 1] == ' ';
  return line.substr(0, sign + (blank ? 2 : 1));
}

// The start that comes back most often with different words behind it.
std::string prompt_in(const Lines& lines) {
  std::map<std::string, std::size_t> counts;
  for (const std::string& line : lines) {
    const std::string start = start_of(line);
    if (!start.empty() && line.size() > start.size()) ++counts[start];
  }
  const auto best = std::max_element(counts.begin(), counts.end(),
                                     [](const auto& a, const auto& b) { return a.second < b.second; });
  return best == counts.end() || best->second < fewest_prompts ? std::string() : best->first;
}

bool has_any(const std::string& text, std::initializer_list<const char*> words) {
  const std::string lower = lower_case(text);
  return std::any_of(words.begin(), words.end(),
                     [&](const char* word) { return lower.find(word) != std::string::npos; });
}

bool holds_one_of(const std::string& command, const std::vector<std::string>& values) {
  return std::any_of(values.begin(), values.end(), [&](const std::string& value) {
    return lower_case(command).find(lower_case(value)) != std::string::npos;
  });
}

// A table in which the motors stand by their numbers is likelier than words of a line that may be counted.
int points_of_map(const Lines& reply) {
  const auto readings = map_readings(reply, 1);
  if (readings.empty()) return 0;
  const console::Query& list = readings.front().list;
  const bool named = list.item ? list.item->has("motor") : list.lines.front().has("motor");
  return named ? 2 + static_cast<int>(readings.front().rows.size()) : 1;
}

int points_of_question(const std::string& id, const SavedExchange& exchange, const KnownFromLog& known) {
  const Lines& reply = exchange.reply;
  if (reply.empty()) return 0;
  const bool is_short = reply.size() <= 24;
  if (id == "list-map") return is_short ? points_of_map(reply) : 0;
  if (id == "whole-configuration") return reply.size() > 12 ? static_cast<int>(reply.size()) : 0;
  if (id == "identify") {
    const bool says = std::any_of(reply.begin(), reply.end(), [](const std::string& line) {
      const auto like = identity_line(line);
      return like && (like->has("version") || like->has("firmware"));
    });
    return is_short && says ? 2 : 0;
  }
  if (id == "read-turn")
    return is_short && !turn_readings(reply, known.motors, known.pins, 1).empty() ? 2 : 0;
  const std::string all = exchange.command + " " + reply.front();
  if (id == "read-props") return is_short && has_any(all, {"prop"}) ? 2 : 0;
  if (id == "read-mount") {
    const auto numbers = number_readings(reply, {"yaw", "pitch", "roll"}, 1);
    return is_short && !numbers.empty() && numbers.front().named ? 2 : 0;
  }
  if (id == "sense") {
    const auto numbers = number_readings(reply, {"x", "y", "z"}, 1);
    if (!is_short || numbers.empty()) return 0;
    return numbers.front().named || has_any(all, {"acc", "feel", "felt", "sense"}) ? 2 : 1;
  }
  return 0;
}

bool says_one_of(const std::string& command, const std::vector<std::string>& words) {
  const Tokens tokens = tokens_of(command);
  return std::any_of(tokens.begin(), tokens.end(), [&](const Token& token) {
    return token.word && std::any_of(words.begin(), words.end(), [&](const std::string& word) {
             return lower_case(token.text) == lower_case(word);
           });
  });
}

bool is_order(const SavedExchange& exchange) {
  return exchange.reply.size() <= 3;
}

// "2" in "test.2" and in "spin 2", but not in "20".
bool names_motor(const std::string& command, const std::string& motor) {
  const auto is_digit = [](char c) { return c >= '0' && c <= '9'; };
  for (std::size_t at = command.find(motor); at != std::string::npos; at = command.find(motor, at + 1)) {
    const std::size_t end = at + motor.size();
    const bool before = at > 0 && is_digit(command[at - 1]) && is_digit(motor.front());
    const bool behind = end < command.size() && is_digit(command[end]) && is_digit(motor.back());
    if (!before && !behind) return true;
  }
  return false;
}

// A motor, and another number for the strength.
bool looks_like_spin(const SavedExchange& exchange, const KnownFromLog& known) {
  if (!is_order(exchange) || holds_one_of(exchange.command, known.pins)) return false;
  const std::vector<std::string> numbers = numbers_in(exchange.command);
  return std::any_of(known.motors.begin(), known.motors.end(), [&](const std::string& motor) {
    const auto same = std::count(numbers.begin(), numbers.end(), motor);
    const bool another = static_cast<std::size_t>(std::min<std::ptrdiff_t>(same, 1)) < numbers.size();
    return another && names_motor(exchange.command, motor);
  });
}

int points_of_setting(const std::string& id, const SavedExchange& exchange, const KnownFromLog& known) {
  const std::string& command = exchange.command;
  if (!is_order(exchange)) return 0;
  if (id == "free-pin") {
    const bool about = holds_one_of(command, known.motors) || holds_one_of(command, known.pins);
    const bool frees = has_any(command, {"free", "unwire", "clear", "none", "nothing", "release", "remove",
                                         "detach", "unassign", "off"}) ||
                       (!known.nothing.empty() && says_one_of(command, {known.nothing}));
    return about && frees ? 2 : 0;
  }
  if (id == "props-in-command" || id == "props-out-command") {
    if (!says_one_of(command, known.words)) return 0;
    return has_any(command, {"prop"}) ? 3 : 2;
  }
  if (id == "set-turn-cw" || id == "set-turn-ccw") {
    const bool about = holds_one_of(command, known.motors) || holds_one_of(command, known.pins);
    return about && says_one_of(command, known.words) ? 2 : 0;
  }
  if (id == "set-yaw") {
    const std::size_t numbers = numbers_in(command).size();
    const bool named = has_any(command, {"yaw", "mount", "orient", "align", "tilt", "board"});
    return numbers == 0 ? 0 : named ? 2 : numbers == 3 ? 1 : 0;
  }
  return 0;
}

int points_of_motion(const std::string& id, const SavedSession& session, std::size_t at,
                     const KnownFromLog& known) {
  const SavedExchange& exchange = session.exchanges[at];
  const std::string& command = exchange.command;
  if (id == "spin-command") {
    if (!looks_like_spin(exchange, known)) return 0;
    return has_any(command, {"spin", "run", "test", "pulse", "motor"}) ? 2 : 1;
  }
  if (id == "stop-command" && is_order(exchange) && numbers_in(command).empty()) {
    const bool named = has_any(command, {"stop", "halt", "still", "quiet"});
    const bool follows = at > 0 && looks_like_spin(session.exchanges[at - 1], known);
    return (named ? 2 : 0) + (follows ? 1 : 0);
  }
  return 0;
}

int points_of_order(const std::string& id, const SavedExchange& exchange, const KnownFromLog& known) {
  const std::string& command = exchange.command;
  if (id == "assign-pin") {
    const bool reads = exchange.reply.size() > 3;
    return !reads && holds_one_of(command, known.motors) && holds_one_of(command, known.pins) ? 2 : 0;
  }
  if (id == "keep") return has_any(command, {"save", "keep", "store", "write"}) ? 2 : 0;
  if (id == "restarts") return has_any(command, {"reboot", "restart", "reset", "start over", "boot"}) ? 2 : 0;
  if (id == "leave") return has_any(command, {"exit", "quit", "leave", "bye", "off"}) ? 1 : 0;
  return 0;
}

std::vector<std::size_t> likely_for(const std::string& id, const SavedSession& session,
                                    const KnownFromLog& known) {
  std::vector<std::pair<int, std::size_t>> found;
  for (std::size_t i = 0; i < session.exchanges.size(); ++i) {
    const SavedExchange& exchange = session.exchanges[i];
    const int points = points_of_question(id, exchange, known) + points_of_order(id, exchange, known) +
                       points_of_setting(id, exchange, known) + points_of_motion(id, session, i, known);
    const bool again = std::any_of(found.begin(), found.end(), [&](const auto& each) {
      return session.exchanges[each.second].command == exchange.command;
    });
    if (points > 0 && !again) found.emplace_back(points, i);
  }
  std::stable_sort(found.begin(), found.end(),
                   [](const auto& a, const auto& b) { return a.first > b.first; });
  std::vector<std::size_t> likely;
  likely.reserve(found.size());
  for (const auto& [points, index] : found) likely.push_back(index);
  return likely;
}

// As they are looked for: what need not stand in it comes last.
constexpr std::array blanks_asked{"motor", "pin",   "turn", "props",    "mount",
                                  "yaw",   "pitch", "roll", "strength", "milliseconds"};

// The first reading in which these blanks stand for something that may be theirs, one after the other.
std::optional<console::Template> with_blanks(const std::string& command,
                                             const std::vector<std::string>& blanks,
                                             const KnownFromLog& known, const console::Values& values = {}) {
  if (values.size() == blanks.size()) {
    CommandLesson lesson(blanks);
    try {
      if (lesson.add({command}, values) != CommandLesson::Heard::fits) return std::nullopt;
    } catch (const Fault&) {
      return std::nullopt;  // read in too many ways
    }
    const auto in_order = [&](const Reading& reading) {
      std::vector<std::string> there;
      for (const console::Piece& piece : reading.front().pieces()) {
        if (piece.blank) there.push_back(piece.text);
      }
      return there == blanks;
    };
    const auto usual = std::find_if(lesson.readings().begin(), lesson.readings().end(), in_order);
    return usual == lesson.readings().end() ? lesson.readings().front().front() : usual->front();
  }
  const std::string& blank = blanks[values.size()];
  const bool is_word = blank == "turn" || blank == "props" || blank == "mount";
  for (const std::string& value : blank == "motor" ? known.motors
                                  : blank == "pin" ? known.pins
                                  : is_word        ? known.words
                                                   : numbers_in(command)) {
    console::Values more = values;
    more[blank] = value;
    if (auto found = with_blanks(command, blanks, known, more)) return found;
  }
  return std::nullopt;
}

// Absent where the command takes none of what is asked for.
std::optional<std::string> with_values(const std::string& command, const console::Values& asked,
                                       const KnownFromLog& known) {
  std::vector<std::string> blanks;
  for (const char* blank : blanks_asked) {
    if (asked.contains(blank)) blanks.emplace_back(blank);
  }
  if (blanks.empty()) return command;
  for (; !blanks.empty(); blanks.pop_back()) {
    const auto like = with_blanks(command, blanks, known);
    const auto line = like ? written({*like}, asked) : std::nullopt;
    if (line) return line->front();
  }
  return std::nullopt;
}

}  // namespace

SavedSession saved_session(std::string_view log, const std::string& prompt) {
  SavedSession session;
  const Lines lines = lines_of(log);
  session.prompt = prompt.empty() ? prompt_in(lines) : prompt;
  if (session.prompt.empty()) return session;
  const std::string end(trimmed(session.prompt));
  for (const std::string& line : lines) {
    // A counter or a clock may stand before what all of them share.
    const std::size_t at = line.find(end);
    if (at < longest_prompt) {
      const std::string command = squeezed(line.substr(at + end.size()));
      if (command.empty()) continue;
      if (session.exchanges.size() >= most_exchanges) break;
      session.exchanges.push_back({command, {}});
    } else if (!session.exchanges.empty()) {
      session.exchanges.back().reply.push_back(squeezed(line));
    }
  }
  return session;
}

std::vector<std::string> proposed_by(const SavedSession& session, const std::string& id,
                                     const console::Values& asked, const KnownFromLog& known) {
  std::vector<std::string> proposals;
  for (const std::size_t at : likely_for(id, session, known)) {
    // Each motor may have a stop of its own, and need not.
    const bool plain = id == "stop-command";
    const auto command = with_values(session.exchanges[at].command, plain ? console::Values{} : asked, known);
    if (command) proposals.push_back(*command);
  }
  return proposals;
}

}  // namespace armwise::teach
