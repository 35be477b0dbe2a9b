#include "armwise/ui/picture.hpp"

#include <algorithm>
#include <array>

#include "armwise/base/text.hpp"
#include "canvas.hpp"

namespace armwise::ui {
namespace {

using craft::Turn;
using session::CraftView;

using Rows = std::vector<std::vector<Span>>;

Span blanks(int columns) {
  return {std::string(static_cast<std::size_t>(std::max(0, columns)), ' '), Ink::plain};
}

std::vector<Span> centred(std::vector<Span> spans, int width) {
  int used = 0;
  for (const Span& span : spans) used += columns_of(span.text);
  const int left = (width - used) / 2;
  spans.insert(spans.begin(), blanks(left));
  spans.push_back(blanks(width - used - left));
  return spans;
}

Ink ink_of(std::optional<Turn> turn) {
  if (!turn) return Ink::plain;
  return *turn == Turn::cw ? Ink::clockwise : Ink::counter_clockwise;
}

ArmBox placed(const craft::Place& place, NoseSide nose) {
  ArmBox box;
  const double sign = nose == NoseSide::away ? 1 : -1;
  box.x = sign * place.x;
  box.y = sign * place.y;
  return box;
}

constexpr int pair_width = 17, cap_width = 11, ring_width = 7;

std::vector<Span> keycaps(const ArmKeys::Cap& cap, int width, Caps shown, const Glyphs& glyphs) {
  if (cap.has_pair()) {
    std::vector<Span> caps;
    for (const Turn turn : {Turn::ccw, Turn::cw}) {
      if (!caps.empty()) caps.push_back(blanks(2));
      caps.push_back({" " + cap.pair[turn == Turn::ccw ? 0 : 1] + " ", Ink::keycap});
      if (shown == Caps::shown) caps.push_back({" " + std::string(sign_of(turn, glyphs)), ink_of(turn)});
    }
    return centred(caps, width);
  }
  std::vector<Span> caps{{"[" + cap.digit + "]", Ink::keycap}};
  if (cap.letter != cap.digit) {
    caps.push_back(blanks(1));
    caps.push_back({"[" + cap.letter + "]", Ink::keycap});
  }
  return centred(caps, width);
}

std::vector<Span> noted_row(const Noted& noted, int width, const Glyphs& glyphs) {
  std::vector<Span> row{{std::string(glyphs.good), Ink::proven},
                        {" " + printable(noted.pin) + " ", Ink::strong}};
  if (noted.turn) row.push_back({std::string(sign_of(*noted.turn, glyphs)), ink_of(noted.turn)});
  return centred(row, width);
}

// What stands at one arm: its keys until it is answered.
Rows arm_rows(const ArmKeys::Cap& cap, const NotedAt& noted, int width, Caps caps, const Glyphs& glyphs) {
  Rows rows;
  bool all = true;
  for (const craft::PlaceIndex place : cap.places) {
    const auto found = noted.find(place);
    if (found != noted.end()) rows.push_back(noted_row(found->second, width, glyphs));
    all = all && found != noted.end();
  }
  if (!all) rows.insert(rows.begin(), keycaps(cap, width, caps, glyphs));
  return rows;
}

// Under the box; of two motors on an arm the one that moves.
std::string caption_of(const ArmKeys::Cap& cap, std::span<const Moving> moving) {
  if (cap.places.size() != 2) return cap.arm;
  std::array<bool, 2> moves{};
  for (const Moving& one : moving) {
    for (const std::size_t i : {0U, 1U}) moves.at(i) = moves.at(i) || one.place == cap.places[i];
  }
  if (moves[0] && moves[1]) return "both";
  return moves[0] ? "upper" : moves[1] ? "lower" : cap.arm;
}

const Moving* moving_on(const ArmKeys::Cap& cap, std::span<const Moving> moving) {
  for (const Moving& one : moving) {
    if (std::find(cap.places.begin(), cap.places.end(), one.place) != cap.places.end()) return &one;
  }
  return nullptr;
}

// What sets a craft apart from another: as it is to be, or as it was.
enum class Apart { no, to_be_changed, changed };

// Number, direction and pin of one motor: "2 ↻ *" over "P2".
void add_motor(Rows& rows, const CraftView& view, craft::PlaceIndex place, Apart apart,
               const Glyphs& glyphs) {
  const auto found = view.at.find(place);
  if (found == view.at.end()) {
    rows.push_back(centred({{"?", Ink::strong}}, ring_width));
    return;
  }
  const CraftView::At& at = found->second;
  const bool wrong = apart == Apart::to_be_changed || (at.turn && at.wanted && *at.turn != *at.wanted);
  std::vector<Span> row{{at.motor.number == 0 ? "?" : std::to_string(at.motor.number), Ink::strong}};
  if (at.turn) row.push_back({" " + std::string(sign_of(*at.turn, glyphs)), ink_of(at.turn)});
  if (wrong) row.push_back({" " + std::string(glyphs.bad), Ink::wrong});
  if (apart == Apart::changed) row.push_back({" *", Ink::strong});
  rows.push_back(centred(row, ring_width));
  if (!at.pin.name.empty()) rows.push_back(centred({{printable(at.pin.name), Ink::plain}}, ring_width));
}

bool same(const CraftView::At& a, const CraftView::At& b) {
  return a.motor == b.motor && a.pin == b.pin && a.turn == b.turn;
}

bool differs(const CraftView& view, const CraftView& other, craft::PlaceIndex place) {
  const auto here = view.at.find(place), there = other.at.find(place);
  if (here == view.at.end() || there == other.at.end())
    return (here == view.at.end()) != (there == other.at.end());
  return !same(here->second, there->second);
}

// `other`: what is to be marked, as `apart`, is what differs from it.
Picture one_craft(const CraftView& view, const CraftView* other, Apart apart, const Style& style) {
  if (view.frame == nullptr) return {};
  const Glyphs& glyphs = glyphs_of(style);
  std::vector<ArmBox> boxes;
  const ArmKeys arms(*view.frame, NoseSide::away);
  for (const ArmKeys::Cap& arm : arms.caps()) {
    ArmBox box = placed(view.frame->places[arm.places.front()], NoseSide::away);
    box.width = ring_width + 2;
    for (const craft::PlaceIndex place : arm.places)
      add_motor(box.rows, view, place, other != nullptr && differs(view, *other, place) ? apart : Apart::no,
                glyphs);
    for (auto& row : box.rows) {
      row.insert(row.begin(), blanks(1));
      row.push_back(blanks(1));
    }
    boxes.push_back(std::move(box));
  }
  Style below = style;
  if (style.rows > 0) below.rows = std::max(1, style.rows - 1);
  Picture picture = laid_out(boxes, NoseSide::away, Standing::unknown, below);
  if (picture.empty() || view.title.empty()) return picture;
  Picture titled;
  for (const std::string& line : wrapped(printable(view.title), style.columns)) {
    const int left = std::max(0, (picture.columns() - columns_of(line)) / 2);
    titled.lines.push_back({blanks(left), {line, Ink::strong}});
  }
  titled.lines.insert(titled.lines.end(), picture.lines.begin(), picture.lines.end());
  return titled;
}

}  // namespace

Picture asking_picture(const craft::Frame& frame, const ArmKeys& keys, const Style& style,
                       const Spinning& spinning, Caps caps) {
  const Glyphs& glyphs = glyphs_of(style);
  for (const bool captions : {true, false}) {
    std::vector<ArmBox> boxes;
    for (const ArmKeys::Cap& cap : keys.caps()) {
      ArmBox box = placed(frame.places[cap.places.front()], keys.nose());
      box.width = cap.has_pair() ? pair_width : cap_width;
      Arc arc;
      if (const Moving* moving = moving_on(cap, spinning.moving))
        arc = {moving->turn, spinning.step, Ink::moving};
      Rows inside = arm_rows(cap, spinning.noted, box.width - 2, caps, glyphs);
      if (caps == Caps::none) inside.assign(inside.size(), {blanks(box.width - 2)});
      box.rows = ringed(inside, box.width, arc, glyphs);
      const std::string caption = caption_of(cap, spinning.moving);
      if (captions) box.caption = caption;
      if (!captions && caption != cap.arm)
        inside.assign(inside.size(), centred({{caption, Ink::moving}}, box.width - 2));
      boxes.push_back(std::move(box));
    }
    Picture picture = laid_out(boxes, keys.nose(), Standing::at_the_bottom, style);
    if (!picture.empty()) return picture;
  }
  return {};
}

Picture craft_picture(const CraftView& view, const Style& style) {
  return one_craft(view, nullptr, Apart::no, style);
}

Picture craft_pictures(std::span<const CraftView> views, const Style& style) {
  constexpr int gap = 4;
  if (views.size() == 2) {
    Style half = style;
    half.columns = (std::min(style.columns, widest_text) - gap) / 2;
    const Picture left = one_craft(views[0], &views[1], Apart::to_be_changed, half);
    const Picture right = one_craft(views[1], &views[0], Apart::changed, half);
    if (!left.empty() && !right.empty()) return side_by_side(left, right, gap);
  }
  Picture all;
  for (std::size_t i = 0; i < views.size(); ++i) {
    const bool last = i + 1 == views.size();
    const CraftView* other = views.size() == 1 ? nullptr : last ? &views[i - 1] : &views[i + 1];
    const Picture picture = one_craft(views[i], other, last ? Apart::changed : Apart::to_be_changed, style);
    if (picture.empty()) return {};
    all = one_under_the_other(all, picture);
  }
  return all;
}

std::string legend(const Style& style) {
  return std::string(glyphs_of(style).bad) + " wrong   * changed";
}

Picture turn_picture(const Style& style, int step) {
  const Glyphs& glyphs = glyphs_of(style);
  constexpr int column = 21;
  const auto choice = [&](Turn turn, const std::string& arrow) {
    Picture picture;
    const Rows inside{std::vector<Span>{blanks(ring_width)}};
    for (auto& row : ringed(inside, ring_width + 2, {turn, step, ink_of(turn)}, glyphs))
      picture.lines.push_back(centred(std::move(row), column));
    picture.lines.push_back(centred({{std::string(in_words(turn)), Ink::strong}}, column));
    picture.lines.push_back(centred({{"[" + arrow + "]", Ink::plain}}, column));
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
    sentences.push_back(capital(craft::motor_at(frame.places.at(one.place))) + " turns " +
                        std::string(in_words(one.turn)) + ", seen from above.");
  }
  if (sentences.empty()) sentences.emplace_back("Nothing moves.");
  return sentences;
}

}  // namespace armwise::ui
