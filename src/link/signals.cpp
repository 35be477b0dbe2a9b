#include "armwise/link/signals.hpp"

#include <signal.h>
#include <unistd.h>

#include <boost/asio/signal_set.hpp>
#include <utility>

namespace armwise::link {

struct Signals::State : std::enable_shared_from_this<Signals::State> {
  State(const boost::asio::any_io_executor& loop, std::function<void(int)> action)
      : set(loop, SIGINT, SIGTERM, SIGHUP), on_signal(std::move(action)) {
    set.add(SIGTSTP);
  }

  void listen() {
    set.async_wait([weak = weak_from_this()](const boost::system::error_code& error, int number) {
      const std::shared_ptr<State> self = weak.lock();
      if (error || !self || self->ignored) return;
      self->listen();
      self->on_signal(number);
    });
  }

  boost::asio::signal_set set;
  std::function<void(int)> on_signal;
  bool ignored = false;
};

Signals::Signals(const boost::asio::any_io_executor& loop, std::function<void(int number)> on_signal)
    : state_(std::make_shared<State>(loop, std::move(on_signal))) {
  state_->listen();
}

Signals::~Signals() {
  ignore();
}

void Signals::ignore() {
  state_->ignored = true;
  boost::system::error_code none_pending;
  state_->set.cancel(none_pending);
  state_->set.clear(none_pending);
}

void Signals::suspend() {
  state_->set.remove(SIGTSTP);
  raise(SIGTSTP);
  state_->set.add(SIGTSTP);
}

void end_by_signal(int number) {
  signal(number, SIG_DFL);
  sigset_t only;
  sigemptyset(&only);
  sigaddset(&only, number);
  sigprocmask(SIG_UNBLOCK, &only, nullptr);
  raise(number);
  _exit(128 + number);  // of a signal that does not end a process
}

}  // namespace armwise::link
