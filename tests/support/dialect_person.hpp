// Someone who knows a console by heart: types its commands when asked for them. What they know is the true
// profile; they are asked in trade words and see only the question.
#pragma once

#include <functional>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "armwise/base/task.hpp"
#include "armwise/console/profile.hpp"
#include "armwise/practice/person.hpp"

namespace armwise::test {

class DialectPerson : public session::Person {
 public:
  // All outlive the person. `true_map`: the table as it is, "motor 1 on pin P1, …".
  DialectPerson(const console::Profile& known, practice::PracticePerson& hands, std::string true_map)
      : known_(known), hands_(hands), true_map_(std::move(true_map)) {}

  Task<session::Answer> ask(const session::Question& question) override;
  void tell(const session::Statement& statement) override { told.push_back(statement); }
  Task<bool> interrupted(craft::Motor motor, Duration within) override {
    return hands_.interrupted(motor, within);
  }

  // Question id -> answers given instead, in turn, before the true one.
  std::map<std::string, std::vector<std::string>> first;
  std::string declines;  // the question whose text has this is answered with no
  std::function<void(const session::Question&)> hears;
  std::function<void(session::Question&)> in_hands;  // what their hands make of a question
  std::optional<std::size_t> stops_at;  // the number of the question at which they have had enough
  std::vector<session::Statement> told;
  std::vector<std::string> asked;  // "id: text -> answer"

 private:
  std::string answer(const session::Question& question);
  std::string command(const session::Question& question) const;

  const console::Profile& known_;
  practice::PracticePerson& hands_;
  std::string true_map_;
};

}  // namespace armwise::test
