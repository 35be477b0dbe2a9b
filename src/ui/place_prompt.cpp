// The terminal's question where a motor sits: the picture of a spin check, and the keys that lie like the
// arms.
#include <algorithm>

#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/ui/reading.hpp"
#include "spin_prompt.hpp"

namespace armwise::ui {

using session::Answer;
using session::Back;
using session::Question;

namespace {

constexpr const char* none_of_them = "0";
constexpr const char* place_help =
    "Press a key that stands in the picture at the arm where the diagram has this motor; the keys lie as "
    "the "
    "arms do. The diagram of a controller is usually drawn with the nose up.";

bool offers(const session::Question& question, const std::string& key) {
  return std::any_of(question.choices.begin(), question.choices.end(),
                     [&](const session::Choice& choice) { return choice.key == key; });
}

}  // namespace

// A diagram has its nose up, however the craft lies on the bench.
Task<Answer> SpinPrompt::place(const Question& question) {
  const ArmKeys keys(*question.frame, NoseSide::away, scene_.letters());
  const auto other = std::find_if(
      question.choices.begin(), question.choices.end(),
      [&](const session::Choice& choice) { return !question.frame->find(choice.key).has_value(); });
  const bool may_pass = other != question.choices.end();
  const auto put_so = [&] {
    screen_.picture = [&frame = *question.frame, keys](const Style& style) {
      return asking_picture(frame, keys, style, {}, Caps::arms);
    };
    std::vector<std::string> hints{keys.has_pairs() ? "a key at its arm" : "the key at its arm"};
    if (may_pass) hints.push_back(std::string(none_of_them) + " " + printable(other->words));
    prompt_.put(question, std::move(hints));
  };
  put_so();
  while (true) {
    const Key key = co_await prompt_.press();
    const ArmKeys::Cap* cap = keys.find_arm(key);
    if (cap != nullptr) {
      const ArmKeys::Cap chosen = *cap;
      const std::optional<craft::PlaceIndex> index = co_await level(chosen);
      if (index) {
        const std::string name = question.frame->places[*index].name;
        if (offers(question, name)) co_return Answer{name};
        put_so();
        live_.trouble("Another motor sits on " + name +
                      " already. Press another arm's key, or u to go back.");
      } else {
        put_so();
      }
      continue;
    }
    if (may_pass && (key == Key::of(none_of_them) || key.kind == Key::Kind::insert))
      co_return Answer{other->key};
    const Prompt::Common what = co_await prompt_.common(question, key, place_help);
    if (what == Prompt::Common::back) co_return Answer{Back{}};
    if (what == Prompt::Common::none) prompt_.refuse(key, "Press a key that stands in the picture.");
  }
}

}  // namespace armwise::ui
