// Opening, and all that only asks. What writes and what turns motors stand in files of their own.
#include "armwise/console/profile_console.hpp"

#include <algorithm>
#include <utility>

#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/console/mount_text.hpp"
#include "armwise/console/whole_configuration.hpp"
#include "armwise/craft/rotation.hpp"
#include "profile_console_inside.hpp"

namespace armwise::console {
namespace {

bool is_worth_asking_again(const Fault& fault) {
  return fault.kind() == FaultKind::no_reply || fault.kind() == FaultKind::unreadable;
}

std::string or_empty(const Values& values, const std::string& blank) {
  const auto found = values.find(blank);
  return found == values.end() ? std::string() : found->second;
}

bool asks_for_each(const Query& query, const char* blank) {
  return std::any_of(query.steps.begin(), query.steps.end(),
                     [&](const Step& step) { return step.send.has(blank); });
}

// Puts three readings on our axes: "-y" as the first says that it is the negative of our y.
std::array<double, 3> on_our_axes(const std::array<std::string, 3>& axes, const std::array<double, 3>& read) {
  std::array<double, 3> ours{};
  for (std::size_t i = 0; i < 3; ++i) {
    const auto axis = static_cast<std::size_t>(axes.at(i).back() - 'x');
    ours.at(axis) = axes.at(i).front() == '-' ? -read.at(i) : read.at(i);
  }
  return ours;
}

std::array<double, 3> taken_out_of_mount(const craft::YawPitchRoll& mount,
                                         const std::array<double, 3>& told) {
  const craft::ToldFromBoard told_from_board(mount);
  const craft::InBoard board = told_from_board.inverse() * craft::InTold{told[0], told[1], told[2]};
  return {board.x, board.y, board.z};
}

}  // namespace

ProfileConsole::ProfileConsole(Plug& plug, Profile profile, Clock& clock, Sentry& sentry)
    : inside_(std::make_unique<Inside>(plug, std::move(profile), clock, sentry)) {}
ProfileConsole::~ProfileConsole() = default;

const Profile& ProfileConsole::profile() const {
  return inside_->profile;
}

std::string ProfileConsole::renamed() const {
  return inside_->plug.renamed();
}

Conversation& ProfileConsole::Inside::talk() {
  if (!conversation && was_open)
    throw Fault(FaultKind::line_lost, "the controller is not connected any more");
  if (!conversation) throw Fault(FaultKind::internal, "the console was not opened");
  return *conversation;
}

Task<void> ProfileConsole::Inside::talk_on(std::unique_ptr<Line> line, std::optional<Instant> start_ends) {
  conversation = std::make_unique<Conversation>(std::move(line), profile, clock);
  was_open = true;
  unanswered.reset();
  known_mount.reset();
  shared.forget();
  if (may_be_turning) {
    co_await conversation->stop_now(Conversation::Where::from_outside);
  } else if (start_ends && (starts_up || may_be_turning.surely_not() || !profile.spin)) {
    co_await conversation->hear_start(*start_ends - clock.now(), profile.timing.start);
  }
  co_await conversation->open();
}

void ProfileConsole::take_over(std::unique_ptr<Line> line, bool in_step) {
  Inside& inside = *inside_;
  inside.conversation = std::make_unique<Conversation>(std::move(line), inside.profile, inside.clock);
  if (in_step) inside.conversation->go_on_in_step();
  inside.was_open = inside.may_be_turning = true;
}

std::unique_ptr<Line> ProfileConsole::give_back() {
  return inside_->conversation ? inside_->conversation->release() : nullptr;
}

void ProfileConsole::hear_start_first() {
  inside_->starts_up = true;
}

Task<void> ProfileConsole::open() {
  Inside& inside = *inside_;
  inside.conversation.reset();  // the port is held for one at a time
  std::unique_ptr<Line> line = co_await inside.plug.open();
  std::optional<Instant> start_ends;
  if (inside.starts_up) start_ends = inside.clock.now() + inside.profile.timing.restart;
  co_await inside.talk_on(std::move(line), start_ends);
  inside.starts_up = false;
}

Task<void> ProfileConsole::Inside::ask(const Query& query, const Values& values, const std::string& doing,
                                       const Reader& read, WholeAt whole_at) {
  const Answers answers = whole_at == WholeAt::answer ? Answers(query.lines) : Answers();
  for (int attempt = 1;; ++attempt) {
    std::optional<Fault> trouble;
    try {
      const Reply reply = co_await talk().run(query.steps, values, answers);
      read(reply);
      if (shared.any()) shared.read(rows_in(profile, query, reply.lines), values);
      co_return;
    } catch (const Fault& fault) {
      if (!is_worth_asking_again(fault) || attempt == 2) throw fault.within(doing);
      trouble = fault;
    }
    // An unreadable reply may be half of one whose other half is still on its way.
    if (trouble->kind() == FaultKind::unreadable) talk().trust_no_prompt();
    std::optional<Fault> lost;
    try {
      co_await talk().resynchronise();
    } catch (const Fault& fault) {
      lost = fault;
    }
    if (lost) throw(lost->kind() == FaultKind::line_lost ? *lost : *trouble).within(doing);
  }
}

Task<Identity> ProfileConsole::identify() {
  Inside& inside = *inside_;
  Identity identity;
  identity.port_identity = inside.plug.identity();
  if (!inside.profile.identify) co_return identity;
  const Values none;
  const std::string doing = "while asking which controller it is";
  const Inside::Reader read = [&](const Reply& reply) {
    const Values values = values_in(inside.profile, *inside.profile.identify, reply.lines, {});
    if (values.empty()) throw Fault(FaultKind::unreadable, "nothing in the reply reads as the profile says");
    identity.board = or_empty(values, "board");
    identity.firmware = or_empty(values, "firmware");
    identity.version = or_empty(values, "version");
    identity.serial = or_empty(values, "serial");
  };
  co_await inside.ask(*inside.profile.identify, none, doing, read, Inside::WholeAt::silence);
  co_return identity;
}

Task<std::string> ProfileConsole::whole_configuration() {
  Inside& inside = *inside_;
  const Query& query = needed(inside.profile.whole_configuration, "reading the whole configuration");
  std::string text;
  const Values none;
  const std::string doing = "while reading the whole configuration";
  const Inside::Reader read = [&](const Reply& reply) {
    if (reply.lines.empty()) throw Fault(FaultKind::unreadable, "the console printed nothing");
    text = as_it_came(reply.bytes, reply.lines);
  };
  co_await inside.ask(query, none, doing, read, Inside::WholeAt::silence);
  co_return text;
}

Task<std::vector<Values>> ProfileConsole::Inside::map_rows(int first, int last) {
  const MapAbility& map = needed(profile.map, "reading the map");
  const bool for_each = asks_for_each(map.list, "motor");
  std::vector<Values> rows;
  for (int number = first; number <= (for_each ? last : first); ++number) {
    const std::string code = for_each ? profile.motor_code(craft::Motor{number}) : std::string();
    const Values values{{"motor", code}};
    const std::string doing = for_each ? "while reading which pin drives motor " + std::to_string(number)
                                       : "while reading which pin drives each motor";
    const Reader read = [&](const Reply& reply) {
      std::vector<Values> found = rows_in(profile, map.list, reply.lines);
      if (found.empty()) throw Fault(FaultKind::unreadable, "no line of the reply reads as the profile says");
      for (Values& row : found) {
        // An answer that names nobody is the answer for the one that was asked about.
        if (!for_each || profile.same(row.emplace("motor", code).first->second, code)) continue;
        throw Fault(FaultKind::unreadable, "the answer is about motor \"" + row.at("motor") + "\"");
      }
      rows.insert(rows.end(), found.begin(), found.end());
    };
    co_await ask(map.list, values, doing, read);
  }
  co_return rows;
}

Task<solve::Snapshot> ProfileConsole::Inside::snapshot(int motors, Listing listing) {
  const MapAbility& map = needed(profile.map, "reading the map");
  solve::Snapshot found;
  found.map_rules = map.rules;
  if (asks_for_each(map.list, "motor")) {
    const std::vector<Values> rows = co_await map_rows(1, motors);
    found.map = map_in(profile, rows, motors, listing);
  } else {
    const Values none;
    const std::string doing = "while reading which pin drives each motor";
    const Reader read = [&](const Reply& reply) {
      found.map = map_in(profile, rows_in(profile, map.list, reply.lines), motors, listing);
    };
    co_await ask(map.list, none, doing, read);
  }
  if (profile.props) found.props = co_await props();
  if (profile.turn) found.turns = co_await turns(found.map);
  if (profile.turn && profile.turn->set) found.turn_key = profile.turn->key;
  if (profile.mount) found.mount = co_await mount();
  if (profile.mount) found.mount_step = last_digit(*profile.mount);
  co_return found;
}

Task<solve::Snapshot> ProfileConsole::snapshot(int motors) {
  co_return co_await inside_->snapshot(motors, Listing::whole);
}

Task<solve::Snapshot> ProfileConsole::snapshot_as_left(int motors) {
  co_return co_await inside_->snapshot(motors, Listing::as_left);
}

Task<craft::Turn> ProfileConsole::Inside::turn_of(const std::string& key) {
  const TurnAbility& turn = needed(profile.turn, "reading the turns");
  const std::string blank = turn.key == solve::TurnKey::pin ? "pin" : "motor";
  const bool for_each = asks_for_each(turn.read, blank.c_str());
  craft::Turn found = craft::Turn::cw;
  const Values values = for_each ? Values{{blank, key}} : Values{};
  const std::string doing = "while reading which way " + blank + " " + key + " is set to turn";
  const Reader read = [&](const Reply& reply) {
    std::vector<Values> rows = rows_in(profile, turn.read, reply.lines);
    // An answer that names nobody is the answer for the one that was asked about.
    if (for_each) {
      for (Values& row : rows) row.emplace(blank, key);
    }
    found = turn_listed(profile, rows, key);
  };
  co_await ask(turn.read, values, doing, read);
  co_return found;
}

Task<std::vector<craft::Turn>> ProfileConsole::Inside::turns(const craft::MotorMap& map) {
  const TurnAbility& turn = *profile.turn;
  const bool by_pin = turn.key == solve::TurnKey::pin;
  std::vector<std::string> keys;
  for (int number = 1; number <= map.size(); ++number) {
    const craft::Motor motor{number};
    keys.push_back(by_pin ? map.pin_of(motor).name : profile.motor_code(motor));
  }
  std::vector<craft::Turn> found(keys.size(), craft::Turn::cw);
  if (asks_for_each(turn.read, by_pin ? "pin" : "motor")) {
    for (std::size_t i = 0; i < keys.size(); ++i) {
      if (!keys[i].empty()) found[i] = co_await turn_of(keys[i]);
    }
    co_return found;
  }
  const Values none;
  const std::string doing = "while reading which way each motor is set to turn";
  const Reader read = [&](const Reply& reply) {
    const std::vector<Values> rows = rows_in(profile, turn.read, reply.lines);
    for (std::size_t i = 0; i < keys.size(); ++i) {
      if (!keys[i].empty()) found[i] = turn_listed(profile, rows, keys[i]);
    }
  };
  co_await ask(turn.read, none, doing, read);
  co_return found;
}

Task<craft::PropScheme> ProfileConsole::Inside::props() {
  const PropsAbility& ability = needed(profile.props, "reading the prop direction");
  craft::PropScheme found = craft::PropScheme::in;
  const Values none;
  const std::string doing = "while reading the prop direction";
  const Reader read = [&](const Reply& reply) {
    const Values values = values_in(profile, ability.read, reply.lines, {"props"});
    const auto scheme = profile.props_coded(values.at("props"));
    if (!scheme) throw Fault(FaultKind::unreadable, "it reads \"" + values.at("props") + "\"");
    found = *scheme;
  };
  co_await ask(ability.read, none, doing, read);
  co_return found;
}

Task<craft::YawPitchRoll> ProfileConsole::Inside::mount() {
  const MountAbility& ability = needed(profile.mount, "reading the mount");
  craft::YawPitchRoll found;
  const Values none;
  const std::string doing = "while reading the set mount";
  const Reader read = [&](const Reply& reply) {
    found = mount_read(profile, values_in(profile, ability.read, reply.lines, ability.blanks()));
  };
  co_await ask(ability.read, none, doing, read);
  known_mount = found;
  co_return found;
}

Task<SenseReading> ProfileConsole::sense() {
  Inside& inside = *inside_;
  const SenseAbility& ability = needed(inside.profile.sense, "reading the accelerometer");
  std::array<double, 3> acceleration{};
  std::optional<std::array<double, 3>> gyro;
  const Values none;
  const std::string doing = "while reading the accelerometer";
  const Inside::Reader read = [&](const Reply& reply) {
    const auto three = [&](const Values& values, const char* x, const char* y, const char* z, double scale) {
      return on_our_axes(ability.axes, {number_in(values, x) / scale, number_in(values, y) / scale,
                                        number_in(values, z) / scale});
    };
    const Values values = values_in(inside.profile, ability.read, reply.lines, {"x", "y", "z"});
    acceleration = three(values, "x", "y", "z", ability.specific_force ? ability.per_g : -ability.per_g);
    const bool has_gyro = values.contains("gx") && values.contains("gy") && values.contains("gz");
    if (ability.per_dps > 0 && has_gyro) gyro = three(values, "gx", "gy", "gz", ability.per_dps);
  };
  co_await inside.ask(ability.read, none, doing, read);
  if (ability.after_mount) {
    if (!inside.known_mount) co_await inside.mount();
    acceleration = taken_out_of_mount(*inside.known_mount, acceleration);
    if (gyro) gyro = taken_out_of_mount(*inside.known_mount, *gyro);
  }
  co_return SenseReading{acceleration[0], acceleration[1], acceleration[2], gyro};
}

Task<void> ProfileConsole::leave() {
  Inside& inside = *inside_;
  if (!inside.profile.leave || !inside.conversation) co_return;
  const Values none;
  try {
    // Whether it answers or not: nobody is to wait for it.
    co_await inside.conversation->run_or_owe(inside.profile.leave->steps, none, Duration{0});
  } catch (const Fault&) {
    // A console that has been left answers no more, and some restart.
  }
}

}  // namespace armwise::console
