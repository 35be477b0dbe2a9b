// What stands on the terminal between one answer and the next: what was said, what is waited for, and, at the
// end, what stays behind in the terminal's own memory of lines.
#pragma once

#include <boost/asio/any_io_executor.hpp>
#include <boost/asio/steady_timer.hpp>
#include <chrono>
#include <memory>
#include <string>
#include <vector>

#include "painter.hpp"
#include "screen.hpp"
#include "terminal.hpp"

namespace armwise::ui {

class LiveScreen {
 public:
  LiveScreen(const boost::asio::any_io_executor& executor, Terminal& terminal, std::string banner);
  LiveScreen(const LiveScreen&) = delete;
  LiveScreen& operator=(const LiveScreen&) = delete;
  // Gives the terminal's screen back, with the answers and the last state as lines. While what the picture is
  // drawn from still lives.
  void leave();

  // What is on it now; to be seen with show() or refresh().
  Screen screen;

  Terminal& terminal() { return terminal_; }
  const Style& style() { return terminal_.style(); }
  bool is_live() const { return painter_.is_live(); }  // else lines are only ever added
  void show();                                         // a question put anew
  void refresh();                                      // the same, where something has changed
  void trouble(std::string sentence);
  void tell(const session::Statement& statement);
  void put(const session::Question& question, std::vector<std::string> keys);
  // Leaves its one line; what was said before it has been read.
  void answered(const session::Question& question, const session::Answer& answer);

  // What a key shows until the next answer.
  struct Behind {
    std::vector<std::string> why, commands;
  };
  const Behind& behind() const { return behind_; }

  // The person is to do something, so that nobody waits for the controller; until wait_for() or answered().
  void person_is_asked();
  // Zero: nobody knows how long.
  void wait_for(std::string what, Duration within = Duration{0});

 private:
  struct Waiting {
    bool is_on = true;
    std::chrono::steady_clock::time_point since = std::chrono::steady_clock::now();
    std::string what;
    Duration within{0};
  };

  void tell_on_screen(const session::Statement& statement);
  void note(const session::Statement& statement);
  void note_in_transcript(const Note& note);
  void fold(const session::Question& question, const std::string& answer);
  void unfold();
  void keep_alive();

  Terminal& terminal_;
  Painter painter_;
  std::vector<std::string> transcript_;
  Behind behind_;
  int without_line_ = 0;     // answers since then that left none
  std::string folded_last_;  // the question whose answer was folded last; empty once another was put
  bool done_ = false;        // the picture is what came of it
  Waiting waiting_;
  boost::asio::steady_timer life_;
  std::shared_ptr<char> alive_ = std::make_shared<char>();
};

}  // namespace armwise::ui
