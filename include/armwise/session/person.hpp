// The person, as the flows see them: questions with stable ids, and statements. One of the three
// interfaces to the world. The front ends in ui implement it: terminal, plain, machine, answers from a
// file, and the practice craft's own onlooker.
#pragma once

#include <functional>
#include <map>
#include <optional>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "armwise/base/duration.hpp"
#include "armwise/base/fault.hpp"
#include "armwise/base/task_fwd.hpp"
#include "armwise/craft/frame.hpp"
#include "armwise/session/statements.hpp"
#include "armwise/solve/identify.hpp"
#include "armwise/solve/plan.hpp"

namespace armwise::session {

// A part of a text that is shown: bytes [begin, end) of one of its lines.
struct PlaceInText {
  std::size_t line = 0, begin = 0, end = 0;
  bool operator==(const PlaceInText&) const = default;
};

// One thing a person may choose: what is typed or sent back, and what it means.
struct Choice {
  std::string key;       // "quad-x", "yes"
  std::string words;     // "four arms, nose between the front two"
  std::string cap = {};  // a key of its own on a keyboard, as "c"; empty: by its place in the list
  std::optional<PlaceInText> where = {};  // in `Question::shown`
};

// A question. `kind` decides how it is put; the fields that a kind does not use are empty.
struct Question {
  enum class Kind {
    confirm,     // yes or no
    choose,      // one of `choices`
    typed_word,  // the person must type `word` exactly: for props-off
    text,        // a line of text, `suggestion` where Enter alone may not choose; `word` leaves it out
    go,          // "spin" turns this motor now, and nothing else does; motor, pin
    spin,        // which place moved and which way; frame, motor, pin
    pose,        // hold the craft so, then say ready
  };
  std::string id;     // stable: "frame", "props-off", "spin", …
  std::string label;  // "check": how the answer is called in one line; empty: by the id
  Kind kind = Kind::confirm;
  std::string text;
  std::vector<Choice> choices;
  // What a console said, to be pointed at: the choices with a place stand in it.
  std::vector<std::string> shown;
  std::string word;
  std::string suggestion;
  bool is_command = false;  // text: what is typed is sent to the console
  // The answer that Enter gives, as it would be typed; only where a wrong one costs nothing, and never to
  // what writes, saves or turns.
  std::string marked;
  // May settings be written or saved? Then --yes answers it.
  bool about_settings = false;
  // What is done once it is answered and takes its time: "Measuring. Hold still."
  std::string then;
  Level level = Level::info;

  // go, spin
  const craft::Frame* frame = nullptr;
  craft::Motor motor;
  craft::Pin pin;
  int attempt = 1;
  bool blind = false;  // proof: the person is not told what is expected, nor which motor it is
  // How many motors of this round have been seen, out of how many.
  int seen = 0, of = 0;
  // A second word about the spin that was just seen: one line, put where that was asked.
  bool small = false;
  // strip, hand: where that is held; edge: where it was just said to be
  std::optional<craft::PlaceIndex> place;
  // plan: the changes and the very lines
  const solve::Plan* plan = nullptr;
  // pose
  std::string pose;  // "nose-down"
  // Looks once how the craft is held, while the question is open: whoever has both hands full presses no key
  // then. `taken`: the answer is "ready". Empty where only the person can tell.
  struct Look {
    std::string words;  // "Hold still."
    bool taken = false;
  };
  std::function<Task<Look>()> look;
  // teach: what an example command is to be about, blank -> value as the console writes it
  std::map<std::string, std::string> values;

  bool may_go_back = true;
  bool leaves_a_line = true;  // among the answered questions of a screen
};

struct SpinSeen {
  enum class What { one, none, several, again };
  What what = What::one;
  craft::PlaceIndex place = 0;
  craft::Turn turn = craft::Turn::cw;
  bool nose_toward = false;  // where the person's pictures have the nose toward them
  bool operator==(const SpinSeen&) const = default;
};

struct Back {
  bool operator==(const Back&) const = default;
};

// confirm: "yes" or "no"; choose: the key; typed_word and text: what was typed; pose: "ready";
// go: "spin".
// Stop (also Ctrl-C, end of input) is thrown as StoppedByPerson, never returned.
using Answer = std::variant<std::string, SpinSeen, Back>;

// "front-left cw", "none", "several", "again".
std::string text(const craft::Frame& frame, const SpinSeen& seen);
// The same, "back" or what was typed: as --answers takes it. A question about a spin names its frame.
std::string text(const Question& question, const Answer& answer);

// A craft as a picture and in sentences: who sits where and turns which way.
struct CraftView {
  const craft::Frame* frame = nullptr;
  std::string title;  // "as it is now", "as it will be"
  struct At {
    craft::Motor motor;  // 0: unknown
    craft::Pin pin;
    std::optional<craft::Turn> turn;
    std::optional<craft::Turn> wanted;
  };
  std::map<craft::PlaceIndex, At> at;
  std::string verdict;  // in one line, whether it would fly so; empty: not weighed
  bool flies = false;
};

// One thing that was checked, or was not.
struct Mark {
  bool good = false;
  std::string words;
};

// What is told, not asked. `id`, `level` and `text` are those of the table of statements, `facts` what fills
// its blanks, and what else a machine may want to know.
struct Statement {
  enum class Kind {
    say,
    found,
    plan,
    wrote,
    progress,
    done,
    phase,  // from here on the session is in phases[step - 1]; `text` is what the session is about
    why,    // what a screen keeps behind a key, and lines say at once
  };
  Kind kind = Kind::say;
  Level level = Level::info;
  std::string id;  // "stop-lost"
  std::string text;
  std::vector<CraftView> views;            // found, plan: before and after
  const solve::Plan* plan = nullptr;       // plan
  std::vector<std::string> console_lines;  // plan: the very lines to be sent; wrote: what was sent
  int step = 0, of = 0;                    // progress, wrote, phase
  Duration within{0};                      // what it announces takes up to so long; zero: it has happened
  std::vector<std::string> phases;         // phase: all of them in order
  std::vector<Mark> marks;                 // done: what was checked, and what was not
  std::vector<std::string> next;           // done: what to type next, a command and what it is for
  Facts facts;                             // "why" -> "no answer came"
};

Statement statement_of(StatementId id, Facts facts = {}, Statement::Kind kind = Statement::Kind::say);
// By its own id where it has one, else "fault".
Statement statement_of(const Fault& fault);

class Person {
 public:
  virtual ~Person() = default;

  // Throws StoppedByPerson, and Fault(usage) naming the id where nothing can answer.
  virtual Task<Answer> ask(const Question& question) = 0;
  virtual void tell(const Statement& statement) = 0;

  // While a motor turns: true as soon as any key is pressed, false after `within`. `motor` is for the
  // countdown. Throws StoppedByPerson on Ctrl-C or end of input.
  virtual Task<bool> interrupted(craft::Motor motor, Duration within) = 0;

  void tell(StatementId id, Facts facts = {}) { tell(statement_of(id, std::move(facts))); }
  // Of what takes its time from here on.
  void tell_wait(StatementId id, Duration within, Facts facts = {}) {
    Statement statement = statement_of(id, std::move(facts));
    statement.within = within;
    tell(statement);
  }
};

}  // namespace armwise::session
