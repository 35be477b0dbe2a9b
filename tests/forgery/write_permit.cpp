// A setting is written, a saved line played and what runs kept only where the person has agreed to it.
#include <utility>

#include "armwise/base/permit.hpp"
#include "armwise/console/console.hpp"
#include "armwise/session/consent.hpp"

namespace armwise {

// Each is made by whoever asked, and by nobody else.
#if FORGED == 1  // is private|private constructor
WritePermit write_made() {
  return WritePermit(std::vector<std::string>{"mount 0 0 0"});
}
#else
WritePermit write_made(const std::optional<WritePermit>& agreed) {
  return *agreed;
}
#endif

#if FORGED == 2  // is private|private constructor
PlayPermit play_made() {
  return PlayPermit(std::vector<std::string>{"mount 0 0 0"});
}
#else
PlayPermit play_made(const std::optional<PlayPermit>& agreed) {
  return *agreed;
}
#endif

#if FORGED == 3  // is private|private constructor
KeepPermit keep_made() {
  return KeepPermit();
}
#else
KeepPermit keep_made(const std::optional<KeepPermit>& agreed) {
  return *agreed;
}
#endif

#if FORGED == 4  // is private|private constructor
RecoverPermit recover_made() {
  return RecoverPermit();
}
#else
RecoverPermit recover_made(const session::Recovering& chosen) {
  return *chosen.permit;
}
#endif

// Only what was agreed to can be taken back.
#if FORGED == 5  // no matching (function|constructor)
UndoPermit undo_made() {
  return UndoPermit();
}
#else
UndoPermit undo_made(const WritePermit& agreed) {
  return UndoPermit(agreed);
}
#endif

// The console asks for one.
using console::Console;
#if FORGED == 6  // no matching function|too few arguments
using Written = decltype(std::declval<Console&>().apply(std::declval<const solve::Change&>()));
#else
using Written = decltype(std::declval<Console&>().apply(std::declval<const solve::Change&>(),
                                                        std::declval<const WritePermit&>()));
#endif

#if FORGED == 7  // no matching function|too few arguments
using Kept = decltype(std::declval<Console&>().keep_and_restart());
#else
using Kept = decltype(std::declval<Console&>().keep_and_restart(std::declval<const KeepPermit&>()));
#endif

// One is not good for the other: what may be written need not be kept, nor be played what was not made here.
#if FORGED == 8  // convert|no viable conversion|invalid initialization|no matching function
using KeptAllTheSame =
    decltype(std::declval<Console&>().keep_and_restart(std::declval<const WritePermit&>()));
#else
using KeptAllTheSame = decltype(std::declval<Console&>().keep_and_restart(std::declval<const KeepPermit&>()));
#endif

#if FORGED == 9  // convert|no viable conversion|invalid initialization|no matching function
using PlayedAllTheSame =
    decltype(std::declval<Console&>().play("mount 0 0 0", std::declval<const WritePermit&>()));
#else
using PlayedAllTheSame =
    decltype(std::declval<Console&>().play("mount 0 0 0", std::declval<const PlayPermit&>()));
#endif

}  // namespace armwise
