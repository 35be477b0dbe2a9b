// A second word about a spin: one line, and keys that lie like the craft.
#include <algorithm>

#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/ui/strip.hpp"
#include "spin_prompt.hpp"

namespace armwise::ui {

using session::Answer;
using session::Back;
using session::Question;

namespace {

// Where the craft says which way is meant, the arrow that points that way in the picture.
std::string cap_of(const session::Question& question, const session::Choice& choice, NoseSide nose,
                   const Style& style) {
  if (!choice.cap.empty() || question.frame == nullptr || !question.place) return choice.cap;
  const auto turn = turn_by_strip(*question.frame, *question.place, choice.key);
  if (!turn) return choice.cap;
  const Key key = arrow_for(*question.frame, *question.place, nose, *turn);
  if (!style.unicode) return key.in_words();
  return key.kind == Key::Kind::up     ? "↑"
         : key.kind == Key::Kind::down ? "↓"
         : key.kind == Key::Kind::left ? "←"
                                       : "→";
}

// Beside each other, as many as a line takes.
std::vector<Line> small_choices(const session::Question& question, NoseSide nose, const Style& style) {
  std::vector<Line> lines;
  int used = 0;
  for (const session::Choice& choice : question.choices) {
    const std::string cap = " " + cap_of(question, choice, nose, style) + " ";
    const std::string words = " " + printable(choice.words) + "  ";
    const int wanted = 1 + columns_of(cap) + columns_of(words);
    if (lines.empty() || used + wanted > std::min(style.columns, widest_text)) {
      lines.emplace_back();
      used = 0;
    }
    lines.back().push_back({" ", Ink::plain});
    lines.back().push_back({cap, Ink::keycap});
    lines.back().push_back({words, Ink::plain});
    used += wanted;
  }
  return lines;
}

}  // namespace

// One line where the spin was asked about, and keys that lie like the craft.
Task<Answer> SpinPrompt::small(const Question& asked) {
  Question question = asked;
  if (question.kind == Question::Kind::confirm) question.choices = {{"yes", "yes", "y"}, {"no", "no", "n"}};
  put_seen(question);
  screen_.choices = small_choices(question, scene_.nose(), terminal_.style());
  prompt_.put(question, {});
  while (true) {
    const Key key = co_await prompt_.press();
    std::optional<craft::Turn> turn;
    if (question.place) turn = turn_by_strip(*question.frame, *question.place, key, scene_.nose());
    for (std::size_t i = 0; i < question.choices.size(); ++i) {
      const session::Choice& choice = question.choices[i];
      const bool points = turn && craft::turn_by_strip(*question.frame, *question.place, choice.key) == turn;
      if (points || (!choice.cap.empty() && key.is(choice.cap)) || key == Key::of(std::to_string(i + 1)))
        co_return Answer{choice.key};
    }
    const bool may_be_unsure = std::ranges::any_of(
        question.choices, [](const session::Choice& choice) { return choice.key == "unsure"; });
    const Prompt::Common what =
        co_await prompt_.common(question, key,
                                std::string("A short question about the spin you just saw.") +
                                    (may_be_unsure ? " If you're not sure, say so: it costs nothing." : ""));
    if (what == Prompt::Common::back) co_return Answer{Back{}};
    if (what == Prompt::Common::none) prompt_.refuse(key, "Press one of the keys above.");
  }
}

}  // namespace armwise::ui
