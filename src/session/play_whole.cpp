// A saved whole configuration, played back before anything else is set: said, agreed to, and compared after.
#include <algorithm>
#include <utility>

#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/console/playback.hpp"
#include "armwise/console/whole_configuration.hpp"
#include "armwise/session/consent.hpp"
#include "bench_parts.hpp"
#include "questions.hpp"
#include "words.hpp"

namespace armwise::session {
namespace {

constexpr std::size_t most_lines_said = 20;

void tell_what_is_to_be_played(const Bench& b, Recall& r, const Player::Sorted& sorted) {
  for (const Player::Line& line : sorted.left_out)
    r.tell("line-left-out", {{"line", printable(line.text)}, {"why", line.why}});
  // All are sent, as a line may belong to the one before it; only what will change is worth reading.
  const std::vector<std::string> now = b.store.read_configuration(b.ledger.journal().configuration());
  const std::vector<std::string> changing = lines_missing(sorted.to_send, now);
  r.tell("to-play",
         {{"lines", std::to_string(sorted.to_send.size())}, {"changing", std::to_string(changing.size())}});
  for (std::size_t i = 0; i < std::min(changing.size(), most_lines_said); ++i)
    r.tell("to-play-line", {{"line", printable(changing[i])}});
  if (changing.size() > most_lines_said)
    r.tell("to-play-more", {{"lines", std::to_string(changing.size() - most_lines_said)}});
}

Task<PlayPermit> agree_to_play(Recall& r, std::vector<std::string> lines) {
  Question question =
      yes_or_no("whole", "Send these " + words::count(lines.size(), "line", "lines") +
                             " of the saved configuration? Nothing is saved until every arm is proven.");
  question.may_go_back = false;
  const std::optional<PlayPermit> permit = co_await ask_to_play(r, std::move(question), std::move(lines));
  if (!permit) throw StoppedByPerson();
  co_return *permit;
}

// Returns warnings.
Task<std::vector<std::string>> tell_what_was_played(Bench& b, const std::vector<Player::Line>& refused,
                                                    const Player::Sorted& sorted,
                                                    const std::vector<std::string>& configuration) {
  std::vector<std::string> warnings;
  for (const Player::Line& line : refused) {
    warnings.push_back("Refused when played back: " + printable(line.text) + " (" + printable(line.why) +
                       ")");
    b.person.tell("played-otherwise", {{"warning", warnings.back()}});
  }
  const std::string now = co_await b.console.whole_configuration();
  std::vector<std::string> missing = lines_missing(configuration, console::configuration_lines(now));
  std::erase_if(missing, [&](const std::string& line) {
    const auto is_it = [&](const Player::Line& other) { return other.text == line; };
    return trimmed(line).empty() || std::any_of(refused.begin(), refused.end(), is_it) ||
           std::any_of(sorted.left_out.begin(), sorted.left_out.end(), is_it);
  });
  const std::size_t said = std::min(missing.size(), most_lines_said);
  for (std::size_t i = 0; i < said; ++i) {
    warnings.push_back("Reads otherwise than in the saved configuration: " + printable(missing[i]));
    b.person.tell("played-otherwise", {{"warning", warnings.back()}});
  }
  if (said < missing.size()) {
    warnings.push_back("So do " + words::count(missing.size() - said, "more line", "more lines"));
    b.person.tell("played-otherwise", {{"warning", warnings.back()}});
  }
  if (missing.empty() && refused.empty()) b.person.tell("played");
  co_return warnings;
}

}  // namespace

Task<std::vector<std::string>> play_whole(Bench& b, Recall& r, const craft::Frame& frame,
                                          const record::CraftRecord& record,
                                          const std::vector<std::string>& configuration) {
  std::vector<std::string> warnings;
  std::string why_not = console::why_no_playback(b.profile());
  if (why_not.empty() && record.profile_name != b.profile().name)
    why_not = "The saved configuration is that of another console (" + printable(record.profile_name) + ")";
  if (!why_not.empty()) {
    warnings.push_back(why_not + ", so it was not played back.");
    r.tell("not-played", {{"warning", warnings.back()}});
    co_return warnings;
  }
  const Player player(b.console, b.person);
  const Player::Sorted sorted = player.sort(configuration);
  tell_what_is_to_be_played(b, r, sorted);
  if (b.options.dry_run) co_return warnings;
  const PlayPermit permit = co_await agree_to_play(r, sorted.to_send);
  const auto play = [&]() -> Task<std::vector<std::string>> {
    const std::vector<Player::Line> refused = co_await b.ledger.play(sorted.to_send, permit);
    std::vector<std::string> said = co_await tell_what_was_played(b, refused, sorted, configuration);
    b.ledger.reads(co_await read_twice(b, frame));
    co_return said;
  };
  co_return co_await r.for_good<std::vector<std::string>>(play);
}

}  // namespace armwise::session
