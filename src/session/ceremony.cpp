#include "armwise/session/ceremony.hpp"

#include <string>
#include <utility>

#include "armwise/base/task.hpp"
#include "words.hpp"

namespace armwise::session {
namespace {

Question asking_for_the_word(const std::string& why) {
  Question question;
  question.id = "props-off";
  question.kind = Question::Kind::typed_word;
  question.level = Level::danger;
  question.word = words::props_off;
  question.text = why + " Type \"" + std::string(words::props_off) + "\".";
  return question;
}

bool is_the_word(const Answer& answer) {
  const auto* said = std::get_if<std::string>(&answer);
  return said != nullptr && *said == words::props_off;
}

}  // namespace

void say_cautions(Person& person) {
  person.tell("cautions");
}

Task<Sworn> swear_props_off(Person& person, const craft::Frame* frame) {
  Question question = asking_for_the_word("Props off?");
  question.frame = frame;
  const Answer answer = co_await person.ask(question);
  Sworn sworn;
  sworn.back = std::holds_alternative<Back>(answer);
  if (is_the_word(answer)) sworn.permit = SpinPermit(std::get<std::string>(answer));
  co_return sworn;
}

Task<Answer> ask_for_battery(Person& person) {
  Question question;
  question.id = "battery";
  question.kind = Question::Kind::confirm;
  question.level = Level::warn;
  question.text = "Craft fixed down, battery in, a hand near the plug?";
  const Answer answer = co_await person.ask(question);
  co_return answer;
}

void say_unstopped(Person& person, const console::Unstopped& unstopped, bool again) {
  if (again) {
    person.tell("stop-tried", {{"seconds", std::to_string(unstopped.since.count() / 1000)}});
    return;
  }
  person.tell("stop-lost", {{"why", unstopped.why}});
}

Task<std::optional<Go>> ask_for_go(Person& person, craft::Motor commanded, craft::Motor shown, craft::Pin pin,
                                   SpinPermit permit, BeforeSpin before) {
  Question question;
  question.id = "go";
  question.kind = Question::Kind::go;
  question.text = std::move(before.hands);
  question.seen = before.seen;
  question.of = before.of;
  question.motor = shown;
  question.pin = std::move(pin);
  const Answer answer = co_await person.ask(question);
  std::optional<Go> go;
  if (std::holds_alternative<Back>(answer)) co_return go;
  const auto* said = std::get_if<std::string>(&answer);
  if (said == nullptr || *said != "spin")
    throw Fault(FaultKind::internal, "A spin was not asked for by its word");
  go = Go(commanded, std::move(permit));
  co_return go;
}

Task<std::optional<Go>> ask_for_go(Person& person, craft::Motor commanded, craft::Motor shown, craft::Pin pin,
                                   SpinPermit permit) {
  return ask_for_go(person, commanded, shown, std::move(pin), std::move(permit), BeforeSpin());
}

Fault line_lost_in_a_spin() {
  return Fault(FaultKind::line_lost, "The line to the controller was lost while a motor was spun",
               "It is back, and has acknowledged the stop",
               "Look at the cable and its plugs, then start again");
}

Task<bool> swear_props_off_again(Person& person, int spins) {
  Question question = asking_for_the_word("This motor has been spun " + std::to_string(spins) +
                                          " times. Let it cool, and check that the props are still off.");
  question.may_go_back = false;
  const Answer answer = co_await person.ask(question);
  co_return is_the_word(answer);
}

}  // namespace armwise::session
