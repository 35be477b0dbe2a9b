// The stations before anything turns: what is to be built, and that it is safe.
#include <algorithm>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/solve/difference.hpp"
#include "bench_flow.hpp"
#include "ceremony.hpp"
#include "words.hpp"

namespace armwise::session {
namespace {

constexpr int most_readings = 3;

bool is_back(const Answer& answer) {
  return std::holds_alternative<Back>(answer);
}

std::vector<std::string> frame_names() {
  std::vector<std::string> names;
  for (const craft::Frame& frame : craft::frames()) names.push_back(frame.name);
  return names;
}

}  // namespace

Task<Move> BenchFlow::choose_frame(Entered entered) {
  std::string name = options_.frame;
  if (!name.empty() && entered == Entered::backwards) co_return Move::back();
  if (name.empty()) {
    Question question;
    question.id = "frame";
    question.kind = Question::Kind::choose;
    question.text = "Which frame is it?";
    for (const craft::Frame& frame : craft::frames())
      question.choices.push_back({frame.name, frame.description});
    question.marked = "quad-x";
    const Answer answer = co_await person_.ask(question);
    if (is_back(answer)) co_return Move::back();
    name = std::get<std::string>(answer);
  }
  frame_ = craft::frame_named(name);
  if (frame_ == nullptr) {
    const std::string near = nearest(name, frame_names());
    throw Fault(FaultKind::usage, "There is no frame called " + printable(name),
                near.empty() ? std::string() : "the nearest name is " + near,
                "Choose one of: " + joined(frame_names(), ", "));
  }
  co_return Move::on();
}

Task<Move> BenchFlow::choose_props(Entered entered) {
  if (options_.scheme) {
    scheme_ = *options_.scheme;
    co_return pass(entered);
  }
  Question question;
  question.id = "props";
  question.kind = Question::Kind::choose;
  question.text = "Props in or props out?";
  question.marked = "in";
  question.choices = {{"in", "the front blades sweep in over the nose"},
                      {"out", "the front blades sweep away from it"}};
  const Answer answer = co_await person_.ask(question);
  if (is_back(answer)) co_return Move::back();
  scheme_ = std::get<std::string>(answer) == "in" ? craft::PropScheme::in : craft::PropScheme::out;
  co_return Move::on();
}

// What is planned with, and what everything is taken back to: a byte lost on the line must not get into it.
Task<solve::Snapshot> BenchFlow::read_twice() {
  solve::Snapshot read = co_await console_.snapshot(frame_->size());
  for (int attempt = 0; attempt < most_readings; ++attempt) {
    solve::Snapshot again = co_await console_.snapshot(frame_->size());
    const std::vector<std::string> differing = solve::differences_in_words(again, read);
    if (differing.empty()) co_return again;
    person_.say("Read twice, the settings differ (" + joined(differing, "; ") + "): they are read once more.",
                Level::warn);
    read = std::move(again);
  }
  throw Fault(FaultKind::unreadable, "The controller's settings read otherwise each time",
              "bytes are lost or damaged on the line, or the settings change by themselves",
              "Try another cable and another port of the computer, then start again");
}

Task<Move> BenchFlow::read_settings(Entered entered) {
  if (entered == Entered::backwards) co_return Move::back();
  // What everything is taken back to was read before a saved configuration was played back.
  if (played_) co_return Move::on();
  before_ = co_await read_twice();
  if (before_.map.size() < frame_->size()) {
    throw Fault(FaultKind::mismatch,
                "The controller lists " +
                    words::count(static_cast<std::size_t>(before_.map.size()), "motor", "motors") +
                    ", but a " + frame_->name + " has " + std::to_string(frame_->size()),
                "either the controller is set up for another frame, or another frame was meant",
                "Set the controller to this frame first, or choose the frame that it has");
  }
  now_ = before_;
  baseline_ = before_;
  const auto known = numbering_known();
  numbering_ = known.value_or(craft::Numbering{});
  co_return Move::on();
}

// The profile's, or that of a record which was made with the same profile.
std::optional<craft::Numbering> BenchFlow::numbering_known() const {
  std::optional<craft::Numbering> known = console_.profile().numbering_for(*frame_);
  if (!known && again_) known = numbering_of_record();
  return known;
}

// Asked where the profile does not say where the controller believes each motor number sits.
Task<Move> BenchFlow::ask_numbering(Entered entered) {
  if (numbering_known()) co_return pass(entered);
  std::vector<craft::PlaceIndex> chosen;
  while (static_cast<int>(chosen.size()) < frame_->size()) {
    Question question;
    question.id = "numbering";
    question.kind = Question::Kind::choose;
    question.frame = frame_;
    question.motor = motor(static_cast<int>(chosen.size()));
    question.text =
        "Where does this controller's own diagram put motor " + std::to_string(chosen.size() + 1) + "?";
    for (craft::PlaceIndex place = 0; place < frame_->places.size(); ++place) {
      if (std::find(chosen.begin(), chosen.end(), place) != chosen.end()) continue;
      question.choices.push_back({frame_->places[place].name, frame_->places[place].name});
    }
    const Answer answer = co_await person_.ask(question);
    if (is_back(answer)) {
      if (chosen.empty()) co_return Move::back();
      chosen.pop_back();
      continue;
    }
    const auto place = frame_->find(std::get<std::string>(answer));
    if (!place) throw Fault(FaultKind::usage, "There is no such place on a " + frame_->name);
    chosen.push_back(*place);
  }
  numbering_.place_of_motor = chosen;
  co_return Move::on();
}

Task<Move> BenchFlow::take_props_off(Entered entered) {
  if (entered == Entered::forwards) say_cautions(person_);
  spin_permit_.reset();
  const Sworn sworn = co_await swear_props_off(person_, frame_);
  if (sworn.back) co_return Move::back();
  if (!sworn.permit) {
    throw Fault(FaultKind::usage, "The propellers were not said to be off",
                "the answer was not the word asked for", "Take them off, then start again");
  }
  spin_permit_ = sworn.permit;
  co_return Move::on();
}

Task<Move> BenchFlow::connect_battery(Entered) {
  const Answer answer = co_await ask_for_battery(person_);
  if (is_back(answer)) co_return Move::back();
  if (std::get<std::string>(answer) != "yes") throw StoppedByPerson();
  co_return Move::on();
}

}  // namespace armwise::session
