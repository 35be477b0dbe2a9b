#include "teach_dialogue.hpp"

#include <algorithm>
#include <iterator>
#include <nlohmann/json.hpp>
#include <set>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/console/screen_lines.hpp"
#include "armwise/teach/listening.hpp"

namespace armwise::session {
namespace {

using console::Values;
using teach::Typed;

constexpr Duration restart_time{20000};
constexpr std::size_t most_steps = 12, most_menu_lines = 24;
constexpr Duration key_answered{900};
constexpr int most_motors_asked = 12, most_times_asked = 5;
// A longer one hardly comes twice the same over a bad line.
constexpr std::size_t longest_whole_answer = 60;

// A question on the way that has other words each time is known by the end that they share.
void take_shared_ends(nlohmann::json& node, const std::map<std::string, std::string>& ends,
                      const std::set<std::string>& behind_values) {
  if (!node.is_structured()) return;
  if (node.is_object() && node.contains("send") && node.contains("prompt")) {
    // One that was seen in one form only may end as others do.
    const std::string prompt = node["prompt"].get<std::string>();
    for (const auto& [first, end] : ends) {
      if (behind_values.contains(prompt)) break;
      if (first != end && (first == prompt || prompt.ends_with(end))) node["prompt"] = end;
    }
  }
  for (nlohmann::json& each : node) take_shared_ends(each, ends, behind_values);
}

console::Profile with_inner_prompts(const console::Profile& profile,
                                    const std::map<std::string, std::string>& ends,
                                    const std::set<std::string>& behind_values) {
  if (std::all_of(ends.begin(), ends.end(), [](const auto& each) { return each.first == each.second; }))
    return profile;
  nlohmann::json json = nlohmann::json::parse(console::profile_text(profile));
  take_shared_ends(json, ends, behind_values);
  return console::load_profile(json.dump());
}

}  // namespace

void Dialogue::begin_at(const std::string& prompt) {
  top_prompt_ = prompt;
  ear.prompts.clear();
  if (!prompt.empty()) ear.prompts.push_back(prompt);
}

bool Dialogue::has_prompt() const {
  return !trimmed(top_prompt_).empty();
}

bool Dialogue::is_top(const std::string& prompt) const {
  const std::string_view end = trimmed(prompt), top = trimmed(top_prompt_);
  const bool other = std::any_of(other_tops_.begin(), other_tops_.end(),
                                 [&](const std::string& each) { return end.ends_with(each); });
  return other || (top.empty() ? end.empty() : end.ends_with(top));
}

void Dialogue::take_as_top(const std::string& prompt) {
  if (!has_prompt()) return;
  const std::string end = teach::common_end({top_prompt_, prompt});
  ear.prompts.push_back(prompt);
  if (trimmed(end).empty()) {
    // What stands behind a counter is the same the next time.
    const std::string other(trimmed(std::string_view(prompt).substr(prompt.find_last_of("0123456789") + 1)));
    if (!other.empty()) other_tops_.push_back(other);
    return;
  }
  top_prompt_ = end;
  draft_.profile.open.prompt = end;
  ear.prompts.push_back(end);
  person_.tell("prompt-changes", {{"prompt", end}});
}

void Dialogue::follow_inner_prompts(const console::Steps& steps, const Said& said) {
  for (std::size_t i = 0; i < std::min(steps.size(), said.prompts.size()); ++i) {
    const std::string &first = steps[i].prompt, &now = said.prompts[i];
    if (first.empty() || now.empty() || (i + 1 < steps.size() && is_top(now))) continue;
    if (question_ends_.contains(first)) continue;  // it stands behind a value
    auto& forms = inner_prompts_[first];
    if (forms.empty()) ++forms[first];
    ++forms[now];
  }
}

// Sends the steps one by one. Where the console then asks for more, so is the person.
Task<Said> Dialogue::say(Typed typed, std::string id) {
  Said said;
  sent_ = true;
  for (std::size_t i = 0; i < typed.size() && i < most_steps; ++i) {
    const std::string step = typed[i];
    Ear::Heard heard = co_await ear.say(step);
    const bool has_a_prompt = !heard.reply.prompt.empty();
    take_question(heard.reply, id == "keep" || id == "restarts" || id == "leave");
    take_step(said, step, heard, i + 1 == typed.size());
    if (said.closed) break;
    // What follows would be about something else than was meant.
    if (i + 1 < typed.size() && is_refusal(heard.reply.lines)) {
      bool out = is_top(heard.reply.prompt);
      if (!out) out = co_await leave_half_way(true);
      if (out) break;
    }
    const bool asks_on =
        i + 1 == typed.size() && !is_top(said.prompts.back()) && !said.prompts.back().empty();
    if (!asks_on) continue;
    // What was sent before came garbled, or a refusal left it half way, or it asks whether it is meant. The
    // next command would be taken for the answer.
    if (id == "again") {
      const bool refused = is_refusal(said.lines);
      bool out = !refused && teach::one_byte_apart(trimmed(heard.reply.prompt), trimmed(top_prompt_));
      if (!out) out = co_await leave_half_way(refused);
      if (out) break;
    }
    // What lists the commands or says who it is asks nothing: then the prompt has changed.
    if ((id == "help" || id == "identify") &&
        !trimmed(teach::common_end({top_prompt_, heard.reply.prompt})).empty()) {
      take_as_top(heard.reply.prompt);
      continue;
    }
    // Whoever is to choose from a menu has to see it.
    for (std::size_t shown = 0; shown < heard.reply.lines.size() && shown < most_menu_lines; ++shown)
      person_.tell("menu-line", {{"line", heard.reply.lines[shown]}});
    const auto next = co_await person_.ask_next(id, typed, heard.reply.prompt);
    if (!next && has_a_prompt) take_as_top(heard.reply.prompt);
    if (!next) break;
    typed.push_back(*next);
  }
  // The last step of a walk that says nothing and leads back up is the way home.
  if (said.typed.size() > 1 && draft_.profile.open.home.empty() && !said.closed) {
    const bool back_up = is_top(said.prompts.back()) && said.prompts.size() > 1 &&
                         !is_top(said.prompts[said.prompts.size() - 2]);
    if (back_up && replies_.back().empty()) draft_.profile.open.home = said.typed.back();
  }
  said.refused = is_refusal(said.lines);
  co_return said;
}

// By the key that gets out of what was left open, or one that turns out to. `by_home`: out of a menu.
Task<bool> Dialogue::leave_half_way(bool by_home) {
  const std::string home = by_home ? draft_.profile.open.home : std::string();
  if (!home.empty()) {
    const Ear::Heard after = co_await ear.say(home);
    if (is_top(after.reply.prompt)) co_return true;
  }
  std::optional<std::string>& abandon = draft_.profile.open.abandon;
  std::string keys =
      abandon && draft_.profile.open.abandons_by_a_key() ? *abandon : std::string(console::abandon_keys);
  for (const char key : keys) {
    const std::string pressed(1, key);
    const std::string received = co_await ear.raw(pressed, key_answered);
    const std::string prompt(trimmed(teach::split_reply({"", received}).prompt));
    if (prompt.empty() || !is_top(prompt)) continue;
    abandon = pressed;
    co_return true;
  }
  co_return false;
}

// All that tells how replies end; what has no end must not be kept.
static teach::Lines beginning_and_end(teach::Lines lines) {
  constexpr std::size_t most = 60;
  if (lines.size() > most) lines.erase(lines.begin() + most - 1, lines.end() - 1);
  return lines;
}

void Dialogue::take_question(teach::HeardReply& reply, bool ends) const {
  if (!has_prompt() || !reply.prompt.empty() || reply.lines.empty()) return;
  const bool may_be_lost = teach::one_byte_apart("", trimmed(top_prompt_));
  if ((ends || may_be_lost) && reply.lines.back().find('?') == std::string::npos) return;
  reply.prompt = std::move(reply.lines.back());
  reply.lines.pop_back();
}

void Dialogue::take_step(Said& said, const std::string& step, const Ear::Heard& heard, bool last) {
  teach::HeardReply reply = heard.reply;
  // No prompt, but a last line whose line end was lost.
  if (!has_prompt() && ear.reply_end && ear.reply_end->match(reply.prompt))
    reply.lines.emplace_back(trimmed(std::exchange(reply.prompt, {})));
  said.typed.push_back(step);
  said.prompts.push_back(reply.prompt);
  said.closed = heard.closed;
  said.left_out.insert(said.left_out.end(), heard.left_out.begin(), heard.left_out.end());
  if (heard.closed) return;
  // A prompt that begins and ends like the one that is known is that one, with a mark in it.
  const std::string& prompt = reply.prompt;
  const bool begins_alike =
      prompt.size() > 2 && top_prompt_.size() > 2 && prompt.substr(0, 2) == top_prompt_.substr(0, 2);
  if (last && !is_top(prompt) && begins_alike) {
    // One that came once only may have been garbled on the way.
    tops_.emplace(top_prompt_, 2);
    ++tops_[prompt];
    if (teach::end_of_question(tops_) != top_prompt_) take_as_top(prompt);
    said.prompts.back() = top_prompt_;
  } else if (!is_top(prompt) && (has_prompt() || ++tops_[prompt] > 1)) {
    ear.prompts.push_back(prompt);
  }
  for (const std::string& line : reply.lines) said.lines.push_back(line);
  for (const std::string& line : console::lines_in(heard.received)) said.as_they_came.push_back(line);
  heard_besides(reply.lines);
  take_off_end(said.lines);
  for (const std::string& end : question_ends_) {
    if (prompt.ends_with(end)) said.lines.push_back(prompt.substr(0, prompt.size() - end.size()));
  }
}

std::optional<console::Template> Dialogue::reply_end() const {
  std::vector<teach::Lines> taken = replies_;
  std::erase_if(taken, [&](const teach::Lines& reply) { return is_refusal(reply); });
  return teach::reply_end_of(taken);
}

void Dialogue::heard_besides(const teach::Lines& reply) {
  replies_.push_back(beginning_and_end(reply));
  if (!has_prompt()) ear.reply_end = reply_end();
}

// A word on a line of its own that ends every reply where there is no prompt is none of it, nor is one behind
// the status that all of its lines begin with.
void Dialogue::take_off_end(teach::Lines& lines) const {
  if (has_prompt() || lines.size() < 2 || !ear.reply_end || !ear.reply_end->match(lines.back())) return;
  const std::string &last = lines.back(), status = last.substr(0, last.find(' '));
  const bool all_begin_so = std::all_of(lines.begin(), lines.end(),
                                        [&](const std::string& line) { return line.starts_with(status); });
  const std::string_view word = std::string_view(last).substr(std::min(status.size() + 1, last.size()));
  const bool only_a_word = word.empty() || (all_begin_so && std::all_of(word.begin(), word.end(), is_letter));
  if (only_a_word) lines.pop_back();
}

bool Dialogue::is_refusal(const teach::Lines& lines) const {
  constexpr std::size_t first_lines = 3;
  const auto end = lines.begin() + static_cast<std::ptrdiff_t>(std::min(lines.size(), first_lines));
  return std::any_of(lines.begin(), end, [&](const std::string& line) {
    return std::any_of(draft_.profile.refusals.begin(), draft_.profile.refusals.end(),
                       [&](const console::Template& refusal) { return refusal.match(line).has_value(); });
  });
}

Task<Said> Dialogue::set_to(console::Steps steps, Values values, const MayWrite& permit) {
  require_agreed(permit, lines_of(Writes{{steps, values}}));
  co_return co_await say_again(steps, values);
}

Task<Said> Dialogue::say_agreed(const WritePermit& agreed, std::string id) {
  co_return co_await say(agreed.lines(), std::move(id));
}

Task<Said> Dialogue::say_again(const console::Steps& steps, const Values& values) {
  const bool of_each = draft_.profile.map && steps == draft_.profile.map->list.steps &&
                       is_asked_of_each(steps) && !values.contains("motor");
  if (of_each) co_return co_await say_for_each(steps, values);
  const Typed typed = lines_of(Writes{{steps, values}});
  Said said = co_await say(typed, "again");
  follow_inner_prompts(steps, said);
  co_return said;
}

// The map, where it is asked for motor by motor: what they answer is one answer.
Task<Said> Dialogue::say_for_each(const console::Steps& steps, Values values) {
  Said all;
  std::vector<std::string> codes = draft_.motor_codes();
  for (int motor = 1; draft_.rows.empty() && motor <= most_motors_asked; ++motor)
    codes.push_back(draft_.profile.motor_code(craft::Motor{motor}));
  for (const std::string& code : codes) {
    values["motor"] = code;
    Said each = co_await say_again(steps, values);
    if (each.refused) break;
    each.lines.insert(each.lines.begin(), all.lines.begin(), all.lines.end());
    all = std::move(each);
    if (all.closed) break;
  }
  co_return all;
}

// What seemed to come unasked and comes each time when this is asked is an answer: it is left out no more.
Task<void> Dialogue::learn_what_answers(console::Steps steps, Values values, Said& first) {
  constexpr int times_more = 2;
  std::vector<console::Template> answers = draft_.profile.open.unasked;
  const auto keep_those_in = [&](const Said& said) {
    std::erase_if(answers, [&](const console::Template& each) {
      return std::none_of(said.left_out.begin(), said.left_out.end(),
                          [&](const std::string& line) { return each.match(line).has_value(); });
    });
  };
  keep_those_in(first);
  for (int i = 0; i < times_more && !answers.empty() && !first.closed; ++i) {
    first = co_await say_again(steps, values);
    keep_those_in(first);
  }
  if (answers.empty() || first.closed) co_return;
  std::erase_if(draft_.profile.open.unasked, [&](const console::Template& each) {
    return std::find(answers.begin(), answers.end(), each) != answers.end();
  });
  first = co_await say_again(steps, values);
}

// Of a long answer, the lines that came twice; of one that is another each time (readings, a clock), the
// last.
Task<Said> Dialogue::ask_again(console::Steps steps, Values values, std::optional<Said> first) {
  if (!first) first = co_await say_again(steps, values);
  co_await learn_what_answers(steps, values, *first);
  std::vector<Said> all;
  all.push_back(std::move(*first));
  while (!all.back().closed && all.size() < most_times_asked) {
    Said next = co_await say_again(steps, values);
    if (next.closed) co_return next;
    if (all.front().lines.size() > longest_whole_answer && next.lines.size() > longest_whole_answer) {
      const std::set<std::string> before(all.front().lines.begin(), all.front().lines.end());
      std::erase_if(next.lines, [&](const std::string& line) { return !before.contains(line); });
      co_return next;
    }
    const auto same = std::find_if(all.begin(), all.end(), [&](const Said& each) {
      return each.refused == next.refused && each.lines == next.lines;
    });
    if (same != all.end()) co_return next;
    all.push_back(std::move(next));
  }
  co_return all.back();
}

Task<teach::Lines> Dialogue::read(const console::Query& query) {
  const Values none;
  const Said said = co_await ask_again(query.steps, none);
  co_return said.lines;
}

void Dialogue::refuse_or_tell(const Said& said) {
  const std::string words = said.lines.empty() ? std::string("nothing") : "\"" + said.lines.front() + "\"";
  person_.tell("command-refused", {{"answer", words}});
}

console::Steps Dialogue::steps_of(const Said& said) const {
  teach::Reading reading;
  std::transform(said.typed.begin(), said.typed.end(), std::back_inserter(reading),
                 console::Template::literal);
  return steps_of(reading, said);
}

console::Steps Dialogue::steps_of(const teach::Reading& reading, const Said& said) const {
  console::Steps steps;
  for (std::size_t i = 0; i < reading.size(); ++i) {
    const bool inner = i < said.prompts.size() && !is_top(said.prompts[i]) && !said.prompts[i].empty();
    steps.push_back({reading[i], inner ? said.prompts[i] : std::string()});
  }
  return steps;
}

Task<void> Dialogue::reopen() {
  ear.close();
  person_.tell_wait("restarting", restart_time);
  const Instant last = clock_.now() + restart_time;
  std::unique_ptr<console::Line> line = co_await plug_.reopen(restart_time);
  ear.take(std::move(line));
  // A start-up may take whatever is typed for a key that stops it.
  co_await ear.hear_start(last - clock_.now());
  co_await enter_console();
}

// As far as it goes, and sound, so that it can be taken up again.
console::Profile Dialogue::sound_profile() const {
  console::Profile sound = draft_.profile;
  if (sound.spin && sound.spin->spin.steps.empty()) sound.spin.reset();
  // A pin that is refused while it is taken cannot be given away before the way to free it is known.
  if (sound.map && sound.map->put && !sound.map->rules.shared_meanwhile && !sound.map->free)
    sound.map->put.reset();
  if (sound.open.prompt.empty()) sound.open.reply_end = reply_end();
  std::erase_if(sound.open.unasked, [&](const console::Template& unasked) {
    return console::answer_hidden_by(unasked, sound).has_value();
  });
  std::map<std::string, std::string> ends;
  for (const auto& [first, forms] : inner_prompts_) ends.emplace(first, teach::end_of_question(forms));
  return with_inner_prompts(sound, ends, question_ends_);
}

}  // namespace armwise::session
