#include "armwise/ui/line_person.hpp"

#include <termios.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <optional>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/ui/reading.hpp"
#include "lines.hpp"
#include "pause.hpp"
#include "statements.hpp"
#include "terminal_modes.hpp"

namespace armwise::ui {
namespace {

using session::Answer;
using session::Question;
using session::Statement;
using ReadStatus = LineInput::Read::Status;

// Longer than any answer.
constexpr std::size_t longest_typed_line = 4096;

}  // namespace

struct LinePerson::State {
  State(const boost::asio::any_io_executor& given, Streams streams, Onlooker watcher, const Style& look)
      : executor(given),
        input_descriptor(streams.input),
        input_is_terminal(isatty(streams.input) == 1),
        output_is_terminal(isatty(streams.output) == 1),
        output(sink_to(streams.output)),
        prompts(sink_to(streams.prompts)),
        onlooker(std::move(watcher)),
        style(look) {}

  // Opened at the first question: what only tells needs no input.
  LineInput& input() {
    if (!input_) input_.emplace(executor, own_descriptor(input_descriptor), longest_typed_line);
    return *input_;
  }
  void write(const Sink& sink, const std::string& text) {
    if (!sink(text)) gone = true;
  }
  // Output that nobody takes means that nobody is there to answer either.
  void check_that_someone_is_there() const {
    if (gone) throw StoppedByPerson(StoppedByPerson::How::end_of_input);
  }

  void put(const Question& question);
  Task<bool> came_alone(const Question& question);
  void show_scene();
  Task<bool> key_within(Duration within);
  Task<void> wait_out(Duration within);

  boost::asio::any_io_executor executor;
  int input_descriptor;
  std::optional<LineInput> input_;
  bool input_is_terminal, output_is_terminal;
  Sink output, prompts;
  Onlooker onlooker;
  Style style;
  bool scene_wanted = false;
  bool gone = false;
};

LinePerson::LinePerson(const boost::asio::any_io_executor& executor, Streams streams, Onlooker onlooker,
                       const Style& style)
    : state_(std::make_unique<State>(executor, streams, std::move(onlooker), style)) {}

LinePerson::~LinePerson() = default;

void LinePerson::tell(const Statement& statement) {
  const bool rings = statement.level == session::Level::alarm && state_->output_is_terminal;
  if (rings) state_->write(state_->output, "\a");
  state_->write(state_->output, joined_lines(lines_of(statement, Shown::in_sentences, state_->style)));
}

void LinePerson::State::put(const Question& question) {
  std::vector<std::string> lines;
  std::string text = prefix_of(question.level);
  if (question.kind == Question::Kind::spin)
    text += (question.blind ? "Spin " : "Motor " + std::to_string(question.motor.number) + ", spin ") +
            std::to_string(question.attempt) + ". ";
  if (question.kind == Question::Kind::pose && !question.pose.empty())
    text += "Pose: " + question.pose + ". ";
  text += printable(question.text);
  if (question.look) text += " Keep still.";
  for (std::size_t i = 0; i < question.shown.size(); ++i) {
    const bool stands_there = std::ranges::any_of(question.choices, [&](const session::Choice& choice) {
      return choice.where && choice.where->line == i && choice.words != question.shown[i];
    });
    if (stands_there) lines.push_back("  " + printable(question.shown[i]));
  }
  lines.push_back(text);
  int number = 0;
  for (const session::Choice& choice : question.choices) {
    lines.push_back("  " + std::to_string(++number) + ". " + printable(choice.key));
    if (choice.words != choice.key) lines.back() += ": " + printable(choice.words);
  }
  lines.push_back(what_can_be_said(question));
  write(prompts, joined_lines(lines));
}

// Of several lines at once, on a terminal, none is an answer, but to a question that is answered with a text.
// What came with it is forgotten.
Task<bool> LinePerson::State::came_alone(const Question& question) {
  const bool may_be_pasted =
      question.kind == Question::Kind::text || question.kind == Question::Kind::typed_word;
  if (!input_is_terminal || may_be_pasted) co_return true;
  for (bool alone = true;; alone = false) {
    const LineInput::Read more = co_await input().anything(faster_than_a_hand);
    if (more.status != ReadStatus::line) co_return alone;
  }
}

Task<Answer> LinePerson::ask(const Question& question) {
  if (state_->input_is_terminal) {
    // Typed before the question was there: meant for something else.
    tcflush(state_->input().descriptor(), TCIFLUSH);
    state_->input().forget();
  }
  state_->put(question);
  std::optional<craft::PlaceIndex> place;
  while (true) {
    state_->check_that_someone_is_there();
    const LineInput::Read line = co_await state_->input().next(std::nullopt);
    if (line.status == ReadStatus::end) throw StoppedByPerson(StoppedByPerson::How::end_of_input);
    const bool alone = co_await state_->came_alone(question);
    Reading reading =
        Unread{alone ? "That line is too long." : "Several lines came at once: none of them counts."};
    if (alone && line.status == ReadStatus::line) reading = read_words(question, line.text, place);
    if (std::holds_alternative<StopWanted>(reading)) throw StoppedByPerson();
    if (const auto* unread = std::get_if<Unread>(&reading)) {
      state_->write(state_->prompts, unread->why + "\n");
      continue;
    }
    if (const auto* arm = std::get_if<PlaceOnly>(&reading)) {
      place = arm->place;
      const std::string name = question.frame->places.at(*place).name;
      state_->write(state_->prompts, name + ". Which way? " + what_can_be_said(question, place) + "\n");
      continue;
    }
    const Answer answer = std::get<Answer>(reading);
    if (place && std::holds_alternative<session::Back>(answer)) {
      place.reset();
      state_->write(state_->prompts, what_can_be_said(question) + "\n");
      continue;
    }
    state_->write(state_->prompts, "Noted: " + in_words(question, answer) + ".\n");
    co_return answer;
  }
}

void LinePerson::State::show_scene() {
  if (!scene_wanted || !onlooker) return;
  const std::optional<Scene> scene = onlooker();
  if (!scene || scene->frame == nullptr) return;
  scene_wanted = false;
  write(output, joined_lines(in_sentences(*scene->frame, scene->moving)));
}

// A terminal: any key ends the spin.
Task<bool> LinePerson::State::key_within(Duration within) {
  const LineInput::Read read = co_await input().anything(within);
  if (read.status == ReadStatus::end) throw StoppedByPerson(StoppedByPerson::How::end_of_input);
  co_return read.status == ReadStatus::line;
}

// A pipe: what comes may be the next answer, so it is looked at and put back.
Task<void> LinePerson::State::wait_out(Duration within) {
  const auto start = std::chrono::steady_clock::now();
  const LineInput::Read read = co_await input().next(within);
  if (read.status == ReadStatus::quiet) co_return;
  if (read.status == ReadStatus::end) throw StoppedByPerson(StoppedByPerson::How::end_of_input);
  if (lower_case(trimmed(read.text)) == "stop") throw StoppedByPerson();
  input().put_back(read);
  const auto used = std::chrono::duration_cast<Duration>(std::chrono::steady_clock::now() - start);
  if (used < within) co_await pause(executor, within - used);
}

Task<bool> LinePerson::interrupted(craft::Motor motor, Duration within) {
  state_->check_that_someone_is_there();
  // Before it is said that any key stops it.
  std::optional<KeysAtOnce> keys_at_once;
  if (state_->input_is_terminal) keys_at_once.emplace(state_->input().descriptor());
  const std::string who = motor.number == 0 ? "A motor" : "Motor " + std::to_string(motor.number);
  state_->write(state_->output, who + " turns for " + seconds_in_words(within) +
                                    (state_->input_is_terminal ? "; any key stops it.\n" : ".\n"));
  state_->scene_wanted = true;
  bool pressed = false;
  for (Duration left = within; left.count() > 0 && !pressed; left -= std::min(left, tick)) {
    state_->show_scene();
    if (state_->input_is_terminal) {
      pressed = co_await state_->key_within(std::min(left, tick));
    } else {
      co_await state_->wait_out(std::min(left, tick));
    }
  }
  state_->show_scene();
  state_->check_that_someone_is_there();
  co_return pressed;
}

}  // namespace armwise::ui
