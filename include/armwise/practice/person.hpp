// The person, played from what the practice craft shows: answers every question of a session truly, or
// with the mistakes that a test wants made.
#pragma once

#include <cstdint>
#include <map>
#include <string>
#include <vector>

#include "armwise/base/clock.hpp"
#include "armwise/practice/sight.hpp"
#include "armwise/session/person.hpp"

namespace armwise::practice {

struct PersonScript {
  // Question id -> answers used in turn, the last one from then on: what is typed ("in", "hex-x", "no").
  // "back" goes one question back, "stop" ends the session. For a spin: "front-left cw", "none",
  // "several", "again". A question that is not here is answered of itself: yes, the word asked for, what
  // was seen, the pose; of choices the first; of a text the suggestion.
  std::map<std::string, std::vector<std::string>> answers;
  // A mistake at the nth spin question (from 1), once; what is named there is answered instead.
  enum class Slip { wrong_turn, wrong_place, saw_nothing, saw_several, once_more, go_back, stop };
  std::map<int, Slip> slips;
  // During the nth spin (from 1) a key is pressed, or the person stops everything.
  std::map<int, Slip> during_spin;  // once_more: any key; stop: Ctrl-C
  // After so many spin questions the person has had enough, and stops: a controller that never behaves
  // would otherwise be asked about for ever.
  int patience = 200;
};

class PracticePerson : public session::Person {
 public:
  // `sight`, `clock` and `audience` outlive the person. The audience, where there is one, is told all that
  // is told, and each question with its answer as two statements.
  PracticePerson(Sight& sight, Clock& clock, PersonScript script = {}, session::Person* audience = nullptr);

  Task<session::Answer> ask(const session::Question& question) override;
  void tell(const session::Statement& statement) override;
  Task<bool> interrupted(craft::Motor motor, Duration within) override;

  // For tests: how often what was asked, and all that was told (its plans do not outlive the telling).
  int asked(const std::string& id) const;
  const std::vector<session::Statement>& told() const { return told_; }

 private:
  std::string scripted(const std::string& id);
  Task<session::Answer> answer_of_itself(const session::Question& question);
  session::Answer typed(const session::Question& question, const std::string& text) const;
  std::string of_the_spin(const session::Question& question) const;
  session::Answer spin_seen(const session::Question& question);
  session::Answer slipped(const session::Question& question, session::Answer truth,
                          PersonScript::Slip slip) const;
  session::Answer as_seen(const session::Question& question) const;
  Task<void> work_by_hand(const session::Question& question);
  void look(const std::vector<Turning>& turning);
  void tell_audience(const session::Question& question, const session::Answer& answer);

  Sight& sight_;
  Clock& clock_;
  PersonScript script_;
  session::Person* audience_;
  std::map<std::string, int> asked_;
  std::vector<session::Statement> told_;
  std::vector<Turning> seen_;               // since the last spin began
  std::vector<craft::PlaceIndex> by_hand_;  // of the plan last told
  const craft::Frame* frame_ = nullptr;
  int spins_ = 0;
  int spin_questions_ = 0;
};

}  // namespace armwise::practice
