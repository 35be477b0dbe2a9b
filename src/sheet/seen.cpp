// What was seen, arm by arm: every answer in its order, repeats counted, undone ones struck through.
#include <algorithm>
#include <cmath>
#include <set>
#include <string_view>

#include "craft_view.hpp"
#include "markup.hpp"
#include "page_parts.hpp"

namespace armwise::sheet {
namespace {

constexpr std::size_t longest_answer = 40;

struct Answer {
  std::string words;
  bool undone = false;
  int times = 1;
};

std::string strength_note(const record::CraftRecord& record, const record::SpinEntry& spin) {
  if (spin.strength_per_cent == 0 || std::abs(spin.strength_per_cent - record.strength_per_cent) < 0.05)
    return {};
  return " at " + plain_number(spin.strength_per_cent) + " %";
}

bool is_proof(const record::SpinEntry& spin) {
  return spin.phase != "check";
}

std::vector<Answer> answers(const record::CraftRecord& record, const std::string& pin, bool proof) {
  std::vector<Answer> all;
  std::string_view phase;
  for (const record::SpinEntry& spin : record.spins) {
    if (spin.pin != pin || is_proof(spin) != proof || !spin.question.empty()) continue;
    std::string words = spin.seen + strength_note(record, spin);
    if (proof && !phase.empty() && phase != spin.phase) words = "after the restart: " + words;
    phase = spin.phase;
    if (!all.empty() && all.back().words == words && all.back().undone == spin.undone) {
      ++all.back().times;
    } else {
      all.push_back({std::move(words), spin.undone, 1});
    }
  }
  return all;
}

std::string in_html(const Answer& answer) {
  std::string words = escaped(shortened(answer.words, longest_answer));
  if (answer.times > 1) words += " (" + std::to_string(answer.times) + " times)";
  return answer.undone ? "<del>" + words + "</del> (undone)" : words;
}

// The last answers are those that count, so the earlier ones are left out where there are too many.
std::string cell(const std::vector<Answer>& all, std::size_t most_answers, const std::string& where_none) {
  if (all.empty()) return where_none;
  std::size_t first = 0;
  std::string out;
  if (all.size() > most_answers) {
    first = all.size() - most_answers;
    int left_out = 0;
    for (std::size_t i = 0; i < first; ++i) left_out += all[i].times;
    out = std::to_string(left_out) + " more, see the record; ";
  }
  for (std::size_t i = first; i < all.size(); ++i) out += (i == first ? "" : ", ") + in_html(all[i]);
  return out;
}

// "under 1 in 40,000"; rounded down to one digit, so that it is never said to be surer than it is.
std::string one_in(double chance) {
  constexpr double longest = 1e9;
  const double times = chance > 1 / longest ? 1 / chance : longest;
  const double step = std::pow(10, std::floor(std::log10(times)));
  std::string digits = std::to_string(static_cast<long long>(std::floor(times / step) * step));
  for (std::size_t at = digits.size(); at > 3; at -= 3) digits.insert(at - 3, ",");
  return "under 1 in " + digits;
}

// Of the motor on this pin, the chance that arm or direction is wrong, and how often it was asked otherwise.
std::string doubt(const record::CraftRecord& record, const std::string& pin) {
  const auto found = record.doubt.find(pin);
  if (found == record.doubt.end()) return "not noted";
  const auto otherwise =
      std::count_if(record.spins.begin(), record.spins.end(), [&](const record::SpinEntry& spin) {
        return spin.pin == pin && !spin.question.empty() && !spin.undone;
      });
  return one_in(found->second) + (otherwise == 0 ? "" : " (asked in other words too)");
}

std::string row(const record::CraftRecord& record, const Room& room, const std::string& place, int motor,
                const std::string& pin) {
  const std::string number = motor == 0 ? "none" : std::to_string(motor);
  return "<tr><th scope=\"row\">" + escaped(place) + "</th><td>" + number + "</td><td>" +
         escaped(shortened(pin.empty() ? "none" : pin, 20)) + "</td><td>" +
         cell(answers(record, pin, false), room.answers, "not spun") + "</td><td>" +
         cell(answers(record, pin, true), room.answers, "<strong>not done</strong>") +
         (record.doubt.empty() ? "" : "</td><td>" + doubt(record, pin)) + "</td></tr>\n";
}

// Pins that were spun and led to no place of the frame.
std::set<std::string> stray_pins(const record::CraftRecord& record, const std::vector<PlaceView>& views) {
  std::set<std::string> pins;
  for (const record::SpinEntry& spin : record.spins) pins.insert(spin.pin);
  for (const PlaceView& view : views) pins.erase(view.pin);
  return pins;
}

constexpr std::size_t most_strays = 4;

}  // namespace

std::string what_was_seen(const record::CraftRecord& record, const Room& room) {
  const craft::Frame& frame = frame_of(record);
  const std::vector<PlaceView> views = places(record, Side::after);
  std::string out =
      "<section>\n<h2>What was seen, arm by arm, from above" + mark(record, "spins") +
      "</h2>\n<table class=\"seen\">\n<thead><tr><th scope=\"col\">Arm</th><th scope=\"col\">Motor</th>"
      "<th scope=\"col\">Pin</th><th scope=\"col\">When checked</th>"
      "<th scope=\"col\">When proven, asked blind</th>" +
      (record.doubt.empty() ? "" : "<th scope=\"col\">Chance that it is wrong</th>") +
      "</tr></thead>\n<tbody>\n";
  for (const PlaceView& view : views)
    out += row(record, room, frame.places[view.place].name, view.motor, view.pin);
  std::size_t strays = 0;
  for (const std::string& pin : stray_pins(record, views)) {
    if (++strays <= most_strays)
      out += row(record, room, "no arm", record.after.map.motor_on({pin}).number, pin);
  }
  return out + "</tbody>\n</table>\n</section>\n";
}

double lines_seen(const record::CraftRecord& record, const Room& room) {
  const double letters_in_cell = (record.doubt.empty() ? 0.37 : 0.27) * room.letters;
  const auto lines_of = [&](const std::string& pin) {
    double most = 1;
    for (const bool proof : {false, true}) {
      const std::vector<Answer> all = answers(record, pin, proof);
      double letters = all.size() > room.answers ? 26 : 0;
      for (std::size_t i = all.size() - std::min(all.size(), room.answers); i < all.size(); ++i)
        letters +=
            std::min(width_of(all[i].words), 40.0) + (all[i].undone ? 11 : 2) + (all[i].times > 1 ? 10 : 0);
      most = std::max(most, std::ceil(letters / letters_in_cell));
    }
    return most + 0.2;
  };
  const std::vector<PlaceView> views = places(record, Side::after);
  double lines = 0;
  for (const PlaceView& view : views) lines += lines_of(view.pin);
  std::size_t strays = 0;
  for (const std::string& pin : stray_pins(record, views))
    lines += ++strays <= most_strays ? lines_of(pin) : 0;
  return lines;
}

}  // namespace armwise::sheet
