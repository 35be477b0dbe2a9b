// Lessons: when a setting takes effect, how settings are made to last, the restart, and how to leave.
#include <algorithm>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/teach/axes.hpp"
#include "teach_lessons.hpp"

namespace armwise::session {
namespace {

constexpr Duration until_restart{3000};
constexpr int times_heard = 3;

}  // namespace

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
  const bool put_back = co_await put_back_as_found(t, changed);
  if (put_back) co_return true;
  const bool all_the_same =
      co_await t.person.confirm("try-change", changed + " is not as it was at the start. Save it anyway?");
  if (!all_the_same) t.person.tell("saving-left-out");
  if (all_the_same) t.draft.as_found.clear();
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
  if (what != nullptr) t.person.tell("known-command", {{"does", what}});
  return what != nullptr;
}

namespace {

// Whether the port goes away, now or soon.
Task<bool> goes_away_after(Teaching& t, const Said& said) {
  if (said.closed) co_return true;
  t.person.tell_wait("watching-for-restart", until_restart);
  co_return co_await t.talk.ear.goes_away(until_restart);
}

Task<void> learn_restart(Teaching& t, console::KeepAbility& keep) {
  std::optional<WritePermit> agreed;
  const console::Values none;
  do {
    agreed = co_await t.person.ask_to_send("restarts",
                                           "It does not restart by itself. Type the command that restarts it",
                                           none, t.draft.usual_word("reboot"));
    if (!agreed) co_return;
  } while (is_taught_already(t, agreed->lines()));
  const Said said = co_await t.talk.say_agreed(*agreed, "restarts");
  const bool went = co_await goes_away_after(t, said);
  bool restarted = went;
  // The port of a serial adapter stays: then only its start-up shows.
  if (!went && !said.refused && !said.lines.empty())
    restarted = co_await t.person.confirm("right", "The port stayed, and it answered \"" + said.lines.back() +
                                                       "\". Is that its start-up: did it restart?");
  if (!restarted) {
    t.person.tell("restart-by-hand");
    co_return;
  }
  keep.restart = console::Command{t.talk.steps_of(said), std::nullopt};
  if (went) co_await t.talk.reopen();
}

// A question on the way may have come garbled: then bench would not know it. What has restarted is there
// again.
Task<void> hear_questions_again(Teaching& t, const console::Steps& steps, std::vector<std::string> heard) {
  const console::Values none;
  for (int times = 1; times < times_heard && steps.size() > 1; ++times) {
    const Said again = co_await t.talk.say_again(steps, none);
    bool went = again.closed;
    if (!went) went = co_await t.talk.ear.goes_away(until_restart);
    if (went) co_await t.talk.reopen();
    if (again.prompts == heard) co_return;
    heard = again.prompts;
  }
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
  keep.restarts = co_await goes_away_after(t, said);
  const console::Values none;
  if (!keep.restarts && !said.lines.empty()) said = co_await t.talk.ask_again(keep.keep.steps, none);
  // Of one that closes the line, the restart says more.
  if (!keep.restarts) keep.keep.confirms = plain_confirmation_of(said, t.talk.ear.reply_end);
  if (keep.restarts) {
    t.person.tell("restarts-by-itself");
    co_await t.talk.reopen();
    co_await hear_questions_again(t, keep.keep.steps, said.prompts);
  } else {
    co_await learn_restart(t, keep);
  }
  t.draft.profile.keep = keep;
}

namespace {

// A reader that was learned from a garbled answer would not read the next one.
Task<void> read_all_once_more(Teaching& t) {
  const console::Profile& known = t.draft.profile;
  std::string wrong;
  if (known.keep) wrong = co_await what_has_changed(t);
  const auto check = [&](bool right, const char* what) {
    if (!right) wrong += (wrong.empty() ? "" : " and ") + std::string(what);
  };
  if (known.identify) {
    const teach::Lines lines = co_await t.talk.read(*known.identify);
    check(std::all_of(known.identify->lines.begin(), known.identify->lines.end(),
                      [&](const console::Template& like) {
                        return std::any_of(lines.begin(), lines.end(),
                                           [&](const std::string& line) { return like.match(line); });
                      }),
          "What says which board it is");
  }
  if (known.sense) {
    const teach::Lines lines = co_await t.talk.read(known.sense->read);
    check(teach::numbers_read(known.sense->read, lines).has_value(), "The accelerometer");
  }
  if (wrong.empty()) co_return;
  throw Fault(FaultKind::bad_profile, wrong + " reads otherwise than when it was taught",
              "Bytes may have been lost or changed on the way",
              "Try another cable and another USB port, take it up again with --from and teach that anew");
}

}  // namespace

Task<void> learn_leave(Teaching& t) {
  co_await read_all_once_more(t);
  if (t.draft.profile.leave) co_return;
  std::string proposed = t.draft.usual_word("exit");
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

}  // namespace armwise::session
