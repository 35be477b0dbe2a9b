// How often people answer wrong, and what crafts are like before anybody has looked: the numbers that the
// belief in belief.hpp reckons with. All are probabilities of one answer, craft or session; times in seconds.
#pragma once

#include <array>

namespace armwise::solve {

struct AnswerModel {
  // Two kinds of people, since nobody knows beforehand who answers: `share` of them, `wrong` of their
  // answers. Half of the wrong answers about a spin name another arm, half the other direction.
  //
  // The careless kind is what the rest is designed for. Arms: 5 % (left taken for right, mean over all
  // headings: 5.3 % in text, 5.2 % by their table 2; P. M. and M. C. Corballis, Memory & Cognition
  // 21:458-466, 1993). Directions: 5 % as well, a judgement: no published figure exists for the direction of
  // a short spin. Between the two HEART task types D (9 %) and E (2 %) lie the questions that are put in
  // another way.
  struct Kind {
    double share;
    double wrong;
  };
  std::array<Kind, 2> kinds{Kind{0.7, 0.02}, Kind{0.3, 0.12}};
  // With the nose toward the person arms are muddled more often by so much: 12.85 % at 180 degrees in the
  // same table, against 5.2 %.
  double nose_toward_factor = 12.85 / 5.2;

  // Whom a wrong arm is: its mirror image left for right, else front for rear, else any other. A judgement.
  double slip_left_right = 0.7, slip_front_rear = 0.15;
  // That a slip comes again at the same motor: low dependence in THERP (NUREG/CR-1278, chapter 10).
  double repeated_slip = 0.05;
  // An answer that was taken back at once says little, and that much doubt falls on the one that came
  // instead.
  double undone_wrong = 0.4;
  double doubt_after_undo = 2;

  // People who err the same way throughout. Judgements; of these, the ones alone are what is simulated.
  double from_below = 0.01, left_for_right = 0.01, nose_for_tail = 0.01;
  double front_for_rear = 0.003, turned_over = 0.0003;  // turned over: from below, left for right
  double any_other_view = 0.00003;
  double answers_as_planned = 0.003;  // the check's directions, as they ought to be

  // Crafts. A map by a plain symmetry of the frame, two mirror arms swapped in it, or anything at all; all
  // directions by one scheme or its opposite but for `off_scheme` of the motors, or anything. Common
  // practice, no source.
  double plain_map = 0.6, one_swap = 0.2;
  double by_scheme = 0.7, off_scheme = 0.25;

  // What a question takes of a person's time, from the moment it is put. Judgements.
  double seconds_spin = 9, seconds_strip = 16, seconds_hand = 13, seconds_other = 4;
};

}  // namespace armwise::solve
