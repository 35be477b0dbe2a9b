#include "armwise/ui/terminal_person.hpp"

#include <gtest/gtest.h>

#include <array>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <map>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "driving.hpp"

namespace armwise::ui::terminal_person_test {
namespace {

using craft::Turn;
using session::Answer;
using session::Back;
using session::Question;
using session::SpinSeen;
using testing::confirm_question;
using testing::spin_question;
using testing::Typist;
using testing::word_question;

constexpr const char* right_arrow = "\x1B[C";
constexpr const char* left_arrow = "\x1B[D";
constexpr const char* down_arrow = "\x1B[B";

bool same_modes(const termios& a, const termios& b) {
  return a.c_iflag == b.c_iflag && a.c_oflag == b.c_oflag && a.c_cflag == b.c_cflag &&
         a.c_lflag == b.c_lflag && std::memcmp(a.c_cc, b.c_cc, sizeof a.c_cc) == 0;
}

// Where learned letters are kept during one test.
struct KeysFile {
  KeysFile() : path(::testing::TempDir() + "armwise-keys-" + std::to_string(::getpid()) + ".json") {
    remove();
  }
  ~KeysFile() { remove(); }
  void remove() const {
    std::error_code ignored;
    std::filesystem::remove(path, ignored);
  }
  std::string path;
};

class TerminalTest : public ::testing::Test {
 protected:
  explicit TerminalTest() : typist(loop), before(typist.modes()) {}

  void open(TerminalOptions options = {}) {
    person = std::make_unique<TerminalPerson>(loop.get_executor(), typist.terminal(), std::move(options));
  }

  // Asks, while `types` sees and types.
  Answer ask(const Question& question, std::function<Task<void>()> types) {
    std::optional<Answer> answer;
    const auto flow = [&]() -> Task<void> { answer = co_await person->ask(question); };
    std::vector<Task<void>> tasks;
    tasks.push_back(flow());
    tasks.push_back(types());
    testing::run(loop, std::move(tasks));
    return answer.value();
  }

  boost::asio::io_context loop;
  Typist typist;
  termios before;
  std::unique_ptr<TerminalPerson> person;
};

TEST_F(TerminalTest, TakesOneKeyAndPutsTheModesBack) {
  open();
  EXPECT_FALSE(same_modes(before, typist.modes()));
  const Answer answer = ask(confirm_question(), [&]() -> Task<void> {
    co_await typist.see("y yes");
    typist.type("y");
  });
  EXPECT_EQ(answer, Answer{std::string("yes")});
  person.reset();
  EXPECT_TRUE(same_modes(before, typist.modes()));
}

TEST_F(TerminalTest, IgnoresKeysTypedBeforeTheQuestion) {
  open();
  typist.type("yyyy");
  const Answer answer = ask(confirm_question(), [&]() -> Task<void> {
    co_await typist.see("y yes");
    typist.type("n");
  });
  EXPECT_EQ(answer, Answer{std::string("no")});
}

TEST_F(TerminalTest, SaysThatAKeyIsWrongAndThatEnterChoosesNothing) {
  open();
  const Answer answer = ask(confirm_question(), [&]() -> Task<void> {
    co_await typist.see("y yes");
    typist.type("x");
    co_await typist.see("Not here: \"x\". Press y or n.");
    typist.type("\r");
    co_await typist.see("Enter chooses nothing here.");
    typist.type("?");
    co_await typist.see("Ctrl-C ends it.");  // in no phase: nothing turns
    typist.type("u");
  });
  EXPECT_EQ(answer, Answer{Back{}});
}

Question place_question(const std::vector<std::string>& places) {
  Question question;
  question.id = "numbering";
  question.kind = Question::Kind::choose;
  question.text = "Where does this controller's diagram put motor 2?";
  question.frame = craft::frame_named("quad-x");
  question.motor = craft::Motor{2};
  for (const std::string& place : places) question.choices.push_back({place, place});
  return question;
}

// Keys that lie like the arms, with the nose up as in a diagram, whatever was said of the craft on the bench.
TEST_F(TerminalTest, AsksForAPlaceWithThePictureOfTheArms) {
  open();
  const Answer answer = ask(place_question({"rear-right", "front-right", "rear-left"}), [&]() -> Task<void> {
    co_await typist.see("put motor 2?");
    typist.type("w");
    co_await typist.see("Another motor sits on front-left already.");
    typist.type("x");
    co_await typist.see("Press a key that stands in the picture.");
    typist.type("3");
  });
  EXPECT_EQ(answer, Answer{std::string("rear-right")});
}

TEST_F(TerminalTest, APlaceMayBePassedOverOrGoneBackFrom) {
  open();
  Question question = place_question({"front-left", "rear-right", "front-right", "rear-left"});
  question.choices.push_back({"skip", "ask when it is needed"});
  const Answer passed = ask(question, [&]() -> Task<void> {
    co_await typist.see("0 ask when it is needed");
    typist.type("0");
  });
  EXPECT_EQ(passed, Answer{std::string("skip")});
  const Answer back = ask(question, [&]() -> Task<void> {
    co_await typist.see("put motor 2?");
    typist.type("u");
  });
  EXPECT_EQ(back, Answer{Back{}});
}

TEST_F(TerminalTest, HasNoWayBackWhereThereIsNone) {
  open();
  Question question = confirm_question();
  question.may_go_back = false;
  const Answer answer = ask(question, [&]() -> Task<void> {
    co_await typist.see("y yes");
    typist.type("u");
    co_await typist.see("to go back to");
    typist.type("y");
  });
  EXPECT_EQ(answer, Answer{std::string("yes")});
}

// Both hands are full: no key is pressed.
TEST_F(TerminalTest, TakesAPoseOnceItIsHeldStill) {
  open();
  Question pose = confirm_question();
  pose.kind = Question::Kind::pose;
  pose.pose = "nose-down";
  int looks = 0;
  pose.look = [&]() -> Task<Question::Look> {
    const bool still = ++looks == 3;
    co_return Question::Look{still ? "Got it." : "Moving.", still};
  };
  const Answer answer = ask(pose, [&]() -> Task<void> { co_await typist.see("Got it."); });
  EXPECT_EQ(answer, Answer{std::string("ready")});
  EXPECT_EQ(looks, 3);
  EXPECT_NE(typist.screen().find('\a'), std::string::npos) << "who looks at the craft hears it";
}

TEST_F(TerminalTest, TakesAPoseAtAKeyWhereItIsNeverHeldStill) {
  open();
  Question pose = confirm_question();
  pose.kind = Question::Kind::pose;
  const boost::asio::any_io_executor executor = loop.get_executor();
  pose.look = [executor]() -> Task<Question::Look> {
    boost::asio::steady_timer wait(executor, std::chrono::milliseconds(20));
    co_await wait.async_wait(boost::asio::use_awaitable);
    co_return Question::Look{"Moving.", false};
  };
  const Answer answer = ask(pose, [&]() -> Task<void> {
    co_await typist.see("Space take it now");
    typist.type(" ");
  });
  EXPECT_EQ(answer, Answer{std::string("ready")});
}

// Every key that a keyboard has, but for those that leave: Ctrl-C, Ctrl-D, u and ?.
TEST_F(TerminalTest, SpinsByTheSpaceBarAlone) {
  std::vector<std::string> keys{"\r",      "\n",      "\t",      "\x7F",      "\b",       "\x15",
                                "\x1A",    "\x1B",    "\x1B[A",  "\x1B[B",    "\x1B[C",   "\x1B[D",
                                "\x1B[H",  "\x1B[F",  "\x1B[E",  "\x1B[2~",   "\x1BOM",   "\x1BOA",
                                "\x1B[5~", "\x1B[6~", "\x1B[3~", "\x1B[1;5C", "\xC2\xA0", "\x1BOP"};
  for (char character = '!'; character <= '~'; ++character) {
    if (character != '?' && character != 'u' && character != 'U') keys.emplace_back(1, character);
  }
  open();
  const Answer answer = ask(testing::go_question(), [&]() -> Task<void> {
    co_await typist.see("Eyes on the craft. Space spins P4.");
    co_await typist.see("? help");
    for (const std::string& key : keys) {
      typist.type(key);
      co_await typist.see("Only Space spins.");
    }
    typist.type("?");
    co_await typist.see("then press the space bar");
    typist.type(" ");
  });
  EXPECT_EQ(answer, Answer{std::string("spin")});
  const Answer back = ask(testing::go_question(), [&]() -> Task<void> {
    co_await typist.see("Space spin");
    typist.type("u");
  });
  EXPECT_EQ(back, Answer{Back{}});
}

// One line, on the screen of the spin that it is about; the arrows point as the craft lies.
TEST_F(TerminalTest, TakesASecondWordAboutASpinByAKeyThatLiesLikeTheCraft) {
  open();
  const craft::Frame& quad = *craft::frame_named("quad-x");
  Question edge;
  edge.id = "edge";
  edge.kind = Question::Kind::choose;
  edge.text = "Which way did it move?";
  edge.frame = &quad;
  edge.place = quad.find("front-left");
  edge.choices = {{"nose", "toward the nose"}, {"tail", "toward the tail"}, {"unsure", "can't tell", "0"}};
  edge.small = edge.blind = true;
  const auto answered_by = [&](const std::string& keys) {
    return ask(edge, [&]() -> Task<void> {
      co_await typist.see("toward the nose");
      co_await typist.see("can't tell");
      typist.type(keys);
    });
  };
  EXPECT_EQ(answered_by("\x1B[A"), Answer{std::string("nose")});
  EXPECT_EQ(answered_by("\x1B[B"), Answer{std::string("tail")});
  EXPECT_EQ(answered_by("0"), Answer{std::string("unsure")});
  EXPECT_EQ(answered_by("u"), Answer{Back{}});
  EXPECT_EQ(ask(edge,
                [&]() -> Task<void> {
                  co_await typist.see("toward the nose");
                  typist.type("q");
                  co_await typist.see("Not here: \"q\".");
                  typist.type("1");
                }),
            Answer{std::string("nose")});
  // The craft turned round, its nose is at the bottom of the picture.
  ask(spin_question(), [&]() -> Task<void> {
    co_await typist.see("? help");
    typist.type("f");
    co_await typist.see("? help");
    typist.type("5");
  });
  EXPECT_EQ(answered_by("\x1B[B"), Answer{std::string("nose")});
}

// A defect found: words pasted at a question of one key were its answer, and that of the next one.
TEST_F(TerminalTest, TakesNoPasteForAnAnswer) {
  open();
  Question choose = confirm_question();
  choose.kind = Question::Kind::choose;
  choose.choices = {{"in", "props in"}, {"out", "props out"}};
  Question pose = confirm_question();
  pose.kind = Question::Kind::pose;
  for (const Question& question : {confirm_question(), choose, place_question({"rear-right"}), pose,
                                   testing::go_question(), spin_question()}) {
    for (const char* paste : {"  ", "yy", "77\x1B[C\x1B[C", "props off\ryp 1u", " \r"}) {
      const Answer answer = ask(question, [&]() -> Task<void> {
        co_await typist.see("? help");
        typist.type(paste);
        co_await typist.see("faster than a hand");
        typist.type("u");
      });
      EXPECT_EQ(answer, Answer{Back{}}) << paste;
    }
  }
}

TEST_F(TerminalTest, HearsCtrlCInAPaste) {
  open();
  EXPECT_THROW(ask(testing::go_question(),
                   [&]() -> Task<void> {
                     co_await typist.see("Space spin");
                     typist.type("ab \x03 ");
                   }),
               StoppedByPerson);
}

TEST_F(TerminalTest, StopsOnCtrlCWithTheTerminalAsBefore) {
  open();
  try {
    ask(spin_question(), [&]() -> Task<void> {
      co_await typist.see("? help");
      typist.type("\x03");
    });
    ADD_FAILURE() << "answered";
  } catch (const StoppedByPerson& stopped) {
    EXPECT_EQ(stopped.how(), StoppedByPerson::How::interrupted);
  }
  EXPECT_NE(typist.modes().c_lflag & ISIG, 0U) << "between questions Ctrl-C is a signal";
  person.reset();
  EXPECT_TRUE(same_modes(before, typist.modes()));
}

TEST_F(TerminalTest, StopsWhenTheTerminalGoesAway) {
  open();
  try {
    ask(confirm_question(), [&]() -> Task<void> {
      co_await typist.see("y yes");
      typist.hang_up();
    });
    ADD_FAILURE() << "answered";
  } catch (const StoppedByPerson& stopped) {
    EXPECT_EQ(stopped.how(), StoppedByPerson::How::end_of_input);
  }
}

TEST_F(TerminalTest, RestoresModesAndCursorFromASignalHandler) {
  TerminalOptions options;
  options.style.colour = ColourDepth::eight;
  open(options);
  restore_terminal();
  EXPECT_TRUE(same_modes(before, typist.modes()));
  person.reset();
  EXPECT_TRUE(same_modes(before, typist.modes()));
}

TEST_F(TerminalTest, RefusesWhatIsNoTerminal) {
  testing::MemoryFile file;
  EXPECT_THROW(TerminalPerson(loop.get_executor(), file.descriptor(), {}), Fault);
}

// A digit says the arm alone, a letter of a pair the direction as well.
TEST_F(TerminalTest, AsksByThePicture) {
  open();
  const craft::Frame& frame = *craft::frame_named("quad-x");
  const Answer first = ask(spin_question(), [&]() -> Task<void> {
    co_await typist.see("? help");
    typist.type("7");
    co_await typist.see("turn, seen from above?");
    co_await typist.see("? help");
    typist.type(right_arrow);
    co_await typist.see("front-left, clockwise");
  });
  EXPECT_EQ(first, (Answer{SpinSeen{SpinSeen::What::one, *frame.find("fl"), Turn::cw}}));
  const Answer second = ask(spin_question(), [&]() -> Task<void> {
    co_await typist.see("? help");
    typist.type("K");
  });
  EXPECT_EQ(second, (Answer{SpinSeen{SpinSeen::What::one, *frame.find("rr"), Turn::ccw}}));
}

TEST_F(TerminalTest, TurnsPictureAndKeysWhereTheNosePointsTowardThePerson) {
  open();
  const Answer answer = ask(spin_question(), [&]() -> Task<void> {
    co_await typist.see("? help");
    typist.type("f");
    co_await typist.see("\\v/");
    co_await typist.see("? help");
    typist.type("w");
  });
  EXPECT_EQ(
      answer,
      (Answer{SpinSeen{SpinSeen::What::one, *craft::frame_named("quad-x")->find("rr"), Turn::cw, true}}));
}

TEST_F(TerminalTest, DoesNotTakeAKeyPressedTwiceForTheTurn) {
  open();
  const Answer answer = ask(spin_question("hex-x"), [&]() -> Task<void> {
    co_await typist.see("Which arm moved?");
    typist.type("4");
    co_await typist.see("turn, seen from above?");
    typist.type("4");
    co_await typist.see("Press the left arrow");
    typist.type("u");
    co_await typist.see("Which arm moved?");
    typist.type("5");
  });
  EXPECT_EQ(std::get<SpinSeen>(answer).what, SpinSeen::What::none);
}

TEST_F(TerminalTest, DoesNotTakeAnArrowForAnArm) {
  open();
  const Answer answer = ask(spin_question("octo-plus"), [&]() -> Task<void> {
    co_await typist.see("Which arm moved?");
    typist.type("\x1B[A");
    co_await typist.see("NumLock");
    typist.type(" ");
  });
  EXPECT_EQ(std::get<SpinSeen>(answer).what, SpinSeen::What::again);
}

TEST_F(TerminalTest, AsksUpperOrLowerOfACoaxialArm) {
  open();
  const Answer answer = ask(spin_question("x8"), [&]() -> Task<void> {
    co_await typist.see("Which arm moved?");
    typist.type("9");
    co_await typist.see("Which of the two on front-right?");
    typist.type(down_arrow);
    co_await typist.see("the lower motor at front-right");
    typist.type(left_arrow);
  });
  EXPECT_EQ(answer, (Answer{SpinSeen{SpinSeen::What::one,
                                     *craft::frame_named("x8")->find("front-right-lower"), Turn::ccw}}));
}

TEST_F(TerminalTest, AsksByAStripOfPaper) {
  open();
  const auto types = [&]() -> Task<void> {
    co_await typist.see("Which arm moved?");
    typist.type("t");
    co_await typist.see("t no paper");
    typist.type("9");
    co_await typist.see("Down arrow: toward the tail");
    typist.type(down_arrow);
  };
  EXPECT_EQ(ask(spin_question(), types),
            (Answer{SpinSeen{SpinSeen::What::one, *craft::frame_named("quad-x")->find("fr"), Turn::cw}}));
}

// A defect found: the strip is held to an arm, and after the spin the arm was asked for anew.
TEST_F(TerminalTest, AsksForTheStripAloneAfterTheSpinThatItWasHeldFor) {
  open();
  const Answer again = ask(spin_question(), [&]() -> Task<void> {
    co_await typist.see("Which arm moved?");
    typist.type("9");
    co_await typist.see("turn, seen from above?");
    typist.type("t");
    co_await typist.see("Which way is the strip flicked?");
    typist.type(" ");
  });
  EXPECT_EQ(std::get<SpinSeen>(again).what, SpinSeen::What::again);
  const std::size_t seen = typist.screen().size();
  Question second = spin_question();
  second.attempt = 2;
  const Answer answer = ask(second, [&]() -> Task<void> {
    co_await typist.see("Down arrow: toward the tail");
    co_await typist.see("Which way is the strip flicked?");
    typist.type("?");
    co_await typist.see("the way the paper goes");
    typist.type(down_arrow);
  });
  EXPECT_EQ(answer,
            (Answer{SpinSeen{SpinSeen::What::one, *craft::frame_named("quad-x")->find("fr"), Turn::cw}}));
  EXPECT_EQ(typist.screen().find("Which arm moved?", seen), std::string::npos);
  // Another motor: the arm is asked for.
  const Answer other = ask(spin_question(), [&]() -> Task<void> {
    co_await typist.see("t no paper");
    typist.type("5");
  });
  EXPECT_EQ(std::get<SpinSeen>(other).what, SpinSeen::What::none);
}

// As in teach: the nose does not matter.
TEST_F(TerminalTest, AsksForNoNoseWhereNoArmWillBeAskedAbout) {
  open();
  const Answer answer = ask(word_question(), [&]() -> Task<void> {
    co_await typist.see("> ");
    typist.type("props off");
  });
  EXPECT_EQ(answer, Answer{std::string("props off")});
}

TEST_F(TerminalTest, TakesTheSafetyWordOnlyWhole) {
  open();
  Question question = word_question();
  question.frame = craft::frame_named("quad-x");
  const Answer answer = ask(question, [&]() -> Task<void> {
    co_await typist.see("> ");
    typist.type("\r");
    co_await typist.see("Type it, then Enter.");
    typist.type("yes\r");
    co_await typist.see("Type \"props off\" exactly");
    typist.type(
        "props ofx\x7F"
        "f");
  });
  EXPECT_EQ(answer, Answer{std::string("props off")});
}

TEST_F(TerminalTest, OffersASuggestionOnlyByTab) {
  open();
  Question question;
  question.id = "craft";
  question.kind = Question::Kind::text;
  question.text = "Name?";
  question.suggestion = "quad-x";
  const Answer answer = ask(question, [&]() -> Task<void> {
    co_await typist.see("> ");
    typist.type("\r");
    co_await typist.see("Type it, or Tab for quad-x.");
    typist.type("\t 2\r");
  });
  EXPECT_EQ(answer, Answer{std::string("quad-x 2")});
}

TEST_F(TerminalTest, TakesAConsolesOwnWordsInQuotes) {
  open();
  const std::map<std::string, std::string> typed{
      {"\"skip\"", "\"skip\""}, {"skip", "skip"}, {"\"stop\"", "stop"}, {"\"back\"", "back"}, {"\"u\"", "u"}};
  for (const auto& [keys, expected] : typed) {
    const Answer answer = ask(testing::command_question(), [&, line = keys + "\r"]() -> Task<void> {
      co_await typist.see("> ");
      typist.type(line);
    });
    EXPECT_EQ(answer, Answer{expected});
  }
}

TEST_F(TerminalTest, LeavesALessonOutByOneKey) {
  open();
  const Answer answer = ask(testing::command_question(), [&]() -> Task<void> {
    co_await typist.see("Esc skip");
    typist.type("half a comm\x1B");
  });
  EXPECT_EQ(answer, Answer{std::string("skip")});
}

TEST_F(TerminalTest, ChoosesOutOfAListByOneKey) {
  open();
  Question question;
  question.id = "frame";
  question.kind = Question::Kind::choose;
  question.text = "Which frame?";
  for (const craft::Frame& frame : craft::frames())
    question.choices.push_back({frame.name, frame.description});
  const Answer answer = ask(question, [&]() -> Task<void> {
    co_await typist.see("9  x8");
    typist.type("a");
    co_await typist.see("Not here:");
    typist.type("4");
  });
  EXPECT_EQ(answer, Answer{std::string("hex-x")});
}

TEST_F(TerminalTest, EndsASpinByAnyKeyWhichIsNoAnswer) {
  open();
  bool pressed = false;
  const auto flow = [&]() -> Task<void> {
    pressed = co_await person->interrupted(craft::Motor{2}, Duration{60000});
  };
  const auto types = [&]() -> Task<void> {
    co_await typist.see("Any key stops it.");
    typist.type("y");
    co_await typist.see("Motor 2: a key, told to stop.");
  };
  std::vector<Task<void>> tasks;
  tasks.push_back(flow());
  tasks.push_back(types());
  testing::run(loop, std::move(tasks));
  EXPECT_TRUE(pressed);
  EXPECT_FALSE(testing::interrupted(loop, *person, Duration{1}));
  const Answer answer = ask(confirm_question(), [&]() -> Task<void> {
    co_await typist.see("Motor 2: time's up, told to stop.");
    co_await typist.see("y yes");
    typist.type("n");
  });
  EXPECT_EQ(answer, Answer{std::string("no")});
  EXPECT_EQ(typist.screen().find("is stopped"), std::string::npos) << "nobody knows that yet";
}

TEST_F(TerminalTest, CountsAKeyPressedAsTheMotorStarts) {
  open();
  typist.type("x");
  EXPECT_TRUE(testing::interrupted(loop, *person, Duration{60000}));
}

TEST_F(TerminalTest, StopsOnCtrlCInMidSpinAndGivesTheScreenBack) {
  TerminalOptions options;
  options.style.colour = ColourDepth::eight;
  open(options);
  bool stopped = false;
  const auto flow = [&]() -> Task<void> {
    try {
      co_await person->interrupted(craft::Motor{2}, Duration{60000});
    } catch (const StoppedByPerson&) {
      stopped = true;
    }
    person->tell(session::statement_of("ability", {{"line", "What comes next."}}));
    person.reset();
  };
  const auto types = [&]() -> Task<void> {
    co_await typist.see("any key stops it");
    typist.type("\x03");
    co_await typist.see("\x1B[?25h\x1B[?1049l");
    co_await typist.see("What comes next.");
  };
  std::vector<Task<void>> tasks;
  tasks.push_back(flow());
  tasks.push_back(types());
  testing::run(loop, std::move(tasks));
  EXPECT_TRUE(stopped);
  EXPECT_TRUE(same_modes(before, typist.modes()));
}

TEST_F(TerminalTest, ShowsThePracticeCraftDuringASpin) {
  TerminalOptions options;
  options.onlooker = []() -> std::optional<Scene> {
    return Scene{craft::frame_named("quad-x"), {{3, Turn::ccw}}};
  };
  open(options);
  EXPECT_FALSE(testing::interrupted(loop, *person, Duration{1}));
  const auto types = [&]() -> Task<void> {
    co_await typist.see("What you see at the bench:");
    co_await typist.see("The front-left motor turns counter-clockwise");
  };
  std::vector<Task<void>> tasks;
  tasks.push_back(types());
  testing::run(loop, std::move(tasks));
}

TEST_F(TerminalTest, LearnsEightLettersAndKeepsThem) {
  const KeysFile file;
  TerminalOptions options;
  options.keys_file = file.path;
  open(options);
  const auto learn = [&]() -> Task<void> {
    co_await typist.see("Which arm moved?");
    typist.type("v");
    int nth = 1;
    for (const char letter : std::string("azedcxwq")) {
      co_await typist.see(std::to_string(nth++) + " of 8)");
      typist.type(std::string(1, letter));
    }
    co_await typist.see("[7] [a]");
    co_await typist.see("Which arm moved?");
    co_await typist.see("Learned");
    typist.type("a");
    co_await typist.see("front-left");
    typist.type(right_arrow);
  };
  const Answer expected{SpinSeen{SpinSeen::What::one, *craft::frame_named("quad-x")->find("fl"), Turn::cw}};
  EXPECT_EQ(ask(spin_question(), learn), expected);
  person.reset();
  open(options);
  const auto use = [&]() -> Task<void> {
    co_await typist.see("[1] [w]");
    co_await typist.see("Which arm moved?");
    typist.type("a");
    co_await typist.see("turn, seen from above?");
    typist.type(right_arrow);
  };
  EXPECT_EQ(ask(spin_question(), use), expected);
}

TEST_F(TerminalTest, SaysThatAFileOfLettersIsNotSoundAndUsesTheStandardOnes) {
  const KeysFile file;
  std::ofstream(file.path) << R"({"letters":["q","q","e","d","c","x","z","a"]})";
  TerminalOptions options;
  options.keys_file = file.path;
  open(options);
  const Answer answer = ask(spin_question(), [&]() -> Task<void> {
    co_await typist.see("are not used");
    co_await typist.see(" q  ccw");
    co_await typist.see("Which arm moved?");
    typist.type("0");
  });
  EXPECT_EQ(std::get<SpinSeen>(answer).what, SpinSeen::What::several);
}

TEST_F(TerminalTest, WritesNoEscapeCodeWithoutColourWhateverItIsTold) {
  open();
  person->tell(session::statement_of("flies-perhaps", {{"sense",
                                                        "from a board: \x1B[2J\x1B]0;x\x07 \x9B"
                                                        "31m\r end"}}));
  EXPECT_FALSE(testing::interrupted(loop, *person, Duration{1}));
  const Answer answer = ask(spin_question(), [&]() -> Task<void> {
    co_await typist.see("end");
    co_await typist.see("Which arm moved?");
    typist.type("0");
    co_await typist.see("several moved");
  });
  EXPECT_EQ(std::get<SpinSeen>(answer).what, SpinSeen::What::several);
  EXPECT_EQ(typist.screen().find('\x1B'), std::string::npos);
}

}  // namespace
}  // namespace armwise::ui::terminal_person_test
