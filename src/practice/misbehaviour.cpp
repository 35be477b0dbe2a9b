#include "misbehaviour.hpp"

#include <utility>

#include "armwise/base/random.hpp"

namespace armwise::practice {
namespace {

constexpr std::size_t megabyte = 1024UL * 1024UL;

}  // namespace

void Misbehaviour::count(Act act) {
  writes_ += is_write(act) ? 1 : 0;
  keeps_ += act == Act::keep ? 1 : 0;
  stops_ += is_stop(act) ? 1 : 0;
  listings_ += act == Act::list_everything ? 1 : 0;
}

Slip Misbehaviour::slip_in(Act act, bool names_motors) {
  Slip slip;
  if (is_write(act)) {
    slip.not_stored = plan_.strikes(Mischief::accept_not_store, writes_);
    slip.clamped = plan_.strikes(Mischief::clamp_write, writes_);
  }
  if (act == Act::keep) slip.not_kept = plan_.strikes(Mischief::store_not_keep, keeps_);
  if (is_stop(act)) slip.not_stopped = plan_.strikes(Mischief::spin_on, stops_);
  if (names_motors && plan_.is(Mischief::other_motors_line) && commands_ >= plan_.at) {
    slip.wrong_motor = plan_.noted(plan_.for_ever || !std::exchange(named_wrong_, true));
  }
  return slip;
}

std::optional<Refusal> Misbehaviour::refusal_of(Act act) const {
  if (is_write(act) && plan_.strikes(Mischief::refuse_write, writes_)) return Refusal::not_possible;
  if (act == Act::keep && plan_.strikes(Mischief::refuse_keep, keeps_)) return Refusal::not_possible;
  return std::nullopt;
}

std::string Misbehaviour::with_its_own(std::string answer, const std::string& line_end) const {
  using namespace std::string_literals;
  Random random(plan_.seed + commands_);
  const auto somewhere = static_cast<std::size_t>(random.below(answer.size() + 1));
  if (strikes_command(Mischief::unsolicited)) {
    answer.insert(somewhere, line_end + "note 612: all quiet on the radio" + line_end);
  } else if (strikes_command(Mischief::hostile_bytes)) {
    answer.insert(somewhere, "\0\0\x1b[2J\x1b]0;title\a\xc3\x28\xff\x9b"s + "31m");
  } else if (strikes_command(Mischief::giant_line)) {
    answer.insert(0, std::string(megabyte, 'x') + line_end);
  }
  return answer;
}

}  // namespace armwise::practice
