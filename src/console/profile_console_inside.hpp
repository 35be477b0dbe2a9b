// What the parts of ProfileConsole share: the conversation, and questions that may be asked again.
#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "armwise/base/fault.hpp"
#include "armwise/console/conversation.hpp"
#include "armwise/console/profile_console.hpp"
#include "listing.hpp"
#include "shared_numbers.hpp"

namespace armwise::console {

// Throws Fault(refused) where the profile lacks the ability.
template <typename Ability>
const Ability& needed(const std::optional<Ability>& ability, const char* doing) {
  if (ability) return *ability;
  throw Fault(FaultKind::refused, std::string(doing) + " is not possible from here",
              "The console's profile does not say how", "Do it by hand, or add it to the profile");
}

// True where the console's confirmation came, or the profile asks for none. Throws Fault(mismatch) where it
// confirms something else than what was ordered.
bool is_confirmed(const Profile& profile, const Order& order, const Reply& reply);

// Whether a motor may be turning. Nobody knows that it is not before a stop was acknowledged.
class MayBeTurning {
 public:
  MayBeTurning& operator=(bool now) {
    turning_ = now;
    known_ = true;
    return *this;
  }
  operator bool() const { return turning_; }
  bool surely_not() const { return known_ && !turning_; }

 private:
  bool turning_ = false, known_ = false;
};

struct ProfileConsole::Inside {
  Inside(Plug& its_plug, Profile its_profile, Clock& its_clock, Sentry& its_sentry)
      : plug(its_plug),
        profile(std::move(its_profile)),
        clock(its_clock),
        sentry(its_sentry),
        shared(profile) {}

  // Throws Fault(internal) where the console was not opened, Fault(line_lost) where its line is gone.
  Conversation& talk();

  // Asks, and hands the reply to `read`; once more where it is lost, or `read` finds it unreadable.
  // Only for questions: what is asked must change nothing. `doing` starts the sentence of a fault.
  // `whole_at`: an answer of many lines, any of which may be missing unnoticed, is whole only where silence
  // tells.
  using Reader = std::function<void(const Reply&)>;
  enum class WholeAt { answer, silence };
  Task<void> ask(const Query& query, const Values& values, const std::string& doing, const Reader& read,
                 WholeAt whole_at = WholeAt::answer);

  // All that the map lists; where it is asked for each motor, those from `first` to `last`.
  Task<std::vector<Values>> map_rows(int first, int last);
  Task<solve::Snapshot> snapshot(int motors, Listing listing);
  Task<std::vector<craft::Turn>> turns(const craft::MotorMap& map);
  Task<craft::Turn> turn_of(const std::string& key);
  Task<craft::PropScheme> props();
  Task<craft::YawPitchRoll> mount();

  // With the other bits of what they set, as they are known.
  std::vector<Order> orders_for(const solve::Change& change, const SharedNumbers& known) const;
  std::vector<Order> orders_for(const solve::Change& change) const { return orders_for(change, shared); }
  std::vector<Order> orders_for(const solve::SetMap& change) const;
  std::vector<Order> orders_for(const solve::SetProps& change) const;
  std::vector<Order> orders_for(const solve::SetTurn& change) const;
  std::vector<Order> orders_for(const solve::SetMount& change) const;
  // What reads back otherwise than written, as a sentence; empty where it is as written.
  Task<std::string> difference_from(const solve::Change& change);
  Task<std::string> difference_from(const solve::SetMap& change);
  Task<std::string> difference_from(const solve::SetProps& change);
  Task<std::string> difference_from(const solve::SetTurn& change);
  Task<std::string> difference_from(const solve::SetMount& change);
  // A lost reply is returned, not thrown: what is read back decides.
  Task<std::optional<Fault>> send(const std::vector<Order>& orders);

  void require_spinning(const Order& order, const Reply& reply) const;
  class Stopping;      // stopping.hpp
  class KeepingOrder;  // profile_console_restart.cpp
  // True where it was seen to have restarted.
  Task<bool> restart();
  Task<void> get_back(Instant last);
  // Listens to the start-up first, until `start_ends` where its prompt does not come, where surely no motor
  // is turning: otherwise the stop goes first.
  Task<void> talk_on(std::unique_ptr<Line> line, std::optional<Instant> start_ends = {});

  Plug& plug;
  Profile profile;
  Clock& clock;
  Sentry& sentry;
  SharedNumbers shared;
  std::unique_ptr<Conversation> conversation;
  bool was_open = false, starts_up = false;
  MayBeTurning may_be_turning;
  Saved saved = Saved::unknown;
  std::optional<craft::YawPitchRoll> known_mount;  // as read, since anything was sent that may change it
  std::optional<Order> unanswered;                 // a spin
  std::optional<Fault> late_trouble;               // with the last spin
  std::vector<std::string> answer_to_spin;
  std::string unended_answer;
  Conversation::Look look;  // at what is answered to a spin, besides
};

}  // namespace armwise::console
