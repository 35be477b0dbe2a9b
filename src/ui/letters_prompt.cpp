// Eight keys that lie around one, learned from whoever has another keyboard.
#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "learned_letters.hpp"
#include "spin_prompt.hpp"

namespace armwise::ui {

Task<std::string> SpinPrompt::learn_letters() {
  Ring learned;
  static constexpr std::array<const char*, 8> where{"top left",     "top",    "top right",   "right",
                                                    "bottom right", "bottom", "bottom left", "left"};
  screen_.keys.clear();
  screen_.header.always.clear();
  for (std::size_t i = 0; i < learned.size();) {
    screen_.question = std::string("Press the key at the ") + where[i] + " of eight that lie around one (" +
                       std::to_string(i + 1) + " of 8).";
    live_.show();
    const Key key = co_await prompt_.press();
    if (key.kind != Key::Kind::text) {
      prompt_.refuse(key, "Press a letter key.");
      continue;
    }
    learned[i++] = lower_case(key.text);
  }
  const std::string unfit = why_not_letters(learned);
  std::string word = "Learned for this sitting.";
  if (!unfit.empty()) {
    word = "These can't be used: " + unfit + ". The letters stay as they were.";
  } else {
    scene_.learn(learned);
    if (!keys_file_.empty()) {
      try {
        save_letters(keys_file_, learned);
        word = "Learned, and saved in " + printable(keys_file_.string()) + ".";
      } catch (const Fault& fault) {
        word = "Learned for this sitting only. " + fault.sentence();
      }
    }
  }
  co_return word;
}

}  // namespace armwise::ui
