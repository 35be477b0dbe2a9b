#include "armwise/session/teach.hpp"

#include <algorithm>
#include <array>
#include <boost/asio/error.hpp>
#include <boost/system/system_error.hpp>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/teach/listening.hpp"
#include "phases.hpp"
#include "teach_lessons.hpp"

namespace armwise::session {
namespace {

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
    : plug(port), clock(time), options(wanted), person(whom, draft), talk(port, time, person, draft) {
  if (options.from) draft.profile = *options.from;
  draft.profile.name = options.name;
  talk.ear.is_long = [this](std::size_t lines) {
    person.tell("long-reply", {{"lines", std::to_string(lines)}});
  };
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
                                 Lesson{"angle-unit", learn_angle_unit},
                                 Lesson{"gyro", learn_gyro},
                                 Lesson{"stop", learn_stop},
                                 Lesson{"spin", learn_spin},
                                 Lesson{"numbering", learn_numbering},
                                 Lesson{"keep", learn_keep},
                                 Lesson{"leave", learn_leave}};

void say_no_way_back(Teaching& t) {
  t.person.tell("no-way-back");
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

// Going back forgets what the lesson taught, and runs it again up to the question before. A lesson that had
// nothing to ask is no place to go back to.
Task<void> walk_through(Teaching& t) {
  std::array<Draft, all_lessons.size()> before;
  std::array<Teacher::Lesson, all_lessons.size()> given;
  bool again = false;
  std::size_t heard = 0;
  for (std::size_t at = 0; at < all_lessons.size();) {
    tell_lesson(t.person, all_lessons.at(at).name);
    if (!again) before.at(at) = t.draft;
    t.person.begin(again ? given.at(at) : Teacher::Lesson(), again ? heard : 0);
    bool back = false;
    try {
      co_await all_lessons.at(at).learn(t);
    } catch (const WentBack&) {
      back = true;
    }
    given.at(at) = t.person.given();
    again = back;
    if (!back) {
      if (t.options.keep_draft) t.options.keep_draft(t.talk.sound_profile());
      ++at;
      continue;
    }
    while (at > 0 && given.at(at).empty()) --at;
    if (given.at(at).empty()) {
      heard = 0;
      t.person.begin();
      say_no_way_back(t);
    } else {
      heard = Teacher::take_one_back(given.at(at));
    }
    t.draft = before.at(at);
  }
}

}  // namespace

namespace {

void say_how_it_went(Teaching& t, const Rehearsal& rehearsal) {
  if (!rehearsal.missing.empty()) {
    t.person.tell("not-rehearsed", {{"missing", joined(rehearsal.missing, ", ")}});
  } else if (rehearsal.played && !rehearsal.wrong) {
    t.person.tell("rehearsed");
  }
  if (!rehearsal.not_covered.empty())
    t.person.tell("rehearsal-gaps", {{"not_covered", joined(rehearsal.not_covered, ", ")}});
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
  for (const std::string& line : console::abilities(result.profile))
    t.person.tell("ability", {{"line", line}});
  for (const std::string& line : orders_in_words(result.profile)) t.person.tell("ability", {{"line", line}});
  t.person.tell("commands-typed", {{"typed", std::to_string(t.person.typed())}});
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

// How the lessons end before their end: with what is known of the craft then, and no more. Empty where
// nothing was sent that could have changed anything. What was tried is put back before the lessons end, or
// they end with a Fault(left_changed); what else a command does that a person types, nobody knows.
std::string how_it_is_left(const Teaching& t) {
  if (!t.talk.has_sent()) return {};
  const std::string motors = t.motors == Motors::not_spun    ? "armwise has spun no motor. "
                             : t.motors == Motors::stop_seen ? "no motor turns. "
                                                             : "";
  const std::string change = motors.empty() ? "what" : "What";
  if (t.told_to_keep) return motors + "Settings that you saved stay saved.";
  return motors + change +
         " was tried has been put back. If a command that you typed changed anything else, restarting the "
         "controller undoes it.";
}

// The console answers a stop, and what was typed in its place; only the person sees whether a motor stops.
void say_where_no_stop_was_seen(Teaching& t) {
  if (t.motors != Motors::stop_not_seen) return;
  t.person.tell("stop-unseen");
}

[[noreturn]] void end_stopped(Teaching& t, StoppedByPerson::How how) {
  say_where_no_stop_was_seen(t);
  throw StoppedByPerson(how, how_it_is_left(t));
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
