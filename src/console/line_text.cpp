// What is sent as bytes: line ends, the way in, the stop.
#include "armwise/base/text.hpp"
#include "armwise/console/conversation.hpp"

namespace armwise::console {
namespace {

// No digit, which would make a number larger; no unit, exponent or hexadecimal digit, which would make
// another number; no answer to a question of yes or no.
constexpr std::string_view spoiler = "qzqz";

}  // namespace

std::string_view line_end_of(const Profile& profile) {
  switch (profile.open.line_ending) {
    case LineEnding::cr:
      return "\r";
    case LineEnding::lf:
      return "\n";
    case LineEnding::crlf:
      return "\r\n";
  }
  return "\n";
}

std::string entering(const Profile& profile) {
  const std::string& send = profile.open.send;
  if (send.empty()) return {};
  const bool is_key = static_cast<unsigned char>(send.back()) < ' ';
  return is_key ? send : send + std::string(line_end_of(profile));
}

std::string_view spoiling_word() {
  return spoiler;
}

std::string plainly_spoiled_line_end(const Profile& profile) {
  return std::string(spoiler) + std::string(line_end_of(profile));
}

std::string spoiled_line_end(const Profile& profile) {
  const Open& open = profile.open;
  std::string spoiled = plainly_spoiled_line_end(profile);
  if (!open.abandon) return spoiled;
  // A key throws away what it is typed behind; a line is one only once the line before it has ended.
  if (open.abandons_by_a_key()) return *open.abandon + spoiled;
  return spoiled + *open.abandon + std::string(line_end_of(profile));
}

std::string stop_lines(const Profile& profile) {
  if (!profile.spin) return {};
  const std::string end(line_end_of(profile));
  std::string stop;
  for (const Step& step : profile.spin->stop_all.steps) stop += step.send.format({}) + end;
  if (profile.open.home.empty()) return stop;
  // It may be heard from inside the menu, or only from the top: so both.
  const std::string home = profile.open.home + end;
  return stop + home + home + home + stop;
}

StopWords stop_words(const Profile& profile) {
  StopWords words;
  if (!profile.spin) return words;
  const SpinAbility& spin = *profile.spin;
  const std::size_t each = profile.motors_stopped_one_by_one().size();
  const bool one_by_one = !spin.stop_all.confirms && spin.stop && each > 0;
  const std::optional<Template>& confirms = one_by_one ? spin.stop->confirms : spin.stop_all.confirms;
  if (!confirms) return words;
  for (const Piece& piece : confirms->pieces()) {
    if (!piece.blank && piece.text.size() > words.text.size()) words.text = piece.text;
  }
  words.text = trimmed(words.text);
  if (words.text.empty()) return words;
  const bool in_echo = profile.open.echo.value_or(true) &&
                       lower_case(stop_lines(profile)).find(lower_case(words.text)) != std::string::npos;
  words.times = (one_by_one ? static_cast<int>(each) : 1) * (in_echo ? 2 : 1);
  return words;
}

}  // namespace armwise::console
