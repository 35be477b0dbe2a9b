#include "sync.hpp"

#include <algorithm>
#include <cstdint>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/console/conversation.hpp"

namespace armwise::console {
namespace {

constexpr int deepest_menu = 5;

}  // namespace

Task<Heard> Sync::listen(Duration patience) {
  const Instant last = line_.no_later_than(5 * std::max(patience, profile_.timing.reply));
  ReplyBuffer buffer;
  framing_.begin();
  Heard heard;
  while (clock_.now() < last) {
    const auto seen = framing_.prompts().at_end_of(buffer.tail());
    Duration wait = seen ? std::min(patience, Framing::mid_line_patience * profile_.timing.quiet) : patience;
    const bool ended =
        seen ? seen->top : framing_.prompts().top().empty() && !buffer.empty() && buffer.tail().empty();
    if (ended && goes_by_the_word()) wait = Duration{0};
    const Received received = co_await line_.read(wait);
    if (received.status == Received::Status::data) {
      buffer.add(received.bytes);
      continue;
    }
    heard.prompt = seen ? seen->prompt : "";
    heard.at_top = seen && seen->top;
    line_.remark("listened for whatever comes", (seen ? "a prompt, and silence for " : "silence for ") +
                                                    std::to_string(wait.count()) + " ms");
    break;
  }
  heard.lines = framing_.without_prompts(buffer.lines());
  co_return heard;
}

Task<bool> Sync::listen_to_silence(Duration patience) {
  const Instant last = line_.no_later_than(5 * std::max(patience, profile_.timing.reply));
  ReplyBuffer bounded;
  while (clock_.now() < last) {
    const Received received = co_await line_.read(patience);
    if (received.status != Received::Status::data) break;
    bounded.add(received.bytes);
  }
  co_return !bounded.empty();
}

Task<Heard> Sync::hear_start(Duration longest, Duration longest_silence) {
  const Instant last = clock_.now() + longest;
  ReplyBuffer buffer;
  Heard heard;
  bool silent = false;
  while (clock_.now() < last && !heard.at_top && !silent) {
    const auto seen = framing_.prompts().at_end_of(buffer.tail());
    const bool at_top = seen && seen->top;
    // A start-up says much; what ends like the prompt in the middle of a line is most likely none.
    Duration wait = std::min(last - clock_.now(), longest_silence);
    if (at_top)
      wait = std::min(wait, seen->line_start ? Framing::mid_line_patience * profile_.timing.quiet
                                             : profile_.timing.reply);
    const Received received = co_await line_.read(wait);
    if (received.status == Received::Status::data) {
      buffer.add(received.bytes);
    } else {
      heard.at_top = at_top;
      silent = !at_top;
    }
  }
  heard.lines = framing_.without_prompts(buffer.lines());
  co_return heard;
}

// Different for each question and each session, so that an old answer cannot pass for a new one. Where it is
// spelled, only its beginning has the first question three times running: so no word begins within another,
// and what was lost on the way makes none.
Sync::Word Sync::new_word() {
  const Steps& steps = profile_.open.barrier->steps;
  Word word;
  ++words_;
  if (steps.size() == 1) {
    auto mixed = static_cast<std::uint64_t>(clock_.now().count()) * 2654435761ULL + words_ * 40503ULL;
    constexpr std::string_view letters = "bcdfghjkmnpqrstvwxz";
    for (int i = 0; i < 8; ++i) {
      word.text += letters[mixed % letters.size()];
      mixed /= letters.size();
    }
    word.text += std::to_string(words_);
    word.lines = {steps.front().send.format({{"word", word.text}})};
    return word;
  }
  word.spelled = {0, 0, 0, 1};
  for (unsigned bit = 0; bit < 3; ++bit) {
    word.spelled.push_back((began_ + words_) >> bit & 1U);
    word.spelled.push_back(1);
  }
  for (const std::size_t which : word.spelled) word.lines.push_back(steps.at(which).send.format({}));
  return word;
}

bool Sync::is_back(Word& word, const std::string& line) const {
  const std::vector<Template>& answers = profile_.open.barrier->lines;
  for (std::size_t which = 0; which < answers.size(); ++which) {
    const auto values = answers[which].match(line, profile_.case_sensitive);
    if (!values) continue;
    if (word.spelled.empty() && profile_.same(values->at("word"), word.text)) return true;
    word.came.push_back(which);
  }
  return !word.spelled.empty() && word.came.size() >= word.spelled.size() &&
         std::equal(word.spelled.rbegin(), word.spelled.rend(), word.came.rbegin());
}

// True once the word has come back and what follows it has come to rest.
Task<bool> Sync::wait_for_word(ReplyBuffer& buffer, Word word) {
  const Instant last = line_.no_later_than(profile_.timing.listing);
  bool answered = false;
  while (clock_.now() < last) {
    const auto seen = framing_.prompts().at_end_of(buffer.tail());
    const bool ended = seen ? seen->top : framing_.prompts().top().empty() && buffer.tail().empty();
    Duration wait = profile_.timing.reply;
    if (answered)
      wait = ended ? Duration{0} : (seen ? 1 : Framing::mid_line_patience) * profile_.timing.quiet;
    const Received received = co_await line_.read(wait);
    if (received.status != Received::Status::data) co_return answered;
    buffer.add(received.bytes);
    for (const std::string& line : buffer.newly_ended_lines()) answered = is_back(word, line) || answered;
  }
  co_return answered;
}

// Where the answer begins that brings it back.
std::vector<std::string>::iterator Sync::answer_to(Word word, std::vector<std::string>& lines) const {
  std::size_t left = word.spelled.size();
  if (left == 0) {
    return std::find_if(lines.begin(), lines.end(), [&](const std::string& line) {
      return lower_case(line).find(lower_case(word.text)) != std::string::npos;
    });
  }
  auto at = lines.end();
  while (left > 0 && at != lines.begin()) {
    const std::size_t before = word.came.size();
    --at;
    is_back(word, *at);
    left -= std::min(left, word.came.size() - before);
  }
  return at;
}

Task<std::optional<Sync::BeforeWord>> Sync::send_word() {
  in_step_ = false;
  const Word word = new_word();
  std::string bytes;
  for (const std::string& line : word.lines) bytes += line + std::string(line_end_of(profile_));
  co_await line_.write(bytes);
  ReplyBuffer buffer;
  const Instant began = clock_.now();
  const bool answered = co_await wait_for_word(buffer, word);
  line_.remark("waited " + std::to_string((clock_.now() - began).count()) + " ms for the sync word",
               answered ? "it came back" : "it did not come back");
  if (!answered) co_return std::nullopt;
  std::vector<std::string> before = buffer.lines();
  const bool echoed = framing_.take_out(before, word.lines.front());
  framing_.learn_echo(echoed);
  before.erase(answer_to(word, before), before.end());
  in_step_ = true;
  BeforeWord found{framing_.without_prompts(std::move(before)), buffer.release()};
  co_return found;
}

Task<bool> Sync::prove() {
  if (profile_.open.barrier) {
    const auto before = co_await send_word();
    co_return before.has_value();
  }
  const std::string line_end(line_end_of(profile_));
  co_await line_.write(line_end);
  const Heard heard = co_await listen(profile_.timing.reply);
  in_step_ = heard.at_top;
  co_return heard.at_top;
}

Task<bool> Sync::go_home() {
  if (profile_.open.home.empty()) co_return false;
  const std::string bytes = profile_.open.home + std::string(line_end_of(profile_));
  for (int level = 0; level < deepest_menu && !line_.time_is_up(); ++level) {
    co_await line_.write(bytes);
    const Heard heard = co_await listen(profile_.timing.reply);
    if (heard.at_top) co_return true;
    // From a menu it would have answered, at least with an echo.
    if (heard.lines.empty() && heard.prompt.empty()) co_return false;
  }
  co_return false;
}

Task<void> Sync::go_home_if_possible() {
  in_step_ = false;
  const WatchedLine::Limit limit(line_, deepest_menu * profile_.timing.reply);
  try {
    co_await go_home();
  } catch (const Fault&) {
    // The next command gets into step first, and says so if that fails.
  }
}

}  // namespace armwise::console
