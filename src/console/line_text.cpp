// What is sent as bytes: line ends, the way in, the stop.
#include "armwise/base/text.hpp"
#include "armwise/console/conversation.hpp"
#include "unasked.hpp"

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

static std::string longest_text_of(const Template& line) {
  std::string longest;
  for (const Piece& piece : line.pieces()) {
    if (!piece.blank && piece.text.size() > longest.size()) longest = piece.text;
  }
  return std::string(trimmed(longest));
}

StopWords stop_words(const Profile& profile) {
  StopWords words;
  if (!profile.spin) return words;
  const SpinAbility& spin = *profile.spin;
  const Open& open = profile.open;
  const std::size_t each = profile.motors_stopped_one_by_one().size();
  const bool one_by_one = !spin.stop_all.confirms && spin.stop && each > 0;
  const std::optional<Template>& confirms = one_by_one ? spin.stop->confirms : spin.stop_all.confirms;
  if (confirms) words.text = longest_text_of(*confirms);
  if (!words.text.empty() && !may_be_said_unasked(words.text, open)) {
    const bool in_echo = open.echo.value_or(true) && find_alone(lower_case(stop_lines(profile)),
                                                                lower_case(words.text)) != std::string::npos;
    words.times = (one_by_one ? static_cast<int>(each) : 1) * (in_echo ? 2 : 1);
    return words;
  }
  // A prompt may be said again behind what comes unasked.
  const bool talks = !open.unasked.empty();
  words.text =
      talks || open.prompt.empty() ? longest_text_of(open.reply_end.value_or(Template())) : open.prompt;
  if (talks && (words.text.empty() || may_be_said_unasked(words.text, open))) words.times = StopWords::never;
  return words;
}

}  // namespace armwise::console
