#include "grammar.hpp"

#include <algorithm>

namespace armwise::practice {
namespace {

constexpr int most_motors_of_a_frame = 8;

// How much of a line is fixed text: `stop {motor}` is to win over `{name} {value}`.
std::size_t literal_length(const console::Template& line) {
  std::size_t length = 0;
  for (const console::Piece& piece : line.pieces()) {
    if (!piece.blank) length += piece.text.size();
  }
  return length;
}

// A profile's commands often end with the steps that lead out of a menu again.
std::size_t acting_step(const console::Steps& steps, const std::string& home) {
  std::size_t at = steps.size() - 1;
  while (at > 0 && !home.empty() && steps[at].send.source() == home) --at;
  return at;
}

bool any_matches(const std::vector<console::Template>& templates, std::string_view line,
                 bool case_sensitive) {
  return std::any_of(templates.begin(), templates.end(), [&](const console::Template& each) {
    return each.match(line, case_sensitive).has_value();
  });
}

}  // namespace

bool is_write(Act act) {
  return act == Act::put_motor || act == Act::free_motor || act == Act::set_props || act == Act::set_turn ||
         act == Act::set_mount;
}

bool is_stop(Act act) {
  return act == Act::stop_one || act == Act::stop_all;
}

Grammar::Grammar(const console::Profile& profile) : profile_(profile), prompt_(profile.open.prompt) {
  if (profile.open.barrier) add_barrier(*profile.open.barrier);
  add_settings();
  add_the_rest();
}

void Grammar::add(Act act, const console::Query& query) {
  if (!query.steps.empty()) add_phrase({act, &query.steps, &query, nullptr});
}

// Of two questions each is asked by itself.
void Grammar::add_barrier(const console::Query& barrier) {
  const std::size_t each = barrier.steps.size() == 2 ? 1 : barrier.lines.size();
  for (std::size_t i = 0; i < barrier.steps.size(); ++i) {
    console::Query one;
    one.steps = {barrier.steps[i]};
    for (std::size_t line = i; line < i + each; ++line) one.lines.push_back(barrier.lines[line]);
    add(Act::echo_word, barrier_.emplace_back(std::move(one)));
  }
}

bool Grammar::asks_with_nothing() const {
  return std::any_of(barrier_.begin(), barrier_.end(),
                     [](const console::Query& one) { return one.steps.front().send.empty(); });
}

void Grammar::add(Act act, const console::Command& command) {
  if (!command.steps.empty()) add_phrase({act, &command.steps, nullptr, &command});
}

void Grammar::add_phrase(Phrase phrase) {
  phrase.acts_at = acting_step(*phrase.steps, profile_.open.home);
  phrases_.push_back(phrase);
}

void Grammar::add_settings() {
  const auto add_if = [&](Act act, const auto& ability) {
    if (ability) add(act, *ability);
  };
  if (profile_.map) {
    add(Act::list_map, profile_.map->list);
    add_if(Act::put_motor, profile_.map->put);
    add_if(Act::free_motor, profile_.map->free);
  }
  if (profile_.props) {
    add(Act::read_props, profile_.props->read);
    add_if(Act::set_props, profile_.props->set);
  }
  if (profile_.turn) {
    add(Act::read_turns, profile_.turn->read);
    add_if(Act::set_turn, profile_.turn->set);
  }
  if (profile_.mount) {
    add(Act::read_mount, profile_.mount->read);
    add_if(Act::set_mount, profile_.mount->set);
    add_if(Act::set_mount, profile_.mount->set_yaw);
    add_if(Act::set_mount, profile_.mount->set_pitch);
    add_if(Act::set_mount, profile_.mount->set_roll);
  }
}

void Grammar::add_the_rest() {
  if (profile_.identify) add(Act::identify, *profile_.identify);
  if (profile_.whole_configuration) add(Act::list_everything, *profile_.whole_configuration);
  if (profile_.sense) add(Act::sense, profile_.sense->read);
  if (profile_.spin) {
    add(Act::spin, profile_.spin->spin);
    if (profile_.spin->stop) add(Act::stop_one, *profile_.spin->stop);
    if (profile_.motors_stopped_one_by_one().empty()) add(Act::stop_all, profile_.spin->stop_all);
  }
  if (profile_.keep) {
    add(Act::keep, profile_.keep->keep);
    if (profile_.keep->restart) add(Act::restart, *profile_.keep->restart);
  }
  if (profile_.leave) add(Act::leave, *profile_.leave);
}

void Grammar::to_the_top() {
  under_way_.clear();
  prompt_ = profile_.open.prompt;
}

Grammar::Candidates Grammar::from_the_top() const {
  Candidates all;
  all.reserve(phrases_.size());
  for (const Phrase& phrase : phrases_) all.push_back({&phrase, 0, {}});
  return all;
}

namespace {

// Of "20=0", which may put motor 11 on pin 0 or reverse motor 1.
bool names_what_there_is(const console::Profile& profile, const console::Values& values) {
  const auto motor = values.find("motor"), turn = values.find("turn");
  if (motor != values.end()) {
    const auto number = profile.motor_coded(motor->second);
    if (!number || number->number > most_motors_of_a_frame) return false;
  }
  const auto& codes = profile.codes;
  return turn == values.end() || profile.same(turn->second, codes.cw) ||
         profile.same(turn->second, codes.ccw);
}

}  // namespace

Grammar::Candidates Grammar::those_that_match(Candidates candidates, std::string_view line) const {
  Candidates matching;
  std::pair<bool, std::size_t> best{};
  for (UnderWay& candidate : candidates) {
    const console::Template& send = candidate.next().send;
    std::optional<console::Values> values = send.match(line, profile_.case_sensitive);
    if (!values) continue;
    const std::pair fits{names_what_there_is(profile_, *values), literal_length(send)};
    if (fits < best) continue;
    if (fits > best) matching.clear();
    best = fits;
    candidate.values.merge(*values);
    matching.push_back(std::move(candidate));
  }
  return matching;
}

std::string Grammar::prompt_after(const UnderWay& candidate) const {
  const std::string& prompt = (*candidate.phrase->steps)[candidate.step].prompt;
  return prompt.empty() ? profile_.open.prompt : prompt;
}

// Back at a prompt that stood earlier in the same command: its menu's other choices are open again.
void Grammar::add_those_of_the_same_menu(const UnderWay& back_in_menu) {
  const console::Steps& steps = *back_in_menu.phrase->steps;
  std::size_t depth = 0;
  while (depth < back_in_menu.step && steps[depth].prompt != prompt_) ++depth;
  if (depth >= back_in_menu.step) return;
  for (const Phrase& phrase : phrases_) {
    if (phrase.steps->size() <= depth + 1) continue;
    bool same_way = true;
    for (std::size_t i = 0; i <= depth; ++i) same_way = same_way && (*phrase.steps)[i].send == steps[i].send;
    if (same_way) under_way_.push_back({&phrase, depth + 1, {}});
  }
}

Heard Grammar::take_step(Candidates taken) {
  Heard heard{Heard::What::go_on, nullptr, {}};
  const UnderWay* chosen = &taken.front();
  for (const UnderWay& candidate : taken) {
    if (candidate.step != candidate.phrase->acts_at) continue;
    // A profile may read several things out of the whole listing: then that is what was asked for.
    const bool first = heard.what != Heard::What::act;
    if (!first && candidate.phrase->act != Act::list_everything) continue;
    chosen = &candidate;
    heard = {Heard::What::act, candidate.phrase, candidate.values};
  }
  prompt_ = prompt_after(*chosen);
  under_way_.clear();
  if (prompt_ == profile_.open.prompt) return heard;
  add_those_of_the_same_menu(*chosen);
  for (UnderWay& candidate : taken) {
    if (++candidate.step < candidate.phrase->steps->size()) under_way_.push_back(std::move(candidate));
  }
  return heard;
}

Heard Grammar::hear(std::string_view line) {
  // A stop is heard wherever the console stands.
  for (const Phrase& phrase : phrases_) {
    if (phrase.act != Act::stop_all || phrase.steps->size() != 1) continue;
    if (!phrase.steps->front().send.match(line, profile_.case_sensitive)) continue;
    to_the_top();
    return {Heard::What::act, &phrase, {}};
  }
  // At the top there is nowhere to go, however well a blank would take it.
  if (at_the_top() && !profile_.open.home.empty() && line == profile_.open.home) {
    const bool known = std::any_of(phrases_.begin(), phrases_.end(), [&](const Phrase& phrase) {
      return phrase.steps->front().send.source() == line;
    });
    if (!known) return {Heard::What::go_on, nullptr, {}};
  }
  Candidates taken = those_that_match(at_the_top() ? from_the_top() : under_way_, line);
  if (!taken.empty()) return take_step(std::move(taken));
  if (!profile_.open.home.empty() && line == profile_.open.home) {
    to_the_top();
    return {Heard::What::go_on, nullptr, {}};
  }
  if (profile_.open.home.empty()) to_the_top();
  return {};
}

bool Grammar::means_something(std::string_view line) const {
  const bool exactly = profile_.case_sensitive;
  if (any_matches(profile_.refusals, line, exactly)) return true;
  if (profile_.open.reply_end && profile_.open.reply_end->match(line, exactly)) return true;
  const auto ends_so = [&](const std::string& text) { return !text.empty() && line.ends_with(text); };
  if (ends_so(profile_.open.prompt) || ends_so(profile_.open.more)) return true;
  return std::any_of(phrases_.begin(), phrases_.end(), [&](const Phrase& phrase) {
    if (phrase.act == Act::list_everything) return false;
    if (phrase.query != nullptr && any_matches(phrase.query->lines, line, exactly)) return true;
    return phrase.command != nullptr && phrase.command->confirms &&
           phrase.command->confirms->match(line, exactly).has_value();
  });
}

}  // namespace armwise::practice
