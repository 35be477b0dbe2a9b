#include "armwise/solve/interview.hpp"

#include <algorithm>
#include <numeric>

#include "question_worth.hpp"

namespace armwise::solve {
namespace {

// Where one arm was named twice in the first round, the plan waits until it is so sure; else it is made of
// what was said, and the check asks anyway.
constexpr double sure_enough_to_write = 0.02;
// A wiring that contradicts what was written is written only when it is this sure.
constexpr double sure_enough_to_write_again = 0.05;
// What of the wanted sureness is for each direction, and for each way to see the craft: what exceeds it is
// asked about while the spin is fresh.
constexpr double for_directions = 0.3, for_each_view = 0.1;
constexpr int most_spins_for_each = 10;

unsigned bit(int row) {
  return 1U << static_cast<unsigned>(row);
}

}  // namespace

Interview::Interview(std::shared_ptr<const BeliefTables> tables, double sure, std::uint32_t seed)
    : tables_(std::move(tables)), belief_(tables_), sure_(sure), random_(seed) {}

Verdict Interview::verdict() const {
  if (!verdict_) verdict_ = belief_.verdict();
  return *verdict_;
}

Interview::Next Interview::ask(Ask what) {
  asked_ = what;
  ++times_asked_[static_cast<std::size_t>(what.row)][static_cast<std::size_t>(what.way)];
  if (needs_spin(what.way)) {
    ++spins_;
    asked_about_spin_ = 0;
    last_look_.reset();
  } else {
    asked_about_spin_ |= 1U << static_cast<unsigned>(what.way);
  }
  return {Step::ask, what};
}

std::optional<Ask> Interview::first_round() const {
  for (int row = 0; row < tables_->size; ++row) {
    if ((looked_at_ & bit(row)) == 0) return Ask{Way::look, row, 0, Why::in_turn};
  }
  return std::nullopt;
}

bool Interview::may_ask(Way way) const {
  if (needs_spin(way)) return true;
  // Once for each spin: the same question put twice running is the same answer twice.
  if ((asked_about_spin_ & (1U << static_cast<unsigned>(way))) != 0) return false;
  if (way == Way::above) return true;
  if (!last_look_) return false;
  return way != Way::half || tables_->ahead[last_look_->place] != 0;
}

// The motors whose arm was named for another one too, by bit.
unsigned Interview::clashing() const {
  unsigned rows = 0;
  for (int row = 0; row < tables_->size; ++row) {
    const craft::PlaceIndex place = named_[static_cast<std::size_t>(row)].place;
    const auto alike = std::count_if(named_.begin(), named_.begin() + tables_->size,
                                     [&](const Row& other) { return other.place == place; });
    if (alike > 1) rows |= bit(row);
  }
  return rows;
}

// As if the looks that are still to come brought what is expected: is there anything that would still be in
// doubt, and that can be asked of the spin just seen?
std::optional<Ask> Interview::about_this_spin() {
  Belief then = belief_;
  const Verdict now = verdict();
  for (int row = 0; row < tables_->size; ++row) {
    if ((check_.seen & bit(row)) != 0) continue;
    const Row& named = now.named[static_cast<std::size_t>(row)];
    Testimony expected;
    expected.row = row;
    expected.place = named.place;
    expected.turn = named.turn;
    expected.checking = expected.as_planned = true;
    then.hear(expected);
    expected.way = Way::edge;
    then.hear(expected);
  }
  const Verdict verdict = then.verdict();
  if (verdict.wrong < sure_) return std::nullopt;
  const Doubts doubts = then.doubts(verdict);
  const double for_each_turn = sure_ * for_directions / tables_->size;
  std::optional<Ask> best;
  double most = 0;
  for (const Way way : {Way::edge, Way::lid, Way::half, Way::above}) {
    if (!may_ask(way)) continue;
    const Ask ask{way, asked_.row, last_look_ ? last_look_->place : 0, Why::direction};
    // Only what exceeds its share.
    Doubts heavy = doubts;
    for (double& each : heavy.turn) each = each > for_each_turn ? each : 0;
    for (double& each : heavy.view) each = each > sure_ * for_each_view ? each : 0;
    for (auto& each : heavy.swap) each.fill(0);
    const Worth worth = worth_of(*tables_, ask, verdict, heavy);
    if (worth.per_second <= most) continue;
    most = worth.per_second;
    best = ask;
    best->why = worth.why;
  }
  return best;
}

// The same question about the same motor over and over says ever less: what makes an answer wrong once may do
// so again.
double Interview::asked_before(const Ask& ask) const {
  const int times = times_asked_[static_cast<std::size_t>(ask.row)][static_cast<std::size_t>(ask.way)];
  return 1 + times * times;
}

Ask Interview::best_of_all(const Verdict& verdict) {
  const Doubts doubts = belief_.doubts(verdict);
  Ask best;
  double most = -1;
  const auto consider = [&](Ask ask) {
    if (!may_ask(ask.way)) return;
    const Worth worth = worth_of(*tables_, ask, verdict, doubts);
    const double per_second = worth.per_second / asked_before(ask);
    if (per_second <= most) return;
    most = per_second;
    best = ask;
    best.why = worth.why;
  };
  const unsigned about = check_.runs || clashing() == 0 ? check_.can_spin : clashing();
  for (int row = 0; row < tables_->size; ++row) {
    if ((about & bit(row)) == 0) continue;
    const craft::PlaceIndex place = verdict.named[static_cast<std::size_t>(row)].place;
    for (const Way way : {Way::look, Way::strip, Way::hand}) consider({way, row, place, Why::arm});
  }
  const craft::PlaceIndex seen = last_look_ ? last_look_->place : 0;
  for (const Way way : {Way::edge, Way::lid, Way::half}) consider({way, asked_.row, seen, Why::arm});
  consider({Way::above, 0, 0, Why::view});
  return best;
}

// Being asked again must not say that the first answer was wrong: now and then a motor that is sure comes
// first.
std::optional<Ask> Interview::repeat_first(const Ask& ask) {
  if (!check_.runs || ask.way != Way::look || repeated_ || random_.one_in(2)) return std::nullopt;
  const int other = static_cast<int>(random_.below(static_cast<unsigned>(tables_->size)));
  if (other == ask.row || !can_spin(other)) return std::nullopt;
  return Ask{Way::look, other, 0, Why::repeat};
}

Interview::Next Interview::next() {
  if (const auto in_turn = first_round(); in_turn && !check_.runs) return ask(*in_turn);
  if (spins_ >= most_spins_for_each * tables_->size) return {Step::hopeless, {}};
  if (!check_.runs) {
    const Verdict now = verdict();
    if (clashing() == 0 || now.wrong < sure_enough_to_write) return {Step::write, {}};
    return ask(best_of_all(now));
  }
  if (last_look_) {
    if (const auto further = about_this_spin()) return ask(*further);
    last_look_.reset();
  }
  const Verdict now = verdict();
  const bool as_written = std::equal(now.best.begin(), now.best.begin() + tables_->size, planned_.begin());
  if (!as_written && now.wrong < sure_enough_to_write_again) return {Step::write, {}};
  if (!check_.order.empty()) {
    const int row = check_.order.back();
    check_.order.pop_back();
    return ask({Way::look, row, 0, Why::in_turn});
  }
  const bool all_spin = (check_.can_spin & (bit(tables_->size) - 1)) == bit(tables_->size) - 1;
  if (as_written && (now.wrong < sure_ || !all_spin)) return {Step::done, {}};
  const Ask best = best_of_all(now);
  if (const auto other = repeat_first(best)) {
    repeated_ = true;
    return ask(*other);
  }
  repeated_ = false;
  return ask(best);
}

void Interview::answered(Testimony said) {
  said.way = asked_.way;
  said.row = asked_.row;
  if (said.way != Way::look) said.place = asked_.place;
  if (said.way == Way::look) {
    (check_.runs ? check_.seen : looked_at_) |= bit(said.row);
    last_look_ = Row{said.place, said.turn};
    named_[static_cast<std::size_t>(said.row)] = {said.place, said.turn};
  }
  // The order of what comes must not be known beforehand, and be the same when a log is replayed.
  random_ = Random(random_.next() + 2 * said.place + static_cast<std::uint64_t>(said.turn));
  hear(said);
}

void Interview::taken_back(const Ask& what, Testimony said) {
  said.way = what.way;
  said.row = what.row;
  if (said.way != Way::look) said.place = what.place;
  said.undone = true;
  hear(said);
}

void Interview::hear(Testimony said) {
  said.checking = check_.runs;
  said.as_planned = check_.runs && said.turn == planned_[static_cast<std::size_t>(said.row)].turn;
  belief_.hear(said);
  verdict_.reset();
}

void Interview::unanswered() {
  if (check_.runs && asked_.way == Way::look) check_.order.insert(check_.order.begin(), asked_.row);
}

void Interview::recalled(const Rows& recorded) {
  for (int row = 0; row < tables_->size; ++row) {
    Testimony said;
    said.row = row;
    said.place = recorded[static_cast<std::size_t>(row)].place;
    said.turn = recorded[static_cast<std::size_t>(row)].turn;
    named_[static_cast<std::size_t>(row)] = {said.place, said.turn};
    looked_at_ |= bit(row);
    hear(said);
  }
}

bool Interview::can_spin(int row) const {
  return (check_.can_spin & bit(row)) != 0;
}

Rows Interview::proposed() const {
  return !check_.runs && clashing() == 0 ? named_ : verdict().best;
}

void Interview::written(unsigned can_spin) {
  const Rows best = proposed();
  unsigned changed = 0;
  for (int row = 0; row < tables_->size; ++row) {
    const auto at = static_cast<std::size_t>(row);
    if (!check_.runs || best[at] != planned_[at]) changed |= bit(row);
  }
  planned_ = best;
  check_.can_spin = can_spin;
  start_check(changed);
  check_.runs = true;
}

void Interview::restarted() {
  check_.can_spin = every_motor;
  start_check(every_motor);
}

void Interview::start_check(unsigned rows) {
  const auto not_now = [this](int row) { return !can_spin(row); };
  check_.order.erase(std::remove_if(check_.order.begin(), check_.order.end(), not_now), check_.order.end());
  for (int row = 0; row < tables_->size; ++row) {
    const bool listed = std::find(check_.order.begin(), check_.order.end(), row) != check_.order.end();
    if ((rows & check_.can_spin & bit(row)) == 0) continue;
    check_.seen &= ~bit(row);
    if (!listed) check_.order.push_back(row);
  }
  // Shuffled, and never as in the first round.
  const std::vector<int> before = check_.order;
  for (std::size_t i = check_.order.size(); i > 1; --i)
    std::swap(check_.order[i - 1], check_.order[random_.below(i)]);
  if (check_.order.size() > 1 && std::is_sorted(check_.order.rbegin(), check_.order.rend()))
    std::swap(check_.order.front(), check_.order.back());
  last_look_.reset();
}

}  // namespace armwise::solve
