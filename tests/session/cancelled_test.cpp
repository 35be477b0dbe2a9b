// A signal cancels the flow, at whatever it waits for: the motors are stopped, and what was written is taken
// back.
#include <gtest/gtest.h>

#include <boost/asio/bind_cancellation_slot.hpp>
#include <boost/asio/cancellation_signal.hpp>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/io_context.hpp>
#include <exception>
#include <functional>
#include <iostream>
#include <map>
#include <memory>
#include <string>
#include <utility>

#include "armwise/base/task.hpp"
#include "support/guard_on_paper.hpp"
#include "support/sweep.hpp"
#include "support/torn.hpp"
#include "support/worked_craft.hpp"

namespace armwise::test::cancelled_test {
namespace {

// Counts every wait of a session, for the line and for the person, and calls at one of them.
struct Waits {
  int at = 0;     // which one cancels
  int again = 0;  // and then every so manieth one; 0: once
  int waited = 0;
  std::function<void()> cancel;
  void one() {
    ++waited;
    const bool once_more = again != 0 && waited > at && (waited - at) % again == 0;
    if (waited == at || once_more) cancel();
  }
};

class WaitingLine : public console::Line {
 public:
  WaitingLine(std::unique_ptr<console::Line> line, Waits& waits) : line_(std::move(line)), waits_(waits) {}
  Task<console::Received> read(Duration within) override {
    waits_.one();
    console::Received received = co_await line_->read(within);
    co_return received;
  }
  Task<void> write(std::string_view bytes, Duration within) override {
    waits_.one();
    co_await line_->write(bytes, within);
  }
  void discard_input() override { line_->discard_input(); }
  std::string name() const override { return line_->name(); }

 private:
  std::unique_ptr<console::Line> line_;
  Waits& waits_;
};

class WaitingPlug : public console::Plug {
 public:
  WaitingPlug(console::Plug& plug, Waits& waits) : plug_(plug), waits_(waits) {}
  Task<std::unique_ptr<console::Line>> open() override {
    waits_.one();
    std::unique_ptr<console::Line> line = co_await plug_.open();
    co_return std::make_unique<WaitingLine>(std::move(line), waits_);
  }
  Task<std::unique_ptr<console::Line>> reopen(Duration within) override {
    waits_.one();
    std::unique_ptr<console::Line> line = co_await plug_.reopen(within);
    co_return std::make_unique<WaitingLine>(std::move(line), waits_);
  }
  std::string renamed() const override { return plug_.renamed(); }
  std::string identity() const override { return plug_.identity(); }

 private:
  console::Plug& plug_;
  Waits& waits_;
};

class WaitingPerson : public session::Person {
 public:
  WaitingPerson(session::Person& person, Waits& waits) : person_(person), waits_(waits) {}
  Task<session::Answer> ask(const session::Question& question) override {
    waits_.one();
    const session::Answer answer = co_await person_.ask(question);
    co_return answer;
  }
  void tell(const session::Statement& statement) override { person_.tell(statement); }
  Task<bool> interrupted(craft::Motor motor, Duration within) override {
    waits_.one();
    const bool key = co_await person_.interrupted(motor, within);
    co_return key;
  }

 private:
  session::Person& person_;
  Waits& waits_;
};

struct Ends {
  bool finished = false, cancelled = false;
  bool may_turn = false;  // as the guard was told
  std::optional<Fault> fault;
};

// As the program runs a flow: with a signal that cancels it.
Ends run_cancelled(PracticeSession& session, Waits& waits) {
  boost::asio::io_context loop;
  boost::asio::cancellation_signal signal;
  waits.cancel = [&] { signal.emit(boost::asio::cancellation_type::terminal); };
  practice::PracticePlug practice(session.port, session.clock);
  WaitingPlug plug(practice, waits);
  WaitingPerson person(session.person, waits);
  GuardOnPaper sentry(session.clock);
  console::ProfileConsole console(plug, session.profile, session.clock, sentry);
  const session::BenchOptions options = worked_options();
  Ends ends;
  std::exception_ptr trouble;
  boost::asio::co_spawn(
      loop, session::bench(console, person, session.store, session.clock, options),
      boost::asio::bind_cancellation_slot(
          signal.slot(), [&](std::exception_ptr error, const session::BenchResult&) { trouble = error; }));
  loop.run();
  ends.may_turn = sentry.is_turning();
  try {
    if (trouble) std::rethrow_exception(trouble);
    ends.finished = true;
  } catch (const Fault& fault) {
    ends.fault = fault;
  } catch (const std::exception&) {
    ends.cancelled = true;
  }
  return ends;
}

class Cancelled : public ::testing::TestWithParam<const char*> {
 protected:
  static practice::PracticeCraft craft() {
    return worked_craft({"rear-left", "front-right", "rear-right", "front-left"}, {false, true});
  }
  static practice::Habits habits() {
    practice::Habits short_listing;
    short_listing.invented_lines = 4;
    return short_listing;
  }

  // Cancels at every wait of a session, and expects the promises to hold at each.
  void cancel_everywhere(int again) {
    OldAndNew settings;
    int waits_of_a_session = 0;
    {
      PracticeSession session(GetParam(), craft(), {}, {}, {}, habits());
      settings.before = session.port.controller().saved();
      Waits never;
      ASSERT_TRUE(run_cancelled(session, never).finished);
      settings.after = session.port.controller().saved();
      waits_of_a_session = never.waited;
    }
    std::map<std::string, int> ended;
    for (int at = 1 + first_of(every); at <= waits_of_a_session; at += every) {
      PracticeSession session(GetParam(), craft(), {}, {}, {}, habits());
      Waits waits;
      waits.at = at;
      waits.again = again;
      const Ends ends = run_cancelled(session, waits);
      const std::string where = std::string(GetParam()) + ", cancelled at wait " + std::to_string(at);
      EXPECT_FALSE(session.anything_turns()) << where;
      const bool open = !session.store.open_sessions().empty();
      const bool old = holds(settings.before, session.port);
      const bool fresh = session.port.controller().saved() == settings.after;
      if (ends.finished) {
        ++ended["finished"];
        EXPECT_TRUE(fresh && !open) << where;
      } else if (ends.cancelled) {
        ++ended["as before"];
        EXPECT_TRUE(old && !open) << where;
      } else {
        ++ended["said how it stands"];
        EXPECT_EQ(ends.fault->kind(), FaultKind::left_changed) << where << ends.fault->sentence();
        EXPECT_TRUE(open || fresh) << where;
      }
      std::string broken;
      judge_recovery(session, settings, false, broken);
      EXPECT_EQ(broken, "") << where;
      if (HasFailure()) return;
    }
    std::cout << GetParam() << ": " << waits_of_a_session << " waits:";
    for (const auto& [how, count] : ended) std::cout << " " << how << " " << count << ";";
    std::cout << "\n";
    EXPECT_GT(ended["as before"], sanitized ? 0 : 100);
  }
};

TEST_P(Cancelled, AtEveryWaitStopsTheMotorsAndTakesBackWhatWasWritten) {
  cancel_everywhere(0);
}

// An impatient person: Ctrl-C again and again while the tool cleans up.
TEST_P(Cancelled, AgainAndAgainDoesNotCutTheCleaningUpShort) {
  cancel_everywhere(3);
}

// A defect found: a signal cut the first stop short and the next signal the second, and the program said that
// no motor turns.
TEST(CancelledAtEachWait, AStopIsMadeSureOfAllTheSame) {
  for (int at = 1 + first_of(every); at < 400; at += every) {
    PracticeSession session("tarn", worked_craft());
    Waits waits;
    waits.at = at;
    waits.again = 1;
    const Ends ends = run_cancelled(session, waits);
    if (ends.finished) break;
    EXPECT_FALSE(ends.may_turn) << at << (ends.fault ? ends.fault->sentence() : "");
    EXPECT_FALSE(session.anything_turns()) << at;
  }
}

INSTANTIATE_TEST_SUITE_P(Dialects, Cancelled, ::testing::Values("tarn", "sedge", "fell", "brook", "moor"));

}  // namespace
}  // namespace armwise::test::cancelled_test
