// What is to be built, that it is safe, how the board sits and what is wired where.
#include <algorithm>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/session/ceremony.hpp"
#include "armwise/solve/difference.hpp"
#include "bench_parts.hpp"
#include "questions.hpp"
#include "spin_rounds.hpp"
#include "words.hpp"

namespace armwise::session {
namespace {

constexpr int most_readings = 3;

std::vector<std::string> frame_names() {
  std::vector<std::string> names;
  for (const craft::Frame& frame : craft::frames()) names.push_back(frame.name);
  return names;
}

Task<const craft::Frame*> choose_frame(const Bench& b, Recall& r, std::string name) {
  if (name.empty()) {
    Question question = frame_question("Which frame is it?");
    const std::vector<record::CraftRecord> known = b.store.records_of(b.ledger.journal().identity());
    if (!known.empty() && craft::frame_named(known.front().frame) != nullptr) {
      question.text += " Last time this board was on a " + known.front().frame + ".";
      question.marked = known.front().frame;
    }
    name = co_await answer_to(r, std::move(question));
  }
  const craft::Frame* frame = craft::frame_named(name);
  if (frame == nullptr) {
    const std::string near = nearest(name, frame_names());
    throw Fault(FaultKind::usage, "There is no frame called " + printable(name),
                near.empty() ? std::string() : "the nearest name is " + near,
                "Choose one of: " + joined(frame_names(), ", "))
        .as("no-such-frame");
  }
  co_return frame;
}

// Asked once the motors have been seen, since most of them turn as it is meant.
Task<craft::PropScheme> choose_props(Recall& r, const craft::Frame& frame, const solve::Wiring& wiring) {
  const auto turning_for = [&](craft::PropScheme scheme) {
    return std::ranges::count_if(wiring.at, [&](const auto& on_pin) {
      return on_pin.second.turn == frame.wanted(on_pin.second.place, scheme);
    });
  };
  const auto in = turning_for(craft::PropScheme::in), out = turning_for(craft::PropScheme::out);
  const bool mostly_out = out > in;
  Question question = one_of(
      "props",
      "Props in or props out? " + std::to_string(std::max(in, out)) + " of " + std::to_string(frame.size()) +
          " motors already turn for props " +
          (in == out    ? "in, as many for props out."
           : mostly_out ? "out."
                        : "in."),
      {{"in", "the front blades sweep in over the nose"}, {"out", "the front blades sweep away from it"}});
  if (in != out) question.marked = mostly_out ? "out" : "in";
  const std::string said = co_await answer_to(r, question);
  co_return said == "in" ? craft::PropScheme::in : craft::PropScheme::out;
}

// Asked where the profile does not say where the controller believes each motor number sits.
Task<craft::Numbering> ask_numbering(Recall& r, const craft::Frame& frame) {
  craft::Numbering numbering;
  std::vector<craft::PlaceIndex>& chosen = numbering.place_of_motor;
  while (static_cast<int>(chosen.size()) < frame.size()) {
    const int number = static_cast<int>(chosen.size()) + 1;
    Question question =
        one_of("numbering",
               "Where does this controller's own diagram put motor " + std::to_string(number) + "?", {});
    question.frame = &frame;
    question.motor = craft::Motor{number};
    for (craft::PlaceIndex place = 0; place < frame.places.size(); ++place) {
      if (std::find(chosen.begin(), chosen.end(), place) != chosen.end()) continue;
      question.choices.push_back({frame.places[place].name, frame.places[place].name});
    }
    const std::string said = co_await answer_to(r, std::move(question));
    const auto place = frame.find(said);
    if (!place) throw Fault(FaultKind::usage, "There is no such place on a " + frame.name);
    chosen.push_back(*place);
  }
  co_return numbering;
}

void require_motors(const solve::Snapshot& settings, const craft::Frame& frame) {
  if (settings.map.size() >= frame.size()) return;
  throw Fault(FaultKind::mismatch,
              "The controller lists " +
                  words::count(static_cast<std::size_t>(settings.map.size()), "motor", "motors") +
                  ", but a " + frame.name + " has " + std::to_string(frame.size()),
              "it is set up for another frame, or you meant another one",
              "Pick another frame, or set the controller up for this one")
      .as("motors-missing");
}

// Before the battery is connected: the craft is in the person's hands.
Task<Mounted> find_mount(Bench& b, Recall& r) {
  const console::Profile& profile = b.profile();
  if (b.options.mount == MountWish::leave || !profile.mount || !b.ledger.before().mount)
    co_return co_await look_at_mount(b, r);
  MountFinder finder(b.console, r, b.clock);
  Mounted mounted;
  mounted.to_be_proven = true;
  if (!profile.sense) {
    mounted.mount = co_await finder.by_arrow(false);
    co_return mounted;
  }
  mounted.mount = co_await finder.by_poses(b.options.mount == MountWish::exact);
  co_return mounted;
}

}  // namespace

Question frame_question(std::string text) {
  Question question = one_of("frame", std::move(text), {});
  for (const craft::Frame& frame : craft::frames())
    question.choices.push_back({frame.name, frame.description, {}});
  question.marked = "quad-x";
  return question;
}

Task<solve::Snapshot> read_twice(Bench& b, const craft::Frame& frame) {
  solve::Snapshot read = co_await b.console.snapshot(frame.size());
  for (int attempt = 0; attempt < most_readings; ++attempt) {
    solve::Snapshot again = co_await b.console.snapshot(frame.size());
    const std::vector<std::string> differing = solve::differences_in_words(again, read);
    if (differing.empty()) co_return again;
    b.person.tell("settings-unsteady", {{"differences", joined(differing, "; ")}});
    read = std::move(again);
  }
  throw Fault(FaultKind::unreadable, "The controller returned different settings each time",
              "bytes are lost or damaged on the line, or the settings change by themselves",
              "Try another cable and another port of the computer, then start again")
      .as("settings-never-steady");
}

Task<Setup> set_up(Bench& b, Recall& r, std::string frame, std::optional<craft::PropScheme> scheme,
                   const record::CraftRecord* record) {
  Setup setup;
  setup.frame = co_await choose_frame(b, r, std::move(frame));
  if (scheme) setup.scheme = *scheme;
  const auto read = [&b, &setup]() -> Task<bool> {
    solve::Snapshot settings = co_await read_twice(b, *setup.frame);
    require_motors(settings, *setup.frame);
    b.ledger.found(std::move(settings));
    co_return true;
  };
  co_await r.once<bool>(read);
  std::optional<craft::Numbering> known = b.profile().numbering_for(*setup.frame);
  if (!known && record != nullptr) known = numbering_of(*record, b.profile(), *setup.frame);
  if (!known) known = co_await ask_numbering(r, *setup.frame);
  setup.numbering = *known;
  co_return setup;
}

Task<SpinPermit> take_props_off(Recall& r, const Setup& setup) {
  say_cautions(r);
  const Sworn sworn = co_await swear_props_off(r, setup.frame);
  if (!sworn.permit) {
    throw Fault(FaultKind::usage, "You didn't say that the propellers are off",
                "the answer was not the word asked for", "Take them off, then start again")
        .as("props-not-off");
  }
  co_return *sworn.permit;
}

Task<Mounted> look_at_mount(Bench& b, Recall& r) {
  r.tell(b.ledger.before().mount ? StatementId("mount-left") : StatementId("mount-unsettable"));
  MountFinder finder(b.console, r, b.clock);
  Mounted mounted;
  mounted.by_eye = co_await finder.by_arrow(true);
  co_return mounted;
}

Task<void> connect_battery(Recall& r) {
  const Answer answer = co_await ask_for_battery(r);
  if (std::get<std::string>(answer) != "yes") throw StoppedByPerson();
}

Task<Inquiry> check_spins(Bench& b, Recall& r, const Setup& setup, const SpinPermit& permit) {
  // By which the controller drives its motors at the moment, whatever it reads.
  const auto& map = b.profile().map;
  const bool late = map && map->takes_effect == console::TakesEffect::after_restart;
  const craft::MotorMap& driving = late ? b.ledger.baseline().map : b.ledger.now().map;
  std::vector<Driven> driven;
  for (int number = 1; number <= setup.frame->size(); ++number)
    driven.push_back({craft::Motor{number}, craft::Motor{number}});
  SpinPolicy policy(*setup.frame,
                    begin_inquiry(*setup.frame, setup.numbering, driving, b.options.sure, b.options.order),
                    std::move(driven), "check");
  co_await spin_rounds(r, b.spins, *setup.frame, permit, policy);
  co_return policy.inquiry();
}

Task<Wired> investigate(Bench& b, Recall& r) {
  Setup setup = co_await set_up(b, r, b.options.frame, b.options.scheme, nullptr);
  const SpinPermit permit = co_await take_props_off(r, setup);
  const Mounted mounted = co_await find_mount(b, r);
  co_await connect_battery(r);
  const Inquiry inquiry = co_await check_spins(b, r, setup, permit);
  const solve::Wiring wiring = believed(inquiry);
  if (!b.options.scheme) setup.scheme = co_await choose_props(r, *setup.frame, wiring);
  co_return Wired{setup, permit, mounted, wiring, inquiry, {}, {}, {}};
}

}  // namespace armwise::session
