#include "taught_profiles.hpp"

#include <algorithm>
#include <cctype>
#include <memory>
#include <set>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/console/conversation.hpp"
#include "armwise/console/playback.hpp"
#include "armwise/console/profile_console.hpp"
#include "armwise/teach/listening.hpp"

namespace armwise::app {
namespace {

constexpr Duration write_time{1000}, answer_time{400};
constexpr std::size_t longest_answer = 16384;

using Candidates = std::vector<const ProfileAtHand*>;

// Of the person's own, those that can be told by a prompt and a question.
Candidates candidates_among(const std::vector<ProfileAtHand>& at_hand) {
  Candidates candidates;
  for (const ProfileAtHand& one : at_hand) {
    if (one.own && !trimmed(one.profile.open.prompt).empty() && one.profile.identify)
      candidates.push_back(&one);
  }
  return candidates;
}

// What has come back so far.
struct Heard {
  std::set<std::string> prompts;
  bool anything = false;  // more than an echo of what was sent
};

// Sends this, if anything, and listens; `first`: for how long nothing may come.
Task<void> hear(console::Line& line, std::string sent, Duration first, Heard& heard) {
  if (!sent.empty()) co_await line.write(sent, write_time);
  teach::Exchange exchange{std::string(trimmed(sent)), {}};
  Duration patience = first;
  while (exchange.received.size() < longest_answer) {
    const console::Received got = co_await line.read(patience);
    if (got.status != console::Received::Status::data) break;
    exchange.received += got.bytes;
    patience = answer_time;
  }
  const teach::HeardReply reply = teach::split_reply(exchange);
  if (!reply.lines.empty() || !reply.prompt.empty()) heard.anything = true;
  if (!reply.prompt.empty()) heard.prompts.insert(std::string(trimmed(reply.prompt)));
}

// By line ends, spoiled: what stands half typed may be half an order to spin. No stop goes out behind it,
// unlike wherever the console is known: what stops one may start another, and all that is known of this one
// is what it answers to this. Where it takes the half order for all that, the stop is the first thing that
// follows once a profile fits or is chosen (Conversation::open).
Task<void> wake(console::Line& line, const Candidates& candidates, Heard& heard) {
  std::set<std::string> tried;
  for (const ProfileAtHand* candidate : candidates) {
    const std::string bytes = console::plainly_spoiled_line_end(candidate->profile);
    if (tried.insert(bytes).second) co_await hear(line, bytes, answer_time, heard);
  }
}

void cut_to_first_step(console::Command& command) {
  if (command.steps.size() > 1) command.steps.erase(command.steps.begin() + 1, command.steps.end());
}

// With the first step of each order alone: a console that nobody has spoken to is in no menu, where any word
// may be a choice.
console::Profile at_the_top(console::Profile profile) {
  if (profile.spin) {
    cut_to_first_step(profile.spin->spin);
    cut_to_first_step(profile.spin->stop_all);
    if (profile.spin->stop) cut_to_first_step(*profile.spin->stop);
  }
  if (profile.keep) {
    cut_to_first_step(profile.keep->keep);
    if (profile.keep->restart) cut_to_first_step(*profile.keep->restart);
  }
  if (profile.leave) cut_to_first_step(*profile.leave);
  return profile;
}

// Plain text, and nothing that another profile at hand knows for an order to spin, stop, keep, restart or
// leave. A key is never tried: it may be the one that resets another board.
bool may_be_tried(const std::string& word, const std::vector<ProfileAtHand>& at_hand) {
  return std::all_of(at_hand.begin(), at_hand.end(), [&](const ProfileAtHand& one) {
    return console::why_left_out(at_the_top(one.profile), word).empty();
  });
}

// The words that get into a console, where one is needed. One console's word may be an order on another, so:
// only the person's own profiles give theirs, and each is said before it is sent; none is sent to a console
// that has answered anything, for that one is open and would carry it out; before the first, the silence
// lasts as long as the slowest of these consoles may take; each stands on a line of its own, behind a line
// end that spoils what is half typed; and after the first answer, whatever it is, no more are sent.
Task<void> try_words(console::Line& line, const Candidates& candidates,
                     const std::vector<ProfileAtHand>& at_hand, const SayFirst& say, Heard& heard) {
  Candidates with_word;
  Duration longest = answer_time;
  for (const ProfileAtHand* candidate : candidates) {
    longest = std::max(longest, candidate->profile.timing.reply);
    if (may_be_tried(candidate->profile.open.send, at_hand)) with_word.push_back(candidate);
  }
  if (with_word.empty() || heard.anything) co_return;
  const std::string nothing;
  co_await hear(line, nothing, longest, heard);
  std::set<std::string> tried;
  for (const ProfileAtHand* candidate : with_word) {
    const console::Profile& profile = candidate->profile;
    const std::string word = console::entering(profile);
    if (heard.anything || !tried.insert(word).second) continue;
    const std::string before = console::plainly_spoiled_line_end(profile);
    co_await hear(line, before, answer_time, heard);
    if (heard.anything) co_return;
    say("opening-tried",
        {{"sent", printable(profile.open.send)}, {"profile", printable(candidate->file.stem().string())}});
    co_await hear(line, word, profile.timing.reply, heard);
  }
}

Task<std::set<std::string>> prompts_shown(console::Plug& plug, const Candidates& candidates,
                                          const std::vector<ProfileAtHand>& at_hand, const SayFirst& say) {
  const std::unique_ptr<console::Line> line = co_await plug.open();
  Heard heard;
  co_await wake(*line, candidates, heard);
  co_await try_words(*line, candidates, at_hand, say, heard);
  co_return heard.prompts;
}

// How what the console shows at its end is like a profile's prompt.
enum class Likeness { none, at_its_end, the_same };

// A mark without a letter, such as many consoles end their prompts with, is no name that tells one from
// another.
bool tells_apart(std::string_view prompt) {
  return std::any_of(prompt.begin(), prompt.end(),
                     [](char c) { return std::isalpha(static_cast<unsigned char>(c)) != 0; });
}

Likeness likeness_to(const std::set<std::string>& prompts, const console::Profile& profile) {
  const std::string_view wanted = trimmed(profile.open.prompt);
  Likeness found = Likeness::none;
  for (const std::string& prompt : prompts) {
    if (prompt == wanted && tells_apart(wanted)) return Likeness::the_same;
    if (!wanted.empty() && prompt.ends_with(wanted)) found = Likeness::at_its_end;
  }
  return found;
}

void add_steps(std::vector<std::string>& words, const console::Steps& steps) {
  for (const std::string& line : console::Conversation::as_sent(steps, {})) words.push_back(line);
}

std::vector<std::string> way_in_and_home(const console::Profile& profile) {
  std::vector<std::string> words;
  for (const std::string& word : {profile.open.send, profile.open.home, profile.open.more_send}) {
    if (!word.empty() && word.find_first_not_of("\r\n ") != std::string::npos) words.push_back(word);
  }
  return words;
}

std::vector<std::string> asking_back(const console::Profile& profile) {
  if (!profile.open.barrier) return {};
  const console::Values any{{"word", "bench417"}};
  std::vector<std::string> words = console::Conversation::as_sent(profile.open.barrier->steps, any);
  std::erase(words, std::string());  // a line end is sent anyway
  return words;
}

// All that opening a console and asking it who it is sends, apart from line ends.
std::vector<std::string> words_of_introduction(const console::Profile& profile) {
  std::vector<std::string> words;
  if (profile.spin) add_steps(words, profile.spin->stop_all.steps);
  for (const std::vector<std::string>& more : {way_in_and_home(profile), asking_back(profile)})
    words.insert(words.end(), more.begin(), more.end());
  add_steps(words, profile.identify->steps);
  return words;
}

// What its own stop begins with is an order that any console may be given.
bool begins_its_stop(const console::Profile& profile, const std::string& word) {
  return profile.spin && lower_case(trimmed(profile.spin->stop_all.steps.front().send.format({}))) ==
                             lower_case(trimmed(word));
}

// Where nothing of its introduction is an order on a console that may be the one on the port: of the profiles
// at hand, those whose prompt fits too; each, where the prompt tells nothing sure.
bool may_be_introduced(const ProfileAtHand& candidate, const std::vector<ProfileAtHand>& at_hand,
                       const std::set<std::string>& prompts, Likeness likeness) {
  const std::vector<std::string> words = words_of_introduction(candidate.profile);
  for (const ProfileAtHand& other : at_hand) {
    if (&other == &candidate) continue;
    const bool may_be_it = likeness_to(prompts, other.profile) != Likeness::none;
    if (likeness == Likeness::the_same && !may_be_it) continue;
    const console::Profile at_top = at_the_top(other.profile);
    for (const std::string& word : words) {
      if (!begins_its_stop(other.profile, word) && !console::why_left_out(at_top, word).empty()) return false;
    }
  }
  return true;
}

void say_introduction(const ProfileAtHand& candidate, const SayFirst& say) {
  std::string words;
  for (const std::string& word : words_of_introduction(candidate.profile))
    words += (words.empty() ? "\"" : ", \"") + printable(word) + "\"";
  say("introduction-asked", {{"profile", printable(candidate.file.stem().string())}, {"sent", words}});
}

// Empty where it does not answer as the profile says.
Task<std::string> introduces_itself(console::Plug& plug, const console::Profile& profile, Clock& clock,
                                    console::Sentry& sentry) {
  console::ProfileConsole console(plug, profile, clock, sentry);
  console::Identity identity;
  try {
    co_await console.open();
    identity = co_await console.identify();
  } catch (const Fault&) {
    co_return std::string();
  }
  std::string words;
  for (const std::string& part : {identity.board, identity.firmware, identity.version}) {
    if (!part.empty()) words += (words.empty() ? "" : " ") + printable(part);
  }
  co_return words;
}

}  // namespace

Task<std::vector<AnswersTo>> profiles_answered_to(console::Plug& plug, Clock& clock, console::Sentry& sentry,
                                                  const std::vector<ProfileAtHand>& at_hand,
                                                  const SayFirst& say) {
  std::vector<AnswersTo> found;
  const Candidates candidates = candidates_among(at_hand);
  if (candidates.empty()) co_return found;
  const std::set<std::string> prompts = co_await prompts_shown(plug, candidates, at_hand, say);
  for (const ProfileAtHand* candidate : candidates) {
    const Likeness likeness = likeness_to(prompts, candidate->profile);
    if (likeness == Likeness::none) continue;
    if (!may_be_introduced(*candidate, at_hand, prompts, likeness)) {
      say("introduction-left-out", {{"profile", printable(candidate->file.stem().string())}});
      continue;
    }
    if (likeness == Likeness::at_its_end) say_introduction(*candidate, say);
    const std::string words = co_await introduces_itself(plug, candidate->profile, clock, sentry);
    if (!words.empty()) found.push_back({candidate->file, words});
  }
  co_return found;
}

}  // namespace armwise::app
