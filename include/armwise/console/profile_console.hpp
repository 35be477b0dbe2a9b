// The controller's abilities, spoken as a profile says.
#pragma once

#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "armwise/base/clock.hpp"
#include "armwise/console/console.hpp"
#include "armwise/console/line.hpp"
#include "armwise/console/profile.hpp"
#include "armwise/console/sentry.hpp"

namespace armwise::console {

// Questions are asked a second time where the reply was lost or cannot be read; nothing that writes or spins
// is. An ability that the profile lacks is Fault(refused), in words, and nothing is sent.
class ProfileConsole : public Console {
 public:
  // `plug`, `clock` and `sentry` outlive the console.
  ProfileConsole(Plug& plug, Profile profile, Clock& clock, Sentry& sentry);
  ~ProfileConsole() override;

  const Profile& profile() const override;

  // A controller that was plugged in only now: open() listens to its start-up before anything is sent.
  void hear_start_first();
  // Where a motor may still be turning from before the line was lost, the first thing sent is the stop.
  Task<void> open() override;
  Task<Identity> identify() override;
  Task<std::string> whole_configuration() override;
  Task<solve::Snapshot> snapshot(int motors) override;
  Task<solve::Snapshot> snapshot_as_left(int motors) override;
  Task<SenseReading> sense() override;

  Task<void> spin(craft::Motor motor, double strength, Duration longest, const SpinPermit& permit) override;
  Task<bool> stop_all(const TellUnstopped& tell) override;

  Task<void> apply(const solve::Change& change, const MayWrite& permit) override;
  Task<void> play(const std::string& line, const MayPlay& permit) override;
  std::vector<std::vector<std::string>> lines_of_each(
      const std::vector<solve::Change>& changes) const override;

  Task<bool> keep_and_restart(const MayKeep& permit) override;
  Saved saved() const override;
  Task<bool> see_restart() override;
  Task<bool> restart_without_keeping() override;
  std::string renamed() const override;
  Task<void> leave() override;
  std::optional<Fault> late_trouble() const override;
  Task<void> reopen() override;

  // Goes on with a line that somebody else has spoken on, maybe an order to spin; and gives it back, null
  // where it is gone. `in_step`: at its prompt, and no answer is under way.
  void take_over(std::unique_ptr<Line> line, bool in_step);
  std::unique_ptr<Line> give_back();

  // For a spin whose confirmation is not known yet: `look` is shown each line of the answer while the motor
  // may turn; see Conversation::Look. And the whole of it once it has come, after the stop where it was late.
  void look_at_answers(std::function<bool(const std::string& line)> look);
  const std::vector<std::string>& answer_to_spin() const;
  // Its last line before the stop, where it had not ended by then: where nothing turned, a question. Else
  // empty.
  const std::string& unended_answer() const;

 private:
  struct Inside;
  std::unique_ptr<Inside> inside_;
};

}  // namespace armwise::console
