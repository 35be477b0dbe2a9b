// The members of a profile, section by section: one table for reading and for writing. A `Way` is a
// FieldReader (profile_loader.cpp) or a FieldWriter (profile_text.cpp); both leave out what is as it is
// without being said. What members must fit together is in profile_checks.cpp, what each means in
// fixtures/profiles/README.md.
#pragma once

#include "armwise/console/profile.hpp"
#include "profile_parts.hpp"

namespace armwise::console {

template <class Choice>
using Names = std::vector<std::pair<const char*, Choice>>;

template <class Way>
void fields(Way& way, typename Way::template Of<Open>& open) {
  way.keys("send", open.send);
  way.text("prompt", open.prompt);
  way.line("reply_end", open.reply_end, {"skip", "rest"});
  way.choice("line_ending", open.line_ending, LineEnding::crlf,
             Names<LineEnding>{{"cr", LineEnding::cr}, {"lf", LineEnding::lf}, {"crlf", LineEnding::crlf}});
  way.truth("echo", open.echo);
  way.truth("echo_in_capitals", open.echo_in_capitals, false);
  way.query("barrier", open.barrier, {{"word"}, {"word"}, {}, {}});
  way.text("more", open.more);
  way.text("more_send", open.more_send);
  way.text("home", open.home);
  way.way_out("abandon", open.abandon);
  way.line("stamp", open.stamp, {"skip"});
  way.lines("unasked", open.unasked, {"skip"}, 50);
}

template <class Way>
void fields(Way& way, typename Way::template Of<Timing>& timing) {
  const Timing usual;
  way.milliseconds("reply_ms", timing.reply, usual.reply, {50, 60'000});
  way.milliseconds("quiet_ms", timing.quiet, usual.quiet, {1, 5'000});
  way.milliseconds("listing_ms", timing.listing, usual.listing, {100, 600'000});
  way.milliseconds("restart_ms", timing.restart, usual.restart, {500, 300'000});
  way.milliseconds("start_ms", timing.start, usual.start, {0, 300'000});
}

template <class Way>
void fields(Way& way, typename Way::template Of<Codes>& codes) {
  const Codes usual;
  way.whole("first_motor", codes.first_motor, usual.first_motor, {0, 100'000});
  way.motor_codes("motor", codes.motor);
  way.code("cw", codes.cw, usual.cw);
  way.code("ccw", codes.ccw, usual.ccw);
  way.code("props_in", codes.props_in, usual.props_in);
  way.code("props_out", codes.props_out, usual.props_out);
}

template <class Way>
void takes_effect(Way& way, typename Way::template Of<TakesEffect>& effect) {
  way.choice(
      "takes_effect", effect, TakesEffect::at_once,
      Names<TakesEffect>{{"at_once", TakesEffect::at_once}, {"after_restart", TakesEffect::after_restart}});
}

template <class Way>
void fields(Way& way, typename Way::template Of<MapAbility>& map) {
  using solve::MapKept;
  way.query("list", map.list, {{"motor"}, {"motor", "pin"}, {}, {"motor", "pin"}});
  way.choice("kept", map.rules.kept, MapKept::per_motor,
             Names<MapKept>{{"per_motor", MapKept::per_motor}, {"per_pin", MapKept::per_pin}});
  way.truth("shared_meanwhile", map.rules.shared_meanwhile, solve::MapRules().shared_meanwhile);
  way.command("put", map.put, {{"motor", "pin"}, {"motor", "pin"}});
  way.command("free", map.free, {{"motor", "pin"}, {map.rules.kept == MapKept::per_motor ? "motor" : "pin"}});
  way.text("no_pin", map.no_pin);
  way.text("no_motor", map.no_motor);
  takes_effect(way, map.takes_effect);
}

template <class Way>
void fields(Way& way, typename Way::template Of<PropsAbility>& props) {
  way.query("read", props.read, {{}, {"props"}, {"props"}, {}});
  way.command("set", props.set, {{"props"}, {"props"}});
  takes_effect(way, props.takes_effect);
}

template <class Way>
void fields(Way& way, typename Way::template Of<TurnAbility>& turn) {
  using solve::TurnKey;
  way.choice("key", turn.key, TurnKey::motor,
             Names<TurnKey>{{"motor", TurnKey::motor}, {"pin", TurnKey::pin}});
  const std::string key = turn.key == TurnKey::pin ? "pin" : "motor";
  way.query("read", turn.read, {{key}, {key, "turn"}, {}, {key, "turn"}});
  way.command("set", turn.set, {{key, "turn"}, {key, "turn"}});
  takes_effect(way, turn.takes_effect);
}

template <class Way>
void fields(Way& way, typename Way::template Of<MountAbility>& mount) {
  const MountAbility usual;
  way.mount_codes("codes", mount.codes);
  using craft::RotationForm;
  way.choice("form", mount.form, RotationForm::angles,
             Names<RotationForm>{{"angles", RotationForm::angles},
                                 {"quaternion", RotationForm::quaternion},
                                 {"matrix", RotationForm::matrix}});
  const Blanks shown = mount.blanks();
  way.query("read", mount.read, {{}, shown, shown, {}});
  way.command("set", mount.set, {shown, shown});
  way.number("one", mount.one, usual.one, {1e-3, 1e9});
  way.command("set_yaw", mount.set_yaw, {{"yaw"}, {"yaw"}});
  way.command("set_pitch", mount.set_pitch, {{"pitch"}, {"pitch"}});
  way.command("set_roll", mount.set_roll, {{"roll"}, {"roll"}});
  way.number("per_degree", mount.per_degree, usual.per_degree, {-1e6, 1e6});
  way.whole("decimals", mount.decimals, usual.decimals, {0, 9});
  way.signs("signs", mount.signs, usual.signs);
  way.one_of("order", mount.order, usual.order,
             {"yaw-pitch-roll", "yaw-roll-pitch", "pitch-yaw-roll", "pitch-roll-yaw", "roll-pitch-yaw",
              "roll-yaw-pitch"});
  way.truth("craft_to_board", mount.craft_to_board, usual.craft_to_board);
  way.truth("positive", mount.positive, usual.positive);
  takes_effect(way, mount.takes_effect);
}

template <class Way>
void fields(Way& way, typename Way::template Of<SpinAbility>& spin) {
  const SpinAbility usual;
  way.command("spin", spin.spin, {{"motor", "strength", "milliseconds"}, {"motor", "strength"}});
  way.command("stop", spin.stop, {{"motor"}, {"motor"}});
  way.command("stop_all", spin.stop_all, {{}, {}});
  way.number("zero", spin.zero, usual.zero, {-1e6, 1e6});
  way.number("full", spin.full, usual.full, {-1e6, 1e6});
  way.needed_number("standard", spin.standard, {-1e6, 1e6});
  way.number("lowest", spin.lowest, spin.standard, {-1e6, 1e6});
  way.number("highest", spin.highest, spin.standard, {-1e6, 1e6});
  way.whole("decimals", spin.decimals, usual.decimals, {0, 6});
  way.text("unit", spin.unit);
}

template <class Way>
void fields(Way& way, typename Way::template Of<SenseAbility>& sense) {
  const SenseAbility usual;
  way.query("read", sense.read, {{}, {"x", "y", "z", "gx", "gy", "gz"}, {"x", "y", "z"}, {}});
  way.number("per_g", sense.per_g, usual.per_g, {1e-3, 1e6});
  way.number("per_dps", sense.per_dps, usual.per_dps, {1e-6, 1e6});
  way.axes("axes", sense.axes, usual.axes);
  way.truth("after_mount", sense.after_mount, usual.after_mount);
  way.truth("specific_force", sense.specific_force, usual.specific_force);
}

template <class Way>
void fields(Way& way, typename Way::template Of<KeepAbility>& keep) {
  way.command("keep", keep.keep, {{}, {}});
  way.truth("restarts", keep.restarts, false);
  way.command("restart", keep.restart, {{}, {}});
}

template <class Way>
void fields(Way& way, typename Way::template Of<Profile>& profile) {
  way.version("armwise_profile", profile.version);
  way.name("name", profile.name);
  way.texts("notes", profile.notes, 100);
  way.truth("case_sensitive", profile.case_sensitive, false);
  way.section("open", profile.open, Needed::yes);
  way.section("timing", profile.timing, Needed::no);
  way.section("codes", profile.codes, Needed::no);
  way.lines("refusals", profile.refusals, {"skip", "rest", "word", "why"}, 50);
  way.query("identify", profile.identify, {{}, {"board", "firmware", "version", "serial"}, {}, {}});
  way.query("whole_configuration", profile.whole_configuration, {{}, {}, {}, {}});
  way.section("map", profile.map);
  way.section("props", profile.props);
  way.section("turn", profile.turn);
  way.section("mount", profile.mount);
  way.section("spin", profile.spin);
  way.section("sense", profile.sense);
  way.section("keep", profile.keep);
  way.command("leave", profile.leave, {{}, {}});
  way.numbering("numbering", profile.numbering);
}

}  // namespace armwise::console
