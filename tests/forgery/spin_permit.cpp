// A motor turns only where the person has typed that the props are off.
#include <utility>

#include "armwise/base/permit.hpp"
#include "armwise/console/console.hpp"
#include "armwise/console/conversation.hpp"
#include "armwise/session/ceremony.hpp"

namespace armwise {

// It is made by whoever asked, and by nobody else.
#if FORGED == 1  // is private|private constructor
SpinPermit made() {
  return SpinPermit("I say so");
}
#else
SpinPermit made(const session::Sworn& sworn) {
  return *sworn.permit;
}
#endif

#if FORGED == 2  // no matching (function|constructor)
SpinPermit made_of_nothing() {
  return SpinPermit();
}
#else
SpinPermit made_of_another(const SpinPermit& permit) {
  return SpinPermit(permit);
}
#endif

#if FORGED == 3  // could not convert|no viable conversion|no matching constructor
SpinPermit made_in_passing() {
  return {};
}
#else
SpinPermit made_in_passing(const SpinPermit& permit) {
  return {permit};
}
#endif

// The console asks for it, and so does what puts the order on the line.
using console::Console;
using console::Conversation;
#if FORGED == 4  // no matching function|too few arguments
using Spun = decltype(std::declval<Console&>().spin(craft::Motor{1}, 6.0, Duration{300}));
#else
using Spun = decltype(std::declval<Console&>().spin(craft::Motor{1}, 6.0, Duration{300},
                                                    std::declval<const SpinPermit&>()));
#endif

#if FORGED == 5  // no matching (member )?function|too few arguments
using Sent = decltype(std::declval<Conversation&>().run_with_care(
    console::Steps{}, console::Values{}, Duration{250}, Conversation::Look{}, console::Answers{}));
#else
using Sent = decltype(std::declval<Conversation&>().run_with_care(
    console::Steps{}, console::Values{}, Duration{250}, Conversation::Look{}, console::Answers{},
    std::declval<const SpinPermit&>()));
#endif

// Nor does a spin go ahead without the question before it.
#if FORGED == 6  // is private|private constructor
session::Go gone(const SpinPermit& permit) {
  return session::Go(craft::Motor{1}, permit);
}
#else
session::Go gone(session::Go&& go) {
  return std::move(go);
}
#endif

// One Go is one spin.
#if FORGED == 7  // use of deleted function|deleted (copy )?constructor
session::Go gone_twice(const session::Go& go) {
  return go;
}
#else
session::Go gone_once(session::Go go) {
  return go;
}
#endif

}  // namespace armwise
