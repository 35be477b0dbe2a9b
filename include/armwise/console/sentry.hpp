// Who watches over a turning motor from outside. The real one is link::Guard, a process of its own.
#pragma once

#include "armwise/base/duration.hpp"

namespace armwise::console {

class Sentry {
 public:
  virtual ~Sentry() = default;

  // Called before the bytes that turn a motor are written: from now on a motor may turn, for `longest` at
  // most; called again while one turns, from that moment on. Throws Fault(unsafe) where nobody is watching
  // (the guard has died): then nothing is spun.
  virtual void turning(Duration longest) = 0;

  // The tool is stopping the motor itself and goes on with it: whoever watches keeps quiet for `longest` from
  // now, unless the tool falls silent. Never throws. Without a watcher there is nobody to ask.
  virtual void stopping(Duration /*longest*/) {}

  // The stop has been acknowledged: nothing turns.
  virtual void stopped() = 0;
};

}  // namespace armwise::console
