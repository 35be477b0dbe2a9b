#include "profile_checks.hpp"

#include <algorithm>
#include <cmath>
#include <string>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"
#include "armwise/console/playback.hpp"
#include "profile_parts.hpp"

namespace armwise::console {
namespace {

// A spin check is there to be seen, not to be felt: these bounds hold whatever a profile says.
constexpr double strongest_standard_per_cent = 25;
constexpr double strongest_per_cent = 50;

void refuse_number_as_word(const JsonNode& node, const Template& read) {
  for (const Piece& piece : read.pieces()) {
    if (piece.text != "word" || !piece.blank) continue;
    if (piece.type == BlankType::whole || piece.type == BlankType::decimal)
      node.refuse("{word} is made of letters and cannot be a number");
  }
}

// Two questions, each always answered by a line of its own.
void check_two_questions(const JsonNode& node, const Query& barrier) {
  if (barrier.steps.size() != 2 || barrier.lines.size() != 2)
    node.refuse(
        "is one step with {word}, or two with an answer each: it is sent wherever the console may stand");
  if (trimmed(barrier.steps.front().send.format({})).empty())
    node.refuse("the first of the two must be no empty line");
  for (const Template& line : barrier.lines) {
    for (const Piece& piece : line.pieces()) {
      if (piece.blank && piece.text != "skip")
        node.refuse("where there are two, an answer may have no blank but {skip}");
    }
    for (const Step& step : barrier.steps) {
      if (line.match(step.send.format({})))
        node.refuse("its answer reads like its own echo, so it would prove nothing");
    }
  }
  const Values passed_over{{"skip", "0"}};
  const Template &first = barrier.lines.front(), &second = barrier.lines.back();
  if (first.match(second.format(passed_over)) || second.match(first.format(passed_over)))
    node.refuse("both are answered alike, so nothing could be spelled in them");
}

void check_barrier(const JsonNode& node, const Query& barrier) {
  if (std::none_of(barrier.steps.begin(), barrier.steps.end(),
                   [](const Step& step) { return step.send.has("word"); }))
    return check_two_questions(node, barrier);
  if (barrier.steps.size() != 1) node.refuse("must be one step: it is sent wherever the console may stand");
  const Template& send = barrier.steps.front().send;
  need_blank(node, barrier.steps, "word");
  refuse_number_as_word(node, send);
  for (const Template& line : barrier.lines) {
    if (!line.has("word")) node.refuse("a line has no blank {word}");
    refuse_number_as_word(node, line);
    if (line.match(send.format({{"word", "w"}})))
      node.refuse("its answer reads like its own echo, so it would prove nothing");
  }
}

// A stop that is a spin starts what it is to stop, and a question that is one needs no permission.
void refuse_spins_elsewhere(const Profile& profile) {
  const auto refuse_lines = [&](const char* what, const std::vector<std::string>& lines) {
    if (!is_a_spin(profile, lines)) return;
    throw Fault(FaultKind::bad_profile, std::string(what) + ": is the order to spin a motor as well");
  };
  const auto refuse = [&](const char* what, const Steps& steps) {
    std::vector<std::string> lines;
    for (const Step& step : steps) {
      // With a blank in it, it is another command by what stands there.
      const auto& pieces = step.send.pieces();
      if (std::any_of(pieces.begin(), pieces.end(), [](const Piece& piece) { return piece.blank; })) return;
      lines.push_back(step.send.format({}));
    }
    refuse_lines(what, lines);
  };
  refuse_lines("open.send", {profile.open.send});
  refuse_lines("open.home", {profile.open.home});
  refuse_lines("open.more_send", {profile.open.more_send});
  refuse_lines("open.abandon", {profile.open.abandon.value_or("")});
  if (profile.identify) refuse("identify", profile.identify->steps);
  if (profile.whole_configuration) refuse("whole_configuration", profile.whole_configuration->steps);
  if (profile.map) refuse("map.list", profile.map->list.steps);
  if (profile.props) refuse("props.read", profile.props->read.steps);
  if (profile.turn) refuse("turn.read", profile.turn->read.steps);
  if (profile.mount) refuse("mount.read", profile.mount->read.steps);
  if (profile.sense) refuse("sense.read", profile.sense->read.steps);
  if (profile.spin) refuse("spin.stop_all", profile.spin->stop_all.steps);
  if (profile.keep) refuse("keep.keep", profile.keep->keep.steps);
  if (profile.keep && profile.keep->restart) refuse("keep.restart", profile.keep->restart->steps);
  if (profile.leave) refuse("leave", profile.leave->steps);
}

// Taken off each line: so it has to be clear where it ends, and that it is no word of an answer.
void check_stamp(const JsonNode& node, const Template& stamp) {
  const std::vector<Piece>& pieces = stamp.pieces();
  bool counts = false;
  for (const Piece& piece : pieces) {
    if (!piece.blank) continue;
    counts = counts || piece.type == BlankType::digits;
    if (piece.type != BlankType::digits && piece.type != BlankType::letters && piece.type != BlankType::name)
      node.refuse("takes only blanks that end by themselves, as in \"[{skip:digits}.{skip:digits}] \"");
  }
  if (!counts || pieces.back().blank)
    node.refuse("needs a number, {skip:digits}, and behind it what ends it, a blank or a sign");
}

// The word it begins with tells it from what may still become an answer.
void check_unasked(const JsonNode& node, const std::vector<Template>& unasked) {
  for (const Template& line : unasked) {
    const std::string begin = line.pieces().front().blank ? "" : line.pieces().front().text;
    if (std::none_of(begin.begin(), begin.end(), is_letter))
      node.refuse("\"" + line.source() + "\" does not begin with a word, so it could leave out an answer");
  }
}

void check_answers_are_heard(const Profile& profile) {
  for (const Template& unasked : profile.open.unasked) {
    const auto answer = answer_hidden_by(unasked, profile);
    if (!answer) continue;
    throw Fault(FaultKind::bad_profile, "open.unasked: \"" + unasked.source() +
                                            "\" would leave out the answer \"" + answer->source() + "\"");
  }
}

}  // namespace

void check(const JsonNode& node, const Open& open) {
  if (open.stamp) check_stamp(node.object().need("stamp"), *open.stamp);
  if (!open.unasked.empty()) check_unasked(node.object().need("unasked"), open.unasked);
  if (open.barrier) check_barrier(node.object().need("barrier"), *open.barrier);
  if (trimmed(open.prompt).empty() && !open.reply_end) {
    node.refuse("needs a \"prompt\" or a \"reply_end\", or nobody can tell where a reply ends");
  }
  if (open.prompt.empty() && !open.barrier) {
    node.refuse("needs a \"barrier\" where there is no prompt, or nobody can tell that the console listens");
  }
}

void check(const JsonNode& node, const Codes& codes) {
  if (lower_case(codes.cw) == lower_case(codes.ccw)) node.refuse("cw and ccw have the same code");
  if (lower_case(codes.props_in) == lower_case(codes.props_out)) {
    node.refuse("props_in and props_out have the same code");
  }
}

void check(const JsonNode& node, const MapAbility& map) {
  const bool for_each = std::any_of(map.list.steps.begin(), map.list.steps.end(),
                                    [](const Step& step) { return step.send.has("motor"); });
  if (for_each && map.rules.kept == solve::MapKept::per_pin) {
    node.object().need("list").refuse("a map that is kept by pin cannot be asked for motor by motor");
  }
  if (map.put && !map.rules.shared_meanwhile && !map.free) {
    node.refuse("\"free\" is missing: a pin that is taken must be freed before it can be given away");
  }
}

void check(const JsonNode& node, const MountAbility& mount) {
  JsonObject object = node.object();
  if (std::abs(mount.per_degree) < 1e-6) object.need("per_degree").refuse("must not be zero");
  if (mount.form != craft::RotationForm::angles && !mount.codes.empty())
    object.need("form").refuse("stands beside a list of codes; a mount is one or the other");
  if (!mount.set && mount.codes.empty() && mount.form == craft::RotationForm::angles) return;
  for (const char* one : {"set_yaw", "set_pitch", "set_roll"}) {
    if (const auto found = object.find(one)) found->refuse("stands beside a way to set all at once");
  }
}

void check(const JsonNode& node, const SpinAbility& spin) {
  if (spin.zero >= spin.full) node.refuse("zero must be less than full");
  const auto& [zero, full] = std::pair(spin.zero, spin.full);
  if (spin.lowest < zero || spin.lowest > spin.standard || spin.standard > spin.highest ||
      spin.highest > full) {
    node.refuse("strengths must rise from zero over lowest, standard and highest to full");
  }
  if (spin.standard <= zero) node.refuse("standard is no throttle at all");
  if (spin.per_cent(spin.standard) > strongest_standard_per_cent) {
    node.refuse("standard is more than 25 % of full throttle, too much for a spin check");
  }
  if (spin.per_cent(spin.highest) > strongest_per_cent) {
    node.refuse("highest is more than 50 % of full throttle, too much for a spin check");
  }
}

void check(const JsonNode& node, const SenseAbility& sense) {
  if (sense.per_dps > 0) need_in_lines(node.object().need("read"), sense.read, {"gx", "gy", "gz"});
}

void check(const JsonNode& node, const Profile& profile) {
  if (profile.identify && profile.identify->lines.empty())
    node.object().need("identify").refuse("\"lines\" is missing: nothing would be read");
  refuse_spins_elsewhere(profile);
  check_answers_are_heard(profile);
  if (profile.sense && profile.sense->after_mount && !profile.mount) {
    throw Fault(FaultKind::bad_profile,
                "sense.after_mount: needs a \"mount\" that can be read, to take it out of the readings");
  }
  if (!profile.map || profile.map->no_motor.empty()) return;
  if (profile.motor_coded(profile.map->no_motor)) {
    throw Fault(FaultKind::bad_profile,
                "map.no_motor: \"" + profile.map->no_motor + "\" is a motor's code as well");
  }
}

}  // namespace armwise::console
