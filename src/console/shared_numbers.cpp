#include "shared_numbers.hpp"

#include <algorithm>

#include "armwise/base/fault.hpp"
#include "notation.hpp"

namespace armwise::console {
namespace {

std::string number_with(const Piece& blank, const Values& values) {
  const auto number = with_bits(blank, values.at(blank.text), values.at(held_with(blank.text)));
  if (number) return *number;
  throw Fault(FaultKind::refused,
              "\"" + values.at(blank.text) + "\" does not fit into the bits of the " + blank.text,
              "The profile gives it bits " + std::to_string((*blank.bits)[0]) + " to " +
                  std::to_string((*blank.bits)[1]) + " of a number that holds other things");
}

}  // namespace

SharedNumbers::SharedNumbers(const Profile& profile) {
  const auto add = [&](const std::optional<Command>& command) {
    if (!command) return;
    for (const Step& step : command->steps) {
      for (const Piece& piece : step.send.pieces()) {
        if (piece.blank && piece.bits) all_.push_back({&*command, piece});
      }
    }
  };
  if (profile.map) add(profile.map->put);
  if (profile.map) add(profile.map->free);
  if (profile.props) add(profile.props->set);
  if (profile.turn) add(profile.turn->set);
  if (profile.mount) add(profile.mount->set);
}

const SharedNumbers::Bits* SharedNumbers::bits_in(const Command& command) const {
  const auto found =
      std::find_if(all_.begin(), all_.end(), [&](const Bits& each) { return each.command == &command; });
  return found == all_.end() ? nullptr : &*found;
}

// Absent where a value is missing.
std::optional<std::string> SharedNumbers::name_of(const Bits& bits, Values values) {
  values[bits.blank.text] = values[held_with(bits.blank.text)] = "0";
  std::string name;
  for (const Step& step : bits.command->steps) {
    for (const Piece& piece : step.send.pieces()) {
      if (piece.blank && !values.contains(piece.text)) return std::nullopt;
    }
    name += step.send.format(values) + "\n";
  }
  return name;
}

void SharedNumbers::read(const std::vector<Values>& rows, const Values& asked) {
  for (const Bits& bits : all_) {
    for (Values row : rows) {
      const auto whole = row.find(held_with(bits.blank.text));
      if (whole == row.end()) continue;
      const std::string number = whole->second;
      row.insert(asked.begin(), asked.end());
      if (const auto name = name_of(bits, row)) held_[*name] = number;
    }
  }
}

void SharedNumbers::complete(Order& order) const {
  const Bits* bits = bits_in(*order.command);
  if (bits == nullptr) return;
  const auto name = name_of(*bits, order.values);
  const auto held = name ? held_.find(*name) : held_.end();
  if (held == held_.end()) {
    throw Fault(FaultKind::refused,
                "the " + bits->blank.text + " is some bits of a number, and what else it holds was not read",
                "Those other bits must stay as they are");
  }
  order.values[held_with(bits->blank.text)] = held->second;
  number_with(bits->blank, order.values);
}

bool SharedNumbers::still_holds(const Order& order) const {
  const Bits* bits = bits_in(*order.command);
  if (bits == nullptr) return true;
  const auto held = held_.find(name_of(*bits, order.values).value_or(""));
  return held != held_.end() && held->second == order.values.at(held_with(bits->blank.text));
}

void SharedNumbers::set(const Order& order) {
  const Bits* bits = bits_in(*order.command);
  if (bits != nullptr)
    held_[name_of(*bits, order.values).value_or("")] = number_with(bits->blank, order.values);
}

bool SharedNumbers::is_as_set(const Order& order) const {
  const Bits* bits = bits_in(*order.command);
  if (bits == nullptr) return true;
  const auto held = held_.find(name_of(*bits, order.values).value_or(""));
  return held != held_.end() && held->second == number_with(bits->blank, order.values);
}

}  // namespace armwise::console
