#include "manner.hpp"

#include <algorithm>

#include "pointer.hpp"

namespace armwise::ui {

using session::Question;

Manner manner_of(const Question& question) {
  if (question.small) return Manner::small;
  switch (question.kind) {
    case Question::Kind::confirm:
      return Manner::yes_or_no;
    case Question::Kind::choose:
      break;
    case Question::Kind::typed_word:
    case Question::Kind::text:
      return Manner::typed;
    case Question::Kind::pose:
      return Manner::pose;
    case Question::Kind::go:
      return Manner::go;
    case Question::Kind::spin:
      return Manner::spin;
  }
  if (is_pointed_at(question)) return Manner::pointed;
  const bool in_picture =
      question.frame != nullptr && std::ranges::any_of(question.choices, [&](const session::Choice& choice) {
        return question.frame->find(choice.key).has_value();
      });
  return in_picture ? Manner::place : Manner::list;
}

bool is_of_a_spin(const Question& question) {
  const Manner manner = manner_of(question);
  return manner == Manner::go || manner == Manner::spin || manner == Manner::small;
}

}  // namespace armwise::ui
