#include "spin_rounds.hpp"

#include <algorithm>
#include <utility>
#include <variant>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/craft/placed_turn.hpp"
#include "words.hpp"

namespace armwise::session {
namespace {

// A motor that turns on although told to stop makes every answer "several", and spinning does not help.
constexpr int most_unseen = 6;

std::size_t at_row(int row) {
  return static_cast<std::size_t>(row);
}

}  // namespace

Inquiry begin_inquiry(const craft::Frame& frame, const craft::Numbering& numbering,
                      const craft::MotorMap& map, double sure, std::uint32_t order) {
  Inquiry inquiry{solve::Interview(solve::Belief::tables(frame, numbering), sure, order), {}};
  for (int number = 1; number <= frame.size(); ++number) {
    const craft::Motor motor{number};
    const craft::Pin& pin = map.pin_of(motor);
    const auto other = std::find(inquiry.pins.begin(), inquiry.pins.end(), pin);
    if (pin.name.empty() || other != inquiry.pins.end()) {
      throw Fault(FaultKind::mismatch,
                  "The controller has motor " + std::to_string(number) + " on " + words::pin_in_words(pin),
                  pin.name.empty() ? "so it can move nothing on this craft"
                                   : "motor " + std::to_string(other - inquiry.pins.begin() + 1) +
                                         " is on it too, so they move the same motor",
                  "Give each motor a pin of its own in the controller's console, then start again");
    }
    inquiry.pins.push_back(pin);
  }
  return inquiry;
}

Inquiry inquiry_into(const craft::Frame& frame, const craft::Numbering& numbering,
                     const solve::Wiring& recorded, double sure, std::uint32_t order) {
  Inquiry inquiry{solve::Interview(solve::Belief::tables(frame, numbering), sure, order), {}};
  solve::Rows rows{};
  for (std::size_t row = 0; row < frame.places.size(); ++row) {
    const craft::PlaceIndex place = numbering.place_of_motor.at(row);
    const auto found = std::find_if(recorded.at.begin(), recorded.at.end(),
                                    [&](const auto& entry) { return entry.second.place == place; });
    if (found == recorded.at.end())
      throw Fault(FaultKind::bad_data,
                  "The record does not say what is wired to " + frame.places[place].name);
    inquiry.pins.push_back(found->first);
    rows[row] = {place, found->second.turn};
  }
  inquiry.interview.recalled(rows);
  return inquiry;
}

solve::Wiring believed(const Inquiry& inquiry) {
  const solve::Rows proposed = inquiry.interview.proposed();
  solve::Wiring wiring;
  for (std::size_t row = 0; row < inquiry.pins.size(); ++row) {
    const auto [place, turn] = proposed[row];
    wiring.at[inquiry.pins[row]] = {place, inquiry.reversed[row] ? opposite(turn) : turn};
  }
  return wiring;
}

void reverse_as_planned(Inquiry& inquiry, const solve::Wiring& before, const solve::Wiring& after) {
  for (std::size_t row = 0; row < inquiry.pins.size(); ++row) {
    const craft::Pin& pin = inquiry.pins[row];
    if (before.at.at(pin).turn != after.at.at(pin).turn) inquiry.reversed[row] = !inquiry.reversed[row];
  }
}

Task<void> spin_rounds(Recall& recall, SpinChecker& spins, const craft::Frame& frame,
                       const SpinPermit& permit, SpinPolicy& policy) {
  while (true) {
    const SpinPolicy::Step step = policy.next();
    for (const Statement& statement : step.told) recall.tell(statement);
    if (!step.request) break;
    const auto ask = [&]() { return spins.check(frame, *step.request, permit); };
    const std::function<void()> undone = [&spins, what = *step.request] { spins.undo(what); };
    const Heard heard = co_await recall.answered<Heard>(ask, undone);
    for (const Statement& statement : policy.take(heard)) recall.tell(statement);
  }
}

SpinPolicy::SpinPolicy(const craft::Frame& frame, Inquiry inquiry, std::vector<Driven> driven,
                       std::string phase)
    : frame_(frame), inquiry_(std::move(inquiry)), driven_(std::move(driven)), phase_(std::move(phase)) {
  of_ = blind() ? to_check() : static_cast<int>(inquiry_.pins.size());
}

int SpinPolicy::checked() const {
  return static_cast<int>(seen_.size());
}

SpinPolicy::Step SpinPolicy::next() {
  const solve::Interview::Next next = inquiry_.interview.next();
  using Todo = solve::Interview::Step;
  const bool hopeless = next.step == Todo::hopeless;
  if (hopeless || unseen_[at_row(next.ask.row)] >= most_unseen) {
    Fault fault(FaultKind::mismatch,
                hopeless
                    ? "The answers never agreed, so the wiring could not be verified"
                    : "No single arm moved in " + std::to_string(most_unseen) + " spins of the same motor",
                "a wire is loose, a speed controller does not answer, or a motor keeps turning although it "
                "was stopped",
                "If anything still turns, pull the battery plug. Then look at the wiring, and have a second "
                "person look at the motors");
    if (hopeless) throw std::move(fault).as("answers-contradict");
    throw std::move(fault).as("no-arm-moved");
  }
  if (next.step == Todo::done) return {};
  if (next.step == Todo::write) {
    otherwise_ = blind();
    if (otherwise_) return {not_as_written(), std::nullopt};
    return {};
  }
  asked_ = next.ask;
  const Driven& driven = driven_[at_row(asked_.row)];
  Step step;
  step.told = why(asked_);
  step.request = SpinRequest{asked_, driven.commanded, driven.shown, inquiry_.pins[at_row(asked_.row)],
                             phase_, blind(),          checked(),    std::max(of_, checked())};
  return step;
}

// In one line, and so that it does not say which answer is doubted.
std::vector<Statement> SpinPolicy::why(const solve::Ask& ask) {
  const bool first = inquiry_.explained.insert(ask.why).second;
  if (ask.why == solve::Why::in_turn) return {};
  if (!solve::needs_spin(ask.way)) {
    if (!first) return {};
    return {ask.why == solve::Why::view ? statement_of("asked-view") : statement_of("asked-otherwise")};
  }
  if (blind()) return {statement_of("once-more")};
  return {ask.why == solve::Why::arm ? statement_of("asked-arm") : statement_of("asked-direction")};
}

// Turns are heard as they would have been in the first round.
std::optional<solve::Testimony> SpinPolicy::as_first(const solve::Ask& ask, const Answer& answer) const {
  std::optional<solve::Testimony> testimony = testimony_in(frame_, ask, answer);
  if (testimony && inquiry_.reversed_now[at_row(ask.row)]) testimony->turn = opposite(testimony->turn);
  return testimony;
}

std::vector<Statement> SpinPolicy::take(const Heard& heard) {
  std::optional<solve::Testimony> testimony = as_first(asked_, heard.answer);
  for (const auto& [ask, answer] : heard.taken_back) {
    const auto before = as_first(ask, answer);
    if (before) inquiry_.interview.taken_back(ask, *before);
    if (testimony && ask.row == asked_.row && ask.way == asked_.way) testimony->after_undo = true;
  }
  const auto* seen = std::get_if<SpinSeen>(&heard.answer);
  if (!testimony) {
    inquiry_.interview.unanswered();
    if (seen == nullptr) return {};
    ++unseen_[at_row(asked_.row)];
    return nothing_seen(*seen);
  }
  unseen_[at_row(asked_.row)] = 0;
  inquiry_.interview.answered(*testimony);
  if (asked_.way == solve::Way::look) seen_.insert(asked_.row);
  if (blind() || asked_.way != solve::Way::look || asked_.why != solve::Why::in_turn) return {};
  sightings_.push_back(
      {driven_[at_row(asked_.row)].shown, inquiry_.pins[at_row(asked_.row)], testimony->place});
  std::vector<Statement> told;
  if (sightings_.size() < inquiry_.pins.size()) return told;
  for (const std::string& sentence : solve::named_twice(frame_, sightings_))
    told.push_back(statement_of("named-twice", {{"why", sentence}}));
  return told;
}

std::vector<Statement> SpinPolicy::nothing_seen(const SpinSeen& seen) {
  if (blind()) return {statement_of("once-more")};
  const craft::Motor motor = driven_[at_row(asked_.row)].shown;
  const craft::Pin& pin = inquiry_.pins[at_row(asked_.row)];
  if (seen.what == SpinSeen::What::several)
    return {statement_of("several-moved", {{"why", solve::several_moved(motor, pin)}})};
  return {statement_of("nothing-moved", {{"why", solve::nothing_moved(motor, pin)}})};
}

std::string SpinPolicy::text_of(const solve::Row& row, bool reversed) const {
  return text(frame_, craft::PlacedTurn{row.place, reversed ? opposite(row.turn) : row.turn});
}

std::vector<Statement> SpinPolicy::not_as_written() const {
  std::vector<Statement> told;
  const solve::Rows best = inquiry_.interview.proposed(), written = inquiry_.interview.planned();
  for (std::size_t row = 0; row < inquiry_.pins.size(); ++row) {
    if (best[row] == written[row]) continue;
    const bool reversed = inquiry_.reversed[row];
    told.push_back(statement_of("motor-not-proven", {{"motor", std::to_string(driven_[row].shown.number)},
                                                     {"pin", words::pin_in_words(inquiry_.pins[row])},
                                                     {"expected", text_of(written[row], reversed)},
                                                     {"seen", text_of(best[row], reversed)}}));
  }
  told.push_back(statement_of("plan-again"));
  return told;
}

}  // namespace armwise::session
