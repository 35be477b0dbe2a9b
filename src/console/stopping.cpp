#include "stopping.hpp"

#include <algorithm>
#include <utility>

#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"

namespace armwise::console {
namespace {

using Where = Conversation::Where;

// A console that has shown itself quick is said the stop again so soon, and then at growing intervals.
constexpr Duration again_after{250}, again_at_longest{500};
// So soon the person is told that a quick console has acknowledged no stop; and then again.
constexpr Duration told_after{500}, told_again_after{2000};
// The stop is tried for so long, on whatever line leads to the controller.
constexpr Duration tried_for{30'000};
// Getting into step, in deadlines of a reply: long enough where only silence tells that no answer is under
// way.
constexpr int replies_into_step = 6;
// The guard is told so often that the tool goes on stopping; with the replies that may be waited for, longer
// than any wait between.
constexpr Duration held_back{10'000};
constexpr Duration opened_anew_after{8000};
constexpr Duration one_look_for_the_port{2000}, rest_between_looks{250};

}  // namespace

ProfileConsole::Inside::Stopping::Stopping(Inside& console, const TellUnstopped& tell)
    : in_(console),
      tell_(tell),
      answer_(console.profile),
      reply_(console.profile.timing.reply),
      began_(console.clock.now()),
      opened_(began_) {
  const bool slow = console.unanswered.has_value();
  tell_after_ = slow ? reply_ : told_after;
  patience_ = slow ? reply_ : again_after;
  next_told_ = began_ + tell_after_;
  silent_ = [this] { this->tell("nothing comes back"); };
}

void ProfileConsole::Inside::Stopping::tell(const std::string& why) {
  const Instant now = in_.clock.now();
  if (now < next_told_) return;
  next_told_ = now + told_again_after;
  told_ = true;
  if (tell_) tell_({why, now - began_});
}

// Without words to know it by, or with words that its echo holds, only another stop makes sure; and so where
// the answer to the spin has not been seen, which may hold the same words. What of it stands among the echoes
// of the stop is put where it belongs.
bool ProfileConsole::Inside::Stopping::is_confirmed_behind(const Order& spin,
                                                           Conversation::Late& late) const {
  const auto tells_of_the_spin = [&](const std::string& line) {
    const auto& confirms = spin.command->confirms;
    return confirms && confirms->match(line, in_.profile.case_sensitive).has_value();
  };
  std::vector<std::string>&owed = late.owed.lines, &behind = late.behind.lines;
  const auto end_of_it = std::find_if(behind.rbegin(), behind.rend(), tells_of_the_spin).base();
  owed.insert(owed.end(), behind.begin(), end_of_it);
  behind.erase(behind.begin(), end_of_it);
  if (!answer_.has_words() || answer_.is_like_its_echo()) return false;
  if (std::none_of(owed.begin(), owed.end(), tells_of_the_spin)) return false;
  return answer_.is_in(late.behind.lines);
}

// The stop goes out at once; then the answer to the spin is read, and what the stop answered. True where
// that confirms the stop.
Task<bool> ProfileConsole::Inside::Stopping::before_the_answer() {
  const Order spin = *std::exchange(in_.unanswered, std::nullopt);
  co_await in_.talk().stop_now();
  bool acknowledged = false;
  try {
    Conversation::Late late = co_await in_.talk().hear_owed();
    acknowledged = is_confirmed_behind(spin, late);
    in_.answer_to_spin = late.owed.lines;
    std::string& unended = in_.unended_answer;
    if (unended.empty()) unended = late.unended;
    if (unended.empty() && !late.owed.lines.empty()) unended = late.owed.lines.back();
    in_.late_trouble = late.refused;
    // Without prompt and echo, the refusal may be that of the word which spoils: the spin was heard then.
    const bool spins = !spin.command->confirms || is_confirmed(in_.profile, spin, late.owed);
    if (!late.told_apart && spins) in_.late_trouble.reset();
    if (!in_.late_trouble) in_.require_spinning(spin, late.owed);
  } catch (const Fault& fault) {
    if (fault.kind() == FaultKind::line_lost) throw;
    in_.late_trouble = fault;
  }
  co_return acknowledged;
}

// Told by its words, wherever they come, once a stop has been written. Where an echo reads like them, the
// second of two such lines tells, with no word that spoils between them: that comes back before each stop
// that is said again.
Task<Conversation::Listened> ProfileConsole::Inside::Stopping::hear() {
  const bool like_its_echo = in_.talk().echoes() != false && answer_.is_like_its_echo();
  const bool tells = !like_its_echo || in_.profile.open.home.empty();
  const std::function<bool(const std::string&)> is_it = [&](const std::string& line) {
    if (like_its_echo && line.ends_with(spoiling_word())) answer_.forget();
    return !in_.unanswered && answer_.hear(line, like_its_echo ? 2 : 1) && tells;
  };
  const Conversation::Listened listened = co_await in_.talk().hear_line(is_it, patience_);
  co_return listened;
}

// Says it wherever the console is, and once more in an exchange of its own where its words alone do not tell.
Task<void> ProfileConsole::Inside::Stopping::say_it() {
  // Several lines are not sent one by one, each waiting for the answer to the one before.
  if (!in_.talk().in_step() || answer_.one_by_one()) {
    co_await in_.talk().stop_now(where_);
    Conversation::Listened listened = co_await hear();
    if (listened.found) co_return;
    if (!listened.anything) throw Fault(FaultKind::no_reply, "nothing comes back");
    co_await in_.talk().stop_now(Where::half_way);
    if (answer_.has_words()) listened = co_await hear();
    if (listened.found) co_return;
    // Getting into step takes time that a turning motor must not have: the stop has gone before.
    co_await in_.talk().resynchronise(replies_into_step * reply_);
  }
  // No word that spoils comes back before the echo of this one.
  answer_.forget();
  const Values none;
  const Command& stop = in_.profile.spin->stop_all;
  const Answers answers = stop.confirms ? Answers(&*stop.confirms, 1) : Answers();
  std::optional<Fault> trouble;
  std::optional<Reply> reply;
  try {
    reply = co_await in_.talk().run_or_owe(stop.steps, none, patience_, answers);
  } catch (const Fault& fault) {
    if (fault.kind() == FaultKind::line_lost) throw;
    trouble = fault;
  }
  const bool answered = reply && answer_.is_in(reply->lines);
  // Without words to know it by, what came may have come unasked, with a prompt behind it.
  if (answered && !answer_.has_words() && !in_.profile.open.unasked.empty() && !is_repeated_in(*reply))
    co_await in_.talk().resynchronise(replies_into_step * reply_);
  if (answered) co_return;
  // Answered otherwise, or refused: something else may have stood half typed before it.
  co_await in_.talk().stop_now(Where::half_way);
  const Conversation::Listened listened = co_await hear();
  if (listened.found) co_return;
  throw trouble.value_or(Fault(FaultKind::no_reply, "the console has not answered the stop"));
}

// The stop came back, as a console repeats what is typed.
bool ProfileConsole::Inside::Stopping::is_repeated_in(const Reply& reply) const {
  const std::string came = squeezed(printable(reply.bytes));
  const std::vector<std::string> sent = Conversation::as_sent(in_.profile.spin->stop_all.steps, {});
  return std::all_of(sent.begin(), sent.end(),
                     [&](const std::string& line) { return came.find(squeezed(line)) != std::string::npos; });
}

// Nothing where the stop was acknowledged.
Task<std::optional<Fault>> ProfileConsole::Inside::Stopping::once() {
  std::optional<Fault> trouble;
  try {
    const Conversation::SilenceWatch watch(in_.talk(), silent_, tell_after_);
    bool acknowledged = false;
    if (in_.unanswered && in_.talk().owed()) acknowledged = co_await before_the_answer();
    if (!acknowledged) co_await say_it();
  } catch (const Fault& fault) {
    trouble = fault;
  }
  if (!trouble) co_return trouble;
  // A console that was left, or whose port hangs, is found again only on a line that is opened anew.
  const bool hangs = in_.clock.now() - opened_ >= opened_anew_after;
  lost_ = trouble->kind() == FaultKind::line_lost || hangs;
  patience_ = std::max(patience_, std::min(2 * patience_, again_at_longest));
  co_return trouble;
}

// Nothing where the same controller is back; the first thing sent to it was the stop.
Task<std::optional<Fault>> ProfileConsole::Inside::Stopping::look_for_the_line() {
  std::optional<Fault> trouble;
  const Instant began = in_.clock.now();
  try {
    in_.conversation.reset();  // a line that is held keeps its old name taken
    std::unique_ptr<Line> line = co_await in_.plug.reopen(one_look_for_the_port);
    in_.conversation = std::make_unique<Conversation>(std::move(line), in_.profile, in_.clock);
    in_.unanswered.reset();
    co_await in_.conversation->stop_now(Where::from_outside);
  } catch (const Fault& fault) {
    trouble = fault;
  }
  // Where looking fails at once, as with two alike, it is not done without rest.
  if (trouble && in_.clock.now() - began < rest_between_looks) co_await in_.clock.sleep(rest_between_looks);
  lost_ = trouble.has_value();
  where_ = Where::from_outside;
  opened_ = in_.clock.now();
  co_return trouble;
}

void ProfileConsole::Inside::Stopping::take(const Fault& trouble) {
  was_lost_ = was_lost_ || lost_;
  if (lost_ && !told_) next_told_ = in_.clock.now();
  tell(trouble.happened());
  if (in_.clock.now() >= began_ + tried_for) throw motor_may_be_turning(trouble.happened());
}

Task<bool> ProfileConsole::Inside::Stopping::until_acknowledged() {
  while (true) {
    in_.sentry.stopping(held_back + replies_into_step * reply_);
    const bool looking = lost_;
    std::optional<Fault> trouble;
    if (looking) {
      trouble = co_await look_for_the_line();
    } else {
      trouble = co_await once();
    }
    if (!trouble && !looking) co_return was_lost_;
    if (trouble) take(*trouble);
  }
}

}  // namespace armwise::console
