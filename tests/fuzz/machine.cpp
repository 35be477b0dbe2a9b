// What comes in from programs and people: lines of JSON, words, answers.
//
// Input: a byte that chooses the question, a byte of options, then the line.
#include <array>
#include <cstdint>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "armwise/ui/reading.hpp"
#include "fuzz/must.hpp"
#include "json_words.hpp"

namespace armwise::fuzz {
namespace {

using session::Question;
using Kind = Question::Kind;
using ui::Reading;

// In the order by which the corpus names them.
constexpr std::array kinds{Kind::confirm, Kind::choose, Kind::typed_word, Kind::text,
                           Kind::spin,    Kind::pose,   Kind::go};

// The questions that there are, with text in them that came from a console.
Question question_of(unsigned kind, const craft::Frame& frame, std::string_view strangers) {
  Question question;
  question.id = "asked";
  question.text = "What is it?";
  question.kind = kinds[kind % kinds.size()];
  if (question.kind == Kind::choose) {
    question.choices = {{"quad-x", "four arms"}, {"back", "a frame of that name"}, {"P1", "a pin"}};
    question.choices.push_back({std::string(strangers), std::string(strangers)});
  }
  if (question.kind == Kind::typed_word) question.word = "off";
  if (question.kind == Kind::text) question.suggestion = strangers;
  if (question.kind == Kind::pose) question.pose = "nose-down";
  question.frame = &frame;
  question.motor.number = 2;
  question.pin.name = strangers;
  question.values["motor"] = strangers;
  return question;
}

bool is_a_choice(const Question& question, const std::string& text) {
  for (const session::Choice& choice : question.choices) {
    if (choice.key == text) return true;
  }
  return false;
}

void check_text(const Question& question, const std::string& text) {
  switch (question.kind) {
    case Kind::confirm:
      return must(text == "yes" || text == "no", "a confirmation is yes or no", text);
    case Kind::choose:
      return must(is_a_choice(question, text), "a choice is one of those given", text);
    case Kind::typed_word:
      return must(text == question.word, "only the word itself is the word", text);
    case Kind::text:
      return must(text == question.suggestion || is_printable(text), "a text can be shown", text);
    case Kind::pose:
      return must(text == "ready", "a pose is held or not", text);
    case Kind::go:
      return must(text == "spin", "only its own word spins", text);
    case Kind::spin:
      return must(false, "a spin is not answered with text", text);
  }
}

void check_answer(const Question& question, const session::Answer& answer, bool had_place) {
  must_be_sayable(ui::in_words(question, answer));
  if (std::holds_alternative<session::Back>(answer))
    return must(question.may_go_back || had_place, "back only where there is a way back");
  if (const auto* text = std::get_if<std::string>(&answer)) return check_text(question, *text);
  must(question.kind == Kind::spin, "only a spin is answered with an arm");
  const auto& seen = std::get<session::SpinSeen>(answer);
  if (seen.what == session::SpinSeen::What::one)
    must(seen.place < question.frame->places.size(), "an arm is one of the frame's");
}

void check_reading(const Question& question, const Reading& reading, bool had_place = false) {
  if (const auto* answer = std::get_if<session::Answer>(&reading)) check_answer(question, *answer, had_place);
  if (const auto* place = std::get_if<ui::PlaceOnly>(&reading))
    must(place->place < question.frame->places.size(), "an arm is one of the frame's");
  if (const auto* unread = std::get_if<ui::Unread>(&reading)) {
    must(!unread->why.empty(), "who is not understood is told why");
    must_be_sayable(unread->why);
  }
}

void check_line_out(const nlohmann::ordered_json& object) {
  std::string line = ui::one_line(object);
  must(line.ends_with('\n'), "a line ends");
  line.pop_back();
  must_be_sayable(line);
  must(!nlohmann::json::parse(line, nullptr, false).is_discarded(), "a line is JSON", line);
}

void check_telling(const std::string& strangers) {
  session::Statement statement;
  statement.text = strangers;
  statement.console_lines = {strangers};
  statement.facts["record"] = strangers;
  session::CraftView view;
  view.frame = craft::frame_named("y6");
  view.title = strangers;
  view.at[0] = {craft::Motor{1}, craft::Pin{strangers}, craft::Turn::cw, std::nullopt};
  statement.views = {view};
  check_line_out(ui::statement_object(statement));
}

void check(std::string_view bytes) {
  if (bytes.size() < 2) return;
  const auto chosen = static_cast<unsigned char>(bytes[0]);
  const auto options = static_cast<unsigned char>(bytes[1]);
  const std::string line(bytes.substr(2));
  const craft::Frame& frame = craft::frames()[options % craft::frames().size()];
  Question question = question_of(chosen, frame, line.substr(0, 40));
  question.may_go_back = (options & 128U) != 0;
  check_line_out(ui::ask_object(question));
  check_telling(line);
  check_reading(question, ui::read_words(question, line));
  if (question.kind == Kind::spin)
    check_reading(question, ui::read_words(question, line, chosen / kinds.size() % frame.places.size()),
                  true);
  std::string why;
  const auto value = ui::parsed(line, why);
  must(value.has_value() != !why.empty(), "what is no answer is said to be none", line);
  must_be_sayable(why);
  if (value) check_reading(question, ui::read_value(question, *value));
}

}  // namespace
}  // namespace armwise::fuzz

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  armwise::fuzz::check({reinterpret_cast<const char*>(data), size});
  return 0;
}
