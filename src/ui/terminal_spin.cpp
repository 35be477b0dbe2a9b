// The terminal's questions about a spin: which arm, upper or lower, which way.
#include <algorithm>
#include <chrono>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/ui/reading.hpp"
#include "armwise/ui/strip.hpp"
#include "pause.hpp"
#include "statements.hpp"
#include "terminal_state.hpp"

namespace armwise::ui {

using session::Answer;
using session::Back;
using session::SpinSeen;

namespace {

constexpr const char* arm_help =
    "Press the key that stands in the picture at the arm that moved; the keys lie as the arms do. 5: nothing "
    "moved. 0: several moved, or you can't tell. p: spin it once more. t: say the turn by a strip of paper. "
    "k: "
    "teach the eight letters of your keyboard. u: back.";
constexpr const char* strip_help =
    "Press the arrow that points, in the picture, the way the paper goes. p: spin it once more. t: say the "
    "direction by the arrow keys. u: another arm.";
constexpr const char* turn_help =
    "Look from above. If the near side of the bell hides, think of the far side: clockwise moves it to the "
    "right, counter-clockwise to the left. p: spin it once more. t: another way to tell, by a strip of "
    "paper.";

SpinSeen seen_as(SpinSeen::What what) {
  SpinSeen answer;
  answer.what = what;
  return answer;
}

// What a key says without an arm.
std::optional<SpinSeen> seen_by(const Key& key) {
  if (key.is(key::nothing_moved) || key.kind == Key::Kind::middle) return seen_as(SpinSeen::What::none);
  if (key.is(key::several) || key.kind == Key::Kind::insert) return seen_as(SpinSeen::What::several);
  if (key.is(key::again)) return seen_as(SpinSeen::What::again);
  return std::nullopt;
}

bool is_arrow(const Key& key) {
  return key.kind == Key::Kind::left || key.kind == Key::Kind::right || key.kind == Key::Kind::up ||
         key.kind == Key::Kind::down;
}

// Which arrow points, in the picture, the way the strip goes for one of the two turns.
std::string arrow_for(const craft::Frame& frame, craft::PlaceIndex place, NoseSide nose, craft::Turn turn) {
  for (const Key::Kind kind : {Key::Kind::up, Key::Kind::down, Key::Kind::left, Key::Kind::right}) {
    const Key key{kind, {}};
    if (turn_by_strip(frame, place, key, nose) == turn) return key.in_words();
  }
  return {};
}

std::string capital(std::string text) {
  if (!text.empty() && text.front() >= 'a' && text.front() <= 'z')
    text.front() = static_cast<char>(text.front() - 'a' + 'A');
  return text;
}

}  // namespace

Task<bool> TerminalPerson::State::ask_nose(const Question& question) {
  Question nose_question;
  nose_question.id = "nose";
  nose_question.text = "Does the nose of the craft, as it lies before you, point away from you?";
  nose_question.may_go_back = question.may_go_back;
  const Answer answer = co_await confirm(nose_question);
  if (std::holds_alternative<Back>(answer)) co_return false;
  nose = std::get<std::string>(answer) == "yes" ? NoseSide::away : NoseSide::toward;
  terminal.line(*nose == NoseSide::away
                    ? "Then the nose is up in the pictures, and the keys lie accordingly. Leave it so."
                    : "Then the nose is down in the pictures, and the keys are turned alike. Leave it so.");
  co_return true;
}

void TerminalPerson::State::show_spin(const Question& question, const ArmKeys& keys) {
  put(question);
  terminal.line("Motor " + std::to_string(question.motor.number) + ", spin " +
                std::to_string(question.attempt) + ". Press the key at the arm that moved:");
  show_arms(*question.frame, keys);
  terminal.line("5: nothing moved; 0: several, or can't tell; p: spin it once more; t: tell by paper.");
}

Answer TerminalPerson::State::noted(const Question& question, const SpinSeen& seen) {
  echo("Noted:", in_words(question, seen) + ".");
  return seen;
}

Task<Answer> TerminalPerson::State::spin(const Question& question) {
  if (!letters_trouble.empty()) terminal.line(letters_trouble);
  letters_trouble.clear();
  const std::optional<craft::PlaceIndex> arm = std::exchange(arm_said, std::nullopt);
  if (arm && question.attempt > 1) {
    put(question);
    const std::optional<SpinSeen> answer = co_await turn(*question.frame, *arm);
    if (answer) co_return noted(question, *answer);
  }
  ArmKeys keys(*question.frame, nose.value_or(NoseSide::away), letters);
  show_spin(question, keys);
  const std::string prompt =
      std::string("Which arm?") + (question.may_go_back ? "   u: back" : "") + "   ?: help  >";
  while (true) {
    const Key key = co_await press(prompt);
    std::optional<SpinSeen> answer;
    if (const ArmKeys::Cap* cap = keys.find(key)) {
      echo("Which arm?", cap->arm);
      const ArmKeys::Cap chosen = *cap;
      const std::optional<craft::PlaceIndex> place = co_await level(*question.frame, chosen);
      if (place) answer = co_await turn(*question.frame, *place);
      if (!answer) continue;
    } else {
      answer = seen_by(key);
    }
    if (answer) co_return noted(question, *answer);
    const Common what = common(question, key, arm_help);
    if (what == Common::back) co_return Answer{Back{}};
    if (what == Common::handled) continue;
    if (key.is(key::strip)) {
      by_strip = !by_strip;
      terminal.finish_line();
      terminal.line(by_strip ? "The turn is asked by a strip of paper from now on. First the arm."
                             : "The turn is asked by the arrow keys from now on. First the arm.");
    } else if (key.is(key::learn)) {
      terminal.finish_line();
      co_await learn_letters();
      keys = ArmKeys(*question.frame, nose.value_or(NoseSide::away), letters);
      show_spin(question, keys);
    } else if (is_arrow(key)) {
      refuse(key,
             "The arrows say which way it turned; first the arm. If you pressed a key of the numeric "
             "keypad, switch NumLock on, or use the letters.");
    } else {
      refuse(key, "Press a key that stands in the picture, 5, 0, p or t.");
    }
  }
}

Task<std::optional<craft::PlaceIndex>> TerminalPerson::State::level(const craft::Frame& frame,
                                                                    ArmKeys::Cap cap) {
  if (cap.places.size() == 1) co_return cap.places.front();
  const std::string prompt = "Which of the two?   up arrow: upper   down arrow: lower   u: other arm  >";
  while (true) {
    const Key key = co_await press(prompt);
    if (key.kind == Key::Kind::up || key.kind == Key::Kind::down) {
      const craft::PlaceIndex place = cap.places[key.kind == Key::Kind::up ? 0 : 1];
      echo("Which of the two?", frame.places[place].name);
      co_return place;
    }
    if (key.is(key::back)) {
      echo("Which of the two?", "back to the arm");
      co_return std::nullopt;
    }
    refuse(key,
           "Two motors sit on " + cap.arm + ": up arrow for the upper one, down arrow for the lower one.");
  }
}

void TerminalPerson::State::show_turn(const craft::Frame& frame, craft::PlaceIndex place) {
  if (!by_strip) {
    terminal.write(joined_lines(rendered(turn_picture(terminal.style()), terminal.style())));
    return;
  }
  const StripTest test = strip_test(frame, place);
  const NoseSide side = nose.value_or(NoseSide::away);
  const auto way = [&](const std::string& toward, craft::Turn turn) {
    terminal.line("  " + capital(arrow_for(frame, place, side, turn)) + ": toward " +
                  (toward == "nose" || toward == "tail" ? "the " + toward : toward));
  };
  terminal.line("Hold a strip of paper to " + frame.places.at(place).name + ", " + test.hold +
                ", and press p to spin it once more. Which way is the strip flicked?");
  way(test.cw_toward, craft::Turn::cw);
  way(test.ccw_toward, craft::Turn::ccw);
}

Task<std::optional<SpinSeen>> TerminalPerson::State::turn(const craft::Frame& frame,
                                                          craft::PlaceIndex place) {
  show_turn(frame, place);
  const NoseSide side = nose.value_or(NoseSide::away);
  while (true) {
    const std::string question = by_strip ? "Which way does the strip go?" : "Which way did it turn?";
    const Key key = co_await press(question + "   p: spin once more   u: other arm   ?: help  >");
    const auto turn = by_strip ? turn_by_strip(frame, place, key, side) : turn_of(key);
    if (turn) co_return SpinSeen{SpinSeen::What::one, place, *turn};
    if (key.is(key::again)) {
      arm_said = place;
      co_return seen_as(SpinSeen::What::again);
    }
    if (key.is(key::back)) {
      echo(question, "back to the arm");
      co_return std::nullopt;
    }
    if (key.is(key::strip)) {
      by_strip = !by_strip;
      terminal.finish_line();
      show_turn(frame, place);
    } else if (key.is(key::help)) {
      terminal.finish_line();
      terminal.line(by_strip ? strip_help : turn_help);
    } else {
      refuse(key, by_strip ? "Press the arrow that points, in the picture, the way the paper went."
                           : "Press the left arrow for counter-clockwise or the right arrow for clockwise.");
    }
  }
}

Task<void> TerminalPerson::State::learn_letters() {
  terminal.line(
      "Press eight keys that lie around one, clockwise from the top left: top left, top, top right, "
      "right, bottom right, bottom, bottom left, left.");
  Ring learned;
  for (std::size_t i = 0; i < learned.size();) {
    const Key key = co_await press(std::to_string(i + 1) + " of 8:");
    if (key.kind != Key::Kind::text) {
      refuse(key, "Press a key that writes a letter.");
      continue;
    }
    learned[i] = lower_case(key.text);
    echo(std::to_string(i + 1) + " of 8:", learned[i]);
    ++i;
  }
  const std::string why = why_not_letters(learned);
  if (!why.empty()) {
    terminal.line("These cannot be used: " + why + ". The letters stay as they were.", Ink::strong);
    co_return;
  }
  letters = learned;
  if (options.keys_file.empty()) co_return;
  try {
    save_letters(options.keys_file, letters);
    terminal.line("Learned, and kept in " + printable(options.keys_file.string()) + ".");
  } catch (const Fault& fault) {
    terminal.line("Learned for this sitting only. " + fault.sentence(), Ink::strong);
  }
}

void TerminalPerson::State::show_scene(std::string_view countdown) {
  if (!scene_wanted || !options.onlooker) return;
  const std::optional<Scene> scene = options.onlooker();
  if (!scene || scene->frame == nullptr) return;
  scene_wanted = false;
  const Style& style = terminal.style();
  terminal.overwrite("What you see at the bench:");
  terminal.finish_line();
  const Picture picture = moving_picture(*scene->frame, scene->moving, nose.value_or(NoseSide::away), style);
  terminal.write(joined_lines(rendered(picture, style)));
  for (const std::string& sentence : in_sentences(*scene->frame, scene->moving)) terminal.line(sentence);
  terminal.overwrite(countdown);
}

namespace {

// Hidden while numbers run; without escape codes it stays where it is.
class HiddenCursor {
 public:
  explicit HiddenCursor(Terminal& terminal)
      : terminal_(terminal), hidden_(terminal.style().colour != ColourDepth::none) {
    if (hidden_) terminal_.write(hide_cursor());
  }
  ~HiddenCursor() {
    if (hidden_) terminal_.write(show_cursor());
  }
  HiddenCursor(const HiddenCursor&) = delete;
  HiddenCursor& operator=(const HiddenCursor&) = delete;

 private:
  Terminal& terminal_;
  bool hidden_;
};

}  // namespace

Task<bool> TerminalPerson::interrupted(craft::Motor motor, Duration within) {
  Terminal& terminal = state_->terminal;
  const NoSignals ctrl_c_is_a_key(terminal.descriptor());
  const FreshLine fresh_line(terminal);
  const HiddenCursor hidden(terminal);
  const std::string who = "Motor " + std::to_string(motor.number);
  const auto end = std::chrono::steady_clock::now() + within;
  state_->scene_wanted = true;
  bool pressed = false;
  // Keys are not thrown away at the start: one pressed in fright as the motor started must count.
  while (!pressed) {
    const auto left = std::chrono::duration_cast<Duration>(end - std::chrono::steady_clock::now());
    if (left.count() <= 0) break;
    const std::string countdown = who + " turns, " + seconds_in_words(left) + " left. Any key stops it.";
    terminal.overwrite(countdown);
    state_->show_scene(countdown);
    const std::optional<Key> key = co_await terminal.key_within(std::min(left, tick));
    pressed = key.has_value();
  }
  state_->show_scene(who);
  // Whether it stops, the console's answer says, and the person sees.
  terminal.overwrite(who + (pressed ? ": a key, told to stop." : ": time's up, told to stop."));
  terminal.finish_line();
  co_return pressed;
}

}  // namespace armwise::ui
