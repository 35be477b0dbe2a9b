// What the parts of Conversation share: its state, and what a refusal is.
#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <utility>

#include "armwise/console/conversation.hpp"
#include "armwise/console/filtered_line.hpp"
#include "exchange.hpp"

namespace armwise::console {

// Without a word that tells, only a long silence tells that no late answer is under way.
Duration sure_silence(const Profile& profile);
// Throws Fault(refused), with the console's words.
void throw_where_refused(const std::string& sent, const Heard& heard, const Profile& profile);

struct Conversation::State {
  State(std::unique_ptr<Line> opened, const Profile& spoken, Clock& clock)
      : line(std::make_unique<FilteredLine>(std::move(opened), spoken.open, clock)),
        profile(spoken),
        watched(*line, spoken, clock),
        framing(spoken),
        sync(watched, framing, spoken, clock),
        exchange(watched, framing, sync, spoken, clock) {}

  std::unique_ptr<FilteredLine> line;
  const Profile& profile;
  WatchedLine watched;
  Framing framing;
  Sync sync;
  Exchange exchange;

  Task<bool> wake(bool with_open_send);
  bool may_settle(const Step& step, bool last) const;
  // What is sent on when a reply fails to come: what gets back into step, or nothing; or nothing after a
  // refusal either.
  enum class OnFailure { recover, send_nothing, nothing_at_all };
  Task<std::optional<Reply>> run(const Steps& steps, const Values& values, std::optional<Duration> within,
                                 const Look* look, OnFailure on_failure = OnFailure::recover,
                                 Answers answers = {});
  // Sends `first`, and the sync word as soon as it has been answered; where it is not, only where the console
  // is known to be open.
  enum class AtOnce { silent, talks, in_step };
  enum class Console { open, maybe_shut };
  Task<AtOnce> get_in_step_at_once(const std::string& first, Console console);
  Task<void> send_with_care(const Steps& steps, std::size_t at, const std::string& sent, Answers answers);
  Task<std::optional<Heard>> hear_with_care(const std::string& sent, Duration within, const Look& look);
  void take(const Step& step, const std::string& sent, Heard heard, Reply& reply) const;
  std::string wanted_prompt(const Step& step) const;
  // The step whose reply is owed, and what the steps before it answered.
  struct Owed {
    Step step;
    std::string sent;
    Reply before;
  };
  std::optional<Owed> owed;
  bool misheard = false;  // a line of the last command with care, before its end was sent
  void give_up_owed() {
    owed.reset();
    exchange.give_up_owed();
  }
  void throw_not_open() const;
  bool was_shut = false;
};

}  // namespace armwise::console
