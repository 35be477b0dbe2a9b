// One craft for the worked examples: quad-x, each motor turning as props in wants it, and every pin on
// another arm than the controllers believe.
#pragma once

#include "armwise/session/bench.hpp"
#include "support/practice_session.hpp"

namespace armwise::test {

inline const craft::Frame& worked_frame() {
  return *craft::frame_named("quad-x");
}

// P1 to P4 lead to these arms, in turn. Element i of `turned_round`: that pin's motor turns the other way.
inline practice::PracticeCraft worked_craft(const std::vector<std::string>& arms = {"front-right",
                                                                                    "rear-right", "rear-left",
                                                                                    "front-left"},
                                            const std::vector<bool>& turned_round = {}) {
  const craft::Frame& frame = worked_frame();
  std::vector<practice::Soldered> wiring;
  for (std::size_t i = 0; i < arms.size(); ++i) {
    const craft::PlaceIndex place = frame.find(arms[i]).value();
    const craft::Turn turn = frame.wanted(place, craft::PropScheme::in);
    const bool round = i < turned_round.size() && turned_round[i];
    wiring.push_back({place, round ? craft::opposite(turn) : turn});
  }
  return craft_with(frame, wiring);
}

// Where motor 1 to 4 of this dialect belong, so that a craft wired so needs no change.
inline std::vector<std::string> as_numbered(const std::string& dialect) {
  const craft::Numbering numbering = fixture_profile(dialect).numbering_for(worked_frame()).value();
  std::vector<std::string> arms;
  for (const craft::PlaceIndex place : numbering.place_of_motor)
    arms.push_back(worked_frame().places[place].name);
  return arms;
}

inline session::BenchOptions worked_options(session::MountWish mount = session::MountWish::leave) {
  session::BenchOptions options;
  options.frame = worked_frame().name;
  options.scheme = craft::PropScheme::in;
  options.craft_name = "worked craft";
  options.mount = mount;
  return options;
}

}  // namespace armwise::test
