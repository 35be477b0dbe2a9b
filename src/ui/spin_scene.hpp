// The craft on the screen while its motors are spun and asked about: how it lies before the person, what was
// answered of it, and what moves.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "armwise/ui/keys.hpp"
#include "armwise/ui/onlooker.hpp"
#include "armwise/ui/picture.hpp"
#include "live_screen.hpp"

namespace armwise::ui {

class SpinScene {
 public:
  SpinScene(LiveScreen& live, Onlooker onlooker, const Ring& letters);
  SpinScene(const SpinScene&) = delete;
  SpinScene& operator=(const SpinScene&) = delete;

  NoseSide nose() const { return nose_; }
  void flip_nose();
  void learn(const Ring& letters) { letters_ = letters; }
  const Ring& letters() const { return letters_; }
  ArmKeys keys_of(const craft::Frame& frame) const;
  // The direction is asked by a strip of paper: arms have keys, pairs have none.
  bool by_strip = false;

  // Null until one is named.
  const craft::Frame* craft() const { return craft_; }
  void is_about(const craft::Frame& frame) { craft_ = &frame; }

  // `question` of kind go: what Space spins next, and no answer about it any more.
  void next(const session::Question& question);
  const std::string& spun() const { return spun_; }  // "P3"
  bool nothing_answered() const { return place_of_pin_.empty(); }
  // Fills in how the nose lay.
  void note(const session::Question& question, session::SpinSeen& seen);

  // As the picture of the screen.
  void show_arms(const craft::Frame& frame);
  void show_craft();  // without keys, and without what was answered
  void show_turn();   // the two directions
  void run_on();      // arcs that move do so by a step

  void countdown(const std::string& who, Duration left, Duration whole);
  void countdown_over(const std::string& who, const std::string& why);

 private:
  void forget(const std::string& pin);
  void tell_on_paper();

  LiveScreen& live_;
  Onlooker onlooker_;
  Ring letters_;
  NoseSide nose_ = NoseSide::away;
  const craft::Frame* craft_ = nullptr;

  // Of whom the answers are.
  const craft::Frame* answered_frame_ = nullptr;
  bool answered_blind_ = false;
  std::map<std::string, craft::PlaceIndex> place_of_pin_;
  Spinning spinning_;
  std::string spun_;
  bool told_on_paper_ = false;
};

}  // namespace armwise::ui
