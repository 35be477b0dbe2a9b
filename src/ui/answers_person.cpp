#include "armwise/ui/answers_person.hpp"

#include <map>
#include <utility>
#include <vector>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/record/files.hpp"
#include "json_words.hpp"

namespace armwise::ui {
namespace {

using nlohmann::json;
using session::Answer;
using session::Question;

constexpr std::size_t longest_answers = std::size_t{1} << 20U;
// One answer that stands for every time the question comes: a question that comes so often never ends.
constexpr int most_uses = 100;

Fault not_sound(const std::string& why) {
  return {FaultKind::usage, "The answers cannot be used", why,
          "An answers file is a JSON object: question id to answer, or to a list of answers"};
}

bool is_answer(const json& value) {
  return value.is_string() || value.is_object();
}

}  // namespace

struct Answers::State {
  struct Given {
    std::vector<json> answers;
    bool is_list = false;
    std::size_t used = 0;
  };
  std::map<std::string, Given> given;
  std::string origin = "no answers were given";
};

Answers::Answers() : state_(std::make_unique<State>()) {}
Answers::~Answers() = default;
Answers::Answers(Answers&&) noexcept = default;
Answers& Answers::operator=(Answers&&) noexcept = default;

Answers Answers::from_json(std::string_view text) {
  std::string why;
  const auto object = parsed(text, why);
  if (!object) throw not_sound(why);
  if (!object->is_object()) throw not_sound("it is not a JSON object");
  Answers answers;
  answers.state_->origin = "the answers file has no entry for it";
  for (const auto& [id, value] : object->items()) {
    State::Given& given = answers.state_->given[id];
    given.is_list = value.is_array();
    if (given.is_list) {
      given.answers = value.get<std::vector<json>>();
    } else {
      given.answers.push_back(value);
    }
    for (const json& answer : given.answers) {
      if (!is_answer(answer))
        throw not_sound("the answer to \"" + printable(id) + "\" is neither a string nor an object");
    }
  }
  return answers;
}

Answers Answers::from_file(const std::filesystem::path& file) {
  try {
    return from_json(record::read_whole(file, longest_answers));
  } catch (const Fault& fault) {
    // What was named on the command line is not there, or not what it has to be.
    throw Fault(FaultKind::usage, printable(file.string()) + ": " + fault.happened(), fault.why(),
                fault.next());
  }
}

Answer Answers::next(const Question& question) {
  const auto fault = [&](const std::string& why) {
    return Fault(
        FaultKind::usage,
        "No answer is given to the question \"" + question.id + "\" (" + printable(question.text) + ")", why,
        "Answer it in a file (--answers FILE, with the key \"" + question.id +
            "\"), by a program (--machine), or in lines of text (--plain)");
  };
  const auto found = state_->given.find(question.id);
  if (found == state_->given.end()) throw fault(state_->origin);
  State::Given& given = found->second;
  if (given.is_list && given.used >= given.answers.size())
    throw fault("all " + std::to_string(given.used) + " answers to it have been used");
  if (!given.is_list && given.used >= most_uses)
    throw fault("its one answer has been used " + std::to_string(given.used) + " times");
  const json& value = given.answers[given.is_list ? given.used : 0];
  ++given.used;
  const Reading reading = read_value(question, value);
  if (std::holds_alternative<StopWanted>(reading)) throw StoppedByPerson();
  if (const auto* unread = std::get_if<Unread>(&reading))
    throw fault("its answer " + printable(value.dump(-1, ' ', false, json::error_handler_t::replace)) +
                " does not fit: " + unread->why);
  return std::get<Answer>(reading);
}

AnswersPerson::AnswersPerson(Answers answers, std::unique_ptr<session::Person> front_end, Listening listening,
                             Clock& clock)
    : answers_(std::move(answers)), front_end_(std::move(front_end)), listening_(listening), clock_(clock) {}

Task<Answer> AnswersPerson::ask(const Question& question) {
  Answer answer = answers_.next(question);
  front_end_->tell("answered-beforehand", {{"asked", printable(question.text)},
                                           {"question", question.id},
                                           {"answer", in_words(question, answer)}});
  co_return answer;
}

Task<bool> AnswersPerson::interrupted(craft::Motor motor, Duration within) {
  if (listening_ == Listening::someone) {
    const bool pressed = co_await front_end_->interrupted(motor, within);
    co_return pressed;
  }
  co_await clock_.sleep(within);
  co_return false;
}

bool is_about_settings(const Question& question) {
  return question.kind == Question::Kind::confirm && question.about_settings;
}

Task<Answer> YesPerson::ask(const Question& question) {
  if (is_about_settings(question)) {
    front_end_->tell("answered-by-yes", {{"asked", printable(question.text)}, {"question", question.id}});
    co_return Answer{std::string("yes")};
  }
  Answer answer = co_await front_end_->ask(question);
  co_return answer;
}

Task<bool> YesPerson::interrupted(craft::Motor motor, Duration within) {
  return front_end_->interrupted(motor, within);
}

}  // namespace armwise::ui
