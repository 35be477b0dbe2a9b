// From a line to what is done about it.
#include <utility>

#include "armwise/base/text.hpp"
#include "controller_inside.hpp"

namespace armwise::practice {

void PracticeController::Inside::hear_line(const std::string& line, Instant now) {
  if (!held_answer_.empty()) say(std::exchange(held_answer_, {}), now + habits.latency);
  if (trimmed(line).empty() || (grammar.at_the_top() && line == profile.open.send)) {
    if (profile.open.home.empty()) grammar.to_the_top();
    say(grammar.prompt(), now + habits.latency);
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
  ++writes_;
  history.push_back({Happened::What::wrote, now, line});
  answer({}, line, now);
}

void PracticeController::Inside::do_what_was_heard(const Heard& heard, const std::string& line, Instant now) {
  if (heard.what == Heard::What::go_on) {
    say(grammar.prompt(), now + habits.latency);
    return;
  }
  ++commands_;
  if (heard.what == Heard::What::nonsense) {
    set_or_refuse(line, now);
    return;
  }
  const Phrase& phrase = *heard.phrase;
  writes_ += is_write(phrase.act) ? 1 : 0;
  keeps_ += phrase.act == Act::keep ? 1 : 0;
  stops_ += is_stop(phrase.act) ? 1 : 0;
  listings_ += phrase.act == Act::list_everything ? 1 : 0;
  if (is_stop(phrase.act) && mischief.strikes(Mischief::swallow_stop, stops_)) return;
  if (restarts_by_mischief(phrase, heard, now)) return;
  Outcome outcome{{}, refused_by_mischief(phrase)};
  if (!outcome.refusal) outcome = board.carry_out(phrase, heard.values, now, slip_of(phrase));
  note(phrase, outcome, line, now);
  const bool leaves = phrase.act == Act::restart || (phrase.act == Act::keep && profile.keep->restarts);
  if (leaves && !outcome.refusal) {
    say(answer_text(outcome.lines, false), now + habits.latency);
    leaves_at = now + habits.farewell;
    return;
  }
  fold_listing(phrase, outcome);
  if (phrase.act == Act::leave && !outcome.refusal) {
    say(answer_text(outcome.lines, false), now + habits.latency);
    open_ = false;
    return;
  }
  if (phrase.act == Act::list_everything && !profile.open.more.empty()) {
    send_in_pages(std::move(outcome.lines), now);
    return;
  }
  answer(outcome, line, now);
  if (phrase.act == Act::list_everything && mischief.strikes(Mischief::restart_in_listing, listings_)) {
    leaves_at = now + habits.latency;
  }
}

Slip PracticeController::Inside::slip_of(const Phrase& phrase) {
  Slip slip;
  if (is_write(phrase.act)) {
    slip.not_stored = mischief.strikes(Mischief::accept_not_store, writes_);
    slip.clamped = mischief.strikes(Mischief::clamp_write, writes_);
  }
  if (phrase.act == Act::keep) slip.not_kept = mischief.strikes(Mischief::store_not_keep, keeps_);
  if (is_stop(phrase.act)) slip.not_stopped = mischief.strikes(Mischief::spin_on, stops_);
  const bool names_motors = phrase.act == Act::list_map ||
                            (phrase.act == Act::read_turns && profile.turn->key == solve::TurnKey::motor);
  if (names_motors && mischief.is(Mischief::other_motors_line) && commands_ >= mischief.at) {
    slip.wrong_motor = mischief.for_ever || !std::exchange(named_wrong_, true);
  }
  return slip;
}

std::optional<Refusal> PracticeController::Inside::refused_by_mischief(const Phrase& phrase) const {
  if (is_write(phrase.act) && mischief.strikes(Mischief::refuse_write, writes_)) return Refusal::not_possible;
  if (phrase.act == Act::keep && mischief.strikes(Mischief::refuse_keep, keeps_))
    return Refusal::not_possible;
  return std::nullopt;
}

bool PracticeController::Inside::restarts_by_mischief(const Phrase& phrase, const Heard& heard, Instant now) {
  if (!is_write(phrase.act) || !mischief.strikes(Mischief::restart_in_write, writes_)) return false;
  if (Random(mischief.seed).one_in(2)) board.carry_out(phrase, heard.values, now, {});
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
