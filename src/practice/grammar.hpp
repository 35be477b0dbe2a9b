// A console profile turned around: what a received line asks for, heard as the far side hears it.
#pragma once

#include <list>
#include <string>
#include <string_view>
#include <vector>

#include "armwise/console/profile.hpp"

namespace armwise::practice {

// What a command asks the controller to do.
enum class Act {
  echo_word,
  identify,
  list_everything,
  list_map,
  put_motor,
  free_motor,
  read_props,
  set_props,
  read_turns,
  set_turn,
  read_mount,
  set_mount,
  sense,
  spin,
  stop_one,
  stop_all,
  keep,
  restart,
  leave
};

bool is_write(Act act);
bool is_stop(Act act);

struct Phrase {
  Act act = Act::echo_word;
  const console::Steps* steps = nullptr;
  const console::Query* query = nullptr;      // of a question
  const console::Command* command = nullptr;  // of an order
  // The step at which it is carried out; those after it only lead out of a menu again.
  std::size_t acts_at = 0;
};

struct Heard {
  enum class What { nonsense, go_on, act };
  What what = What::nonsense;
  const Phrase* phrase = nullptr;  // act only
  console::Values values;          // of all steps so far
};

// Keeps its place in the menus. A menu is where several commands share their first steps; it is left by
// the profile's "home", by the steps of a command that lead out of it, and by nothing else.
class Grammar {
 public:
  // `profile` outlives the grammar.
  explicit Grammar(const console::Profile& profile);
  Grammar(const Grammar&) = delete;
  Grammar& operator=(const Grammar&) = delete;

  Heard hear(std::string_view line);
  // What stands at the end of an answer given now.
  const std::string& prompt() const { return prompt_; }
  bool at_the_top() const { return under_way_.empty(); }
  void to_the_top();

  // An empty line is a question here, and answered.
  bool asks_with_nothing() const;
  // Would the tool take this line for anything? Then the controller does not use it for small talk.
  bool means_something(std::string_view line) const;

 private:
  struct UnderWay {
    const Phrase* phrase = nullptr;
    std::size_t step = 0;  // the next one
    console::Values values;
    const console::Step& next() const { return (*phrase->steps)[step]; }
  };
  using Candidates = std::vector<UnderWay>;

  void add_barrier(const console::Query& barrier);
  void add(Act act, const console::Query& query);
  void add(Act act, const console::Command& command);
  void add_phrase(Phrase phrase);
  void add_settings();
  void add_the_rest();
  Candidates from_the_top() const;
  Candidates those_that_match(Candidates candidates, std::string_view line) const;
  Heard take_step(Candidates taken);
  void add_those_of_the_same_menu(const UnderWay& back_in_menu);
  std::string prompt_after(const UnderWay& candidate) const;

  const console::Profile& profile_;
  std::list<console::Query> barrier_;
  std::vector<Phrase> phrases_;
  Candidates under_way_;
  std::string prompt_;
};

}  // namespace armwise::practice
