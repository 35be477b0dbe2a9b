// One live screen: what is on it, and how it is laid out on so many rows and columns. Pure.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "armwise/session/person.hpp"
#include "armwise/ui/picture.hpp"
#include "canvas.hpp"

namespace armwise::ui {

using Line = std::vector<Span>;

struct Note {
  std::vector<std::string> lines;  // paragraphs, printable
  session::Level level = session::Level::info;
  std::string id = {};  // of the statement
};

// What a session is about, how far it has come, and the keys that are the same at every question.
struct Header {
  std::string title, banner;
  std::vector<std::string> phases;
  int phase = 0;                    // counted from 1; 0: none yet
  std::string where;                // "motor 3 of 4"
  std::vector<std::string> always;  // "? help"
};

struct Screen {
  Header header;
  // An answered question. What was said of spins stands in the picture, or must not lead who is asked again.
  struct Folded {
    std::string words;
    bool shown = true;
  };
  std::vector<Folded> folded;
  std::vector<Note> notes;  // what was said since the last answer
  // Drawn for the room that is left; may be empty.
  std::function<Picture(const Style&)> picture;
  std::vector<Line> aside;  // beside the picture, where there is room
  int aside_columns = 0;    // kept free for it, so that the picture stays where it is
  // So many rows are kept for what stands below the picture, and none for what stands above it: from one
  // question about a spin to the next it keeps its place and its size.
  int rows_below = 0;
  std::vector<Line> facts;  // what the question is about

  std::string question;
  session::Level level = session::Level::info;
  std::vector<Line> choices;
  std::vector<std::string> keys;     // "y yes": one hint each
  bool keys_stay = false;            // in a line of their own, from one question to the next of its kind
  std::optional<std::string> typed;  // the line being typed, its prompt in front
  std::string error;                 // in place, until the next key
  std::string busy;                  // what is waited for; with a sign of life in front
};

struct Laid {
  std::vector<Line> lines;
  std::optional<At> cursor;  // where something is typed
  bool has_picture = false;
};

// At most `style.rows` lines, none longer than 78 columns nor than the style's. What does not fit goes in
// this order: answered questions, what was said, the picture, the header; never the question and its keys.
Laid laid_out(const Screen& screen, const Style& style);
// As lines to be added on paper: the same without header and answered questions.
Laid on_paper(const Screen& screen, const Style& style);

std::vector<Line> note_lines(const Note& note, const Style& style);
std::vector<Line> wrapped_lines(const std::string& text, Ink ink, const Style& style,
                                const std::string& indent = {});

}  // namespace armwise::ui
