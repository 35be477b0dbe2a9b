// Keys that lie like the arms. Pure.
//
// The eight keys around the middle one of a numeric keypad, and eight letters that lie alike, stand for the
// eight directions in which an arm can point, as the person sees the craft: where the nose points toward
// the person, picture and keys are turned together.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "armwise/craft/frame.hpp"
#include "armwise/craft/turn.hpp"

namespace armwise::ui {

// One press of a key.
struct Key {
  enum class Kind {
    text,  // one character, in `text`
    left,
    right,
    up,
    down,
    home,
    end,
    page_up,
    page_down,
    middle,  // the keypad's 5 without NumLock
    insert,
    enter,
    tab,
    backspace,
    erase_line,
    escape,
    interrupt,     // Ctrl-C
    end_of_input,  // Ctrl-D
    other          // a key that means nothing here
  };
  Kind kind = Kind::other;
  std::string text;
  bool operator==(const Key&) const = default;

  static Key of(std::string_view character) { return {Kind::text, std::string(character)}; }
  // A letter, small or capital.
  bool is(std::string_view character) const;
  // As a person calls it: "7", "left arrow", "Enter".
  std::string in_words() const;
};

// Bytes of a terminal in, keys out. An escape sequence may come in pieces; a lone ESC is only known to be
// one once nothing followed for a moment: then flush() gives it.
class KeyDecoder {
 public:
  std::vector<Key> feed(std::string_view bytes);
  bool waiting() const { return !pending_.empty(); }
  std::vector<Key> flush();

 private:
  std::string pending_;
};

// Clockwise from the top left, as the keypad lies: 7 8 9 6 3 2 1 4.
using Ring = std::array<std::string, 8>;
const Ring& keypad_ring();
const Ring& standard_letters();  // q w e d c x z a

// Why eight keys cannot be used as letters (two alike, or one that means something else); empty: they can.
std::string why_not_letters(const Ring& letters);

// Keys that mean the same wherever a spin is asked about.
namespace key {
inline constexpr const char* nothing_moved = "5";
inline constexpr const char* several = "0";
inline constexpr const char* again = " ";
inline constexpr const char* back = "u";
inline constexpr const char* help = "?";
inline constexpr const char* strip = "t";  // ask the turn by a strip of paper
inline constexpr const char* learn = "v";  // learn the eight letters
inline constexpr const char* flip = "f";   // the nose points the other way
}  // namespace key

enum class NoseSide { away, toward };  // as the person stands

// Which key stands for which arm of one frame.
class ArmKeys {
 public:
  struct Cap {
    std::string arm;                        // "front-left"
    std::string digit, letter;              // "7", "q"
    std::array<std::string, 2> pair;        // "q", "w": the arm with ccw, with cw; empty where there are none
    std::vector<craft::PlaceIndex> places;  // two where the arm is coaxial, upper first
    bool has_pair() const { return !pair[0].empty(); }
  };

  // Where no arm lies on the nose-to-tail line, none is coaxial, and at most three are on a side, each also
  // has a pair of neighbouring letters that lies like it: q w and o p in front, a s and k l behind them, z x
  // and n m.
  //
  // Each arm gets the key nearest to its direction, no two the same, in the order in which they lie; where
  // two ways are as good, the one that is turned clockwise. Throws Fault(internal) for more than eight arms.
  ArmKeys(const craft::Frame& frame, NoseSide nose, const Ring& letters = standard_letters());

  NoseSide nose() const { return nose_; }
  const std::vector<Cap>& caps() const { return caps_; }  // in the frame's order
  // The digit, the letter (either case; not where arms have pairs), or the keypad's corner without NumLock;
  // null: no arm's key.
  const Cap* find(const Key& key) const;
  // As find(), and each key of a pair.
  const Cap* find_arm(const Key& key) const;
  // The arm and the direction in one key; absent where it is none.
  struct Whole {
    craft::PlaceIndex place = 0;
    craft::Turn turn = craft::Turn::cw;
  };
  std::optional<Whole> find_whole(const Key& key) const;
  bool has_pairs() const { return !caps_.empty() && caps_.front().has_pair(); }

 private:
  void give_pairs(const craft::Frame& frame);

  NoseSide nose_;
  std::vector<Cap> caps_;
};

// Left arrow counter-clockwise, right arrow clockwise: over the top of the circle.
std::optional<craft::Turn> turn_of(const Key& key);

}  // namespace armwise::ui
