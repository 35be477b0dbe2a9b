#include "armwise/practice/controller.hpp"

#include <algorithm>

#include "controller_inside.hpp"

namespace armwise::practice {
namespace {

SettingsView viewed(const Settings& settings, const PracticeCraft& craft) {
  SettingsView view;
  for (int motor = 0; motor < craft.motors; ++motor) {
    const std::vector<int> pins = settings.pins_driven_by(motor);
    view.map.pins.push_back(
        {pins.empty() ? std::string() : craft.pins[static_cast<std::size_t>(pins.front())]});
  }
  view.props = settings.props;
  view.turns = settings.turns;
  view.mount = settings.mount;
  view.mount_code = settings.mount_code;
  view.entries = settings.entries;
  return view;
}

}  // namespace

PracticeController::PracticeController(const console::Profile& profile, PracticeCraft craft,
                                       const MischiefPlan& mischief, Habits habits)
    : inside_(std::make_unique<Inside>(profile, std::move(craft), mischief, std::move(habits))) {
  inside_->boot(Instant(0));
}
PracticeController::~PracticeController() = default;
PracticeController::PracticeController(PracticeController&&) noexcept = default;
PracticeController& PracticeController::operator=(PracticeController&&) noexcept = default;

void PracticeController::receive(std::string_view bytes, Instant now) {
  for (const char c : bytes) {
    // On its way out it hears nothing more.
    if (inside_->leaves_at) return;
    inside_->hear_byte(c, now);
  }
}

std::string PracticeController::take(Instant now) {
  return inside_->voice.take(now);
}

std::optional<Instant> PracticeController::next_event(Instant now) const {
  return earlier(earlier(inside_->voice.next(), inside_->leaves_at), inside_->board.next_stop(now));
}

std::optional<Instant> PracticeController::leaves_at() const {
  return inside_->leaves_at;
}

void PracticeController::restart(Instant now) {
  ++inside_->restarts;
  inside_->history.push_back({Happened::What::restarted, now, {}});
  inside_->board.restart();
  inside_->boot(now);
}

int PracticeController::restarts() const {
  return inside_->restarts;
}

void PracticeController::mend() {
  inside_->mischief.end();
}

std::vector<Turning> PracticeController::turning(Instant now) const {
  return inside_->board.turning(now);
}

PracticeCraft& PracticeController::craft() {
  return inside_->board.craft();
}
const PracticeCraft& PracticeController::craft() const {
  return inside_->board.craft();
}

SettingsView PracticeController::saved() const {
  return viewed(inside_->board.saved(), craft());
}
SettingsView PracticeController::running() const {
  return viewed(inside_->board.running(), craft());
}

const std::vector<Happened>& PracticeController::history() const {
  return inside_->history;
}

}  // namespace armwise::practice
