#include "typed_line.hpp"

#include <string_view>
#include <vector>

#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"

namespace armwise::console {
namespace {

// A console that repeats each key does so at once; one that repeats whole lines would be waited for in vain.
constexpr Duration first_key_within{200};

std::string without_blanks(std::string text) {
  std::erase_if(text, [](char c) { return c == ' ' || c == '\t'; });
  return text;
}

}  // namespace

// Character by character; only a console that wraps its lines is taken more loosely about blanks. No line end
// was sent yet, so nothing may stand behind it.
bool TypedLine::is_echo(const std::string& echo) const {
  const auto same = [&](std::string_view came) {
    return trimmed(came) == trimmed(echo) || behind_prompts(came, framing_.prompts().top()) == trimmed(echo);
  };
  if (same(came_back_.tail())) return true;
  const std::vector<std::string> lines = came_back_.lines();
  if (lines.size() < 2) return false;
  std::string all;
  for (const std::string& line : lines) all += line;
  return without_blanks(all) == without_blanks(echo);
}

// So far it is right, and the rest may be on its way.
bool TypedLine::may_become(const std::string& echo) const {
  return echo.starts_with(behind_prompts(came_back_.tail(), framing_.prompts().top()));
}

Task<bool> TypedLine::type(const std::string& sent) {
  came_back_ = ReplyBuffer();
  co_await line_.take_waiting();
  co_await line_.write_unended(sent);
  if (!framing_.echoes().value_or(false) || key_by_key_ == false) co_return true;
  const std::string echo = framing_.echo_of(sent);
  while (!is_echo(echo)) {
    const bool begun = !came_back_.empty();
    // Nothing turns yet, so what may still come is waited for; what is wrong already does not get right.
    Duration patience = begun ? Framing::mid_line_patience * profile_.timing.quiet : first_key_within;
    if ((begun && may_become(echo)) || key_by_key_ == true) patience = profile_.timing.reply;
    const Received received = co_await line_.read(patience);
    if (received.status == Received::Status::data) {
      came_back_.add(received.bytes);
      continue;
    }
    if (begun || key_by_key_ == true) co_return false;
    key_by_key_ = false;
    co_return true;
  }
  key_by_key_ = true;
  co_return true;
}

}  // namespace armwise::console
