#include "restart.hpp"

#include <utility>

#include "armwise/base/task.hpp"

namespace armwise::session {
namespace {

constexpr int most_tries = 3;

}  // namespace

Task<bool> restart_by_hand(console::Console& console, Person& person) {
  Question question;
  question.id = "restart";
  question.kind = Question::Kind::confirm;
  question.level = Level::warn;
  question.may_go_back = false;
  question.text =
      "Restart it by hand: unplug the battery and USB, wait three seconds, plug both in. Done? (no: you "
      "can't)";
  for (int tries = 0; tries < most_tries; ++tries) {
    const Answer answer = co_await person.ask(question);
    const auto* said = std::get_if<std::string>(&answer);
    if (said == nullptr || *said != "yes") co_return false;
    person.tell_wait("watching-for-restart", console.profile().timing.restart);
    const bool seen = co_await console.see_restart();
    if (seen) co_return true;
    person.tell("no-restart-seen");
  }
  co_return false;
}

std::string in_words(console::Saved saved) {
  switch (saved) {
    case console::Saved::acknowledged:
      return "The settings are saved";
    case console::Saved::taken:
      return "The save command was sent; this profile has no words that confirm it";
    case console::Saved::unknown:
      break;
  }
  return "The save command was sent, but nothing confirms that the settings are saved";
}

std::string unverified(console::Saved saved) {
  switch (saved) {
    case console::Saved::acknowledged:
      return "The settings are saved, but not verified after a restart";
    case console::Saved::taken:
      return "The save command was sent, but not verified after a restart";
    case console::Saved::unknown:
      break;
  }
  return in_words(saved);
}

}  // namespace armwise::session
