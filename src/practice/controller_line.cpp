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

std::string line_end_of(console::LineEnding ending) {
  return ending == console::LineEnding::lf ? "\n" : "\r\n";
}

}  // namespace

bool Typed::goes_on(const std::string& ended, const std::optional<std::string>& abandon) {
  if (!abandon) return false;
  if (open_bracket) {
    open_bracket = ended != *abandon;
    return open_bracket;
  }
  open_bracket = std::count(ended.begin(), ended.end(), '(') > std::count(ended.begin(), ended.end(), ')') ||
                 std::count(ended.begin(), ended.end(), '"') % 2 == 1;
  return open_bracket;
}

PracticeController::Inside::Inside(const console::Profile& spoken, PracticeCraft craft,
                                   const MischiefPlan& plan, Habits how)
    : profile(spoken),
      mischief(plan),
      habits(std::move(how)),
      board(spoken, std::move(craft), habits.invented_lines),
      grammar(spoken),
      eol_(line_end_of(spoken.open.line_ending)) {}

void PracticeController::Inside::boot(Instant now) {
  voice.hush();
  pages_.clear();
  typed_ = {};
  leaves_at.reset();
  grammar.to_the_top();
  const bool needs_a_knock = !profile.open.send.empty();
  open_ = !needs_a_knock || (restarts == 0 && habits.console_open);
  if (restarts == 0) voice.say(habits.left_over, now);
  in_boot_loader_ = false;
  started_at_ = now;
  if (restarts > 0 && (habits.port_stays || habits.start > Duration(0))) {
    if (habits.start > Duration(0)) voice.say("any key stops the start" + eol_, now + habits.away);
    started_at_ += habits.away + habits.start;
  }
  if (!needs_a_knock) {
    const std::string banner = small_talk("practice board is up");
    if (!profile.open.prompt.empty()) voice.say(banner + profile.open.prompt, started_at_);
  }
}

void PracticeController::Inside::stop_start(Instant now) {
  if (habits.start == Duration(0)) return;
  in_boot_loader_ = true;
  voice.hush();
  voice.say("boot loader:", now);
}

bool PracticeController::Inside::is_line_end(char c) const {
  return c == (profile.open.line_ending == console::LineEnding::cr ? '\r' : '\n');
}

bool PracticeController::Inside::opens_with_a_key() const {
  return !profile.open.send.empty() && static_cast<unsigned char>(profile.open.send.back()) < ' ';
}

bool PracticeController::Inside::echoes() const {
  if (mischief.echoes_nothing()) return false;
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
    const bool right = trimmed(typed_.knock) == word;
    typed_.knock.clear();
    if (right) open_console(now);
    return;
  }
  if (!opens_with_a_key() && (c == '\r' || c == '\n')) return;
  typed_.knock += c;
  if (opens_with_a_key() && typed_.knock.ends_with(word)) {
    typed_.knock.clear();
    typed_.swallow_line_end = true;
    open_console(now);
  }
  if (typed_.knock.size() > longest_knock) typed_.knock.erase(0, typed_.knock.size() - longest_knock / 2);
}

void PracticeController::Inside::open_console(Instant now) {
  open_ = true;
  grammar.to_the_top();
  const std::string banner = profile.open.send.empty() ? std::string() : small_talk("the console is open");
  voice.say(banner + profile.open.prompt, now + habits.latency);
}

void PracticeController::Inside::edit(char c, Instant now) {
  const auto echo = [&](const std::string& bytes) {
    if (echoes()) voice.say(bytes, now);
  };
  if (is_line_end(c)) {
    if (std::exchange(typed_.swallow_line_end, false) && typed_.line.empty()) return;
    const std::string line = std::exchange(typed_.line, {});
    echo(eol_);
    if (typed_.goes_on(line, profile.open.abandon)) {
      voice.say("... ", now);
    } else {
      hear_line(line, now);
    }
  } else if (c == backspace || c == rubout) {
    if (typed_.line.empty()) return;
    typed_.line.pop_back();
    echo("\b \b");
  } else if (c == cancel) {
    typed_.line.clear();
    typed_.open_bracket = false;
    grammar.to_the_top();
    voice.say(eol_ + profile.open.prompt, now);
  } else if (static_cast<unsigned char>(c) >= ' ' && typed_.line.size() < longest_line) {
    typed_.swallow_line_end = false;
    typed_.line += c;
    const std::string key(1, c);
    echo(profile.open.echo_in_capitals ? upper_case(key) : key);
  }
}

void PracticeController::Inside::turn_page(char c, Instant now) {
  typed_.knock += c;
  const std::string& word = profile.open.more_send;
  const bool turned = word.empty() ? is_line_end(c) : typed_.knock.ends_with(word);
  if (!turned) return;
  typed_.knock.clear();
  voice.say(eol_ + pages_.front(), now + habits.latency);
  pages_.pop_front();
  typed_.swallow_line_end = pages_.empty();
}

}  // namespace armwise::practice
