#include "armwise/session/teach.hpp"

#include <algorithm>
#include <functional>
#include <nlohmann/json.hpp>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/teach/listening.hpp"
#include "phases.hpp"
#include "teach_flow.hpp"

namespace armwise::session {
namespace {

// A question on the way that has other words each time is known by the end that they share.
void take_shared_ends(nlohmann::json& node, const std::map<std::string, std::string>& ends) {
  if (!node.is_structured()) return;
  if (node.is_object() && node.contains("send") && node.contains("prompt")) {
    // One that was seen in one form only may end as others do.
    const std::string prompt = node["prompt"].get<std::string>();
    for (const auto& [first, end] : ends) {
      if (first != end && (first == prompt || prompt.ends_with(end))) node["prompt"] = end;
    }
  }
  for (nlohmann::json& each : node) take_shared_ends(each, ends);
}

console::Profile with_inner_prompts(const console::Profile& profile,
                                    const std::map<std::string, std::string>& ends) {
  if (std::all_of(ends.begin(), ends.end(), [](const auto& each) { return each.first == each.second; }))
    return profile;
  nlohmann::json json = nlohmann::json::parse(console::profile_text(profile));
  take_shared_ends(json, ends);
  return console::load_profile(json.dump());
}

constexpr Duration until_restart{3000};

// What is sent where something depends on it, to be looked over once more.
std::vector<std::string> orders_in_words(const console::Profile& profile) {
  std::vector<std::string> lines;
  const auto add = [&](const char* what, const console::Command& command) {
    std::vector<std::string> sent;
    for (const console::Step& step : command.steps) sent.push_back(step.send.source());
    lines.push_back(std::string(what) + ": " + in_a_row(sent));
  };
  if (profile.spin) add("To stop all motors it sends", profile.spin->stop_all);
  if (profile.keep) add("To make settings last it sends", profile.keep->keep);
  if (profile.keep && profile.keep->restart) add("To restart it sends", *profile.keep->restart);
  if (profile.leave) add("To leave it sends", *profile.leave);
  return lines;
}

}  // namespace

TeachFlow::TeachFlow(console::Plug& plug, Person& person, Clock& clock, const TeachOptions& options)
    : plug_(plug), person_(person), clock_(clock), options_(options), ear_(nullptr, clock) {
  // As proposals only, so that each command is confirmed and proven.
  if (options.from && options.from->prepared) {
    prepared_ = *options.from;
  } else if (options.from) {
    profile_ = *options.from;
  }
  profile_.name = options.name;
  ear_.is_long = [this](std::size_t lines) {
    person_.say("It goes on: " + std::to_string(lines) + " lines so far.");
  };
}

Task<TeachResult> TeachFlow::lessons() {
  co_await listen_until_heard();
  std::vector<Station> stations;
  const auto at = [&](std::string name, Task<void> (TeachFlow::*lesson)()) {
    const auto visit_it = [this, name, lesson, entry = std::make_shared<Learning>()](Entered how) {
      tell_lesson(person_, name);
      return visit(lesson, entry, how);
    };
    stations.push_back({std::move(name), visit_it});
  };
  at("identify", &TeachFlow::learn_identify);
  at("whole-configuration", &TeachFlow::learn_configuration);
  at("list-map", &TeachFlow::learn_map);
  at("assign-pin", &TeachFlow::learn_assign);
  at("free-pin", &TeachFlow::learn_free);
  at("props", &TeachFlow::learn_props);
  at("turn", &TeachFlow::learn_turn);
  at("mount", &TeachFlow::learn_mount);
  at("takes-effect", &TeachFlow::learn_takes_effect);
  at("sense", &TeachFlow::learn_sense);
  at("gyro", &TeachFlow::learn_gyro);
  at("stop", &TeachFlow::learn_stop);
  at("spin", &TeachFlow::learn_spin);
  at("numbering", &TeachFlow::learn_numbering);
  at("keep", &TeachFlow::learn_keep);
  at("leave", &TeachFlow::learn_leave);
  co_await walk(stations, [this] { person_.say("There is nothing to go back to.", Level::warn); });
  co_return co_await finish();
}

Task<void> TeachFlow::listen_until_heard() {
  tell_lesson(person_, "listen");
  while (true) {
    try {
      co_await listen();
      co_return;
    } catch (const WantsBack&) {
      ear_.close();
    }
    person_.say("There is nothing to go back to.", Level::warn);
  }
}

// Going back to a lesson forgets what it taught, so that it is asked again from its start.
Task<Move> TeachFlow::visit(Task<void> (TeachFlow::*lesson)(), std::shared_ptr<Learning> entry, Entered how) {
  if (how == Entered::backwards && entry->begun) {
    static_cast<Learning&>(*this) = *entry;
  } else {
    *entry = static_cast<const Learning&>(*this);
    entry->begun = true;
  }
  const int asked = asked_;
  bool back = false;
  try {
    co_await (this->*lesson)();
  } catch (const WantsBack&) {
    back = true;
  }
  if (back) {
    static_cast<Learning&>(*this) = *entry;
    co_return Move::back();
  }
  // A lesson that has nothing to ask is no place to go back to.
  if (how == Entered::backwards && asked_ == asked) co_return Move::back();
  if (options_.keep_draft) options_.keep_draft(draft());
  co_return Move::on();
}

// As far as it goes, and sound, so that it can be taken up again.
console::Profile TeachFlow::draft() const {
  console::Profile sound = profile_;
  if (sound.spin && sound.spin->spin.steps.empty()) sound.spin.reset();
  // A pin that is refused while it is taken cannot be given away before the way to free it is known.
  if (sound.map && sound.map->put && !sound.map->rules.shared_meanwhile && !sound.map->free)
    sound.map->put.reset();
  if (sound.open.prompt.empty()) sound.open.reply_end = teach::reply_end_of(replies_);
  return with_inner_prompts(sound, inner_prompts_);
}

Task<void> TeachFlow::learn_takes_effect() {
  const bool any = (profile_.map && profile_.map->put) || (profile_.props && profile_.props->set) ||
                   (profile_.turn && profile_.turn->set) || (profile_.mount && profile_.mount->settable());
  if (!any) co_return;
  const bool at_once = co_await confirm(
      "right", "I take it that a setting takes effect at once, not only after a restart. Is that right?");
  const auto effect = at_once ? console::TakesEffect::at_once : console::TakesEffect::after_restart;
  if (profile_.map) profile_.map->takes_effect = effect;
  if (profile_.props) profile_.props->takes_effect = effect;
  if (profile_.turn) profile_.turn->takes_effect = effect;
  if (profile_.mount) profile_.mount->takes_effect = effect;
}

// What a typed command changed unasked is said before it is made to last.
Task<bool> TeachFlow::may_be_kept() {
  const std::string changed = co_await what_has_changed();
  if (changed.empty()) co_return true;
  const bool all_the_same = co_await confirm(
      "try-change", changed +
                        " is not as it was at the start; a command that you typed changed it. Shall it be "
                        "made to last like that all the same?");
  if (!all_the_same)
    person_.say("Then keeping is left out. A restart brings back what was kept before.", Level::warn);
  co_return all_the_same;
}

// A command that only shows something, or stops the motors, does not make settings last, nor the other way
// round.
bool TeachFlow::is_taught_already(const Typed& typed) {
  const auto same = [&](const console::Steps& steps) {
    return std::equal(steps.begin(), steps.end(), typed.begin(), typed.end(),
                      [](const console::Step& step, const std::string& line) {
                        return step.send == console::Template::literal(line);
                      });
  };
  const console::Profile& known = profile_;
  const char* what = nullptr;
  if (known.identify && same(known.identify->steps)) what = "says which board this is";
  if (known.whole_configuration && same(known.whole_configuration->steps)) what = "prints the configuration";
  if (known.map && same(known.map->list.steps)) what = "shows which pin drives each motor";
  if (known.mount && same(known.mount->read.steps)) what = "shows the mount";
  if (known.sense && same(known.sense->read.steps)) what = "shows the readings";
  if (known.spin && same(known.spin->stop_all.steps)) what = "stops all motors";
  if (known.keep && same(known.keep->keep.steps)) what = "makes the settings last";
  if (what != nullptr)
    person_.say(std::string("That is the command that ") + what + ". It was not sent; type another, or skip.",
                Level::warn);
  return what != nullptr;
}

Task<void> TeachFlow::learn_keep() {
  if (profile_.keep) co_return;
  const bool may = co_await may_be_kept();
  if (!may) co_return;
  console::KeepAbility keep;
  Said said;
  do {
    const auto agreed = co_await ask_to_send(
        "keep", "Type the command that makes the settings last (it is sent; everything is as it was)");
    if (!agreed) co_return;
    said.refused = is_taught_already(agreed->lines());
    if (said.refused) continue;
    told_to_keep_ = true;
    said = co_await say_agreed(*agreed, "keep");
    if (said.refused) {
      refuse_or_tell(said);
    } else if (!said.lines.empty() && !said.closed) {
      // Nothing shows that it has stored anything before a restart: only its own words do.
      const bool kept = co_await confirm(
          "right", "It answers \"" + said.lines.back() + "\". Does that say that the settings last now?");
      said.refused = !kept;
    }
  } while (said.refused);
  keep.keep.steps = steps_of(said);
  keep.keep.confirms = plain_confirmation_of(said);
  keep.restarts = said.closed;
  if (!keep.restarts) keep.restarts = co_await ear_.goes_away(until_restart);
  if (keep.restarts) {
    person_.say("It restarts by itself then.");
    co_await reopen();
  } else {
    co_await learn_restart(keep);
  }
  profile_.keep = keep;
}

Task<void> TeachFlow::learn_restart(console::KeepAbility& keep) {
  std::optional<WritePermit> agreed;
  do {
    agreed =
        co_await ask_to_send("restarts", "It does not restart by itself. Type the command that restarts it");
    if (!agreed) co_return;
  } while (is_taught_already(agreed->lines()));
  const Said said = co_await say_agreed(*agreed, "restarts");
  bool went = said.closed;
  if (!went) went = co_await ear_.goes_away(until_restart);
  bool restarted = went;
  // The port of a serial adapter stays: then only its start-up shows.
  if (!went && !said.refused && !said.lines.empty())
    restarted = co_await confirm("right", "The port stayed, and it answered \"" + said.lines.back() +
                                              "\". Is that its start-up: did it restart?");
  if (!restarted) {
    person_.say("It did not restart. bench will ask you to restart it by hand.", Level::warn);
    co_return;
  }
  keep.restart = console::Command{steps_of(said), std::nullopt};
  if (went) co_await reopen();
}

Task<void> TeachFlow::learn_leave() {
  if (profile_.leave) co_return;
  std::string proposed = usual_leave();
  while (true) {
    const auto typed =
        co_await ask_command("leave", "Type the command that leaves the console (it is sent)", {}, proposed);
    if (!typed) co_return;
    if (in_a_row(*typed) == proposed) proposed.clear();
    if (is_taught_already(*typed)) continue;
    const Said said = co_await say(*typed, "leave");
    if (said.refused) {
      refuse_or_tell(said);
      continue;
    }
    profile_.leave = console::Command{steps_of(said), std::nullopt};
    co_return;
  }
}

// A usual word, begun as all commands of this console begin; none where they are no words.
std::string TeachFlow::usual_leave() const {
  if (!profile_.map || !profile_.keep) return {};
  const console::Steps &list = profile_.map->list.steps, &keep = profile_.keep->keep.steps;
  if (list.size() != 1 || keep.size() != 1) return {};
  return teach::word_like("exit", {list.front().send.source(), keep.front().send.source()});
}

Task<TeachResult> TeachFlow::finish() {
  ear_.close();
  profile_.name = options_.name;
  if (profile_.name.empty()) {
    const std::string name = co_await ask_text("name", "What shall the profile be called?", "my-console");
    profile_.name = name;
  }
  profile_.open.more = ear_.more;
  profile_.open.more_send = ear_.more_send;
  // Twice as late as it ever was here.
  profile_.timing.reply = std::clamp(2 * ear_.slowest, Duration(1000), Duration(60000));
  profile_.notes.insert(profile_.notes.begin(), "Taught by example on " +
                                                    clock_.date_and_time().substr(0, 10) + ", " +
                                                    std::to_string(typed_) + " commands typed.");
  TeachResult result;
  result.typed = typed_;
  result.profile = console::load_profile(console::profile_text(draft()));
  if (options_.keep_draft) options_.keep_draft(result.profile);
  for (const std::string& line : console::abilities(result.profile)) person_.say(line);
  for (const std::string& line : orders_in_words(result.profile)) person_.say(line);
  person_.say(std::to_string(typed_) + " commands were typed.");
  if (options_.rehearse) {
    const Rehearsal rehearsal = options_.rehearse(result.profile);
    say_how_it_went(rehearsal);
    if (rehearsal.wrong) {
      throw Fault(FaultKind::bad_profile, "the rehearsal on the practice craft failed", *rehearsal.wrong,
                  "Take it up again with --from and teach the part that failed anew");
    }
  }
  co_return result;
}

void TeachFlow::say_how_it_went(const Rehearsal& rehearsal) {
  if (!rehearsal.missing.empty()) {
    person_.say("Not rehearsed, and armwise bench cannot run with it yet. The profile does not say: " +
                    joined(rehearsal.missing, ", ") + ".",
                Level::warn);
  } else if (!rehearsal.wrong) {
    person_.say("Rehearsed on the practice craft: a whole bench session ended right.");
  }
  if (!rehearsal.not_covered.empty())
    person_.say("The rehearsal did not cover: " + joined(rehearsal.not_covered, ", ") + ".", Level::warn);
}

Task<TeachResult> teach(console::Plug& plug, Person& person, Clock& clock, const TeachOptions& options) {
  TeachFlow flow(plug, person, clock, options);
  co_return co_await flow.run();
}

}  // namespace armwise::session
