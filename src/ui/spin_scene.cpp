#include "spin_scene.hpp"

#include <algorithm>
#include <utility>

#include "armwise/ui/reading.hpp"
#include "statements.hpp"

namespace armwise::ui {

using session::Question;
using session::SpinSeen;

namespace {

// On a narrower screen the time that is left stands below the picture.
constexpr int room_beside = 60;
constexpr int beside = 18;  // columns
// For the question with the longest text, and a line that is told with it.
constexpr int rows_below = 4;

std::string bar(Duration left, Duration whole, const Style& style) {
  constexpr int cells = 10;
  const auto full = static_cast<int>(cells * left.count() / std::max<Duration::rep>(1, whole.count()));
  std::string text;
  for (int i = 0; i < cells; ++i)
    text += i < full ? (style.unicode ? "█" : "#") : (style.unicode ? "░" : ".");
  return text;
}

}  // namespace

SpinScene::SpinScene(LiveScreen& live, Onlooker onlooker, const Ring& letters)
    : live_(live), onlooker_(std::move(onlooker)), letters_(letters) {}

ArmKeys SpinScene::keys_of(const craft::Frame& frame) const {
  return ArmKeys(frame, nose_, letters_);
}

void SpinScene::show_arms(const craft::Frame& frame) {
  spinning_.moving.clear();
  live_.screen.aside.clear();
  live_.screen.aside_columns = beside;
  live_.screen.rows_below = rows_below;
  const ArmKeys keys = keys_of(frame);
  live_.screen.picture = [this, &frame, keys](const Style& style) {
    const Caps caps = by_strip ? Caps::arms : Caps::shown;
    Picture picture = asking_picture(frame, keys, style, spinning_, caps);
    if (!picture.empty() || style.rows > 0) return picture;
    Picture sentences;
    for (const std::string& sentence : ui::in_sentences(frame, keys)) {
      for (Line& line : wrapped_lines(sentence, Ink::plain, style))
        sentences.lines.push_back(std::move(line));
    }
    return sentences;
  };
}

void SpinScene::show_craft() {
  live_.screen.aside.clear();
  if (craft_ == nullptr) return;
  live_.screen.picture = [frame = craft_, side = nose_](const Style& style) {
    return asking_picture(*frame, ArmKeys(*frame, side), style, {}, Caps::none);
  };
}

void SpinScene::flip_nose() {
  nose_ = nose_ == NoseSide::away ? NoseSide::toward : NoseSide::away;
}

void SpinScene::forget(const std::string& pin) {
  const auto before = place_of_pin_.find(pin);
  if (before == place_of_pin_.end()) return;
  spinning_.noted.erase(before->second);
  place_of_pin_.erase(before);
}

// A round of spins begins anew with another frame, or where the answers are a proof.
void SpinScene::note(const Question& question, SpinSeen& seen) {
  seen.nose_toward = nose_ == NoseSide::toward;
  if (question.frame != answered_frame_ || question.blind != answered_blind_) {
    spinning_.noted.clear();
    place_of_pin_.clear();
  }
  answered_frame_ = question.frame;
  answered_blind_ = question.blind;
  // What was answered before must not lead the witness.
  if (question.blind) return;
  const std::string pin = spun_by(question);
  forget(pin);
  if (seen.what != SpinSeen::What::one) return;
  place_of_pin_[pin] = seen.place;
  spinning_.noted[seen.place] = {pin, seen.turn};
}

// The craft of a round whose motor is not told is seen without what was answered before.
void SpinScene::next(const Question& question) {
  spun_ = spun_by(question);
  if (question.frame != nullptr) craft_ = question.frame;
  if (craft_ == nullptr) return;
  forget(spun_);
  show_arms(*craft_);
  if (question.motor.number != 0) return;
  spinning_.noted.clear();
  place_of_pin_.clear();
}

void SpinScene::show_turn() {
  live_.screen.picture = [this](const Style& style) { return turn_picture(style, spinning_.step); };
}

void SpinScene::run_on() {
  ++spinning_.step;
  live_.refresh();
}

void SpinScene::countdown(const std::string& who, Duration left, Duration whole) {
  const std::string words = seconds_in_words(left);
  if (!live_.is_live()) {
    live_.terminal().overwrite(" " + who + " spins, " + words + " left. Any key stops it.");
    tell_on_paper();
    return;
  }
  ++spinning_.step;
  if (onlooker_) {
    const std::optional<Scene> scene = onlooker_();
    const craft::Frame* drawn = craft_ == nullptr && scene ? scene->frame : craft_;
    // Where no arm is asked about, nothing is drawn yet.
    if (drawn != nullptr && !live_.screen.picture) {
      live_.screen.aside_columns = beside;
      live_.screen.picture = [this, drawn, side = nose_](const Style& style) {
        return asking_picture(*drawn, ArmKeys(*drawn, side), style, spinning_, Caps::none);
      };
    }
    if (scene && scene->frame == drawn) spinning_.moving = scene->moving;
  }
  const std::string how_long = bar(left, whole, live_.style()) + " " + words;
  if (live_.style().columns >= room_beside) {
    live_.screen.aside = {{{who + " spins", Ink::strong}}, {{how_long, Ink::plain}}};
  } else {
    live_.screen.busy = who + " spins " + how_long;
  }
  live_.refresh();
}

// On paper, once a spin.
void SpinScene::tell_on_paper() {
  if (told_on_paper_ || !onlooker_) return;
  const std::optional<Scene> scene = onlooker_();
  if (!scene || scene->frame == nullptr) return;
  told_on_paper_ = true;
  live_.terminal().finish_line();
  live_.terminal().write(" What you see at the bench:\n");
  for (const std::string& sentence : in_sentences(*scene->frame, scene->moving))
    live_.terminal().write(" " + sentence + "\n");
}

void SpinScene::countdown_over(const std::string& who, const std::string& why) {
  if (!live_.is_live()) {
    tell_on_paper();
    told_on_paper_ = false;
    live_.terminal().overwrite(" " + who + ": " + why + ", told to stop.");
    live_.terminal().finish_line();
    return;
  }
  spinning_.moving.clear();
  live_.screen.aside = {
      {{who + ":", Ink::plain}}, {{why + ",", Ink::plain}}, {{"told to stop.", Ink::plain}}};
  live_.screen.busy.clear();
  live_.screen.question.clear();
  live_.screen.keys.clear();
  live_.refresh();
}

}  // namespace armwise::ui
