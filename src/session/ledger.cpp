#include "ledger.hpp"

#include <utility>

#include "armwise/base/task.hpp"
#include "armwise/solve/difference.hpp"
#include "words.hpp"
#include "writer.hpp"

namespace armwise::session {

namespace {

using What = record::JournalEntry::What;

}  // namespace

void Ledger::found(solve::Snapshot settings) {
  before_ = baseline_ = now_ = std::move(settings);
}

std::vector<std::string> Ledger::lines_for(const std::vector<solve::Change>& changes) const {
  std::vector<std::string> lines;
  for (const std::vector<std::string>& each : console_.lines_of_each(changes))
    lines.insert(lines.end(), each.begin(), each.end());
  return lines;
}

void Ledger::journal_plan(const std::vector<solve::Change>& changes) {
  journal_.plan(What::planned, baseline_, solve::with_changes(now_, changes), lines_for(changes));
}

Task<void> Ledger::write(std::vector<solve::Change> changes, WritePermit agreed) {
  journal_plan(changes);
  undo_ = UndoPermit(agreed);
  const MayWrite permit = std::move(agreed);
  const std::vector<std::vector<std::string>> lines = console_.lines_of_each(changes);
  Writer writer(console_, person_, clock_);
  std::optional<Fault> trouble;
  try {
    co_await writer.write(changes, permit, journal_.open());
  } catch (const Fault& fault) {
    trouble = fault;
  }
  if (trouble) {
    throw Fault(trouble->kind(), "A change could not be written: " + trouble->happened(), trouble->why(),
                trouble->next());
  }
  for (std::size_t i = 0; i < changes.size(); ++i)
    changes_.push_back({words::change(changes[i]) + ": " + changes[i].reason, lines[i]});
  now_ = solve::with_changes(now_, changes);
}

Task<std::vector<Player::Line>> Ledger::play(std::vector<std::string> lines, PlayPermit agreed) {
  journal_.plan(What::playing, baseline_, baseline_, lines);
  undo_ = UndoPermit(agreed);
  played_ = true;
  const MayPlay permit = std::move(agreed);
  Player player(console_, person_);
  std::vector<Player::Line> refused = co_await player.play(lines, permit);
  changes_.push_back({"The saved whole configuration, played back", std::move(lines)});
  co_return refused;
}

void Ledger::plan_nothing_more() {
  if (played_) journal_plan({});
}

bool Ledger::kept() const {
  if (stage_ == Stage::keeping) return console_.saved() == console::Saved::acknowledged;
  return kept_;
}

Task<bool> Ledger::keep(KeepPermit agreed) {
  if (!journal_.is_open()) {
    journal_plan({});
    journal_.note(What::proven);
  }
  journal_.note(What::keeping);
  stage_ = Stage::keeping;
  const MayKeep permit = agreed;
  bool restarted = false;
  std::optional<Fault> trouble;
  try {
    restarted = co_await console_.keep_and_restart(permit);
  } catch (const Fault& fault) {
    trouble = fault;
  }
  if (trouble && trouble->kind() == FaultKind::refused) stage_ = Stage::open;
  if (trouble) throw Fault(*trouble);
  if (kept()) journal_.note(What::kept);
  co_return restarted;
}

void Ledger::read_back_right() {
  journal_.note(What::verified);
  kept_ = keeping();
  stage_ = Stage::verified;
  undo_.reset();
  played_ = false;
  baseline_ = now_;
  journal_.close("kept and verified");
}

}  // namespace armwise::session
