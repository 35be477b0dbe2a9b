// Writing settings, and reading each back by asking again.
#include <algorithm>
#include <cmath>
#include <utility>

#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/console/mount_text.hpp"
#include "armwise/console/playback.hpp"
#include "profile_console_inside.hpp"

namespace armwise::console {
namespace {

std::string in_quotes(const std::string& text) {
  return "\"" + printable(text) + "\"";
}

std::string read_back_otherwise(const std::string& what, const std::string& written,
                                const std::string& read) {
  return what + " was written as " + written + " but reads back as " + read;
}

std::string in_words(const craft::YawPitchRoll& mount) {
  return "yaw " + number_text(mount.yaw, 2) + ", pitch " + number_text(mount.pitch, 2) + ", roll " +
         number_text(mount.roll, 2);
}

// "6" confirms "6.00".
bool same_value(const Profile& profile, const Piece& blank, const Values& sent, const Values& confirmed) {
  const std::string& read = confirmed.at(blank.text);
  if (profile.same(sent.at(blank.text), read)) return true;
  if (blank.type != BlankType::decimal && blank.type != BlankType::whole) return false;
  return std::abs(number_in(sent, blank.text) - number_in(confirmed, blank.text)) < 1e-9;
}

bool confirms(const Profile& profile, const Order& order, const Values& confirmed) {
  for (const Piece& piece : order.command->confirms->pieces()) {
    if (!piece.blank || !order.values.contains(piece.text)) continue;
    if (!same_value(profile, piece, order.values, confirmed)) return false;
  }
  return true;
}

}  // namespace

bool is_confirmed(const Profile& profile, const Order& order, const Reply& reply) {
  if (!order.command->confirms) return true;
  std::string otherwise;
  for (const std::string& line : reply.lines) {
    const auto confirmed = order.command->confirms->match(line, profile.case_sensitive);
    if (!confirmed) continue;
    if (confirms(profile, order, *confirmed)) return true;
    otherwise = line;
  }
  if (otherwise.empty()) return false;
  const std::vector<std::string> sent = Conversation::as_sent(order.command->steps, order.values);
  throw Fault(FaultKind::mismatch,
              "the console confirmed something else than " + in_quotes(joined(sent, " / ")),
              "It said: " + in_quotes(otherwise));
}

std::vector<Order> ProfileConsole::Inside::orders_for(const solve::SetMap& change) const {
  const MapAbility& map = needed(profile.map, "setting the map");
  const solve::MapWrite& write = change.write;
  const bool put = write.kind == solve::MapWrite::Kind::put;
  const Command& command = put ? needed(map.put, "setting the map") : needed(map.free, "freeing a pin");
  Order order{&command, {{"motor", profile.motor_code(write.motor)}, {"pin", write.pin.name}}};
  // In the bits of the one that is set stands what stands there for none.
  const bool per_pin = map.rules.kept == solve::MapKept::per_pin;
  if (!put && command.sets_bits())
    order.values[per_pin ? "motor" : "pin"] = per_pin ? map.no_motor : map.no_pin;
  return {order};
}

std::vector<Order> ProfileConsole::Inside::orders_for(const solve::SetProps& change) const {
  const PropsAbility& props = needed(profile.props, "setting the prop direction");
  const Command& command = needed(props.set, "setting the prop direction");
  return {{&command, {{"props", profile.props_code(change.to)}}}};
}

std::vector<Order> ProfileConsole::Inside::orders_for(const solve::SetTurn& change) const {
  const TurnAbility& turn = needed(profile.turn, "setting which way a motor turns");
  const Command& command = needed(turn.set, "setting which way a motor turns");
  Values values{{"turn", profile.turn_code(change.to)}};
  if (turn.key == solve::TurnKey::pin) {
    values["pin"] = change.pin.name;
  } else {
    values["motor"] = profile.motor_code(change.motor);
  }
  return {{&command, values}};
}

std::vector<Order> ProfileConsole::Inside::orders_for(const solve::SetMount& change) const {
  const MountAbility& mount = needed(profile.mount, "setting the mount");
  const Values values = mount_values(mount, change.to);
  if (mount.set) return {{&*mount.set, values}};
  const auto one = [&](const std::optional<Command>& command, const char* angle) {
    return Order{&needed(command, "setting the mount"), {{angle, values.at(angle)}}};
  };
  return {one(mount.set_yaw, "yaw"), one(mount.set_pitch, "pitch"), one(mount.set_roll, "roll")};
}

std::vector<Order> ProfileConsole::Inside::orders_for(const solve::Change& change,
                                                      const SharedNumbers& known) const {
  std::vector<Order> orders = std::visit([&](const auto& what) { return orders_for(what); }, change.what);
  for (Order& order : orders) known.complete(order);
  return orders;
}

std::vector<std::vector<std::string>> ProfileConsole::lines_of_each(
    const std::vector<solve::Change>& changes) const {
  std::vector<std::vector<std::string>> all;
  SharedNumbers shared = inside_->shared;
  for (const solve::Change& change : changes) {
    std::vector<std::string>& lines = all.emplace_back();
    for (const Order& order : inside_->orders_for(change, shared)) {
      for (std::string& line : Conversation::as_sent(order.command->steps, order.values))
        lines.push_back(std::move(line));
      shared.set(order);
    }
  }
  return all;
}

Task<std::string> ProfileConsole::Inside::difference_from(const solve::SetMap& change) {
  const std::vector<Values> rows = co_await map_rows(change.write.motor.number, change.write.motor.number);
  const solve::MapWrite& write = change.write;
  const bool put = write.kind == solve::MapWrite::Kind::put;
  const bool by_pin = profile.map->rules.kept == solve::MapKept::per_pin;
  const std::string what = by_pin ? "the motor of pin " + write.pin.name
                                  : "the pin of motor " + std::to_string(write.motor.number);
  std::string wanted = "none";
  if (put) wanted = by_pin ? profile.motor_code(write.motor) : write.pin.name;
  const auto listed =
      by_pin ? motor_listed(profile, rows, write.pin) : pin_listed(profile, rows, write.motor);
  const std::string read = listed.value_or("none");
  if (profile.same(read, wanted)) co_return std::string();
  co_return read_back_otherwise(what, wanted, read);
}

Task<std::string> ProfileConsole::Inside::difference_from(const solve::SetProps& change) {
  const craft::PropScheme read = co_await props();
  if (read == change.to) co_return std::string();
  co_return read_back_otherwise("the prop direction", profile.props_code(change.to),
                                profile.props_code(read));
}

Task<std::string> ProfileConsole::Inside::difference_from(const solve::SetTurn& change) {
  const bool by_pin = profile.turn->key == solve::TurnKey::pin;
  const std::string key = by_pin ? change.pin.name : profile.motor_code(change.motor);
  const craft::Turn read = co_await turn_of(key);
  if (read == change.to) co_return std::string();
  const std::string what =
      by_pin ? "the turn of pin " + key : "the turn of motor " + std::to_string(change.motor.number);
  co_return read_back_otherwise(what, profile.turn_code(change.to), profile.turn_code(read));
}

Task<std::string> ProfileConsole::Inside::difference_from(const solve::SetMount& change) {
  // What was written is what the digits said, not what was wished.
  const craft::YawPitchRoll written = mount_read(profile, mount_values(*profile.mount, change.to));
  const craft::YawPitchRoll read = co_await mount();
  if (same_mount(*profile.mount, written, read)) co_return std::string();
  co_return read_back_otherwise("the mount", in_words(written), in_words(read));
}

Task<std::string> ProfileConsole::Inside::difference_from(const solve::Change& change) {
  return std::visit([this](const auto& what) { return difference_from(what); }, change.what);
}

Task<std::optional<Fault>> ProfileConsole::Inside::send(const std::vector<Order>& orders) {
  std::optional<Fault> trouble;
  known_mount.reset();
  for (const Order& order : orders) {
    const auto& confirms = order.command->confirms;
    const Answers answers = confirms ? Answers(&*confirms, 1) : Answers();
    try {
      const Reply reply = co_await talk().run(order.command->steps, order.values, answers);
      if (!is_confirmed(profile, order, reply)) {
        trouble =
            Fault(FaultKind::unreadable,
                  "the console did not confirm " +
                      in_quotes(joined(Conversation::as_sent(order.command->steps, order.values), " / ")));
      }
    } catch (const Fault& fault) {
      if (fault.kind() != FaultKind::no_reply && fault.kind() != FaultKind::unreadable) throw;
      trouble = fault;
    }
    if (trouble) break;
  }
  co_return trouble;
}

Task<void> ProfileConsole::apply(const solve::Change& change, const MayWrite& permit) {
  Inside& inside = *inside_;
  require_agreed(permit, lines_for(change));
  const std::vector<Order> orders = inside.orders_for(change);
  if (std::ranges::any_of(orders, [&](const Order& order) { return inside.shared.shares(order); })) {
    // The other bits as they are now, or none is written.
    co_await inside.difference_from(change);
    if (!std::ranges::all_of(orders, [&](const Order& order) { return inside.shared.still_holds(order); })) {
      throw Fault(FaultKind::mismatch, "a number that holds this setting and others has changed meanwhile",
                  "It would be written with the others as they were", "Start again");
    }
  }
  const std::optional<Fault> trouble = co_await inside.send(orders);
  std::string difference = co_await inside.difference_from(change);
  for (const Order& order : orders) {
    if (difference.empty() && !inside.shared.is_as_set(order))
      difference = "other bits of the number that holds it have changed, too";
  }
  if (difference.empty()) co_return;
  if (trouble) {
    throw Fault(trouble->kind(), trouble->happened(),
                trouble->why() + (trouble->why().empty() ? "" : ". ") + "Asked again: " + difference);
  }
  throw Fault(FaultKind::mismatch, difference, "The console may have clamped, rounded or not stored it");
}

// Not sent again where its reply is lost: what the whole configuration reads afterwards tells.
Task<void> ProfileConsole::play(const std::string& line, const MayPlay& permit) {
  Inside& inside = *inside_;
  require_agreed(permit, {line});
  const std::string left_out = why_left_out(inside.profile, line);
  if (!left_out.empty()) throw Fault(FaultKind::refused, in_quotes(line) + " is not played back", left_out);
  const Steps steps{{Template::literal(line), {}}};
  const Values none;
  inside.known_mount.reset();
  inside.shared.forget();
  co_await inside.talk().run(steps, none);
}

}  // namespace armwise::console
