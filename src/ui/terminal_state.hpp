// What the terminal front end knows and does; its questions are told apart by kind.
#pragma once

#include <boost/asio/any_io_executor.hpp>
#include <boost/asio/steady_timer.hpp>
#include <chrono>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "armwise/ui/terminal_person.hpp"
#include "learned_letters.hpp"
#include "painter.hpp"
#include "screen.hpp"
#include "terminal.hpp"

namespace armwise::ui {

// How a question is put.
enum class Manner {
  yes_or_no,
  list,
  place,  // a choice whose keys are places of a frame: in the picture
  small,  // a second word about a spin: one line on that spin's screen
  typed,
  pose,
  go,
  spin,
};
Manner manner_of(const session::Question& question);
// One of those between "Space spins it" and the next of those: where one is in the round stays on the screen.
bool is_of_a_spin(const session::Question& question);

struct TerminalPerson::State {
  State(const boost::asio::any_io_executor& executor, int descriptor, TerminalOptions given);
  ~State();

  using Question = session::Question;
  using Answer = session::Answer;

  // What is on the screen.
  void show();     // a question put anew
  void refresh();  // the same, where something has changed
  void trouble(std::string sentence);
  void tell(const session::Statement& statement);
  void tell_on_screen(const session::Statement& statement);
  void put(const Question& question, std::vector<std::string> keys);
  void fold(const Question& question, const std::string& answer);
  void unfold();
  void answered(const Question& question, const Answer& answer);
  void keep_alive();
  void farewell();

  // Keys that mean the same at every question.
  enum class Common { none, back, handled };
  Task<Common> common(const Question& question, Key key, std::string help);
  void refuse(const Key& key, std::string_view instead);
  Task<Key> press();
  Task<std::string> typed_line(const Question& question);
  Task<void> pages(std::vector<Line> content);

  Task<Answer> answer_to(const Question& question);
  Task<Answer> confirm(const Question& question);
  Task<Answer> choose(const Question& question);
  Task<Answer> typed(const Question& question);
  Task<Answer> pose(const Question& question);
  Task<bool> held_until_key(const Question& question);
  Task<Answer> go(const Question& question);
  Task<bool> three_beeps();
  Task<Answer> spin(const Question& question);
  Task<Answer> small(const Question& asked);
  Task<Answer> place(const Question& question);

  void show_arms(const craft::Frame& frame);
  void show_craft();  // without keys, and without what was answered
  void show_turn(const craft::Frame& frame, craft::PlaceIndex place);
  void put_go(const Question& question);
  void put_spin(const Question& question);
  void note_place(const Question& question, const session::SpinSeen& seen);
  void forget_pin(const std::string& pin);
  ArmKeys arm_keys(const craft::Frame& frame) const;
  // Absent: back to the arm.
  Task<std::optional<craft::PlaceIndex>> level(ArmKeys::Cap cap);
  Task<std::optional<session::SpinSeen>> turn(const craft::Frame& frame, craft::PlaceIndex place);
  Task<std::optional<session::SpinSeen>> arm_and_turn(const Question& question, Key key);
  Task<std::string> learn_letters();  // what came of it
  void flip_nose();
  void show_countdown(const std::string& who, Duration left, Duration whole);
  void countdown_over(const std::string& how);
  void show_scene();

  Terminal terminal;
  Painter painter;
  TerminalOptions options;
  Screen screen;
  std::vector<std::string> transcript;
  std::vector<std::string> why, lines;  // behind w and l, until the next answer

  Ring letters;
  std::string letters_trouble;
  NoseSide nose = NoseSide::away;
  bool by_strip = false;  // the direction is asked by a strip of paper
  // The arm of the motor that is spun once more to see its direction.
  std::optional<craft::PlaceIndex> arm_said;

  // A round of spins.
  const craft::Frame* round_frame =
      nullptr;  // the craft whose motors are asked about, as soon as one is named
  const craft::Frame* spun_frame = nullptr;
  bool spun_blind = false;
  std::map<std::string, craft::PlaceIndex> place_of_pin;
  Spinning spinning;
  std::string spun;  // "P3": what Space has just been pressed for
  bool scene_shown = false;
  std::optional<Key> early;  // pressed while it spun: it stopped it, and may be the answer

  // Between questions something is waited for.
  bool asking = false;
  std::chrono::steady_clock::time_point waiting_since;
  std::string waiting_for;
  Duration waiting_within{0};  // zero: nobody knows
  boost::asio::steady_timer life;
  std::shared_ptr<char> alive = std::make_shared<char>();
};

}  // namespace armwise::ui
