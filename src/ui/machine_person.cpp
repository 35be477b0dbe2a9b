#include "armwise/ui/machine_person.hpp"

#include <algorithm>
#include <chrono>
#include <optional>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "json_words.hpp"
#include "lines.hpp"
#include "pause.hpp"

namespace armwise::ui {
namespace {

using nlohmann::json;
using session::Answer;
using session::Question;
using session::Statement;
using ReadStatus = LineInput::Read::Status;

constexpr std::size_t longest_json_line = std::size_t{64} << 10U;

// One line of input as the object that it has to be.
// NOLINTNEXTLINE(bugprone-exception-escape): a json object's move and destruction throw nothing.
struct Received {
  json object;
  std::string why;  // not empty: it is none
};

Received received(const LineInput::Read& line) {
  Received result;
  if (line.status == ReadStatus::too_long) {
    result.why = "A line has at most " + std::to_string(longest_json_line) + " bytes.";
    return result;
  }
  auto value = parsed(line.text, result.why);
  if (!value) return result;
  if (value->is_object()) {
    result.object = std::move(*value);
  } else {
    result.why = "A line is one JSON object.";
  }
  return result;
}

std::string id_of(const json& object) {
  const auto found = object.find("id");
  return found != object.end() && found->is_string() ? found->get<std::string>() : std::string();
}

// A number that an answer repeats has to be that of the question.
bool is_of_another(const json& object, int number) {
  const auto found = object.find("number");
  return found != object.end() && *found != number;
}

Reading read_for(const Question& question, int number, const LineInput::Read& line) {
  const Received one = received(line);
  if (!one.why.empty()) return Unread{one.why};
  const std::string id = id_of(one.object);
  if (id == "stop") return StopWanted{};
  if (id == "back") {
    if (question.may_go_back) return Answer{session::Back{}};
    return Unread{"There is no way back from here."};
  }
  if (id != question.id)
    return Unread{"\"id\" has to be \"" + question.id + "\" now: that is the question that is open."};
  if (is_of_another(one.object, number))
    return Unread{"\"number\" has to be " + std::to_string(number) +
                  " now: that is the question that is open."};
  return read_object(question, one.object);
}

bool wants_to_stop(const json& object) {
  const auto seen = object.find("seen");
  return id_of(object) == "stop" || (seen != object.end() && *seen == "stop");
}

// Whether a motor turns, and which one did, is answered by who has been asked, and not beforehand.
bool is_about_a_spin(const Question& question) {
  return question.kind == Question::Kind::go || question.kind == Question::Kind::spin;
}

}  // namespace

struct MachinePerson::State {
  State(const boost::asio::any_io_executor& given, Streams streams, Onlooker watcher)
      : executor(given),
        input_descriptor(streams.input),
        output(sink_to(streams.output)),
        onlooker(std::move(watcher)) {}

  // Opened at the first question: what only tells needs no input.
  LineInput& input() {
    if (!input_) input_.emplace(executor, own_descriptor(input_descriptor), longest_json_line);
    return *input_;
  }
  void write(const nlohmann::ordered_json& object) {
    if (!output(one_line(object))) gone = true;
  }
  void check_that_someone_is_there() const {
    if (gone) throw StoppedByPerson(StoppedByPerson::How::end_of_input);
  }
  void refuse(const std::string& id, const std::string& why) {
    write({{"type", "error"}, {"id", id}, {"text", why}});
  }
  void show_scene();
  Task<void> refuse_what_came_early(const Question& question);
  Task<bool> interrupted_within(Duration within);

  boost::asio::any_io_executor executor;
  int input_descriptor;
  std::optional<LineInput> input_;
  Sink output;
  Onlooker onlooker;
  int number = 0;  // of the question last put
  bool scene_wanted = false;
  bool gone = false;
};

MachinePerson::MachinePerson(const boost::asio::any_io_executor& executor, Streams streams, Onlooker onlooker)
    : state_(std::make_unique<State>(executor, streams, std::move(onlooker))) {}

MachinePerson::~MachinePerson() = default;

void MachinePerson::tell(const Statement& statement) {
  if (statement.kind == Statement::Kind::phase) return;
  state_->write(statement_object(statement));
}

// But for a stop, which counts whenever it comes.
Task<void> MachinePerson::State::refuse_what_came_early(const Question& question) {
  const std::string why = "That line came before the question: it answers nothing.";
  while (true) {
    const LineInput::Read line = co_await input().next(Duration{0});
    if (line.status == ReadStatus::quiet || line.status == ReadStatus::end) break;
    const Received one = received(line);
    if (one.why.empty() && wants_to_stop(one.object)) throw StoppedByPerson();
    refuse(question.id, why);
  }
  if (input().skip_begun_line()) refuse(question.id, why);
}

Task<Answer> MachinePerson::ask(const Question& question) {
  if (is_about_a_spin(question)) co_await state_->refuse_what_came_early(question);
  const int number = ++state_->number;
  while (true) {
    nlohmann::ordered_json object = ask_object(question);
    object["number"] = number;
    state_->write(object);
    state_->check_that_someone_is_there();
    const LineInput::Read line = co_await state_->input().next(std::nullopt);
    if (line.status == ReadStatus::end) throw StoppedByPerson(StoppedByPerson::How::end_of_input);
    const Reading reading = read_for(question, number, line);
    if (std::holds_alternative<StopWanted>(reading)) throw StoppedByPerson();
    if (const auto* answer = std::get_if<Answer>(&reading)) {
      const Answer result = *answer;
      co_return result;
    }
    std::string why = "The turn is missing.";
    if (const auto* unread = std::get_if<Unread>(&reading)) why = unread->why;
    state_->refuse(question.id, why);
  }
}

void MachinePerson::State::show_scene() {
  if (!scene_wanted || !onlooker) return;
  const std::optional<Scene> scene = onlooker();
  if (!scene || scene->frame == nullptr) return;
  scene_wanted = false;
  nlohmann::ordered_json moving = nlohmann::ordered_json::array();
  for (const Moving& one : scene->moving)
    moving.push_back({{"arm", scene->frame->places.at(one.place).name}, {"turn", name(one.turn)}});
  write({{"type", "progress"}, {"doing", "practice"}, {"moving", moving}});
}

Task<bool> MachinePerson::State::interrupted_within(Duration within) {
  const LineInput::Read line = co_await input().next(within);
  if (line.status == ReadStatus::quiet) co_return false;
  if (line.status == ReadStatus::end) throw StoppedByPerson(StoppedByPerson::How::end_of_input);
  const Received one = received(line);
  if (one.why.empty() && wants_to_stop(one.object)) throw StoppedByPerson();
  if (one.why.empty() && id_of(one.object) == "interrupt") co_return true;
  refuse(id_of(one.object), "While a motor turns only \"interrupt\" and \"stop\" are heard.");
  co_return false;
}

Task<bool> MachinePerson::interrupted(craft::Motor motor, Duration within) {
  nlohmann::ordered_json doing{{"type", "progress"}, {"doing", "spin"}};
  if (motor.number != 0) doing["motor"] = motor.number;
  doing["ms"] = within.count();
  state_->write(doing);
  state_->check_that_someone_is_there();
  state_->scene_wanted = true;
  const auto end = std::chrono::steady_clock::now() + within;
  bool ended = false;
  while (!ended) {
    const auto left = std::chrono::duration_cast<Duration>(end - std::chrono::steady_clock::now());
    if (left.count() <= 0) break;
    state_->show_scene();
    ended = co_await state_->interrupted_within(std::min(left, tick));
  }
  state_->show_scene();
  state_->check_that_someone_is_there();
  co_return ended;
}

}  // namespace armwise::ui
