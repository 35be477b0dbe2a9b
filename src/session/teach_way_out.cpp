// Lesson: what gets out of something half typed. An open bracket or quote makes some consoles ask on, and
// take whatever comes then, a stop too, for more of it.
#include <array>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"
#include "armwise/console/conversation.hpp"
#include "armwise/teach/listening.hpp"
#include "teach_lessons.hpp"

namespace armwise::session {
namespace {

constexpr const char* nonsense_word = "qzvckw";
constexpr std::array openers{"qzvakw (", "qzvakw \""};
constexpr const char* closers = ")\"";
constexpr Duration until_silence{1200}, longest_way_out{15000};

// `woken`: what got out of what was found there. Else an empty line first, since nobody knows what a key
// does.
std::vector<std::string> ways_out(const std::optional<std::string>& woken) {
  std::vector<std::string> ways{""};
  for (const char key : console::abandon_keys) ways.emplace_back(1, key);
  if (woken) ways.insert(ways.begin(), *woken);
  return ways;
}

std::string way_in_words(const std::string& way) {
  constexpr char letters = 'A' - 1;  // of the key that makes character 1
  return way.empty() ? "an empty line" : std::string("Ctrl-") + static_cast<char>(way.front() + letters);
}

// What a line that no console has was answered: at the prompt again, or at least refused.
bool is_at_the_top(Teaching& t, const teach::HeardReply& reply) {
  return t.talk.has_prompt() ? t.talk.is_top(reply.prompt) : t.talk.is_refusal(reply.lines);
}

// Silence alone says nothing: a reply may be lost.
Task<bool> goes_on_after(Teaching& t, std::string line) {
  Ear::Heard heard = co_await t.talk.ear.say(line);
  if (!heard.closed && heard.reply.prompt.empty() && !is_at_the_top(t, heard.reply)) {
    const std::string once_more = nonsense_word;
    heard = co_await t.talk.ear.say(once_more);
  }
  co_return !heard.closed && !is_at_the_top(t, heard.reply);
}

// In one piece with what follows, as before a stop.
Task<bool> is_way_out(Teaching& t, std::string way) {
  console::Profile& profile = t.draft.profile;
  profile.open.abandon = way;
  const std::string bytes = console::spoiled_line_end(profile) + nonsense_word + t.talk.ear.line_end;
  const std::string received = co_await t.talk.ear.raw(bytes, until_silence);
  const bool out = is_at_the_top(t, teach::split_reply({nonsense_word, received}));
  if (!out) profile.open.abandon.reset();
  if (!out) co_return false;
  const bool goes_on = co_await goes_on_after(t, nonsense_word);
  if (goes_on) profile.open.abandon.reset();
  co_return !goes_on;
}

}  // namespace

// Keys are tried only where something has been left open, and an empty line before them.
Task<void> learn_way_out(Teaching& t) {
  const std::optional<std::string> woken = t.draft.profile.open.abandon;
  if (!t.talk.has_prompt() && t.draft.profile.refusals.empty()) co_return;
  t.person.tell_wait("way-out-wait", longest_way_out);
  for (const std::string& way : ways_out(woken)) {
    bool anything_open = false, out = true;
    for (std::size_t i = 0; i < openers.size() && out; ++i) {
      const bool open = co_await goes_on_after(t, openers.at(i));
      if (!open) continue;
      anything_open = true;
      out = co_await is_way_out(t, way);
    }
    t.draft.profile.open.abandon = out ? (anything_open ? std::optional(way) : woken) : std::nullopt;
    if (!anything_open) co_return;
    if (!out) continue;
    t.person.tell("way-out-found", {{"way", way_in_words(way)}});
    co_return;
  }
  const bool open = co_await goes_on_after(t, closers);
  if (!open) co_return;
  throw Fault(FaultKind::no_reply, "the console asks on and on",
              "An open bracket was sent, to see what gets out of it, and nothing did",
              "Unplug the controller, plug it in, and tell whoever makes its console");
}

}  // namespace armwise::session
