// A saved whole configuration, played back before anything else is set: said, agreed to, and compared after.
#include <algorithm>
#include <utility>

#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/console/playback.hpp"
#include "armwise/console/whole_configuration.hpp"
#include "bench_flow.hpp"
#include "words.hpp"

namespace armwise::session {
namespace {

using What = record::JournalEntry::What;

constexpr std::size_t most_lines_said = 20;

}  // namespace

void BenchFlow::tell_what_is_to_be_played(const Player::Sorted& sorted) {
  for (const Player::Line& line : sorted.left_out)
    person_.say("Stays out: " + printable(line.text) + " (" + line.why + ").");
  // All are sent, as a line may belong to the one before it; only what will change is worth reading.
  const std::vector<std::string> now = store_.read_configuration(configuration_before_);
  const std::vector<std::string> changing = lines_missing(sorted.to_send, now);
  person_.say("Of the saved configuration, " + words::count(sorted.to_send.size(), "line is", "lines are") +
              " to be sent as they stand; " + std::to_string(changing.size()) +
              " of them read otherwise now" + (changing.empty() ? "." : ":"));
  for (std::size_t i = 0; i < std::min(changing.size(), most_lines_said); ++i)
    person_.say("    " + printable(changing[i]));
  if (changing.size() > most_lines_said)
    person_.say("    and " + std::to_string(changing.size() - most_lines_said) + " more");
}

Task<void> BenchFlow::agree_to_play(std::size_t lines) {
  Question question;
  question.id = "whole";
  question.kind = Question::Kind::confirm;
  question.level = Level::warn;
  question.text = "May these " + words::count(lines, "line", "lines") +
                  " of the saved configuration be sent? Nothing is kept before every arm has been proven.";
  question.may_go_back = false;
  const Answer answer = co_await person_.ask(question);
  const auto* said = std::get_if<std::string>(&answer);
  if (said == nullptr || *said != "yes") throw StoppedByPerson();
}

Task<Move> BenchFlow::play_whole(Entered entered) {
  if (again_->configuration.empty() || played_) co_return pass(entered);
  if (entered == Entered::backwards) co_return Move::back();
  std::string why_not = console::why_no_playback(console_.profile());
  if (why_not.empty() && again_->record.profile_name != console_.profile().name)
    why_not =
        "The saved configuration is that of another console (" + printable(again_->record.profile_name) + ")";
  if (!why_not.empty()) {
    warnings_.push_back(why_not + ", so it was not played back.");
    person_.say(warnings_.back(), Level::warn);
    co_return Move::on();
  }
  const Player::Sorted sorted = player_.sort(again_->configuration);
  tell_what_is_to_be_played(sorted);
  if (options_.dry_run) co_return Move::on();
  co_await agree_to_play(sorted.to_send.size());
  const WritePermit permit = WritePermit::plan_agreed("the saved configuration shown");
  open_journal();
  record::JournalEntry playing;
  playing.what = What::playing;
  playing.when = clock_.date_and_time();
  playing.lines = sorted.to_send;
  playing.before = baseline_;
  playing.after = baseline_;
  journal_->append(playing);
  anything_written_ = true;
  played_ = true;
  std::vector<Player::Line> refused = co_await player_.play(sorted.to_send, permit);
  co_await tell_what_was_played(std::move(refused), sorted.left_out);
  changes_.push_back({"The saved whole configuration, played back", sorted.to_send});
  now_ = co_await read_twice();
  co_return Move::on();
}

Task<void> BenchFlow::tell_what_was_played(std::vector<Player::Line> refused,
                                           const std::vector<Player::Line>& left_out) {
  for (const Player::Line& line : refused) {
    warnings_.push_back("Refused when played back: " + printable(line.text) + " (" + printable(line.why) +
                        ")");
    person_.say(warnings_.back() + ".", Level::warn);
  }
  const std::string now = co_await console_.whole_configuration();
  std::vector<std::string> missing = lines_missing(again_->configuration, console::configuration_lines(now));
  std::erase_if(missing, [&](const std::string& line) {
    const auto is_it = [&](const Player::Line& other) { return other.text == line; };
    return trimmed(line).empty() || std::any_of(refused.begin(), refused.end(), is_it) ||
           std::any_of(left_out.begin(), left_out.end(), is_it);
  });
  const std::size_t said = std::min(missing.size(), most_lines_said);
  for (std::size_t i = 0; i < said; ++i) {
    warnings_.push_back("Reads otherwise than in the saved configuration: " + printable(missing[i]));
    person_.say(warnings_.back(), Level::warn);
  }
  if (said < missing.size()) {
    warnings_.push_back("So do " + words::count(missing.size() - said, "more line", "more lines"));
    person_.say(warnings_.back() + ".", Level::warn);
  }
  if (missing.empty() && refused.empty())
    person_.say("Every line was taken, and the configuration reads as it was saved.");
}

}  // namespace armwise::session
