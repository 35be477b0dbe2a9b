// What the terminal front end knows and does; its questions are told apart by kind.
#pragma once

#include <boost/asio/any_io_executor.hpp>
#include <exception>
#include <optional>
#include <string>

#include "armwise/ui/terminal_person.hpp"
#include "learned_letters.hpp"
#include "terminal.hpp"

namespace armwise::ui {

// A choice whose keys are places of a frame: it is put as a picture.
bool asks_for_a_place(const session::Question& question);

struct TerminalPerson::State {
  State(const boost::asio::any_io_executor& executor, int descriptor, TerminalOptions given);

  using Question = session::Question;
  using Answer = session::Answer;

  // Keys that mean the same at every question.
  enum class Common { none, back, handled };
  Common common(const Question& question, const Key& key, std::string_view help);
  void refuse(const Key& key, std::string_view instead);
  Task<Key> press(std::string prompt);
  void echo(std::string_view prompt, std::string_view answer);
  void put(const Question& question);

  Task<Answer> answer_to(const Question& question);
  Task<Answer> confirm(const Question& question);
  Task<Answer> choose(const Question& question);
  Task<Answer> typed(const Question& question);
  Task<Answer> pose(const Question& question);
  Task<Answer> go(const Question& question);
  Task<Answer> spin(const Question& question);
  Answer noted(const Question& question, const session::SpinSeen& seen);
  Task<Answer> place(const Question& question);

  // False: the person wants to go back.
  Task<bool> ask_nose(const Question& question);
  void show_arms(const craft::Frame& frame, const ArmKeys& keys);
  void show_spin(const Question& question, const ArmKeys& keys);
  void show_turn(const craft::Frame& frame, craft::PlaceIndex place);
  // Absent: back to the arm.
  Task<std::optional<craft::PlaceIndex>> level(const craft::Frame& frame, ArmKeys::Cap cap);
  Task<std::optional<session::SpinSeen>> turn(const craft::Frame& frame, craft::PlaceIndex place);
  Task<void> learn_letters();

  void show_scene(std::string_view countdown);

  Terminal terminal;
  TerminalOptions options;
  Ring letters;
  std::string letters_trouble;
  std::optional<NoseSide> nose;
  bool by_strip = false;  // the turn is asked by a strip of paper
  // The arm of the motor that is spun once more to see its direction.
  std::optional<craft::PlaceIndex> arm_said;
  bool scene_wanted = false;
};

// Leaves the cursor at the start of a line of its own where an exception ends what was being written.
class FreshLine {
 public:
  explicit FreshLine(Terminal& terminal) : terminal_(terminal), uncaught_(std::uncaught_exceptions()) {}
  ~FreshLine() {
    if (std::uncaught_exceptions() > uncaught_) terminal_.finish_line();
  }
  FreshLine(const FreshLine&) = delete;
  FreshLine& operator=(const FreshLine&) = delete;

 private:
  Terminal& terminal_;
  int uncaught_;
};

}  // namespace armwise::ui
