#include "runtime.hpp"

#include <sys/ioctl.h>
#include <unistd.h>

#include <boost/asio/bind_cancellation_slot.hpp>
#include <boost/asio/cancellation_signal.hpp>
#include <boost/asio/co_spawn.hpp>
#include <boost/system/system_error.hpp>
#include <csignal>
#include <exception>
#include <iostream>
#include <new>
#include <optional>
#include <system_error>
#include <utility>
#include <vector>

#include "armwise/link/signals.hpp"
#include "armwise/ui/style.hpp"
#include "armwise/ui/terminal_person.hpp"
#include "exit_status.hpp"

namespace armwise::app {
namespace {

// The guard stops the motors; the terminal is nobody else's to restore.
void leave_a_usable_terminal(int signal) {
  ui::restore_terminal();
  std::signal(signal, SIG_DFL);
  std::raise(signal);
}

// How a flow ended, as an exit status; `interrupted`: by Ctrl-C at a question.
struct End {
  int status = failed;
  bool interrupted = false;
};

// Where no stop has been acknowledged since a motor was told to turn, whatever else is to be said.
void say_that_a_motor_may_turn(session::Person* person) {
  say_fault(Fault(FaultKind::unsafe, "A motor may be turning: the stop was not acknowledged", {},
                  "Keep clear and pull the battery plug now. Unplugging USB alone does not stop a motor"),
            person);
}

// `left`: what is known of the craft, if not that no motor turns and that it is as it was before.
void say_stopped(const std::string& how, const std::string& left, session::Person* person) {
  if (person == nullptr) return;
  person->tell("stopped",
               {{"how", how},
                {"state", left.empty() ? "no motor turns, and the controller is as it was before." : left}});
}

// `may_turn`: as the sentry knows.
End sorted(const std::exception_ptr& trouble, session::Person* person, int signal, bool may_turn) {
  const std::string unknown = may_turn ? "armwise keeps trying to stop it." : "";
  try {
    std::rethrow_exception(trouble);
  } catch (const Fault& fault) {
    say_fault(fault, person);  // says itself where a motor may be turning
    return {exit_status(fault.kind()), false};
  } catch (const StoppedByPerson& stop) {
    if (may_turn) say_that_a_motor_may_turn(person);
    const bool ended = stop.how() == StoppedByPerson::How::end_of_input;
    say_stopped(signal != 0 ? "Ended by a signal"
                : ended     ? "The input ended"
                            : "Stopped",
                may_turn ? unknown : stop.left(), person);
    return {may_turn ? failed : stopped, stop.how() == StoppedByPerson::How::interrupted};
  } catch (const std::exception& error) {
    if (may_turn) say_that_a_motor_may_turn(person);
    if (signal == 0) {
      say_fault(unexpected(error), person);
      return {failed, false};
    }
    say_stopped("Ended by a signal", unknown, person);
    return {failed, false};
  }
}

}  // namespace

void say_error(const std::string& text) {
  winsize window{};
  const bool fits_lines = ::isatty(STDERR_FILENO) == 1;
  const bool known = fits_lines && ::ioctl(STDERR_FILENO, TIOCGWINSZ, &window) == 0 && window.ws_col > 0;
  const std::vector<std::string> lines =
      fits_lines ? ui::wrapped(text, known ? window.ws_col : 80) : std::vector<std::string>{text};
  for (const std::string& line : lines) std::cerr << line << "\n";
}

Fault unexpected(const std::exception& error) {
  if (dynamic_cast<const std::bad_alloc*>(&error) != nullptr) {
    return {FaultKind::internal,
            "There is no memory left",
            {},
            "Close other programs; then run armwise recover, which says whether anything was left half done"};
  }
  if (dynamic_cast<const std::system_error*>(&error) != nullptr ||
      dynamic_cast<const boost::system::system_error*>(&error) != nullptr) {
    return {FaultKind::internal, "The system refused something that armwise needs", error.what(),
            "Close other programs, or raise the limit (ulimit -a shows them), then try again"};
  }
  return {FaultKind::internal, "Something went wrong inside armwise", error.what(),
          "Please report this with the newest log in ~/.local/state/armwise/logs"};
}

void say_fault(const Fault& fault, session::Person* person) {
  if (person != nullptr) {
    person->tell(session::statement_of(fault));
  } else {
    say_error("armwise: " + fault.sentence());
  }
}

Runtime::Runtime() : guard_(link::Guard::start()), sentry_(*guard_), loop_(1), clock_(loop_.get_executor()) {
  // A reader of the output that goes away must not end the tool before its motors are stopped.
  std::signal(SIGPIPE, SIG_IGN);
  for (const int fatal : {SIGABRT, SIGQUIT, SIGSEGV, SIGBUS, SIGFPE, SIGILL})
    std::signal(fatal, leave_a_usable_terminal);
}

bool Runtime::suspended() {
  if (!suspend_wanted_ || signals_ == nullptr) return false;
  suspend_wanted_ = false;
  signals_->suspend();
  return true;
}

int Runtime::run(Task<int> flow, std::unique_ptr<session::Person>& person) {
  int last_signal = 0;
  boost::asio::cancellation_signal cancel;
  const auto cancel_flow = [&] { cancel.emit(boost::asio::cancellation_type::terminal); };
  link::Signals signals(loop_.get_executor(), [&](int number) {
    if (number == SIGTSTP) {
      suspend_wanted_ = true;
      if (!sentry_.turns) suspended();
    } else {
      last_signal = number;
    }
    if (last_signal != 0 || suspend_wanted_) cancel_flow();
  });
  signals_ = &signals;
  std::exception_ptr trouble;
  std::optional<Fault> guard_trouble;
  const auto beats = guard_->join(loop_.get_executor(), [&](const Fault& fault) {
    guard_trouble = fault;
    cancel_flow();
  });
  int status = failed;
  boost::asio::co_spawn(
      loop_, std::move(flow),
      boost::asio::bind_cancellation_slot(cancel.slot(), [&](std::exception_ptr error, int value) {
        trouble = std::move(error);
        status = value;
        signals.ignore();
        loop_.stop();  // the onlooker of a practice craft would listen on
      }));
  loop_.run();
  signals_ = nullptr;
  if (trouble && guard_trouble) {
    // A flow that was cut short has no words of its own; but where it tells how it left the controller, that
    // comes last, and counts.
    const std::optional<Fault> of_the_flow = fault_in(trouble);
    if (of_the_flow) say_fault(*guard_trouble, person.get());
    if (!of_the_flow) trouble = std::make_exception_ptr(*guard_trouble);
  }
  End end{status, false};
  if (trouble) end = sorted(trouble, person.get(), last_signal, sentry_.turns);
  if (person && last_word_) last_word_(*person);
  person.reset();
  if (trouble && (last_signal != 0 || end.interrupted)) {
    guard_.reset();
    link::end_by_signal(last_signal != 0 ? last_signal : SIGINT);
  }
  return end.status;
}

}  // namespace armwise::app
