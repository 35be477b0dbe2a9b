// From a line to what is done about it.
#include <utility>

#include "armwise/base/random.hpp"
#include "armwise/base/text.hpp"
#include "controller_inside.hpp"

namespace armwise::practice {

void PracticeController::Inside::hear_line(const std::string& line, Instant now) {
  voice.let_go(now + habits.latency);
  const bool only_wakes = trimmed(line).empty() || (grammar.at_the_top() && line == profile.open.send);
  if (only_wakes && !(line.empty() && grammar.asks_with_nothing())) {
    if (profile.open.home.empty()) grammar.to_the_top();
    voice.say(grammar.prompt(), now + habits.latency);
    return;
  }
  do_what_was_heard(grammar.hear(line), line, now);
}

// What is no command may be a line of the whole configuration.
void PracticeController::Inside::set_or_refuse(const std::string& line, Instant now) {
  if (!board.set_entry(line)) {
    answer({{}, Refusal::unknown_command}, line, now);
    return;
  }
  mischief.count_write();
  history.push_back({Happened::What::wrote, now, line});
  answer({}, line, now);
}

void PracticeController::Inside::do_what_was_heard(const Heard& heard, const std::string& line, Instant now) {
  if (heard.what == Heard::What::go_on) {
    voice.say(grammar.prompt(), now + habits.latency);
    return;
  }
  mischief.count_command();
  if (heard.what == Heard::What::nonsense) {
    set_or_refuse(line, now);
    return;
  }
  const Phrase& phrase = *heard.phrase;
  mischief.count(phrase.act);
  if (is_stop(phrase.act) && mischief.strikes_stop(Mischief::swallow_stop)) return;
  if (restarts_by_mischief(phrase, heard, now)) return;
  Outcome outcome{{}, mischief.refusal_of(phrase.act)};
  if (!outcome.refusal)
    outcome = board.carry_out(phrase, heard.values, now, mischief.slip_in(phrase.act, names_motors(phrase)));
  note(phrase, outcome, line, now);
  const bool leaves = phrase.act == Act::restart || (phrase.act == Act::keep && profile.keep->restarts);
  if (leaves && !outcome.refusal) {
    voice.say(answer_text(outcome.lines, false), now + habits.latency);
    leaves_at = now + habits.farewell;
    return;
  }
  fold_listing(phrase, outcome);
  if (phrase.act == Act::leave && !outcome.refusal) {
    voice.say(answer_text(outcome.lines, false), now + habits.latency);
    open_ = false;
    return;
  }
  if (phrase.act == Act::list_everything && !profile.open.more.empty()) {
    send_in_pages(std::move(outcome.lines), now);
    return;
  }
  answer(outcome, line, now);
  if (phrase.act == Act::list_everything && mischief.strikes_listing(Mischief::restart_in_listing)) {
    leaves_at = now + habits.latency;
  }
}

bool PracticeController::Inside::names_motors(const Phrase& phrase) const {
  return phrase.act == Act::list_map ||
         (phrase.act == Act::read_turns && profile.turn->key == solve::TurnKey::motor);
}

bool PracticeController::Inside::restarts_by_mischief(const Phrase& phrase, const Heard& heard, Instant now) {
  if (!is_write(phrase.act) || !mischief.strikes_write(Mischief::restart_in_write)) return false;
  if (Random(mischief.seed()).one_in(2)) board.carry_out(phrase, heard.values, now, {});
  leaves_at = now + habits.latency;
  return true;
}

void PracticeController::Inside::note(const Phrase& phrase, const Outcome& outcome, const std::string& line,
                                      Instant now) {
  using What = Happened::What;
  if (outcome.refusal) {
    history.push_back({What::refused, now, line});
  } else if (phrase.act == Act::spin) {
    history.push_back({What::spun, now, line});
  } else if (is_stop(phrase.act)) {
    history.push_back({What::stopped, now, line});
  } else if (phrase.act == Act::keep) {
    history.push_back({What::kept, now, line});
  } else if (is_write(phrase.act)) {
    history.push_back({What::wrote, now, line});
  }
}

}  // namespace armwise::practice
