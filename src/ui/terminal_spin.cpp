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

constexpr Duration between_beeps{300};
// Nobody sees a motor start and answers within this time (common practice, no source: a hand needs some 200
// ms): a key so early stops the motor and says nothing.
constexpr Duration fastest_answer{150};
constexpr Duration one_frame{100};
// On a narrower screen the time that is left stands below the picture.
constexpr int room_beside = 60;

constexpr const char* pair_help =
    "Each arm has two keys that lie like it: the left one for counter-clockwise, the right one for "
    "clockwise, seen "
    "from above. A digit, as on a keypad, says the arm alone. t: tell by a strip of paper. f: the nose "
    "points the "
    "other way. v: teach the keys of your keyboard.";
constexpr const char* arm_help =
    "Press the key at the arm that moved. 5: nothing moved. 0: several moved, or you can't tell. t: tell the "
    "direction by a strip of paper. f: the nose points the other way. v: teach the keys of your keyboard.";
constexpr const char* strip_help =
    "Press the arrow that points, in the picture, the way the paper goes. t: tell the direction by the arrow "
    "keys.";
constexpr const char* turn_help =
    "Look from above. If you only see the far side of the bell: clockwise moves it to the right. t: tell by "
    "a strip "
    "of paper.";

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
Key arrow_for(const craft::Frame& frame, craft::PlaceIndex place, NoseSide nose, craft::Turn turn) {
  for (const Key::Kind kind : {Key::Kind::up, Key::Kind::down, Key::Kind::left, Key::Kind::right}) {
    Key key{kind, {}};
    if (turn_by_strip(frame, place, key, nose) == turn) return key;
  }
  return {};
}

std::string capital(std::string text) {
  if (!text.empty() && text.front() >= 'a' && text.front() <= 'z')
    text.front() = static_cast<char>(text.front() - 'a' + 'A');
  return text;
}

std::string bar(Duration left, Duration whole, const Style& style) {
  constexpr int cells = 10;
  const auto full = static_cast<int>(cells * left.count() / std::max<Duration::rep>(1, whole.count()));
  std::string text;
  for (int i = 0; i < cells; ++i)
    text += i < full ? (style.unicode ? "█" : "#") : (style.unicode ? "░" : ".");
  return text;
}

}  // namespace

ArmKeys TerminalPerson::State::arm_keys(const craft::Frame& frame) const {
  return ArmKeys(frame, nose, letters);
}

void TerminalPerson::State::show_arms(const craft::Frame& frame) {
  screen.aside_columns = 18;
  const ArmKeys keys = arm_keys(frame);
  screen.picture = [this, &frame, keys](const Style& style) {
    const Caps caps = by_strip ? Caps::arms : Caps::shown;
    Picture picture = asking_picture(frame, keys, style, spinning, caps);
    if (!picture.empty() || style.rows > 0) return picture;
    Picture sentences;
    for (const std::string& sentence : ui::in_sentences(frame, keys)) {
      for (Line& line : wrapped_lines(sentence, Ink::plain, style))
        sentences.lines.push_back(std::move(line));
    }
    return sentences;
  };
}

void TerminalPerson::State::show_craft() {
  screen.aside.clear();
  if (round_frame == nullptr) return;
  screen.picture = [frame = round_frame, side = nose](const Style& style) {
    return asking_picture(*frame, ArmKeys(*frame, side), style, {}, Caps::none);
  };
}

void TerminalPerson::State::flip_nose() {
  nose = nose == NoseSide::away ? NoseSide::toward : NoseSide::away;
}

void TerminalPerson::State::forget_pin(const std::string& pin) {
  const auto before = place_of_pin.find(pin);
  if (before == place_of_pin.end()) return;
  spinning.noted.erase(before->second);
  place_of_pin.erase(before);
}

// A round of spins begins anew with another frame, or where the answers are a proof.
void TerminalPerson::State::note_place(const Question& question, const SpinSeen& seen) {
  if (question.frame != spun_frame || question.blind != spun_blind) {
    spinning.noted.clear();
    place_of_pin.clear();
  }
  spun_frame = question.frame;
  spun_blind = question.blind;
  // What was answered before must not lead the witness.
  if (question.blind) return;
  const std::string pin = spun_by(question);
  forget_pin(pin);
  if (seen.what != SpinSeen::What::one) return;
  place_of_pin[pin] = seen.place;
  spinning.noted[seen.place] = {pin, seen.turn};
}

// Space alone spins: whoever presses another key has something else in mind, or their eyes on the keys.
Task<Answer> TerminalPerson::State::go(const Question& question) {
  put_go(question);
  while (true) {
    const Key key = co_await press();
    if (key.is(" ")) {
      const bool undisturbed = co_await three_beeps();
      if (undisturbed) co_return Answer{std::string("spin")};
      put_go(question);
      trouble("Not spun: a key came. Space spins it.");
    } else if (key.is(key::flip) && round_frame != nullptr) {
      flip_nose();
      put_go(question);
    } else {
      const Common what = co_await common(
          question, key, "Look at the craft, then press the space bar. Any key stops the motor.");
      if (what == Common::back) co_return Answer{Back{}};
      if (what == Common::none) refuse(key, "Only Space spins.");
    }
  }
}

void TerminalPerson::State::put_go(const Question& question) {
  spun = spun_by(question);
  if (question.frame != nullptr) round_frame = question.frame;
  spinning.moving.clear();
  screen.aside.clear();
  std::vector<std::string> keys;
  if (round_frame != nullptr) {
    forget_pin(spun);
    show_arms(*round_frame);
    if (question.motor.number == 0) {
      spinning.noted.clear();
      place_of_pin.clear();
    }
    screen.where.clear();
    if (question.seen > 0)
      screen.where = std::to_string(question.seen) + " of " + std::to_string(question.of) + " seen";
    keys.emplace_back(nose == NoseSide::away ? "f nose toward you" : "f nose away from you");
  }
  Question put_so = question;
  // With the craft the other way round every answer would fit, and be wrong by half a turn.
  if (round_frame != nullptr && place_of_pin.empty() && question.seen == 0)
    put_so.text =
        std::string("Nose ") + (nose == NoseSide::away ? "away from" : "toward") + " you. " + put_so.text;
  put_so.text += " Space spins " + (question.motor.number == 0 ? std::string("the next motor") : spun) + ".";
  put(put_so, std::move(keys));
}

// Eyes go to the craft on the first two; the third comes with the spin. Any key says no.
Task<bool> TerminalPerson::State::three_beeps() {
  screen.keys = {"any key: don't"};
  screen.always.clear();
  screen.question = "Eyes on the craft.";
  refresh();
  for (int beep = 0; beep < 2; ++beep) {
    terminal.write("\a");
    const std::optional<Key> key = co_await terminal.key_within(between_beeps);
    if (key) co_return false;
  }
  co_return true;
}

void TerminalPerson::State::put_spin(const Question& question) {
  spinning.moving.clear();
  screen.aside.clear();
  show_arms(*question.frame);
  Question put_so = question;
  if (by_strip)
    put_so.text =
        "Which motor spun? Paper tells its direction next. If it's still spinning, pull the battery.";
  put(put_so, {"Space spin again", "5 none", "0 several", by_strip ? "t no paper" : "t paper"});
}

// After an arm's key: which of the two motors, and which way.
Task<std::optional<SpinSeen>> TerminalPerson::State::arm_and_turn(const Question& question, Key key) {
  const ArmKeys keys = arm_keys(*question.frame);
  if (!by_strip) {
    if (const auto whole = keys.find_whole(key))
      co_return SpinSeen{SpinSeen::What::one, whole->place, whole->turn};
  }
  const auto whole = keys.find_whole(key);
  const ArmKeys::Cap* cap = keys.find(key);
  std::optional<craft::PlaceIndex> place;
  if (whole) place = whole->place;
  if (cap != nullptr) {
    const ArmKeys::Cap chosen = *cap;
    place = co_await level(chosen);
  }
  std::optional<SpinSeen> answer;
  if (place) answer = co_await turn(*question.frame, *place);
  co_return answer;
}

Task<Answer> TerminalPerson::State::spin(const Question& question) {
  if (!letters_trouble.empty()) {
    session::Statement said;
    said.level = session::Level::warn;
    said.text = std::exchange(letters_trouble, {});
    tell(said);
  }
  spinning.moving.clear();
  const std::optional<craft::PlaceIndex> arm = std::exchange(arm_said, std::nullopt);
  if (arm && question.attempt > 1) {
    std::optional<SpinSeen> answer = co_await turn(*question.frame, *arm);
    if (answer) {
      note_place(question, *answer);
      answer->nose_toward = nose == NoseSide::toward;
      co_return *answer;
    }
  }
  std::optional<Key> pressed = std::exchange(early, std::nullopt);
  if (!pressed) put_spin(question);
  while (true) {
    Key key;
    if (pressed) {
      key = *pressed;
    } else {
      key = co_await press();
    }
    const bool was_early = pressed.has_value();
    pressed.reset();
    const ArmKeys keys = arm_keys(*question.frame);
    std::optional<SpinSeen> answer;
    const bool is_arm = keys.find(key) != nullptr || keys.find_whole(key).has_value();
    if (is_arm) {
      answer = co_await arm_and_turn(question, key);
    } else if (!was_early) {
      answer = seen_by(key);
    }
    if (answer) {
      note_place(question, *answer);
      answer->nose_toward = nose == NoseSide::toward;
      co_return *answer;
    }
    if (is_arm || was_early) {
      put_spin(question);
      continue;
    }
    const Common what = co_await common(question, key, keys.has_pairs() ? pair_help : arm_help);
    if (what == Common::back) co_return Answer{Back{}};
    if (what == Common::handled) continue;
    if (key.is(key::strip)) {
      by_strip = !by_strip;
      put_spin(question);
    } else if (key.is(key::flip)) {
      flip_nose();
      put_spin(question);
    } else if (key.is(key::learn)) {
      const std::string word = co_await learn_letters();
      put_spin(question);
      trouble(word);
    } else if (is_arrow(key)) {
      refuse(
          key,
          "First the arm. If that was a key of the numeric keypad, switch NumLock on, or use the letters.");
    } else {
      refuse(key, "Press a key that stands in the picture, 5, 0, t or Space.");
    }
  }
}

Task<std::optional<craft::PlaceIndex>> TerminalPerson::State::level(ArmKeys::Cap cap) {
  if (cap.places.size() == 1) co_return cap.places.front();
  screen.question = "Which of the two on " + cap.arm + "?";
  screen.keys = {"up arrow: upper", "down arrow: lower"};
  screen.always = {"u other arm"};
  show();
  while (true) {
    const Key key = co_await press();
    if (key.kind == Key::Kind::up || key.kind == Key::Kind::down)
      co_return cap.places[key.kind == Key::Kind::up ? 0 : 1];
    if (key.is(key::back)) co_return std::nullopt;
    refuse(key, "Up arrow for the upper motor, down arrow for the lower one.");
  }
}

namespace {

// Where the craft says which way is meant, the arrow that points that way in the picture.
std::string cap_of(const session::Question& question, const session::Choice& choice, NoseSide nose,
                   const Style& style) {
  if (!choice.cap.empty() || question.frame == nullptr || !question.place) return choice.cap;
  const auto turn = turn_by_strip(*question.frame, *question.place, choice.key);
  if (!turn) return choice.cap;
  const Key key = arrow_for(*question.frame, *question.place, nose, *turn);
  if (!style.unicode) return key.in_words();
  return key.kind == Key::Kind::up     ? "↑"
         : key.kind == Key::Kind::down ? "↓"
         : key.kind == Key::Kind::left ? "←"
                                       : "→";
}

// Beside each other, as many as a line takes.
std::vector<Line> small_choices(const session::Question& question, NoseSide nose, const Style& style) {
  std::vector<Line> lines;
  int used = 0;
  for (const session::Choice& choice : question.choices) {
    const std::string cap = " " + cap_of(question, choice, nose, style) + " ";
    const std::string words = " " + printable(choice.words) + "  ";
    const int wanted = 1 + columns_of(cap) + columns_of(words);
    if (lines.empty() || used + wanted > std::min(style.columns, widest_text)) {
      lines.emplace_back();
      used = 0;
    }
    lines.back().push_back({" ", Ink::plain});
    lines.back().push_back({cap, Ink::keycap});
    lines.back().push_back({words, Ink::plain});
    used += wanted;
  }
  return lines;
}

}  // namespace

// One line where the spin was asked about, and keys that lie like the craft.
Task<Answer> TerminalPerson::State::small(const Question& asked) {
  Question question = asked;
  if (question.kind == Question::Kind::confirm) question.choices = {{"yes", "yes", "y"}, {"no", "no", "n"}};
  screen.choices = small_choices(question, nose, terminal.style());
  put(question, {});
  while (true) {
    const Key key = co_await press();
    std::optional<craft::Turn> turn;
    if (question.place) turn = turn_by_strip(*question.frame, *question.place, key, nose);
    for (std::size_t i = 0; i < question.choices.size(); ++i) {
      const session::Choice& choice = question.choices[i];
      const bool points = turn && craft::turn_by_strip(*question.frame, *question.place, choice.key) == turn;
      if (points || (!choice.cap.empty() && key.is(choice.cap)) || key == Key::of(std::to_string(i + 1)))
        co_return Answer{choice.key};
    }
    const Common what = co_await common(
        question, key,
        "A second word about the spin you just saw. If you're not sure, say so: it costs nothing.");
    if (what == Common::back) co_return Answer{Back{}};
    if (what == Common::none) refuse(key, "Press one of the keys above.");
  }
}

void TerminalPerson::State::show_turn(const craft::Frame& frame, craft::PlaceIndex place) {
  screen.choices.clear();
  screen.busy.clear();
  screen.aside.clear();
  screen.keys = {"Space spin again", by_strip ? "t no paper" : "t paper"};
  screen.always = {"u other arm", "? help"};
  if (!by_strip) {
    screen.question = "Which way did " + frame.places.at(place).name + " turn, seen from above?";
    screen.picture = [this](const Style& style) { return turn_picture(style, spinning.step); };
    show();
    return;
  }
  const craft::StripTest test = strip_test(frame, place);
  screen.question = "Hold a strip of paper to " + frame.places.at(place).name + ", " + test.hold +
                    ". Space spins it again. Which way is the strip flicked?";
  const auto way = [&](const std::string& toward, craft::Turn turn) {
    screen.choices.push_back({{"  " + capital(arrow_for(frame, place, nose, turn).in_words()) + ": toward " +
                                   (toward == "nose" || toward == "tail" ? "the " + toward : toward),
                               Ink::plain}});
  };
  way(test.cw_toward, craft::Turn::cw);
  way(test.ccw_toward, craft::Turn::ccw);
  show();
}

Task<std::optional<SpinSeen>> TerminalPerson::State::turn(const craft::Frame& frame,
                                                          craft::PlaceIndex place) {
  show_turn(frame, place);
  std::optional<SpinSeen> answer;
  while (true) {
    const Key key = co_await press();
    const auto turn = by_strip ? turn_by_strip(frame, place, key, nose) : turn_of(key);
    if (turn) answer = SpinSeen{SpinSeen::What::one, place, *turn};
    if (key.is(key::again)) {
      arm_said = place;
      answer = seen_as(SpinSeen::What::again);
    }
    if (answer || key.is(key::back)) break;
    if (key.is(key::strip)) {
      by_strip = !by_strip;
      show_turn(frame, place);
    } else if (key.is(key::help)) {
      trouble(by_strip ? strip_help : turn_help);
    } else {
      refuse(key, by_strip ? "Press the arrow that points, in the picture, the way the paper went."
                           : "Press the left arrow for counter-clockwise or the right arrow for clockwise.");
    }
  }
  screen.choices.clear();
  co_return answer;
}

Task<std::string> TerminalPerson::State::learn_letters() {
  Ring learned;
  static constexpr std::array<const char*, 8> where{"top left",     "top",    "top right",   "right",
                                                    "bottom right", "bottom", "bottom left", "left"};
  screen.keys.clear();
  screen.always.clear();
  for (std::size_t i = 0; i < learned.size();) {
    screen.question = std::string("Press the key at the ") + where[i] + " of eight that lie around one (" +
                      std::to_string(i + 1) + " of 8).";
    show();
    const Key key = co_await press();
    if (key.kind != Key::Kind::text) {
      refuse(key, "Press a letter key.");
      continue;
    }
    learned[i++] = lower_case(key.text);
  }
  const std::string unfit = why_not_letters(learned);
  std::string word = "Learned for this sitting.";
  if (!unfit.empty()) {
    word = "These can't be used: " + unfit + ". The letters stay as they were.";
  } else {
    letters = learned;
    if (!options.keys_file.empty()) {
      try {
        save_letters(options.keys_file, letters);
        word = "Learned, and saved in " + printable(options.keys_file.string()) + ".";
      } catch (const Fault& fault) {
        word = "Learned for this sitting only. " + fault.sentence();
      }
    }
  }
  co_return word;
}

Task<bool> TerminalPerson::interrupted(craft::Motor motor, Duration within) {
  State& state = *state_;
  Terminal& terminal = state.terminal;
  const NoSignals ctrl_c_is_a_key(terminal.descriptor());
  std::string who = state.spun;
  if (motor.number == 0) who = "A motor";
  if (who.empty()) who = "Motor " + std::to_string(motor.number);
  const auto now = [] { return std::chrono::steady_clock::now(); };
  const auto start = now(), end = start + within;
  state.early.reset();
  state.asking = true;
  terminal.write("\a");
  // One pressed in fright as the motor started must count: it stops it. An answer it is not.
  std::optional<Key> key = co_await terminal.key_within(Duration{0});
  state.screen.error.clear();
  state.screen.keys = {"any key stops it"};
  state.screen.always.clear();
  state.screen.question = state.round_frame != nullptr ? "Which arm, which way? Its key stops the motor too."
                                                       : "Eyes on the craft.";
  while (!key) {
    const auto left = std::chrono::duration_cast<Duration>(end - now());
    if (left.count() <= 0) break;
    state.show_countdown(who, left, within);
    key = co_await terminal.key_within(std::min(left, one_frame));
    if (key && now() - start >= fastest_answer) state.early = key;
  }
  state.asking = false;
  state.waiting_since = now();
  state.waiting_for.clear();
  // Whether it stops, the console's answer says, and the person sees.
  state.countdown_over(who + (key ? ": a key, told to stop." : ": time's up, told to stop."));
  co_return key.has_value();
}

void TerminalPerson::State::show_countdown(const std::string& who, Duration left, Duration whole) {
  const std::string words = seconds_in_words(left);
  if (!painter.is_live()) {
    terminal.overwrite(" " + who + " spins, " + words + " left. Any key stops it.");
    show_scene();
    return;
  }
  ++spinning.step;
  if (options.onlooker) {
    const std::optional<Scene> scene = options.onlooker();
    // Where no arm is asked about, nothing is drawn yet.
    if (scene && scene->frame != nullptr && !screen.picture) {
      spun_frame = scene->frame;
      screen.picture = [this, frame = spun_frame, side = nose](const Style& style) {
        return asking_picture(*frame, ArmKeys(*frame, side), style, spinning, Caps::none);
      };
    }
    if (scene && scene->frame == spun_frame) spinning.moving = scene->moving;
  }
  const std::string how_long = bar(left, whole, terminal.style()) + " " + words;
  if (terminal.style().columns >= room_beside) {
    screen.aside = {{{who + " spins", Ink::strong}}, {{how_long, Ink::plain}}};
  } else {
    screen.busy = who + " spins " + how_long;
  }
  refresh();
}

// On paper, once a spin.
void TerminalPerson::State::show_scene() {
  if (scene_shown || !options.onlooker) return;
  const std::optional<Scene> scene = options.onlooker();
  if (!scene || scene->frame == nullptr) return;
  scene_shown = true;
  terminal.finish_line();
  terminal.write(" What you see at the bench:\n");
  for (const std::string& sentence : in_sentences(*scene->frame, scene->moving))
    terminal.write(" " + sentence + "\n");
}

void TerminalPerson::State::countdown_over(const std::string& how) {
  if (!painter.is_live()) {
    show_scene();
    scene_shown = false;
    terminal.overwrite(" " + how);
    terminal.finish_line();
    return;
  }
  spinning.moving.clear();
  screen.aside = {{{how, Ink::plain}}};
  screen.busy.clear();
  screen.question.clear();
  screen.keys.clear();
  refresh();
}

}  // namespace armwise::ui
