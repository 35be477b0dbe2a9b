#include "armwise/teach/saved_session.hpp"

#include <algorithm>
#include <array>
#include <optional>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"
#include "armwise/console/screen_lines.hpp"
#include "armwise/teach/command_lesson.hpp"
#include "armwise/teach/pointing.hpp"
#include "armwise/teach/units.hpp"
#include "sites.hpp"
#include "words.hpp"

namespace armwise::teach {
namespace {

constexpr std::size_t longest_log = std::size_t{4} << 20U, longest_saved_line = 1000, most_exchanges = 2000,
                      longest_prompt = 40;
// In lines: of what does something, and of what shows something but the whole configuration.
constexpr std::size_t longest_answer = 3, longest_shown = 24, shortest_configuration = 13;

bool has_any(const std::string& text, const std::vector<const char*>& words) {
  const std::string lower = lower_case(text);
  return std::any_of(words.begin(), words.end(),
                     [&](const char* word) { return lower.find(word) != std::string::npos; });
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
  if (id == "whole-configuration" && reply.size() >= shortest_configuration)
    return static_cast<int>(reply.size());
  if (reply.empty() || reply.size() > longest_shown) return 0;
  const std::string all = exchange.command + " " + reply.front();
  if (id == "list-map") return points_of_map(reply);
  if (id == "identify") {
    const bool says = std::any_of(reply.begin(), reply.end(), [](const std::string& line) {
      const auto like = identity_line(line);
      return like && (like->has("version") || like->has("firmware"));
    });
    return says ? 2 : 0;
  }
  if (id == "read-turn") return turn_readings(reply, known.motors, known.pins, 1).empty() ? 0 : 2;
  if (id == "read-props") return has_any(all, {"prop"}) ? 2 : 0;
  if (id != "read-mount" && id != "sense") return 0;
  const bool mount = id == "read-mount";
  const auto numbers =
      number_readings(reply, mount ? angle_names() : std::vector<std::string>{"x", "y", "z"}, 1);
  if (numbers.empty()) return 0;
  if (numbers.front().named) return 2;
  return mount ? 0 : has_any(all, {"acc", "feel", "felt", "sense"}) ? 2 : 1;
}

// What speaks for a command as the answer to a question that asks for an order.
struct Order {
  std::string_view id;
  std::size_t values = 0;  // so many of those that are asked for stand in it, or more
  bool by_word = false;    // only where one of these words does, too
  std::vector<const char*> words = {};
};
const std::vector<Order>& orders() {
  static const std::vector<const char*> mount{"yaw", "mount", "orient", "align", "tilt", "board"};
  static const std::vector<Order> all{
      {"assign-pin", 2},
      {"free-pin",
       1,
       true,
       {"free", "unwire", "clear", "none", "nothing", "release", "remove", "detach", "unassign", "off"}},
      {"props-in-command", 1, false, {"prop"}},
      {"props-out-command", 1, false, {"prop"}},
      {"set-turn-cw", 2},
      {"set-turn-ccw", 2},
      {"set-yaw", 3, false, mount},
      {"set-yaw", 1, true, mount},
      {"spin-command", 2, false, {"spin", "run", "test", "pulse", "motor"}},
      {"stop-command", 0, true, {"stop", "halt", "still", "quiet"}},
      {"keep", 0, true, {"save", "keep", "store", "write"}},
      {"restarts", 0, true, {"reboot", "restart", "reset", "start over", "boot"}},
      {"leave", 0, true, {"exit", "quit", "leave", "bye", "off"}}};
  return all;
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
    if (lesson.add({command}, values) != CommandLesson::Heard::fits) return std::nullopt;
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

// A command that was typed, with the values that are asked for in the place of those that were typed then.
struct Command {
  std::string line;
  std::size_t values = 0;  // so many of them; the rest is none of this command's
};
Command with_values(const std::string& command, const console::Values& asked, const KnownFromLog& known) {
  std::vector<std::string> blanks;
  for (const char* blank : blanks_asked) {
    if (asked.contains(blank)) blanks.emplace_back(blank);
  }
  for (; !blanks.empty(); blanks.pop_back()) {
    const auto like = with_blanks(command, blanks, known);
    const auto line = like ? written({*like}, asked) : std::nullopt;
    if (line) return {line->front(), blanks.size()};
  }
  return {command};
}

bool says(const std::string& text, const std::string& word) {
  const Tokens tokens = tokens_of(text);
  return std::any_of(tokens.begin(), tokens.end(), [&](const Token& token) {
    return token.word && lower_case(token.text) == lower_case(word);
  });
}

// It names no pin.
bool looks_like_spin(const SavedExchange& exchange, const KnownFromLog& known) {
  const std::string command = lower_case(exchange.command);
  const bool names_pin = std::any_of(known.pins.begin(), known.pins.end(), [&](const std::string& pin) {
    return command.find(lower_case(pin)) != std::string::npos;
  });
  return !names_pin && exchange.reply.size() <= longest_answer &&
         with_blanks(exchange.command, {"motor", "strength"}, known);
}

int points_of_order(const std::string& id, const SavedSession& session, std::size_t at, std::size_t values,
                    const KnownFromLog& known) {
  const SavedExchange& exchange = session[at];
  int most = 0;
  for (const Order& order : orders()) {
    if (order.id != id || values < order.values) continue;
    if (order.values > 0 && exchange.reply.size() > longest_answer) continue;
    const bool frees = id == "free-pin" && !known.nothing.empty() && says(exchange.command, known.nothing);
    const bool named = frees || has_any(exchange.command, order.words);
    most = std::max(most, (named ? 2 : 0) + (order.by_word ? 0 : 1));
  }
  if (id == "spin-command" && !looks_like_spin(exchange, known)) return 0;
  if (id != "stop-command") return most;
  if (!numbers_in(exchange.command).empty()) return 0;
  return most + (at > 0 && looks_like_spin(session[at - 1], known) ? 1 : 0);
}

}  // namespace

SavedSession saved_session(std::string_view log, std::string_view prompt) {
  SavedSession session;
  const std::string_view end = trimmed(prompt);
  if (end.empty()) return session;
  for (const std::string& whole : console::lines_in(log.substr(0, longest_log))) {
    const std::string line = printable(whole.substr(0, longest_saved_line));
    // A counter or a clock may stand before what all of them share.
    const std::size_t at = line.find(end);
    if (at >= longest_prompt) {
      if (!session.empty()) session.back().reply.push_back(squeezed(line));
    } else if (const std::string command = squeezed(line.substr(at + end.size())); !command.empty()) {
      if (session.size() >= most_exchanges) break;
      session.push_back({command, {}});
    }
  }
  return session;
}

std::vector<std::string> proposed_by(const SavedSession& session, const std::string& id,
                                     const console::Values& asked, const KnownFromLog& known) {
  std::vector<std::pair<int, std::string>> found;
  for (std::size_t at = 0; at < session.size(); ++at) {
    const SavedExchange& exchange = session[at];
    // Each motor may have a stop of its own, and need not.
    const Command command =
        with_values(exchange.command, id == "stop-command" ? console::Values{} : asked, known);
    const int points =
        points_of_question(id, exchange, known) + points_of_order(id, session, at, command.values, known);
    const bool again = std::any_of(found.begin(), found.end(),
                                   [&](const auto& each) { return each.second == command.line; });
    if (points > 0 && !again) found.emplace_back(points, command.line);
  }
  std::stable_sort(found.begin(), found.end(),
                   [](const auto& a, const auto& b) { return a.first > b.first; });
  std::vector<std::string> proposals;
  proposals.reserve(found.size());
  for (auto& [points, line] : found) proposals.push_back(std::move(line));
  return proposals;
}

}  // namespace armwise::teach
