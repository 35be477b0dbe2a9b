#include "armwise/ui/picture.hpp"

#include <algorithm>

#include "armwise/base/text.hpp"
#include "canvas.hpp"

namespace armwise::ui {
namespace {

using craft::Turn;
using session::CraftView;

std::string repeated(std::string_view glyph, int times) {
  std::string out;
  for (int i = 0; i < times; ++i) out += glyph;
  return out;
}

// What stands in one circle.
struct Mark {
  std::string label;  // "2", "?", ""
  std::optional<Turn> turn;
  bool wrong = false;
  bool moving = false;
};

Ink ink_of(const Mark& mark) {
  if (mark.wrong) return Ink::wrong;
  if (!mark.turn) return Ink::plain;
  return *mark.turn == Turn::cw ? Ink::clockwise : Ink::counter_clockwise;
}

// The upper edge with the arrow head on the arc: over the top of the circle to the right for clockwise.
std::string arc(const Mark& mark, int width, const Glyphs& glyphs) {
  const int inside = width - 2;
  if (!mark.turn) return repeated(glyphs.flat, inside);
  const int before = *mark.turn == Turn::cw ? inside - 2 : 1;
  const std::string_view head = *mark.turn == Turn::cw ? glyphs.right : glyphs.left;
  return repeated(glyphs.flat, before) + std::string(head) + repeated(glyphs.flat, inside - before - 1);
}

std::string centred(const std::string& text, int width) {
  const int left = std::max(0, (width - columns_of(text)) / 2);
  return padded(std::string(static_cast<std::size_t>(left), ' ') + text, width);
}

std::string word_of(const Mark& mark) {
  if (!mark.turn) return {};
  return std::string(name(*mark.turn)) + (mark.wrong ? "!" : "");
}

// One motor by itself: arc, number, word.
std::vector<std::vector<Span>> single_circle(const Mark& mark, int width, const Glyphs& glyphs) {
  const Ink ink = ink_of(mark);
  const std::string side(glyphs.upright);
  const std::string word = word_of(mark);
  const int left = (width - 2 - columns_of(word)) / 2;
  const int right = width - 2 - columns_of(word) - left;
  return {{{std::string(glyphs.top_left) + arc(mark, width, glyphs) + std::string(glyphs.top_right), ink}},
          {{side, ink}, {centred(mark.label, width - 2), Ink::strong}, {side, ink}},
          {{std::string(glyphs.bottom_left) + repeated(glyphs.flat, left), ink},
           {word, mark.wrong ? Ink::wrong : Ink::strong},
           {repeated(glyphs.flat, right) + std::string(glyphs.bottom_right), ink}}};
}

// Two motors of one arm: the upper one above the line, the lower one below it.
std::vector<std::vector<Span>> double_circle(const Mark& upper, const Mark& lower, int width,
                                             const Glyphs& glyphs) {
  const std::string side(glyphs.upright);
  const auto middle = [&](const Mark& mark, const std::string& level) {
    const std::string text =
        padded(level, 6) +
        padded(mark.label, mark.label.empty() ? 0 : std::max(3, columns_of(mark.label) + 1)) + word_of(mark);
    return std::vector<Span>{
        {side, ink_of(mark)}, {padded(text, width - 2), Ink::strong}, {side, ink_of(mark)}};
  };
  return {
      {{std::string(glyphs.top_left) + arc(upper, width, glyphs) + std::string(glyphs.top_right),
        ink_of(upper)}},
      middle(upper, "upper"),
      {{std::string(glyphs.tee_left) + arc(lower, width, glyphs) + std::string(glyphs.tee_right),
        ink_of(lower)}},
      middle(lower, "lower"),
      {{std::string(glyphs.bottom_left) + repeated(glyphs.flat, width - 2) + std::string(glyphs.bottom_right),
        ink_of(lower)}}};
}

std::vector<Span> keycaps(const ArmKeys::Cap& cap, const std::string& side, int width) {
  std::vector<Span> caps{{"[" + cap.digit + "]", Ink::keycap}};
  if (cap.letter != cap.digit) {
    caps.push_back({" ", Ink::plain});
    caps.push_back({"[" + cap.letter + "]", Ink::keycap});
  }
  int used = 2;
  for (const Span& span : caps) used += columns_of(span.text);
  const int left = (width - used) / 2;
  const int right = width - used - left;
  caps.insert(caps.begin(), {side + std::string(static_cast<std::size_t>(left), ' '), Ink::plain});
  caps.push_back({std::string(static_cast<std::size_t>(right), ' ') + side, Ink::plain});
  return caps;
}

ArmBox placed(const craft::Place& place, NoseSide nose) {
  ArmBox box;
  const double sign = nose == NoseSide::away ? 1 : -1;
  box.x = sign * place.x;
  box.y = sign * place.y;
  return box;
}

constexpr int single_width = 7;
constexpr int double_width = 15;
constexpr int moving_width = 9;

// One box for each arm; `mark_of` says what stands at a place.
template <typename MarkOf>
Picture circles(const craft::Frame& frame, NoseSide nose, Standing standing, const Style& style, int width,
                MarkOf mark_of) {
  const Glyphs& glyphs = glyphs_of(style);
  std::vector<ArmBox> boxes;
  const ArmKeys arms(frame, nose);
  for (const ArmKeys::Cap& arm : arms.caps()) {
    ArmBox box = placed(frame.places[arm.places.front()], nose);
    const bool coaxial = arm.places.size() > 1;
    box.width = coaxial ? double_width : width;
    box.rows = coaxial ? double_circle(mark_of(arm.places[0]), mark_of(arm.places[1]), box.width, glyphs)
                       : single_circle(mark_of(arm.places[0]), box.width, glyphs);
    boxes.push_back(std::move(box));
  }
  return laid_out(boxes, nose, standing, style);
}

Picture with_title(const std::string& title, const Picture& picture, int columns) {
  Picture titled;
  const int width = picture.columns();
  for (const std::string& line : wrapped(title, columns)) {
    const bool narrower = columns_of(line) < width;
    const int left = narrower ? (width - columns_of(line)) / 2 : 0;
    titled.lines.push_back({{std::string(static_cast<std::size_t>(left), ' ') + line, Ink::strong}});
  }
  titled.lines.insert(titled.lines.end(), picture.lines.begin(), picture.lines.end());
  return titled;
}

Mark mark_at(const CraftView& view, craft::PlaceIndex place) {
  const auto found = view.at.find(place);
  if (found == view.at.end()) return {"?", std::nullopt, false, false};
  const CraftView::At& at = found->second;
  Mark mark;
  mark.label = at.motor.number == 0 ? "?" : std::to_string(at.motor.number);
  mark.turn = at.turn;
  mark.wrong = at.turn && at.wanted && *at.turn != *at.wanted;
  return mark;
}

// What the marks mean, for whoever sees such a picture for the first time.
Picture legend(std::span<const CraftView> views, const Style& style) {
  bool any_wrong = false;
  for (const CraftView& view : views) {
    for (const auto& [place, at] : view.at) any_wrong = any_wrong || mark_at(view, place).wrong;
  }
  std::string text = "Seen from above. Number: motor; cw: clockwise, ccw: counter-clockwise";
  text += any_wrong ? "; !: turns the wrong way round." : ".";
  Picture lines;
  for (const std::string& line : wrapped(text, style.columns)) lines.lines.push_back({{line, Ink::plain}});
  return lines;
}

}  // namespace

Picture asking_picture(const craft::Frame& frame, const ArmKeys& keys, const Style& style) {
  const Glyphs& glyphs = glyphs_of(style);
  constexpr int width = 11;
  const std::string edge = repeated(glyphs.flat, width - 2);
  std::vector<ArmBox> boxes;
  for (const ArmKeys::Cap& cap : keys.caps()) {
    ArmBox box = placed(frame.places[cap.places.front()], keys.nose());
    box.width = width;
    box.rows = {{{std::string(glyphs.top_left) + edge + std::string(glyphs.top_right), Ink::plain}},
                keycaps(cap, std::string(glyphs.upright), width),
                {{std::string(glyphs.bottom_left) + edge + std::string(glyphs.bottom_right), Ink::plain}}};
    box.caption = cap.arm;
    boxes.push_back(std::move(box));
  }
  return laid_out(boxes, keys.nose(), Standing::at_the_bottom, style);
}

Picture craft_picture(const CraftView& view, const Style& style) {
  if (view.frame == nullptr) return {};
  const Picture picture = circles(*view.frame, NoseSide::away, Standing::unknown, style, single_width,
                                  [&](craft::PlaceIndex place) { return mark_at(view, place); });
  if (picture.empty()) return {};
  return with_title(printable(view.title), picture, style.columns);
}

Picture craft_pictures(std::span<const CraftView> views, const Style& style) {
  constexpr int gap = 4;
  Picture all;
  for (std::size_t i = 0; i < views.size(); ++i) {
    Style half = style;
    half.columns = (style.columns - gap) / 2;
    if (i + 1 < views.size()) {
      const Picture left = craft_picture(views[i], half);
      const Picture right = craft_picture(views[i + 1], half);
      if (!left.empty() && !right.empty()) {
        all = one_under_the_other(all, side_by_side(left, right, gap));
        ++i;
        continue;
      }
    }
    all = one_under_the_other(all, craft_picture(views[i], style));
  }
  if (!all.empty()) all = one_under_the_other(all, legend(views, style));
  return all;
}

Picture moving_picture(const craft::Frame& frame, std::span<const Moving> moving, NoseSide nose,
                       const Style& style) {
  return circles(frame, nose, Standing::at_the_bottom, style, moving_width, [&](craft::PlaceIndex place) {
    const auto found =
        std::find_if(moving.begin(), moving.end(), [&](const Moving& one) { return one.place == place; });
    if (found == moving.end()) return Mark{};
    return Mark{"turns", found->turn, false, true};
  });
}

Picture turn_picture(const Style& style) {
  const Glyphs& glyphs = glyphs_of(style);
  constexpr int column = 21;
  const auto choice = [&](Turn turn, const std::string& arrow) {
    Picture picture;
    const Mark mark{{}, turn, false, false};
    const std::string margin((column - single_width) / 2, ' ');
    for (auto row : single_circle(mark, single_width, glyphs)) {
      row.insert(row.begin(), {margin, Ink::plain});
      picture.lines.push_back(std::move(row));
    }
    const std::string words(in_words(turn));
    picture.lines.push_back(
        {{std::string(static_cast<std::size_t>(column - columns_of(words)) / 2, ' '), Ink::plain},
         {words, Ink::strong}});
    picture.lines.push_back({{centred("[" + arrow + "]", column), Ink::plain}});
    return picture;
  };
  return side_by_side(choice(Turn::ccw, "left arrow"), choice(Turn::cw, "right arrow"), 4);
}

std::vector<std::string> in_sentences(const CraftView& view) {
  std::vector<std::string> sentences;
  if (view.frame == nullptr) return sentences;
  if (!view.title.empty()) sentences.push_back("The " + view.frame->name + " " + printable(view.title) + ":");
  for (craft::PlaceIndex place = 0; place < view.frame->places.size(); ++place) {
    std::string sentence = view.frame->places[place].name + ": ";
    const auto found = view.at.find(place);
    if (found == view.at.end()) {
      sentences.push_back(sentence + "not known yet.");
      continue;
    }
    const CraftView::At& at = found->second;
    sentence += at.motor.number == 0 ? "no motor number" : "motor " + std::to_string(at.motor.number);
    if (!at.pin.name.empty()) sentence += " on pin " + printable(at.pin.name);
    if (at.turn) sentence += ", turning " + std::string(in_words(*at.turn));
    if (at.turn && at.wanted && *at.turn != *at.wanted)
      sentence += ", but it should turn " + std::string(in_words(*at.wanted));
    sentences.push_back(sentence + ".");
  }
  return sentences;
}

std::vector<std::string> in_sentences(const craft::Frame& frame, const ArmKeys& keys) {
  std::vector<std::string> sentences;
  for (const ArmKeys::Cap& cap : keys.caps()) {
    std::string sentence = "Key " + cap.digit;
    if (cap.letter != cap.digit) sentence += " or " + cap.letter;
    sentence += ": " + cap.arm;
    if (cap.places.size() > 1) sentence += ", upper or lower is asked next";
    sentences.push_back(sentence + ".");
  }
  sentences.push_back("The " + frame.name +
                      (keys.nose() == NoseSide::away ? " is seen from above, its nose away from you."
                                                     : " is seen from above, its nose toward you."));
  return sentences;
}

std::vector<std::string> in_sentences(const craft::Frame& frame, std::span<const Moving> moving) {
  std::vector<std::string> sentences;
  for (const Moving& one : moving) {
    sentences.push_back("On " + frame.places.at(one.place).name + " the motor turns " +
                        std::string(in_words(one.turn)) + ", seen from above.");
  }
  if (sentences.empty()) sentences.emplace_back("Nothing moves.");
  return sentences;
}

}  // namespace armwise::ui
