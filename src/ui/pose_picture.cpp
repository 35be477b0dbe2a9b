// A craft from the side, as it is to be held.
#include <map>

#include "armwise/ui/picture.hpp"

namespace armwise::ui {
namespace {

using Drawing = std::vector<std::string>;

// In seven bits: the line with two motors is the props' plane, the box its belly, '=' the table.
const std::map<std::string_view, Drawing>& drawings() {
  static const std::map<std::string_view, Drawing> all{
      {"level", {"   ---+-----+---", "      '-----'> nose", "  ================="}},
      {"nose-down", {"        |", "     .--+", "     |  |", "     '--+", "nose v  |"}},
      {"nose-up", {"        |  ^ nose", "        +--.", "        |  |", "        +--'", "        |"}},
      {"right-side-down",
       {"        |", "     .--+", "     |  |", "     '--+", "        v right, from behind"}},
      {"left-side-down",
       {"        |", "        +--.", "        |  |", "        +--'", "   left v  from behind"}},
      {"upside-down", {"      .-----.> nose", "   ---+-----+---", "", "  belly up"}},
  };
  return all;
}

std::string in_unicode(const std::string& line) {
  static const std::map<char, std::string_view> glyphs{{'|', "│"}, {'=', "═"}, {'-', "─"}, {'+', "┼"},
                                                       {'>', "▶"}, {'v', "▼"}, {'^', "▲"}};
  std::string out;
  char before = ' ';
  for (const char c : line) {
    const auto found = glyphs.find(c);
    const bool closes = before == '-';
    if (found != glyphs.end()) {
      out += found->second;
    } else if (c == '.') {
      out += closes ? "╮" : "╭";
    } else if (c == '\'') {
      out += closes ? "╯" : "╰";
    } else {
      out += c;
    }
    before = c;
  }
  return out;
}

}  // namespace

Picture pose_picture(std::string_view pose, const Style& style) {
  const auto found = drawings().find(pose);
  if (found == drawings().end()) return {};
  Picture picture;
  for (const std::string& line : found->second) {
    picture.lines.push_back({{style.unicode ? in_unicode(line) : line, Ink::plain}});
    if (picture.lines.back().front().text.empty()) picture.lines.back().clear();
  }
  if (picture.columns() > style.columns) return {};
  if (style.rows > 0 && static_cast<int>(picture.lines.size()) > style.rows) return {};
  return picture;
}

}  // namespace armwise::ui
