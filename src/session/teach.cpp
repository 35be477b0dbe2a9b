#include "armwise/session/teach.hpp"

#include <algorithm>
#include <array>
#include <boost/asio/error.hpp>
#include <boost/system/system_error.hpp>
#include <nlohmann/json.hpp>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/teach/listening.hpp"
#include "phases.hpp"
#include "teach_lessons.hpp"

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

Teaching::Teaching(console::Plug& port, Person& whom, Clock& time, const TeachOptions& wanted)
    : plug(port),
      clock(time),
      options(wanted),
      person(whom, draft, wanted.from && wanted.from->prepared ? &*wanted.from : nullptr),
      talk(port, time, person, draft) {
  // A prepared one is proposed only, so that each command is confirmed and proven.
  if (options.from && !options.from->prepared) draft.profile = *options.from;
  draft.profile.name = options.name;
}

namespace {

struct Lesson {
  const char* name;
  Task<void> (*learn)(Teaching&);
};

constexpr std::array all_lessons{Lesson{"identify", learn_identify},
                                 Lesson{"whole-configuration", learn_configuration},
                                 Lesson{"list-map", learn_map},
                                 Lesson{"assign-pin", learn_assign},
                                 Lesson{"free-pin", learn_free},
                                 Lesson{"props", learn_props},
                                 Lesson{"turn", learn_turn},
                                 Lesson{"mount", learn_mount},
                                 Lesson{"takes-effect", learn_takes_effect},
                                 Lesson{"sense", learn_sense},
                                 Lesson{"gyro", learn_gyro},
                                 Lesson{"stop", learn_stop},
                                 Lesson{"spin", learn_spin},
                                 Lesson{"numbering", learn_numbering},
                                 Lesson{"keep", learn_keep},
                                 Lesson{"leave", learn_leave}};

void say_no_way_back(Teaching& t) {
  t.person.say("There is nothing to go back to.", Level::warn);
}

Task<void> listen_until_heard(Teaching& t) {
  tell_lesson(t.person, "listen");
  while (true) {
    try {
      co_await listen(t);
      co_return;
    } catch (const WentBack&) {
      t.talk.ear.close();
    }
    say_no_way_back(t);
  }
}

// Going back to a lesson forgets what it taught, so that it is asked again from its start.
Task<void> walk_through(Teaching& t) {
  std::array<Draft, all_lessons.size()> before;
  bool backwards = false;
  std::size_t at = 0;
  while (at < all_lessons.size()) {
    tell_lesson(t.person, all_lessons.at(at).name);
    if (backwards) {
      t.draft = before.at(at);
    } else {
      before.at(at) = t.draft;
    }
    const int asked = t.person.asked();
    bool back = false;
    try {
      co_await all_lessons.at(at).learn(t);
    } catch (const WentBack&) {
      back = true;
    }
    if (back) t.draft = before.at(at);
    // A lesson that has nothing to ask is no place to go back to.
    backwards = back || (backwards && t.person.asked() == asked);
    if (!backwards) {
      if (t.options.keep_draft) t.options.keep_draft(t.talk.sound_profile());
      ++at;
    } else if (at == 0) {
      say_no_way_back(t);
      backwards = false;
    } else {
      --at;
    }
  }
}

}  // namespace

// As far as it goes, and sound, so that it can be taken up again.
console::Profile Dialogue::sound_profile() const {
  console::Profile sound = draft_.profile;
  if (sound.spin && sound.spin->spin.steps.empty()) sound.spin.reset();
  // A pin that is refused while it is taken cannot be given away before the way to free it is known.
  if (sound.map && sound.map->put && !sound.map->rules.shared_meanwhile && !sound.map->free)
    sound.map->put.reset();
  if (sound.open.prompt.empty()) sound.open.reply_end = teach::reply_end_of(replies_);
  return with_inner_prompts(sound, inner_prompts_);
}

Task<void> learn_takes_effect(Teaching& t) {
  console::Profile& profile = t.draft.profile;
  const bool any = (profile.map && profile.map->put) || (profile.props && profile.props->set) ||
                   (profile.turn && profile.turn->set) || (profile.mount && profile.mount->settable());
  if (!any) co_return;
  const bool at_once = co_await t.person.confirm(
      "right", "I take it that a setting takes effect at once, not only after a restart. Is that right?");
  const auto effect = at_once ? console::TakesEffect::at_once : console::TakesEffect::after_restart;
  if (profile.map) profile.map->takes_effect = effect;
  if (profile.props) profile.props->takes_effect = effect;
  if (profile.turn) profile.turn->takes_effect = effect;
  if (profile.mount) profile.mount->takes_effect = effect;
}

namespace {

// What a typed command changed unasked is said before it is made to last.
Task<bool> may_be_kept(Teaching& t) {
  const std::string changed = co_await what_has_changed(t);
  if (changed.empty()) co_return true;
  const bool all_the_same = co_await t.person.confirm(
      "try-change", changed +
                        " is not as it was at the start; a command that you typed changed it. Shall it be "
                        "made to last like that all the same?");
  if (!all_the_same)
    t.person.say("Then keeping is left out. A restart brings back what was kept before.", Level::warn);
  co_return all_the_same;
}

}  // namespace

// A command that only shows something, or stops the motors, does not make settings last, nor the other way
// round.
bool is_taught_already(Teaching& t, const teach::Typed& typed) {
  const auto same = [&](const console::Steps& steps) {
    return std::equal(steps.begin(), steps.end(), typed.begin(), typed.end(),
                      [](const console::Step& step, const std::string& line) {
                        return step.send == console::Template::literal(line);
                      });
  };
  const console::Profile& known = t.draft.profile;
  const char* what = nullptr;
  if (known.identify && same(known.identify->steps)) what = "says which board this is";
  if (known.whole_configuration && same(known.whole_configuration->steps)) what = "prints the configuration";
  if (known.map && same(known.map->list.steps)) what = "shows which pin drives each motor";
  if (known.mount && same(known.mount->read.steps)) what = "shows the mount";
  if (known.sense && same(known.sense->read.steps)) what = "shows the readings";
  if (known.spin && same(known.spin->stop_all.steps)) what = "stops all motors";
  if (known.keep && same(known.keep->keep.steps)) what = "makes the settings last";
  if (what != nullptr)
    t.person.say(
        std::string("That is the command that ") + what + ". It was not sent; type another, or skip.",
        Level::warn);
  return what != nullptr;
}

namespace {

Task<void> learn_restart(Teaching& t, console::KeepAbility& keep) {
  std::optional<WritePermit> agreed;
  do {
    agreed = co_await t.person.ask_to_send(
        "restarts", "It does not restart by itself. Type the command that restarts it");
    if (!agreed) co_return;
  } while (is_taught_already(t, agreed->lines()));
  const Said said = co_await t.talk.say_agreed(*agreed, "restarts");
  bool went = said.closed;
  if (!went) went = co_await t.talk.ear.goes_away(until_restart);
  bool restarted = went;
  // The port of a serial adapter stays: then only its start-up shows.
  if (!went && !said.refused && !said.lines.empty())
    restarted = co_await t.person.confirm("right", "The port stayed, and it answered \"" + said.lines.back() +
                                                       "\". Is that its start-up: did it restart?");
  if (!restarted) {
    t.person.say("It did not restart. bench will ask you to restart it by hand.", Level::warn);
    co_return;
  }
  keep.restart = console::Command{t.talk.steps_of(said), std::nullopt};
  if (went) co_await t.talk.reopen();
}

}  // namespace

Task<void> learn_keep(Teaching& t) {
  if (t.draft.profile.keep) co_return;
  const bool may = co_await may_be_kept(t);
  if (!may) co_return;
  console::KeepAbility keep;
  Said said;
  do {
    const auto agreed = co_await t.person.ask_to_send(
        "keep", "Type the command that makes the settings last (it is sent; everything is as it was)");
    if (!agreed) co_return;
    said.refused = is_taught_already(t, agreed->lines());
    if (said.refused) continue;
    t.told_to_keep = true;
    said = co_await t.talk.say_agreed(*agreed, "keep");
    if (said.refused) {
      t.talk.refuse_or_tell(said);
    } else if (!said.lines.empty() && !said.closed) {
      // Nothing shows that it has stored anything before a restart: only its own words do.
      const bool kept = co_await t.person.confirm(
          "right", "It answers \"" + said.lines.back() + "\". Does that say that the settings last now?");
      said.refused = !kept;
    }
  } while (said.refused);
  keep.keep.steps = t.talk.steps_of(said);
  keep.keep.confirms = plain_confirmation_of(said);
  keep.restarts = said.closed;
  if (!keep.restarts) keep.restarts = co_await t.talk.ear.goes_away(until_restart);
  if (keep.restarts) {
    t.person.say("It restarts by itself then.");
    co_await t.talk.reopen();
  } else {
    co_await learn_restart(t, keep);
  }
  t.draft.profile.keep = keep;
}

namespace {

// A usual word, begun as all commands of this console begin; none where they are no words.
std::string usual_leave(Teaching& t) {
  console::Profile& profile = t.draft.profile;
  if (!profile.map || !profile.keep) return {};
  const console::Steps &list = profile.map->list.steps, &keep = profile.keep->keep.steps;
  if (list.size() != 1 || keep.size() != 1) return {};
  return teach::word_like("exit", {list.front().send.source(), keep.front().send.source()});
}

}  // namespace

Task<void> learn_leave(Teaching& t) {
  if (t.draft.profile.leave) co_return;
  std::string proposed = usual_leave(t);
  while (true) {
    const auto typed = co_await t.person.ask_command(
        "leave", "Type the command that leaves the console (it is sent)", {}, proposed);
    if (!typed) co_return;
    if (in_a_row(*typed) == proposed) proposed.clear();
    if (is_taught_already(t, *typed)) continue;
    const Said said = co_await t.talk.say(*typed, "leave");
    if (said.refused) {
      t.talk.refuse_or_tell(said);
      continue;
    }
    t.draft.profile.leave = console::Command{t.talk.steps_of(said), std::nullopt};
    co_return;
  }
}

namespace {

void say_how_it_went(Teaching& t, const Rehearsal& rehearsal) {
  if (!rehearsal.missing.empty()) {
    t.person.say("Not rehearsed, and armwise bench cannot run with it yet. The profile does not say: " +
                     joined(rehearsal.missing, ", ") + ".",
                 Level::warn);
  } else if (!rehearsal.wrong) {
    t.person.say("Rehearsed on the practice craft: a whole bench session ended right.");
  }
  if (!rehearsal.not_covered.empty())
    t.person.say("The rehearsal did not cover: " + joined(rehearsal.not_covered, ", ") + ".", Level::warn);
}

Task<TeachResult> finish(Teaching& t) {
  t.talk.ear.close();
  t.draft.profile.name = t.options.name;
  if (t.draft.profile.name.empty()) {
    const std::string name =
        co_await t.person.ask_text("name", "What shall the profile be called?", "my-console");
    t.draft.profile.name = name;
  }
  t.draft.profile.open.more = t.talk.ear.more;
  t.draft.profile.open.more_send = t.talk.ear.more_send;
  // Twice as late as it ever was here.
  t.draft.profile.timing.reply = std::clamp(2 * t.talk.ear.slowest, Duration(1000), Duration(60000));
  t.draft.profile.notes.insert(t.draft.profile.notes.begin(),
                               "Taught by example on " + t.clock.date_and_time().substr(0, 10) + ", " +
                                   std::to_string(t.person.typed()) + " commands typed.");
  TeachResult result;
  result.typed = t.person.typed();
  result.profile = console::load_profile(console::profile_text(t.talk.sound_profile()));
  if (t.options.keep_draft) t.options.keep_draft(result.profile);
  for (const std::string& line : console::abilities(result.profile)) t.person.say(line);
  for (const std::string& line : orders_in_words(result.profile)) t.person.say(line);
  t.person.say(std::to_string(t.person.typed()) + " commands were typed.");
  if (t.options.rehearse) {
    const Rehearsal rehearsal = t.options.rehearse(result.profile);
    say_how_it_went(t, rehearsal);
    if (rehearsal.wrong) {
      throw Fault(FaultKind::bad_profile, "the rehearsal on the practice craft failed", *rehearsal.wrong,
                  "Take it up again with --from and teach the part that failed anew");
    }
  }
  co_return result;
}

}  // namespace

Task<TeachResult> teach(console::Plug& plug, Person& person, Clock& clock, const TeachOptions& options) {
  Teaching t(plug, person, clock, options);
  try {
    co_await listen_until_heard(t);
    co_await walk_through(t);
    TeachResult result = co_await finish(t);
    co_return result;
  } catch (const StoppedByPerson& stop) {
    end_stopped(t, stop.how());
  } catch (const boost::system::system_error& error) {
    // So ends whatever a signal cancels.
    if (error.code() != boost::asio::error::operation_aborted) throw;
    end_stopped(t, StoppedByPerson::How::interrupted);
  } catch (const Fault& fault) {
    if (fault.kind() != FaultKind::unsafe) say_where_no_stop_was_seen(t);  // it says so itself
    throw;
  }
}

}  // namespace armwise::session
