#include "armwise/sheet/sheet.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "armwise/sheet/picture.hpp"
#include "craft_view.hpp"
#include "markup.hpp"
#include "page_parts.hpp"
#include "page_style.hpp"

namespace armwise::sheet {
namespace {

constexpr std::size_t longest_title = 40, longest_heading = 120, long_heading = 34;
// Lines of type that fit were counted on printed pages, with the pictures at their smallest.
constexpr std::array<Room, 3> rooms{{{"", 34, 128, 130, 6, 8, 260},
                                     {"tight", 52, 140, 130, 6, 8, 220},
                                     {"tight tightest", 64, 150, 46, 2, 4, 130}}};

double lines_of_notes(const record::CraftRecord& record, const Room& room) {
  double lines = 1;
  const std::vector<std::string> all = deviations(record);
  for (std::size_t i = 0; i < std::min(all.size(), room.notes); ++i)
    lines += std::ceil(std::min(width_of(all[i]), static_cast<double>(room.note)) / (0.95 * room.letters));
  return lines + (all.size() > room.notes ? 1 : 0);
}

double lines_of_words(const record::CraftRecord& record, const Room& room) {
  return std::max(lines_of_facts(record, room), lines_of_settings(record, room)) + lines_seen(record, room) +
         lines_of_notes(record, room);
}

std::string head(const record::CraftRecord& record, const RecordFile& file) {
  return "<head>\n<meta charset=\"UTF-8\">\n<meta name=\"viewport\" content=\"width=device-width, "
         "initial-scale=1\">\n"
         "<meta name=\"generator\" content=\"armwise " +
         escaped(record.tool_version) + "\">\n<meta name=\"record-sha256\" content=\"" +
         escaped(file.checksum) +
         "\">\n<title>Build sheet: " + escaped(shortened(record.craft_name, longest_title)) +
         "</title>\n<style>" + std::string(page_style) + "</style>\n</head>\n";
}

std::string heading(const record::CraftRecord& record) {
  const std::string name = shortened(record.craft_name, longest_heading);
  const std::string size = width_of(name) > long_heading ? " class=\"long\"" : "";
  return "<header>\n<div><p class=\"eyebrow\">Build sheet</p>\n<h1" + size + ">" + escaped(name) +
         "</h1></div>\n<p class=\"running\">Record " + escaped(shortened(record.id, 60)) +
         "<br>page 1 of 1</p>\n</header>\n";
}

std::string figure(const record::CraftRecord& record, Side side) {
  const std::string caption =
      side == Side::before ? "as it was found; dark: not as it should be" : "as it is now";
  return "<figure>\n<figcaption><b>" + std::string(title(side)) + "</b>" + caption + "</figcaption>\n" +
         svg(record, side) + "</figure>\n";
}

std::string legend() {
  std::string out;
  for (const record::Source source : {record::Source::controller, record::Source::person,
                                      record::Source::computed, record::Source::profile}) {
    out += mark(source) + " " + std::string(record::in_words(source)) + " ";
  }
  return out;
}

}  // namespace

const Room& room_for(const record::CraftRecord& record) {
  const auto* const found = std::find_if(rooms.begin(), rooms.end(), [&](const Room& room) {
    return lines_of_words(record, room) <= room.lines;
  });
  return found == rooms.end() ? rooms.back() : *found;
}

std::string notes(const record::CraftRecord& record, const Room& room) {
  const std::vector<std::string> all = deviations(record);
  std::string out = "<section class=\"notes\">\n<h2>Deviations and warnings</h2>\n";
  if (all.empty()) return out + "<p>None.</p>\n</section>\n";
  out += "<ul>\n";
  for (std::size_t i = 0; i < std::min(all.size(), room.notes); ++i)
    out += "<li>" + escaped(shortened(all[i], room.note)) + "</li>\n";
  if (all.size() > room.notes)
    out += "<li>" + std::to_string(all.size() - room.notes) + " more, see the record.</li>\n";
  return out + "</ul>\n</section>\n";
}

std::string footer(const RecordFile& file) {
  return "<footer>\n<p><span class=\"only\">Relates only to the craft named above.</span> Props off for "
         "every spin. "
         "First flight: low, short, away from people. Local rules and your parts' manuals come "
         "first.</p>\n<p>" +
         legend() + "</p>\n<p>Record file: <code>sha256sum " + escaped(shortened(shell_word(file.name), 90)) +
         "</code> gives <code>" + escaped(file.checksum) + "</code>.</p>\n</footer>\n";
}

std::string sheet(const record::CraftRecord& record, const RecordFile& file) {
  const Room& room = room_for(record);
  return "<!DOCTYPE html>\n<html lang=\"en\">\n" + head(record, file) + "<body" +
         (room.css.empty() ? std::string() : " class=\"" + std::string(room.css) + "\"") + ">\n<main>\n" +
         heading(record) + verdict(record) + "<div class=\"pictures\">\n" + figure(record, Side::before) +
         figure(record, Side::after) + "</div>\n<div class=\"columns\">\n" + facts(record, room) +
         settings(record) + "</div>\n" + what_was_seen(record, room) + notes(record, room) + footer(file) +
         "</main>\n</body>\n</html>\n";
}

}  // namespace armwise::sheet
