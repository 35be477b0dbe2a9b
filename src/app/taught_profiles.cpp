#include "taught_profiles.hpp"

#include <memory>
#include <set>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"
#include "armwise/console/conversation.hpp"
#include "armwise/console/profile_console.hpp"

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

// The last line of what comes back for a line end, spoiled: what stands half typed may be half an order to
// spin.
Task<std::string> prompt_shown(console::Line& line, std::string first) {
  co_await line.write(first, write_time);
  std::string received;
  while (received.size() < longest_answer) {
    const console::Received got = co_await line.read(answer_time);
    if (got.status != console::Received::Status::data) break;
    received += got.bytes;
  }
  const std::size_t end = received.find_last_of("\r\n");
  const std::string last = printable(received.substr(end == std::string::npos ? 0 : end + 1));
  co_return std::string(trimmed(last));
}

Task<std::set<std::string>> prompts_shown(console::Plug& plug, const Candidates& candidates) {
  const std::unique_ptr<console::Line> line = co_await plug.open();
  std::set<std::string> tried, prompts;
  for (const ProfileAtHand* candidate : candidates) {
    const std::string first = console::spoiled_line_end(candidate->profile);
    if (!tried.insert(first).second) continue;
    const std::string prompt = co_await prompt_shown(*line, first);
    prompts.insert(prompt);
  }
  co_return prompts;
}

bool shown_among(const std::set<std::string>& prompts, const console::Profile& profile) {
  for (const std::string& prompt : prompts) {
    if (prompt.ends_with(trimmed(profile.open.prompt))) return true;
  }
  return false;
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
                                                  const std::vector<ProfileAtHand>& at_hand) {
  std::vector<AnswersTo> found;
  const Candidates candidates = candidates_among(at_hand);
  if (candidates.empty()) co_return found;
  const std::set<std::string> prompts = co_await prompts_shown(plug, candidates);
  for (const ProfileAtHand* candidate : candidates) {
    if (!shown_among(prompts, candidate->profile)) continue;
    const std::string words = co_await introduces_itself(plug, candidate->profile, clock, sentry);
    if (!words.empty()) found.push_back({candidate->file, words});
  }
  co_return found;
}

}  // namespace armwise::app
