// `armwise predict`: no hardware. What a mount calls for, in the controller or on the radio.
#include "armwise/solve/predict.hpp"

#include <algorithm>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/io_context.hpp>
#include <exception>
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>
#include <optional>
#include <set>
#include <utility>
#include <vector>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/craft/mounts.hpp"
#include "armwise/link/real_clock.hpp"
#include "armwise/session/person.hpp"
#include "armwise/solve/sticks.hpp"
#include "armwise/ui/front_end.hpp"
#include "armwise/ui/picture.hpp"
#include "armwise/ui/style.hpp"
#include "checks.hpp"
#include "commands.hpp"
#include "exit_status.hpp"
#include "predict_json.hpp"
#include "predict_lines.hpp"
#include "profiles_at_hand.hpp"

namespace armwise::app {
namespace {

using nlohmann::json;

struct PredictArguments {
  std::string frame = "quad-x", scheme = "in", profile;
  std::optional<double> yaw, pitch, roll;
  std::string usb, up, socket_edge;
  std::vector<std::string> pins;
  std::optional<double> pads_yaw;
  bool pads_upside_down = false, radio = false, as_json = false, why = false;
};

craft::Degrees direction(const std::string& text, const char* option) {
  if (const auto named = solve::direction_named(text)) return *named;
  try {
    std::size_t used = 0;
    const double degrees = std::stod(text, &used);
    if (used == text.size()) return craft::Degrees{degrees};
  } catch (const std::exception&) {
    // told below
  }
  throw Fault(FaultKind::usage, std::string(option) + " cannot be \"" + printable(text) + "\"",
              "it is a direction on the craft",
              "Say front, right, rear, left, front-right and so on, or degrees clockwise from the front");
}

// Said each time: a board's maker chose the edge.
std::string assumed_edge(const PredictArguments& arguments) {
  if (arguments.usb.empty() || !arguments.socket_edge.empty()) return {};
  return " That edge is assumed: --socket-edge left, front or rear says another.";
}

solve::UsbView usb_view(const PredictArguments& arguments) {
  solve::UsbView view{direction(arguments.usb, "--usb")};
  if (!arguments.socket_edge.empty()) view.socket_edge = direction(arguments.socket_edge, "--socket-edge");
  return view;
}

// An option that would change nothing was meant for something else.
void refuse_ignored(const PredictArguments& arguments) {
  for (const auto& [name, given] : {std::pair{"--up", !arguments.up.empty()},
                                    std::pair{"--socket-edge", !arguments.socket_edge.empty()}}) {
    if (given && arguments.usb.empty())
      throw Fault(FaultKind::usage, std::string(name) + " says nothing without --usb", {},
                  "Say where the USB socket points, too: --usb left");
  }
  if (arguments.radio && !arguments.usb.empty() && arguments.up.empty())
    throw Fault(FaultKind::usage, "--radio needs one mount, and --usb alone lists several", {},
                "Say which side is up, too: --up up, or --up down");
}

// The mount that the options say; absent: only the direction of the socket was given.
std::optional<craft::CraftFromBoard> mount_of(const PredictArguments& arguments) {
  const bool by_angles = arguments.yaw || arguments.pitch || arguments.roll;
  if (by_angles && !arguments.usb.empty()) {
    throw Fault(FaultKind::usage, "--usb and the angles both say how the board sits", {},
                "Give one of the two");
  }
  if (arguments.usb.empty()) {
    return craft::CraftFromBoard(craft::YawPitchRoll{arguments.yaw.value_or(0), arguments.pitch.value_or(0),
                                                     arguments.roll.value_or(0)});
  }
  if (arguments.up.empty()) return std::nullopt;
  return solve::mount_from_usb(usb_view(arguments), arguments.up == "down").rotation;
}

session::CraftView view(const craft::Frame& frame, const solve::Prediction& prediction, bool after) {
  session::CraftView made;
  made.frame = &frame;
  made.title = after ? "once it is set" : "as the wires go to the nearest pads";
  for (const solve::PredictedMotor& motor : prediction.motors) {
    const craft::Pin& pin = motor.pin_after;  // the pin whose motor sits on this place
    const craft::Motor number = after ? motor.motor : prediction.now.map.motor_on(pin);
    made.at[motor.place] = {number, pin, after ? motor.wanted : motor.as_wired, motor.wanted};
  }
  return made;
}

// Within so many rows, or not at all; 0: any.
void print_pictures(const std::vector<session::CraftView>& views, const std::string& color, int rows) {
  const ui::Surroundings around = ui::Surroundings::of_this_process();
  const ui::ColourChoice choice = ui::colour_choice_named(color).value_or(ui::ColourChoice::automatic);
  ui::Style style = ui::style_for(choice, around, around.output_is_terminal);
  ui::Picture picture = ui::craft_pictures(views, style);
  const auto is_too_high = [&] { return rows > 0 && static_cast<int>(picture.lines.size()) > rows; };
  if (is_too_high()) {
    style.rows = rows;
    picture = ui::craft_pictures(views, style);
  }
  if (is_too_high()) return;
  for (const std::string& line : ui::rendered(picture, style)) std::cout << line << "\n";
  if (!picture.empty()) std::cout << ui::painted(ui::legend(style), ui::Ink::faint, style) << "\n";
}

int text_columns() {
  return std::min(ui::widest_text,
                  ui::style_for(ui::ColourChoice::never, ui::Surroundings::of_this_process(), true).columns);
}

void print_wrapped(const std::string& text) {
  for (const std::string& line : ui::wrapped(text, text_columns())) std::cout << line << "\n";
}

int list_mounts(const PredictArguments& arguments, const solve::PredictRequest& request) {
  const solve::UsbView usb = usb_view(arguments);
  json all = json::array();
  if (!arguments.as_json)
    print_wrapped("Mounts with the socket there, " + solve::socket_in_words(usb) + "." +
                  assumed_edge(arguments));
  for (const solve::UsbChoice& choice : solve::mounts_with_usb(usb, request)) {
    if (arguments.as_json) {
      all.push_back({{"mount", choice.mount.words},
                     {"angles", json_of(choice.mount.angles)},
                     {"writes", choice.writes},
                     {"words", choice.words}});
    } else {
      print_wrapped("- " + choice.words);
    }
  }
  if (arguments.as_json) std::cout << all.dump(2) << "\n";
  return done;
}

// Clockwise from the nose where no profile says otherwise.
craft::Numbering numbering_of(const std::optional<console::Profile>& profile, const craft::Frame& frame) {
  std::optional<craft::Numbering> numbering;
  if (profile) numbering = profile->numbering_for(frame);
  if (numbering) return *numbering;
  craft::Numbering clockwise;
  for (craft::PlaceIndex place = 0; place < frame.places.size(); ++place)
    clockwise.place_of_motor.push_back(place);
  return clockwise;
}

std::vector<craft::Pin> pins_of(const PredictArguments& arguments, const craft::Frame& frame) {
  std::vector<craft::Pin> pins;
  for (const std::string& name : arguments.pins) pins.push_back({std::string(trimmed(name))});
  const std::set<craft::Pin> different(pins.begin(), pins.end());
  const bool named = std::ranges::none_of(pins, [](const craft::Pin& pin) { return pin.name.empty(); });
  const bool each_motor = different.size() == frame.places.size() && pins.size() == different.size();
  if (pins.empty() || (named && each_motor)) return pins;
  throw Fault(FaultKind::usage, "--pins has to name one pin for each motor of " + frame.name, {},
              "List " + std::to_string(frame.size()) +
                  " different pins, that of motor 1 first, with commas between them");
}

// All but the mount.
solve::PredictRequest request_of(const PredictArguments& arguments, const craft::Frame& frame,
                                 const std::optional<console::Profile>& profile) {
  solve::PredictRequest request;
  request.frame = &frame;
  request.scheme = *craft::scheme_named(arguments.scheme);
  request.numbering = numbering_of(profile, frame);
  request.pins = pins_of(arguments, frame);
  if (arguments.pads_yaw || arguments.pads_upside_down) {
    request.pads_board = craft::CraftFromBoard(
        craft::YawPitchRoll{arguments.pads_yaw.value_or(0), 0, arguments.pads_upside_down ? 180.0 : 0.0});
  }
  return request;
}

using Lines = std::vector<std::string>;

void add_wrapped(Lines& lines, const std::string& text, const char* indent = "") {
  for (const std::string& line : ui::wrapped(text, text_columns(), indent)) lines.push_back(line);
}

void add_part(Lines& lines, const std::string& heading, const Lines& sentences) {
  lines.emplace_back();
  lines.push_back(heading);
  for (const std::string& sentence : sentences) add_wrapped(lines, sentence, "  ");
}

enum class Room { paper, screen };

void add_console_lines(Lines& lines, const PredictedLines& console, const std::string& profile, Room room) {
  lines.push_back("Set this, for " + printable(profile) + ":");
  if (console.lines.empty()) lines.emplace_back("    nothing");
  // Of many, the second half stands beside the first on a screen.
  constexpr std::size_t most = 8;
  constexpr int half = ui::widest_text / 2;
  const std::size_t count = console.lines.size();
  const std::size_t rows = room == Room::screen && count > most ? (count + 1) / 2 : count;
  for (std::size_t row = 0; row < rows; ++row) {
    lines.push_back("    " + printable(console.lines[row]));
    if (row + rows < count)
      lines.back() = ui::padded(lines.back(), half) + "  " + printable(console.lines[row + rows]);
  }
  for (const std::string& remark : console.remarks) add_wrapped(lines, remark);
}

// What the pictures do not say of themselves: the numbers in them, and the board.
void add_assumptions(Lines& lines, const solve::PredictRequest& request, const solve::Prediction& prediction,
                     bool has_profile, const std::string& remark) {
  std::string numbers;
  if (!has_profile) numbers = "Motors count clockwise from the nose (--profile: your console's way).";
  if (request.pins.empty() && !prediction.rings.empty())
    numbers += std::string(numbers.empty() ? "" : " ") + "Pin 1 is the pin that motor 1 has now.";
  if (!numbers.empty()) add_wrapped(lines, numbers);
  add_wrapped(lines, prediction.sentences.front() + remark);
}

// In three parts: what to set, and how it flies without and with that.
Lines all_parts(const solve::Prediction& prediction, const std::optional<PredictedLines>& console,
                const std::string& profile) {
  Lines lines;
  add_part(lines, "Set this:", {prediction.sentences.begin() + 1, prediction.sentences.end()});
  if (console) add_console_lines(lines, *console, profile, Room::paper);
  add_part(lines, "If you set nothing:", {prediction.before.words});
  add_part(lines, "With all of it set:", {prediction.after.words});
  return lines;
}

// The same on one screen; what to set in the console's own commands where they are known.
Lines brief_parts(const solve::Prediction& prediction, const std::optional<PredictedLines>& console,
                  const std::string& profile) {
  Lines lines;
  if (console) {
    add_console_lines(lines, *console, profile, Room::screen);
  } else {
    lines.emplace_back("Set this:");
    for (std::size_t i = 1; i < prediction.sentences.size(); ++i)
      add_wrapped(lines, prediction.sentences[i], "  ");
  }
  add_wrapped(lines, "If you set nothing: " + first_sentence(prediction.before.words) + " --why says more.");
  add_wrapped(lines, "With all of it set: " + first_sentence(prediction.after.words));
  return lines;
}

void print(const craft::Frame& frame, const solve::PredictRequest& request,
           const solve::Prediction& prediction, const std::optional<console::Profile>& profile,
           const std::optional<solve::StickPlan>& sticks, const PredictArguments& arguments,
           const std::string& color) {
  const ui::Surroundings around = ui::Surroundings::of_this_process();
  const bool brief = around.output_is_terminal && !arguments.why;
  std::optional<PredictedLines> console;
  if (profile) console = lines_for(*profile, request);
  const std::string name = profile ? profile->name : std::string();
  Lines lines;
  add_assumptions(lines, request, prediction, profile.has_value(), assumed_edge(arguments));
  const Lines parts = brief ? brief_parts(prediction, console, name) : all_parts(prediction, console, name);
  lines.insert(lines.end(), parts.begin(), parts.end());
  if (sticks) {
    lines.insert(lines.end(), {"", "On the radio instead:"});
    add_wrapped(lines, sticks->words);
  }
  // One row for the shell's prompt, one between the pictures and the words.
  const int left = around.rows - static_cast<int>(lines.size()) - 2;
  print_pictures({view(frame, prediction, false), view(frame, prediction, true)}, color,
                 brief && around.rows > 0 ? std::max(1, left) : 0);
  for (const std::string& line : lines) std::cout << line << "\n";
}

session::Question choice(const char* text, std::vector<session::Choice> choices) {
  session::Question question;
  question.kind = session::Question::Kind::choose;
  question.text = text;
  question.choices = std::move(choices);
  question.may_go_back = false;
  return question;
}

Task<void> ask_for_mount(session::Person& person, PredictArguments& arguments) {
  session::Question socket = choice("Seen from above: where does the USB socket point?", {});
  socket.id = "socket";
  for (const char* where :
       {"front", "right", "rear", "left", "front-right", "rear-right", "rear-left", "front-left"})
    socket.choices.push_back({where, where});
  session::Question side =
      choice("Which side of the board is up?",
             {{"up", "the side with the arrow"}, {"down", "the other side: it is upside down"}});
  side.id = "side-up";
  session::Question edge =
      choice("With the arrow to the front: which edge of the board is the socket on?", {});
  edge.id = "socket-edge";
  for (const char* where : {"right", "left", "front", "rear"}) edge.choices.push_back({where, where});
  const session::Answer pointed = co_await person.ask(socket);
  const session::Answer up = co_await person.ask(side);
  const session::Answer at = co_await person.ask(edge);
  arguments.usb = std::get<std::string>(pointed);
  arguments.up = std::get<std::string>(up);
  arguments.socket_edge = std::get<std::string>(at);
}

// Nothing said how the board sits, and somebody is there to be asked.
void ask_where_nothing_is_told(PredictArguments& arguments, const std::string& color) {
  const ui::Surroundings around = ui::Surroundings::of_this_process();
  const bool told = arguments.yaw || arguments.pitch || arguments.roll || !arguments.usb.empty();
  if (told || arguments.as_json || !around.input_is_terminal || !around.output_is_terminal) return;
  boost::asio::io_context loop(1);
  link::RealClock clock(loop.get_executor());
  ui::UiOptions options;
  options.colour = ui::colour_choice_named(color).value_or(ui::ColourChoice::automatic);
  const auto person = ui::make_person(loop.get_executor(), clock, options, around);
  std::exception_ptr trouble;
  boost::asio::co_spawn(loop, ask_for_mount(*person, arguments), [&](std::exception_ptr error) {
    trouble = std::move(error);
    loop.stop();
  });
  loop.run();
  if (trouble) std::rethrow_exception(trouble);
}

int run_predict(PredictArguments& arguments, const std::string& color) {
  const craft::Frame& frame = *craft::frame_named(arguments.frame);
  std::optional<console::Profile> profile;
  if (!arguments.profile.empty()) profile = find_profile(arguments.profile).profile;
  solve::PredictRequest request = request_of(arguments, frame, profile);
  refuse_ignored(arguments);
  try {
    ask_where_nothing_is_told(arguments, color);
  } catch (const StoppedByPerson&) {
    return stopped;
  }
  const std::optional<craft::CraftFromBoard> mount = mount_of(arguments);
  if (!mount) return list_mounts(arguments, request);
  if (!arguments.usb.empty()) request.usb = usb_view(arguments);
  request.mount = *mount;
  const solve::Prediction prediction = solve::predict(request);
  std::optional<solve::StickPlan> sticks;
  if (arguments.radio) sticks = solve::stick_plan(*mount, frame, request.scheme, request.numbering);
  if (!arguments.as_json) {
    print(frame, request, prediction, profile, sticks, arguments, color);
    return done;
  }
  json out = json_of(prediction, frame);
  out["frame"] = frame.name;
  if (sticks) out["radio"] = json_of(*sticks);
  if (profile) out["console"] = json_of(lines_for(*profile, request));
  std::cout << out.dump(2) << "\n";
  return done;
}

void add_options(CLI::App& command, PredictArguments& arguments) {
  command.add_option("--frame", arguments.frame, "the frame (quad-x)")
      ->type_name("FRAME")
      ->check(known_frame());
  command.add_option("--props", arguments.scheme, "in or out (in)")
      ->type_name("WAY")
      ->check(one_of({"in", "out"}));
  const auto angle = number_within(-360, 360);
  command.add_option("--yaw", arguments.yaw, "how the board is turned: nose to the right")
      ->type_name("DEG")
      ->check(angle);
  command.add_option("--pitch", arguments.pitch, "then nose up")->type_name("DEG")->check(angle);
  command.add_option("--roll", arguments.roll, "then right side down; 180 is upside down")
      ->type_name("DEG")
      ->check(angle);
  command.add_option("--usb", arguments.usb, "instead: where the USB socket points; alone, lists the mounts")
      ->type_name("WHERE");
  command.add_option("--up", arguments.up, "with --usb: the board's arrow side is up or down")
      ->type_name("SIDE")
      ->check(one_of({"up", "down"}));
  command
      .add_option("--socket-edge", arguments.socket_edge, "the socket's edge, from the board's arrow (right)")
      ->type_name("WHERE");
  command.add_option("--pads-yaw", arguments.pads_yaw, "a separate board carries the motor pads, turned so")
      ->type_name("DEG")
      ->check(angle);
  command.add_flag("--pads-upside-down", arguments.pads_upside_down, "and that board is upside down");
  command.add_option("--profile", arguments.profile, "give the commands for this console")->type_name("FILE");
  command.add_option("--pins", arguments.pins, "the pins that motors 1, 2, … have now: P1,P2,P3,P4")
      ->type_name("PINS")
      ->delimiter(',');
  command.add_flag("--radio", arguments.radio, "what to set on the radio instead, and what that costs");
  command.add_flag("--why", arguments.why, "say in full how it would fly");
  command.add_flag("--json", arguments.as_json, "as JSON");
}

}  // namespace

CommandSpec predict_command() {
  return {"predict", "no hardware: what your mount needs, in the controller or on the radio",
          "armwise predict --usb rear --up down --frame quad-x", [](CLI::App& command, Chosen& chosen) {
            auto arguments = std::make_shared<PredictArguments>();
            add_options(command, *arguments);
            return [arguments, &chosen] { return run_predict(*arguments, chosen.common.color); };
          }};
}

}  // namespace armwise::app
