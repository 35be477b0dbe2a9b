// How text may look on one stream: colour or none, Unicode or ASCII, and how wide.
//
// Colours never carry a meaning alone: a word or a shape always says the same. Each keeps a contrast of 4.5 :
// 1 (WCAG 2.1, 1.4.3) on black and on white, as a text or as a patch of its own; red is for danger alone,
// green for what is proven.
#pragma once

#include <array>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace armwise::ui {

inline constexpr int widest_text = 78;  // columns: longer lines are hard to read
inline constexpr int narrowest = 20;    // columns: a terminal that says less is taken for one of so many

enum class ColourChoice { automatic, always, never };

// "auto", "always", "never".
std::optional<ColourChoice> colour_choice_named(std::string_view text);

// What a piece of text is, not what it looks like.
enum class Ink { plain, strong, faint, clockwise, counter_clockwise, wrong, keycap, moving, danger, proven };
inline constexpr std::array all_inks{
    Ink::plain, Ink::strong, Ink::faint,  Ink::clockwise, Ink::counter_clockwise,
    Ink::wrong, Ink::keycap, Ink::moving, Ink::danger,    Ink::proven};

enum class ColourDepth { none, eight, two_hundred_and_fifty_six };

// What surrounds the process. Handed in, so that tests need no environment of their own.
struct Surroundings {
  std::map<std::string, std::string> variables;
  bool input_is_terminal = false;
  bool output_is_terminal = false;
  bool error_is_terminal = false;
  int columns = 80;
  int rows = 0;  // unknown

  static Surroundings of_this_process();
  // Empty where it is not set.
  std::string variable(const std::string& name) const;
};

struct Style {
  ColourDepth colour = ColourDepth::none;
  bool unicode = false;
  int columns = 80;
  int rows = 0;  // for a picture: at most so many, and filled as well as it can; 0: as few as it takes
};

// NO_COLOR (set and not empty) and TERM=dumb switch `automatic` off; a stream that is no terminal too.
bool colour_wanted(ColourChoice choice, const Surroundings& around, bool stream_is_terminal);
// `ascii`: seven-bit glyphs whatever the locale says.
Style style_for(ColourChoice choice, const Surroundings& around, bool stream_is_terminal, bool ascii = false);

// The text with its colour switched on and off again; the text alone where the style has no colour.
std::string painted(std::string_view text, Ink ink, const Style& style);

// How many columns of a terminal a printable UTF-8 text takes (wide East Asian letters two, combining none).
int columns_of(std::string_view text);
// As much of a printable text as fits into `columns`, in bytes; at least one character.
std::size_t bytes_that_fit(std::string_view text, int columns);
// Broken between words into lines of at most `columns`; a longer word is cut. Never an empty list.
std::vector<std::string> wrapped(std::string_view text, int columns, std::string_view indent = {});
std::string padded(std::string_view text, int columns);

}  // namespace armwise::ui
