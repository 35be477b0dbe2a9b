#include "armwise/ui/terminal_person.hpp"

#include <exception>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "learned_letters.hpp"
#include "manner.hpp"
#include "spin_prompt.hpp"

namespace armwise::ui {

using session::Answer;
using session::Question;
using session::Statement;

struct TerminalPerson::State {
  State(const boost::asio::any_io_executor& executor, int descriptor, TerminalOptions options,
        LearnedLetters learned)
      : terminal(executor, descriptor, options.style),
        live(executor, terminal, options.onlooker ? "practice: nothing can turn" : ""),
        scene(live, std::move(options.onlooker), learned.letters),
        prompt(live, scene),
        spins(live, scene, prompt, std::move(options.keys_file), std::move(learned.trouble)) {}
  State(const State&) = delete;
  State& operator=(const State&) = delete;
  ~State() { live.leave(); }

  Task<Answer> answer_to(const Question& question);

  Terminal terminal;
  LiveScreen live;
  SpinScene scene;
  Prompt prompt;
  SpinPrompt spins;
};

TerminalPerson::TerminalPerson(const boost::asio::any_io_executor& executor, int terminal,
                               TerminalOptions options) {
  LearnedLetters learned = load_letters(options.keys_file);
  state_ = std::make_unique<State>(executor, terminal, std::move(options), std::move(learned));
}

TerminalPerson::~TerminalPerson() = default;

void TerminalPerson::tell(const Statement& statement) {
  state_->live.tell(statement);
}

Task<Answer> TerminalPerson::ask(const Question& question) {
  State& state = *state_;
  const NoSignals ctrl_c_is_a_key(state.terminal.descriptor());
  co_await state.spins.keep_early_if_alone(question);
  state.terminal.forget_keys();
  state.live.person_is_asked();
  std::exception_ptr trouble;
  Answer answer;
  try {
    answer = co_await state.answer_to(question);
  } catch (...) {
    trouble = std::current_exception();
  }
  state.live.wait_for({});
  state.spins.forget_early();
  if (trouble) std::rethrow_exception(trouble);
  state.live.answered(question, answer);
  // A key held a little too long is no answer to the next question, and must not end the next spin.
  state.terminal.forget_keys();
  co_return answer;
}

Task<bool> TerminalPerson::interrupted(craft::Motor motor, Duration within) {
  return state_->spins.watched(motor, within);
}

Task<Answer> TerminalPerson::State::answer_to(const Question& question) {
  switch (manner_of(question)) {
    case Manner::yes_or_no:
      return prompt.confirm(question);
    case Manner::list:
      return prompt.choose(question);
    case Manner::pointed:
      return live.is_live() ? prompt.point(question) : prompt.choose(question);
    case Manner::place:
      return spins.place(question);
    case Manner::small:
      return spins.small(question);
    case Manner::typed:
      return prompt.typed(question);
    case Manner::pose:
      return prompt.pose(question);
    case Manner::go:
      return spins.go(question);
    case Manner::spin:
      return spins.spin(question);
  }
  throw Fault(FaultKind::internal, "A question of no known kind");
}

}  // namespace armwise::ui
