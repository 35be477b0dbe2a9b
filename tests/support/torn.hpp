// What must hold of a session that something was done to, whatever it was: the promises, checked.
#pragma once

#include <algorithm>
#include <memory>
#include <string>
#include <utility>

#include "armwise/base/task.hpp"
#include "support/practice_session.hpp"

namespace armwise::test {

// Counts the bytes that pass, each way, over all openings of the line.
struct Passed {
  std::uint64_t to_controller = 0, from_controller = 0;
};

class CountingLine : public console::Line {
 public:
  CountingLine(std::unique_ptr<console::Line> line, Passed& passed)
      : line_(std::move(line)), passed_(passed) {}
  Task<console::Received> read(Duration within) override {
    console::Received received = co_await line_->read(within);
    passed_.from_controller += received.bytes.size();
    co_return received;
  }
  Task<void> write(std::string_view bytes, Duration within) override {
    passed_.to_controller += bytes.size();
    co_await line_->write(bytes, within);
  }
  void discard_input() override {}  // what is thrown away could not be counted; it is read as a banner
  std::string name() const override { return line_->name(); }

 private:
  std::unique_ptr<console::Line> line_;
  Passed& passed_;
};

class CountingPlug : public console::Plug {
 public:
  CountingPlug(console::Plug& plug, Passed& passed) : plug_(plug), passed_(passed) {}
  Task<std::unique_ptr<console::Line>> open() override {
    std::unique_ptr<console::Line> line = co_await plug_.open();
    co_return std::make_unique<CountingLine>(std::move(line), passed_);
  }
  Task<std::unique_ptr<console::Line>> reopen(Duration within) override {
    std::unique_ptr<console::Line> line = co_await plug_.reopen(within);
    co_return std::make_unique<CountingLine>(std::move(line), passed_);
  }
  std::string renamed() const override { return plug_.renamed(); }
  std::string identity() const override { return plug_.identity(); }

 private:
  console::Plug& plug_;
  Passed& passed_;
};

// How a session ended, in the words of the exit status.
enum class Ended { proven, as_before, recoverable, kept_not_recorded, unsafe };

inline const char* name(Ended ended) {
  switch (ended) {
    case Ended::proven:
      return "proven";
    case Ended::as_before:
      return "as before";
    case Ended::recoverable:
      return "recoverable";
    case Ended::kept_not_recorded:
      return "kept, not recorded";
    case Ended::unsafe:
      return "unsafe";
  }
  return "";
}

inline bool is_printable(const std::string& text) {
  return std::all_of(text.begin(), text.end(), [](char c) {
    return c == '\n' || (static_cast<unsigned char>(c) >= ' ' && c != '\x7f');
  });
}

inline bool holds(const practice::SettingsView& view, const practice::PracticePort& port) {
  return port.controller().saved() == view && port.controller().running() == view;
}

// The settings of one craft before and after a session that nothing happens to.
struct OldAndNew {
  practice::SettingsView before, after;
};

// Sorts the end of a session; `broken`: what does not hold, one sentence a line, empty where all does.
inline Ended judge(PracticeSession& session, const Outcome& outcome, const OldAndNew& settings,
                   std::string& broken) {
  const auto expect = [&](bool good, const std::string& what) {
    if (!good) broken += what + "\n";
  };
  const std::string sentence = outcome.fault ? outcome.fault->sentence() : std::string();
  expect(is_printable(sentence), "the fault holds control characters");
  for (const session::Statement& statement : session.person.told())
    expect(is_printable(statement.text), "told text holds control characters");
  const practice::PracticeController& controller = session.port.controller();
  const bool old_kept = controller.saved() == settings.before;
  const bool new_kept = controller.saved() == settings.after;
  const bool open = !session.store.open_sessions().empty();
  const bool said = session.told("stop-lost");
  // One that says that it stopped and did not is seen only by the person.
  const bool warned = session.told("still-turning");
  const bool lying = session.mischief == practice::Mischief::spin_on;
  if (session.anything_turns())
    expect(lying ? warned : said && !outcome.result, "a motor turns, and nobody was told");
  expect(old_kept || new_kept || open, "what is kept is half old and half new, and no journal is open");
  if (outcome.result) {
    expect(new_kept && controller.running() == settings.after, "proven, but not the new settings are kept");
    expect(!open, "proven, but a journal is open");
    return Ended::proven;
  }
  if (!outcome.fault) {
    expect(outcome.stopped, "ended without a result, a fault or a stop");
    expect(holds(settings.before, session.port), "stopped, but not as before");
    expect(!open, "stopped, but a journal is open");
    return Ended::as_before;
  }
  expect(!outcome.fault->next().empty() || !outcome.fault->why().empty(), "a fault without why or next");
  switch (outcome.fault->kind()) {
    case FaultKind::left_changed:
    case FaultKind::not_back:
      if (!open && new_kept && outcome.fault->id() == "saved-unrecorded") return Ended::kept_not_recorded;
      expect(open, "left changed, but no journal is open: " + sentence);
      expect(sentence.find("ecover") != std::string::npos || sentence.find("plug it in") != std::string::npos,
             "left changed without a word on how to recover: " + sentence);
      return Ended::recoverable;
    case FaultKind::unsafe:
      expect(said, "unsafe, but the person was not told at once");
      expect(sentence.find("pull the battery") != std::string::npos, "unsafe, but nothing about the battery");
      expect(holds(settings.before, session.port), "unsafe, and not as before");
      return Ended::unsafe;
    default:
      expect(holds(settings.before, session.port),
             "a fault that means as before, but it is not: " + sentence);
      expect(!open, "as before, but a journal is open: " + sentence);
      return Ended::as_before;
  }
}

// Plugs in again, recovers, and expects all old or all new, running and kept.
inline void judge_recovery(PracticeSession& session, const OldAndNew& settings, bool power_kept,
                           std::string& broken) {
  using Ending = session::RecoverResult::Ending;
  const auto expect = [&](bool good, const std::string& what) {
    if (!good) broken += "recover: " + what + "\n";
  };
  // One that was about to restart has done so meanwhile.
  const bool restarting = session.port.controller().leaves_at().has_value();
  session.port.plug_in_again(session.clock.now(), power_kept && !restarting);
  const bool open = !session.store.open_sessions().empty();
  const Outcome outcome = session.recover();
  if (!outcome.recovered) {
    expect(false, outcome.fault ? outcome.fault->sentence() : "stopped");
    return;
  }
  if (open) {
    expect(!session.anything_turns(), "a motor is left turning");
    expect(session.store.open_sessions().empty(), "the journal is still open");
  }
  switch (outcome.recovered->ending) {
    case Ending::all_old:
      expect(holds(settings.before, session.port), "says all old, and it is not");
      break;
    case Ending::all_new:
      expect(holds(settings.after, session.port), "says all new, and it is not");
      break;
    case Ending::nothing_to_do:
      expect(!open, "does nothing about an open journal");
      expect(holds(settings.before, session.port) || holds(settings.after, session.port),
             "nothing to do, and neither all old nor all new");
      break;
    case Ending::left_open:
      expect(false, "left open");
      break;
    case Ending::set_aside:
      expect(false, "an undamaged journal is set aside");
  }
}

}  // namespace armwise::test
