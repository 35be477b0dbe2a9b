// Lessons: listening, the whole configuration.
#include <algorithm>
#include <array>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/console/conversation.hpp"
#include "armwise/teach/listening.hpp"
#include "teach_lessons.hpp"

namespace armwise::session {
namespace {

using teach::Typed;

constexpr Duration banner{400}, usual_answer{900}, very_late_answer{3500};
constexpr Duration longest_listening{30000};
constexpr int most_knocks = 3;
// A clock that shows no more than seconds goes on within that.
constexpr Duration a_tick{1100};
// How long a console is listened to that talks by itself.
constexpr Duration listened_to_talk{12000}, late_unasked{2000};

// No console has these for commands.
const std::vector<std::string>& nonsense() {
  static const std::vector<std::string> words{"qzvakw", "qzvbkx 1 2", "qzvcky"};
  return words;
}

std::string_view bytes_of(console::LineEnding ending) {
  return ending == console::LineEnding::cr ? "\r" : ending == console::LineEnding::lf ? "\n" : "\r\n";
}
const char* in_words(console::LineEnding ending) {
  return ending == console::LineEnding::cr ? "CR" : ending == console::LineEnding::lf ? "LF" : "CR LF";
}

// A person knows nothing of templates: where the words differ, there are dots.
std::string refusal_in_words(const std::vector<console::Template>& refusals) {
  if (refusals.empty()) return "not recognised";
  std::string pattern;
  for (const console::Piece& piece : refusals.front().pieces()) pattern += piece.blank ? "…" : piece.text;
  return "like \"" + pattern + "\"";
}

// More than to repeat what was sent, maybe in capitals.
bool says_something(const std::string& sent, const std::string& received) {
  const std::vector<std::string> echoes{sent, upper_case(sent)};
  return std::all_of(echoes.begin(), echoes.end(), [&](const std::string& echo) {
    const teach::HeardReply heard = teach::split_reply({echo, received});
    return !heard.lines.empty() || !heard.prompt.empty();
  });
}

}  // namespace

// Into a console that is known already, after its line was lost. It need not have restarted: what was left
// half typed is spoiled, with the stop behind it where one is known, and the word that gets in, which an open
// console would take for a command, is sent only where nothing shows that it is open.
Task<void> Dialogue::enter_console() {
  const std::string nothing, knock = console::entering(draft_.profile);
  const std::string wake = nonsense()[0] + ear.line_end + console::stop_lines(draft_.profile);
  co_await ear.raw(nothing, banner);
  const Duration patience = usual_answer + ear.slowest;
  const auto is_open = [&](const std::string& sent, const std::string& received) {
    if (!ear.prompts.empty()) return ear.ends_in_prompt(received);
    return says_something(sent, received);
  };
  for (int attempt = 0; attempt < most_knocks; ++attempt) {
    const std::string woken = co_await ear.raw(wake, patience);
    if (knock.empty() || is_open(nonsense()[0], woken)) co_return;
    const std::string entered = co_await ear.raw(knock, patience);
    if (is_open(draft_.profile.open.send, entered)) co_return;
  }
}

namespace {

// True where anything but an echo comes back within so long. `echoes`: becomes true where only that does.
Task<bool> answers_to(Teaching& t, console::LineEnding ending, Duration patience, bool& echoes) {
  t.draft.profile.open.line_ending = ending;
  const std::string bytes = nonsense()[0] + std::string(bytes_of(ending));
  const std::string received = co_await t.talk.ear.raw(bytes, patience);
  const bool answers = says_something(nonsense()[0], received);
  echoes = echoes || (!answers && !received.empty());
  co_return answers;
}

// True where one is the console's. What comes behind the second may be the late answer to the first: it has
// to come again when that is sent by itself. Behind the third, that may still be an answer to the one before.
Task<bool> try_line_endings(Teaching& t, bool& echoes) {
  constexpr std::array endings{console::LineEnding::cr, console::LineEnding::lf, console::LineEnding::crlf};
  bool heard = false;
  for (std::size_t i = 0; i < endings.size() && !heard; ++i) {
    heard = co_await answers_to(t, endings.at(i), usual_answer, echoes);
    if (!heard) continue;
    bool sure = i == 0;
    if (i == 1) sure = co_await answers_to(t, endings.at(i), usual_answer, echoes);
    if (sure) co_return true;
  }
  // A console may just be slow: then each is tried with patience, or a wrong one would do for the right one.
  const std::string nothing;
  const std::string late = co_await t.talk.ear.raw(nothing, very_late_answer);
  if (!heard && !says_something(nonsense()[0], late)) co_return false;
  t.person.tell("line-end-unclear");
  for (const auto ending : endings) {
    heard = co_await answers_to(t, ending, very_late_answer, echoes);
    if (heard) co_return true;
  }
  co_return false;
}

// False where the person does not know any word either.
Task<bool> ask_for_the_way_in(Teaching& t) {
  const std::string send = co_await t.person.ask_text(
      "enter", "Nothing answers yet. What do you type to get into the console?", t.draft.profile.open.send);
  if (send == "skip") co_return false;
  t.person.has_typed();
  t.draft.profile.open.send = send;
  // What stands half-written is ended first; that may be the very line end that the word before it lacked.
  const std::string flush = "\r\n";
  for (const auto ending : {console::LineEnding::cr, console::LineEnding::lf}) {
    const std::string before = co_await t.talk.ear.raw(flush, usual_answer);
    if (says_something(send, before)) break;
    const std::string knock = send + std::string(bytes_of(ending));
    const std::string after = co_await t.talk.ear.raw(knock, usual_answer);
    if (says_something(send, after)) break;
  }
  // What comes late must not be taken for an answer to a line end that is tried next.
  const std::string nothing;
  co_await t.talk.ear.raw(nothing, very_late_answer);
  co_return true;
}

// Something that runs there, or the rest of a line that was begun, takes all that is sent for its own. Only a
// key gets out of it; a bracket that closes it would send it, and nobody knows what it is. True where
// anything comes.
Task<bool> press_a_key(Teaching& t, char key) {
  const std::string pressed(1, key);
  const std::string received = co_await t.talk.ear.raw(pressed, usual_answer, 4 * usual_answer);
  if (!received.empty()) t.draft.profile.open.abandon = pressed;
  co_return !received.empty();
}

Task<void> wait_for_silence(Teaching& t) {
  t.draft.profile.open.abandon.reset();
  const std::string nothing;
  Instant began = t.clock.now();
  co_await t.talk.ear.raw(nothing, banner);
  if (t.clock.now() - began < Ear::longest_unrest) co_return;
  for (const char key : console::abandon_keys) {
    began = t.clock.now();
    co_await press_a_key(t, key);
    if (t.clock.now() - began < 4 * usual_answer) co_return;
  }
  throw Fault(FaultKind::no_reply, "the console never falls silent",
              "Something that runs there goes on printing",
              "Stop it, or unplug the controller and plug it in, then try again");
}

// Half typed or busy.
Task<bool> answers_after_a_key(Teaching& t) {
  bool echoes = false;
  for (const char key : console::abandon_keys) {
    bool answers = co_await press_a_key(t, key);
    if (answers) answers = co_await try_line_endings(t, echoes);
    if (answers) co_return true;
  }
  t.draft.profile.open.abandon.reset();
  co_return false;
}

teach::Lines lines_without_prompt(const Teaching& t, const std::string& received) {
  teach::Lines lines = teach::split_reply({"", received + "\n"}).lines;
  for (std::string& line : lines) line = std::string(trimmed(line));
  std::erase_if(lines, [&](const std::string& line) { return t.talk.has_prompt() && t.talk.is_top(line); });
  return lines;
}

// What seemed to be an answer may have come unasked: the right line end is answered each time.
Task<void> make_sure_of_the_line_end(Teaching& t) {
  constexpr int times = 3;
  const auto found = t.draft.profile.open.line_ending;
  bool echoes = false;
  for (const auto ending :
       {found, console::LineEnding::cr, console::LineEnding::lf, console::LineEnding::crlf}) {
    int answered = 0;
    bool answers = true;
    while (answers && answered < times) {
      answers = co_await answers_to(t, ending, usual_answer, echoes);
      if (answers) ++answered;
    }
    if (answers) co_return;
  }
  t.draft.profile.open.line_ending = found;
}

// True where it says something of its own accord.
Task<bool> wake_console(Teaching& t) {
  co_await wait_for_silence(t);
  bool echoes = false, may_answer = true;
  bool answers = co_await try_line_endings(t, echoes);
  // What only repeats what is typed is open, but busy.
  if (!answers && echoes) answers = co_await answers_after_a_key(t);
  for (int attempt = 0; attempt + 1 < most_knocks && !answers && may_answer; ++attempt) {
    may_answer = co_await ask_for_the_way_in(t);
    if (may_answer) answers = co_await try_line_endings(t, echoes);
  }
  // Nobody knows a word that gets in: then something may run there.
  if (!answers && !echoes) answers = co_await answers_after_a_key(t);
  if (!answers) {
    throw Fault(FaultKind::no_reply, "the console does not answer", "It may be another port or speed",
                "Check the port, then try again");
  }
  // Nothing late must be taken for an answer to what comes now.
  const std::string nothing;
  const std::string unasked = co_await t.talk.ear.raw(nothing, very_late_answer);
  if (!unasked.empty()) co_await make_sure_of_the_line_end(t);
  t.talk.ear.line_end = std::string(bytes_of(t.draft.profile.open.line_ending));
  co_return !unasked.empty();
}

using Exchanges = std::vector<teach::Exchange>;

Task<Exchanges> speak_once(Teaching& t) {
  Exchanges exchanges;
  for (const std::string& word : nonsense()) {
    const Ear::Heard heard = co_await t.talk.ear.say(word);
    t.talk.heard_besides(heard.reply.lines);
    exchanges.push_back({word, heard.received});
  }
  co_return exchanges;
}

std::vector<teach::Lines> replies_in(const Exchanges& exchanges) {
  std::vector<teach::Lines> replies;
  const std::vector<teach::HeardReply> all = teach::heard_in(exchanges);
  for (std::size_t i = 0; i < all.size(); ++i) {
    replies.push_back(all[i].lines);
    // What comes unasked may have ended the line of a prompt, or come before an echo.
    const std::string_view prompt = trimmed(all[i].prompt);
    std::erase_if(replies.back(), [&](std::string_view line) {
      if (line.starts_with(prompt)) line = trimmed(line.substr(prompt.size()));
      return line.empty() || line == exchanges[i].sent;
    });
  }
  return replies;
}

// Of the exchanges so far, which are without it from then on.
void take_off(Teaching& t, const std::optional<teach::Stamp>& stamp, Exchanges& exchanges) {
  if (!stamp || !stamp->sure) return;
  t.draft.profile.open.stamp = stamp->like;
  t.talk.forget_replies();
  for (teach::Exchange& exchange : exchanges) {
    exchange.received = console::filtered(t.draft.profile.open, exchange.received);
    t.talk.heard_besides(teach::split_reply(exchange).lines);
  }
}

// What stands before each line, as it seems, has to go on with the time.
Task<void> learn_stamp(Teaching& t, Exchanges& exchanges) {
  if (t.draft.profile.open.stamp || !teach::stamp_of(replies_in(exchanges))) co_return;
  co_await t.clock.sleep(a_tick);
  const Exchanges more = co_await speak_once(t);
  Exchanges all = exchanges;
  all.insert(all.end(), more.begin(), more.end());
  const auto stamp = teach::stamp_of(replies_in(all));
  if (stamp) exchanges = std::move(all);
  take_off(t, stamp, exchanges);
}

// What comes while nothing was asked, and not late either, answers nothing.
Task<void> learn_what_comes_unasked(Teaching& t, const Exchanges& exchanges) {
  const std::string nothing;
  co_await t.talk.ear.raw(nothing, late_unasked, late_unasked);
  const std::string received = co_await t.talk.ear.raw(nothing, listened_to_talk, listened_to_talk);
  std::vector<console::Template>& unasked = t.draft.profile.open.unasked;
  teach::Lines lines = lines_without_prompt(t, received);
  std::erase_if(lines, [&](const std::string& line) { return t.talk.is_refusal({line}); });
  for (const console::Template& each : teach::unasked_like(lines, replies_in(exchanges))) {
    if (std::find(unasked.begin(), unasked.end(), each) == unasked.end()) unasked.push_back(each);
  }
}

// Bytes may be lost or changed on the way: where the words are not answered alike, they are said until the
// same is heard twice.
Task<Exchanges> speak_nonsense(Teaching& t) {
  Exchanges exchanges;
  std::optional<teach::ListenedTo> before;
  for (int round = 0; round < most_knocks; ++round) {
    exchanges = co_await speak_once(t);
    co_await learn_stamp(t, exchanges);
    const teach::ListenedTo found = teach::listened_to(exchanges);
    const bool again = before && before->prompt == found.prompt && before->refusals == found.refusals;
    if (found.alike || again) break;
    before = found;
  }
  co_return exchanges;
}

void take_as_found(Teaching& t, const teach::ListenedTo& found) {
  console::Open& open = t.draft.profile.open;
  t.talk.ear.glued_echo = found.glued_echo;
  t.talk.ear.echo_in_capitals = found.echo_in_capitals;
  t.talk.begin_at(found.prompt);
  open.prompt = found.prompt;
  open.echo = found.echo;
  open.echo_in_capitals = found.echo_in_capitals;
  open.barrier = found.barrier;
  t.draft.profile.refusals = found.refusals;
}

// Where nothing at all is refused, a bracket or quote may stand open.
Task<teach::ListenedTo> hear_nonsense(Teaching& t, Exchanges& exchanges) {
  exchanges = co_await speak_nonsense(t);
  const teach::ListenedTo found = teach::listened_to(exchanges);
  const bool any_answer = std::any_of(
      exchanges.begin(), exchanges.end(),
      [](const teach::Exchange& exchange) { return !teach::split_reply(exchange).lines.empty(); });
  if (any_answer || found.prompt.empty()) co_return found;
  for (const char key : console::abandon_keys) {
    const bool any = co_await press_a_key(t, key);
    if (!any) continue;
    const Exchanges once_more = co_await speak_nonsense(t);
    const teach::ListenedTo after = teach::listened_to(once_more);
    if (!after.refusals.empty() && after.prompt != found.prompt) co_return after;
  }
  t.draft.profile.open.abandon.reset();
  co_return found;
}

// Only hints come of it: nothing that it says is believed before it was tried. What was typed for it.
Task<Typed> learn_help(Teaching& t, Exchanges& exchanges) {
  if (t.draft.profile.identify) co_return Typed();
  const auto said =
      co_await learn_question(t, "help", "Type the command that lists the console's commands", "help");
  if (!said) co_return Typed();
  teach::Lines lines = said->as_they_came;
  if (!t.draft.profile.open.stamp) {
    std::vector<teach::Lines> replies = replies_in(exchanges);
    replies.push_back(said->lines);
    take_off(t, teach::stamp_of(replies), exchanges);
    const teach::ListenedTo without = teach::listened_to(exchanges);
    if (t.draft.profile.open.stamp) take_as_found(t, without);
    for (std::string& line : lines) line = console::filtered(t.draft.profile.open, line);
  }
  Said listed = *said;
  listed.as_they_came = lines;
  co_await read_help(t, listed);
  co_return said->typed;
}

void read_saved_session(Teaching& t) {
  if (t.options.log.empty()) return;
  const std::string& prompt = t.draft.profile.open.prompt;
  teach::SavedSession saved = teach::saved_session(t.options.log, prompt);
  if (saved.empty()) {
    throw Fault(FaultKind::bad_data, "no commands were found in the log",
                prompt.empty() ? "This console has no prompt to find them by"
                               : "No line begins with the console's prompt, \"" + prompt + "\"",
                prompt.empty() ? "Leave --from-log out"
                               : "Save a session in which the commands stand behind the console's prompt");
  }
  t.person.tell("log-read", {{"prompt", prompt}, {"commands", std::to_string(saved.size())}});
  t.person.is_helped_by(std::move(saved));
}

// Nonsense that is built like a good command may bring its word back where a bare word does not: "qzvakw()".
Task<bool> learn_barrier_by_shape(Teaching& t, Typed good) {
  console::Profile& profile = t.draft.profile;
  Exchanges exchanges;
  for (const std::string& word : nonsense()) {
    const std::string line = good.size() == 1 ? teach::nonsense_like(good.front(), word) : std::string();
    if (line.empty() || line.find(' ') != std::string::npos) continue;
    const Ear::Heard heard = co_await t.talk.ear.say(line);
    t.talk.heard_besides(heard.reply.lines);
    exchanges.push_back({line, heard.received});
  }
  const teach::ListenedTo found = teach::listened_to(exchanges);
  profile.open.barrier = found.barrier;
  for (const console::Template& refusal : found.refusals) {
    if (std::find(profile.refusals.begin(), profile.refusals.end(), refusal) == profile.refusals.end())
      profile.refusals.push_back(refusal);
  }
  co_return found.barrier.has_value();
}

// Nothing brings a word back: then it can be spelled in two questions that are answered each in its own way,
// but always alike. What no console has for a command is one; an empty line is the other, said behind a good
// command too, which some repeat then; or that command with something that it cannot be given, or with
// another word in its place, or as it is.
Task<bool> learn_barrier_of_two(Teaching& t, Typed good) {
  const std::string word = nonsense().front();
  std::vector<std::string> others{""};
  if (good.size() == 1)
    others = {"", good.front() + " " + nonsense().back(), teach::nonsense_like(good.front(), word),
              good.front()};
  const auto answer_to = [&](std::string sent) -> Task<teach::Lines> {
    const Ear::Heard heard = co_await t.talk.ear.say(sent);
    t.talk.heard_besides(heard.reply.lines);
    co_return heard.reply.lines;
  };
  for (const std::string& other : others) {
    if (other == word) continue;
    const teach::Lines behind_good = co_await answer_to(other);
    const teach::Lines refused = co_await answer_to(word);
    const teach::Lines behind_nonsense = co_await answer_to(other);
    const teach::Lines refused_again = co_await answer_to(word);
    const auto no = teach::line_that_tells(refused, refused_again, {behind_good, behind_nonsense});
    const auto yes = teach::line_that_tells(behind_good, behind_nonsense, {refused, refused_again});
    if (!no || !yes) continue;
    console::Query barrier = console::Query::reading({*no, *yes});
    for (const std::string& sent : {word, other})
      barrier.steps.push_back({console::Template::literal(sent), {}});
    t.draft.profile.open.barrier = barrier;
    co_return true;
  }
  co_return false;
}

// Without a prompt, only a word that comes back tells that the console is in step.
Task<void> learn_barrier(Teaching& t) {
  const std::string word = "bench417";
  const console::Values values{{"word", word}};
  while (true) {
    const auto typed = co_await t.person.ask_command(
        "echo-word", "Type a command that brings the word " + word + " back", values);
    if (!typed) {
      throw Fault(FaultKind::bad_profile,
                  "this console has neither a prompt nor a command that brings a word back",
                  "Nobody could tell that it listens", "");
    }
    const Said said = co_await t.talk.say(*typed, "echo-word");
    teach::CommandLesson send({"word"}), back({"word"});
    if (said.lines.size() != 1 || send.add(said.typed, values) != teach::CommandLesson::Heard::fits ||
        back.add(said.lines, values) != teach::CommandLesson::Heard::fits || !send.learned() ||
        !back.learned()) {
      t.person.tell("word-not-back");
      continue;
    }
    t.draft.profile.open.barrier = console::Query::reading({back.learned()->front()});
    t.draft.profile.open.barrier->steps.push_back({send.learned()->front(), {}});
    co_return;
  }
}

}  // namespace

Task<void> listen(Teaching& t) {
  console::Profile& profile = t.draft.profile;
  std::unique_ptr<console::Line> line = co_await t.plug.open();
  t.talk.ear.take(std::move(line));
  // A command that is typed by a slip may be a spin, and nobody knows its stop yet.
  if (!profile.spin || profile.spin->spin.steps.empty()) t.person.tell("props-off-first");
  t.person.tell_wait("listening", longest_listening);
  const bool talks = co_await wake_console(t);
  Exchanges exchanges;
  const teach::ListenedTo found = co_await hear_nonsense(t, exchanges);
  take_as_found(t, found);
  // Whoever puts a time before each line keeps a log.
  if (talks || profile.open.stamp) co_await learn_what_comes_unasked(t, exchanges);
  t.person.tell("console-found", {{"prompt", found.prompt.empty() ? "none" : "\"" + found.prompt + "\""},
                                  {"line_end", in_words(profile.open.line_ending)},
                                  {"echo", found.echo_in_capitals ? "in capitals"
                                           : found.echo           ? "on"
                                                                  : "off"},
                                  {"errors", refusal_in_words(found.refusals)}});
  read_saved_session(t);
  const Typed help = co_await learn_help(t, exchanges);
  if (profile.open.stamp || !profile.open.unasked.empty())
    t.person.tell("talks-besides", {{"stamp", profile.open.stamp ? "yes" : "no"},
                                    {"lines", std::to_string(profile.open.unasked.size())}});
  if (profile.open.prompt.empty() && !profile.open.barrier) {
    bool learned = co_await learn_barrier_by_shape(t, help);
    if (!learned) learned = co_await learn_barrier_of_two(t, help);
    if (!learned) co_await learn_barrier(t);
  }
  co_await learn_way_out(t);
}

Task<void> learn_configuration(Teaching& t) {
  if (t.draft.profile.whole_configuration) {
    co_return;
  }
  const auto said = co_await learn_question(t, "whole-configuration",
                                            "Type the command that prints the whole configuration");
  if (!said) co_return;
  t.person.tell("configuration-printed", {{"lines", std::to_string(said->lines.size())}});
  t.draft.configuration = *said;
  console::Query query;
  query.steps = t.talk.steps_of(*said);
  t.draft.profile.whole_configuration = query;
}

}  // namespace armwise::session
