// The controller's line editor: bytes in, echo out, whole lines to the commands.
#include <algorithm>
#include <utility>

#include "armwise/base/text.hpp"
#include "controller_inside.hpp"

namespace armwise::practice {
namespace {

constexpr std::size_t longest_line = 400;
constexpr std::size_t longest_knock = 80;
constexpr char backspace = '\b', rubout = '\x7f', cancel = '\x03';
constexpr std::size_t endless_per_millisecond = 512;

std::string line_end_of(console::LineEnding ending) {
  return ending == console::LineEnding::lf ? "\n" : "\r\n";
}

}  // namespace

PracticeController::Inside::Inside(const console::Profile& spoken, PracticeCraft craft, MischiefPlan plan,
                                   Habits how)
    : profile(spoken),
      mischief(plan),
      habits(std::move(how)),
      board(spoken, std::move(craft), habits.invented_lines),
      grammar(spoken),
      eol_(line_end_of(spoken.open.line_ending)) {}

void PracticeController::Inside::boot(Instant now) {
  sayings_.clear();
  pages_.clear();
  line_.clear();
  knock_.clear();
  held_answer_.clear();
  endless_ = false;
  swallow_line_end_ = open_bracket_ = false;
  leaves_at.reset();
  grammar.to_the_top();
  const bool needs_a_knock = !profile.open.send.empty();
  open_ = !needs_a_knock || (restarts == 0 && habits.console_open);
  if (restarts == 0) say(habits.left_over, now);
  in_boot_loader_ = false;
  started_at_ = now;
  if (restarts > 0 && (habits.port_stays || habits.start > Duration(0))) {
    if (habits.start > Duration(0)) say("any key stops the start" + eol_, now + habits.away);
    started_at_ += habits.away + habits.start;
  }
  if (!needs_a_knock) {
    const std::string banner = small_talk("practice board is up");
    if (!profile.open.prompt.empty()) say(banner + profile.open.prompt, started_at_);
  }
}

void PracticeController::Inside::stop_start(Instant now) {
  if (habits.start == Duration(0)) return;
  in_boot_loader_ = true;
  sayings_.clear();
  say("boot loader:", now);
}

void PracticeController::Inside::say(std::string bytes, Instant due) {
  if (bytes.empty()) return;
  if (!sayings_.empty()) due = std::max(due, sayings_.back().due);
  if (!sayings_.empty() && sayings_.back().due == due) {
    sayings_.back().bytes += bytes;
  } else {
    sayings_.push_back({due, std::move(bytes)});
  }
}

std::string PracticeController::Inside::take(Instant now) {
  std::string out;
  while (!sayings_.empty() && sayings_.front().due <= now) {
    out += sayings_.front().bytes;
    sayings_.pop_front();
  }
  // However long nobody listened, no more is made than a line could have carried meanwhile.
  if (endless_ && endless_from_ <= now) {
    while (out.size() < endless_per_millisecond) out += "amber_limit_1 = 4" + eol_;
    endless_from_ = now + Duration(1);
  }
  return out;
}

std::optional<Instant> PracticeController::Inside::next_saying() const {
  if (!sayings_.empty()) return sayings_.front().due;
  if (endless_) return endless_from_;
  return std::nullopt;
}

bool PracticeController::Inside::is_line_end(char c) const {
  return c == (profile.open.line_ending == console::LineEnding::cr ? '\r' : '\n');
}

bool PracticeController::Inside::opens_with_a_key() const {
  return !profile.open.send.empty() && static_cast<unsigned char>(profile.open.send.back()) < ' ';
}

bool PracticeController::Inside::echoes() const {
  if (mischief.is(Mischief::echo_nothing) && commands_ >= mischief.at) return false;
  return habits.echo.value_or(profile.open.echo.value_or(true));
}

void PracticeController::Inside::hear_byte(char c, Instant now) {
  if (in_boot_loader_) return;
  if (now < started_at_) {
    stop_start(now);
  } else if (!open_) {
    knock(c, now);
  } else if (!pages_.empty()) {
    turn_page(c, now);
  } else {
    edit(c, now);
  }
}

void PracticeController::Inside::knock(char c, Instant now) {
  const std::string& word = profile.open.send;
  if (!opens_with_a_key() && is_line_end(c)) {
    const bool right = trimmed(knock_) == word;
    knock_.clear();
    if (right) open_console(now);
    return;
  }
  if (!opens_with_a_key() && (c == '\r' || c == '\n')) return;
  knock_ += c;
  if (opens_with_a_key() && knock_.ends_with(word)) {
    knock_.clear();
    swallow_line_end_ = true;
    open_console(now);
  }
  if (knock_.size() > longest_knock) knock_.erase(0, knock_.size() - longest_knock / 2);
}

void PracticeController::Inside::open_console(Instant now) {
  open_ = true;
  grammar.to_the_top();
  const std::string banner = profile.open.send.empty() ? std::string() : small_talk("the console is open");
  say(banner + profile.open.prompt, now + habits.latency);
}

void PracticeController::Inside::edit(char c, Instant now) {
  const auto echo = [&](const std::string& bytes) {
    if (echoes()) say(bytes, now);
  };
  if (is_line_end(c)) {
    if (std::exchange(swallow_line_end_, false) && line_.empty()) return;
    const std::string line = std::exchange(line_, {});
    echo(eol_);
    if (goes_on(line)) {
      say("... ", now);
    } else {
      hear_line(line, now);
    }
  } else if (c == backspace || c == rubout) {
    if (line_.empty()) return;
    line_.pop_back();
    echo("\b \b");
  } else if (c == cancel) {
    line_.clear();
    open_bracket_ = false;
    grammar.to_the_top();
    say(eol_ + profile.open.prompt, now);
  } else if (static_cast<unsigned char>(c) >= ' ' && line_.size() < longest_line) {
    swallow_line_end_ = false;
    line_ += c;
    echo(std::string(1, c));
  }
}

// A console from which something gets one out of an open bracket or quote goes on with it until that comes.
bool PracticeController::Inside::goes_on(const std::string& line) {
  if (!profile.open.abandon) return false;
  if (open_bracket_) {
    open_bracket_ = line != *profile.open.abandon;
    return open_bracket_;
  }
  open_bracket_ = std::count(line.begin(), line.end(), '(') > std::count(line.begin(), line.end(), ')') ||
                  std::count(line.begin(), line.end(), '"') % 2 == 1;
  return open_bracket_;
}

void PracticeController::Inside::turn_page(char c, Instant now) {
  knock_ += c;
  const std::string& word = profile.open.more_send;
  const bool turned = word.empty() ? is_line_end(c) : knock_.ends_with(word);
  if (!turned) return;
  knock_.clear();
  say(eol_ + pages_.front(), now + habits.latency);
  pages_.pop_front();
  swallow_line_end_ = pages_.empty();
}

}  // namespace armwise::practice
