#include "session_setup.hpp"

#include <unistd.h>

#include <algorithm>
#include <random>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/console/conversation.hpp"
#include "armwise/link/guard_note.hpp"
#include "armwise/link/serial_plug.hpp"
#include "armwise/link/session_log.hpp"
#include "armwise/link/waiting.hpp"
#include "armwise/practice/person.hpp"
#include "armwise/record/store.hpp"
#include "armwise/session/bench.hpp"
#include "armwise/session/reapply.hpp"
#include "armwise/session/recover.hpp"
#include "armwise/session/teach.hpp"
#include "logged_person.hpp"
#include "practice_hands.hpp"

namespace armwise::app {
namespace {

namespace fs = std::filesystem;

constexpr Duration looked_at_once{200};  // a port that was there is found so soon
// A console that is there says who it is well within that.
constexpr Duration answers_within{5000};

link::StopSpeech stop_speech(const console::Profile& profile) {
  link::StopSpeech speech;
  speech.line_end = console::spoiled_line_end(profile);
  speech.stop = console::stop_lines(profile);
  const console::StopWords words = console::stop_words(profile);
  speech.acknowledged_by = words.text;
  speech.times = words.times;
  speech.enter = std::string(console::line_end_of(profile)) + console::entering(profile);
  return speech;
}

// What no single option can see. What was taught in practice is known in practice only.
SessionOptions sound(SessionOptions options, const Common& common) {
  if (options.machine && common.color == "always") {
    throw Fault(FaultKind::usage, "--color always and --machine do not go together", "JSON has no colours",
                "Leave one of them out");
  }
  if (!options.practice.wanted || options.profile.empty()) return options;
  const fs::path taught = record::Folders::from_environment().for_practice().data / "profiles" /
                          (record::file_name_for(options.profile) + ".json");
  if (fs::is_regular_file(taught)) options.profile = taught;
  return options;
}

ui::UiOptions ui_options(const SessionOptions& options, const Common& common) {
  ui::UiOptions ui;
  ui.machine = options.machine;
  ui.plain = options.plain;
  ui.ascii = options.ascii;
  ui.yes = options.yes;
  ui.colour = ui::colour_choice_named(common.color).value_or(ui::ColourChoice::automatic);
  ui.answers_file = options.answers;
  ui.keys_file = record::Folders::from_environment().config / "keys.json";
  return ui;
}

std::shared_ptr<link::SessionLog> log_of(const SessionOptions& options, const Common& common, Clock& clock) {
  link::SessionLog::Options log;
  log.file = options.log_file;
  log.on_screen = options.verbose;
  log.about = common.about;
  try {
    log.folder = record::Folders::from_environment().state / "logs";
  } catch (const Fault&) {
    // Without a home there is none; whatever needs one says so.
  }
  return std::make_shared<link::SessionLog>(log, clock);
}

}  // namespace

Session::Session(const SessionOptions& options, const Common& common)
    : options_(sound(options, common)),
      common_(common),
      practice_(PractisedCraft::of(options_)),
      profile_(options_.profile.empty() && practice_ ? practice_->profile() : options_.profile,
               options_.known),
      log_(log_of(options_, common_, runtime_.clock())) {
  recorders_.push_back(log_);
}

Session::~Session() = default;

record::Folders Session::folders() const {
  record::Folders folders = record::Folders::from_environment();
  if (!practice_) return folders;
  folders = folders.for_practice();
  folders.state = practice_->place().state();
  return folders;
}

Task<void> Session::play(Task<session::BenchResult> flow) {
  std::optional<Fault> trouble;
  try {
    co_await std::move(flow);
    co_return;
  } catch (const Fault& fault) {
    trouble = fault;
  }
  if (!practice_) throw std::move(*trouble);
  Fault said = co_await practice_->story_of(*trouble);
  throw std::move(said);
}

// Whoever practises chooses what they practise on.
Task<void> Session::meet_practice_craft() {
  if (practice_->wants_frame()) {
    // A profile that is named wrongly is said before anything is asked.
    if (profile_.is_made()) co_await choose_profile();
    co_await practice_->ask_for_frame(*person_);
  }
  onlooker_ = co_await practice_->meet();
}

Task<void> Session::meet_person() {
  if (person_) co_return;
  ui::UiOptions ui = ui_options(options_, common_);
  if (practice_) {
    ui.onlooker = [this] { return practice_->scene(); };
    runtime_.end_with([this](session::Person& told) { practice_->tell_mischief(told); });
  }
  const auto executor = runtime_.loop().get_executor();
  // What the log says must not fall into a drawn screen.
  ui.plain = ui.plain || (options_.verbose && ::isatty(STDERR_FILENO) == 1);
  const ui::Surroundings around = ui::Surroundings::of_this_process();
  auto person = ui::make_person(executor, runtime_.clock(), ui, around);
  runtime_.guard().speak(options_.machine                   ? link::GuardVoice::machine
                         : ui::takes_the_screen(ui, around) ? link::GuardVoice::screen
                                                            : link::GuardVoice::lines);
  person_ = std::move(person);
  if (practice_) co_await meet_practice_craft();
  if (practice_ && options_.practice.play) {
    front_end_ = std::move(person_);
    person_ = std::make_unique<practice::PracticePerson>(*onlooker_, runtime_.clock(),
                                                         practice::PersonScript{}, front_end_.get());
  } else if (practice_) {
    person_ = std::make_unique<PracticeHands>(std::move(person_), *onlooker_);
  }
  person_ = std::make_unique<LoggedPerson>(std::move(person_), log_);
  for (const link::GuardNote& note : link::take_guard_notes(record::Folders::from_environment().state))
    person_->tell("guard-note", {{"note", note.in_words()}});
  record::DiskStore store(record::Folders::from_environment());
  try {
    session::tell_trials(*person_, store, runtime_.clock());
  } catch (const Fault& fault) {
    person_->tell(session::statement_of(fault));  // only what changes settings cannot do without
  }
}

Task<void> Session::choose_profile() {
  if (!profile_.is_made()) {
    console_.reset();  // the port is held for one at a time
    co_await profile_.ask(*person_, *plug_, runtime_.clock(), runtime_.sentry());
  }
  profile_.read();
}

// Chosen out of a list, a profile that the console does not answer to is a slip, and is asked for again; what
// was named on the command line is not.
Task<void> Session::choose_profile_that_answers() {
  while (true) {
    co_await choose_profile();
    make_console();
    if (profile_.was_answered()) co_return;
    std::optional<Fault> trouble;
    try {
      co_await console_->open();
    } catch (const Fault& fault) {
      if (fault.kind() != FaultKind::no_reply && fault.kind() != FaultKind::unreadable) throw;
      trouble = fault;
    }
    if (!trouble) co_return;
    person_->tell("profile-silent",
                  {{"profile", printable(profile_.profile().name)}, {"why", trouble->happened()}});
    profile_.take_back();
  }
}

// With no port named: the only one is used, and said why; several are asked about; none is waited for.
Task<void> Session::reach_port() {
  // First what can be said without a controller: that the capture's file cannot be made.
  if (!options_.capture.empty())
    recorders_.push_back(std::make_shared<link::CaptureFile>(options_.capture, runtime_.clock()));
  const link::DeviceRoot root = link::DeviceRoot::from_environment();
  const link::Caller caller = link::Caller::of_this_process();
  if (options_.port.empty()) {
    std::vector<link::PortInfo> ports = link::list_ports(root, caller);
    if (ports.empty()) {
      person_->tell_wait("waiting-for-controller", Duration{options_.wait_seconds * 1000});
    }
    if (ports.size() > 1) {
      session::Question question;
      question.id = "port";
      question.kind = session::Question::Kind::choose;
      question.text = "Several serial ports are plugged in. Which one is the controller?";
      question.may_go_back = false;
      for (const link::PortInfo& port : ports) {
        question.choices.push_back({port.node.filename().string(), port.in_words()});
      }
      session::Answer answer = session::Back{};
      while (!std::holds_alternative<std::string>(answer)) answer = co_await person_->ask(question);
      options_.port = std::get<std::string>(answer);
    }
  }
  const Duration within{options_.wait_seconds * 1000};
  const auto executor = runtime_.loop().get_executor();
  const Instant asked = runtime_.clock().now();
  const link::PortInfo port = co_await link::wait_for_port(executor, options_.port, root, caller, within);
  just_plugged_in_ = runtime_.clock().now() - asked > looked_at_once;
  link::require_access(port, caller);
  port_ = port.node.string();
  person_->tell_wait(
      options_.port.empty() ? session::StatementId("only-port") : session::StatementId("port-used"),
      answers_within, {{"port", port.node.filename().string()}, {"what", port.in_words()}});

  link::PlugOptions plug_options;
  plug_options.root = link::DeviceRoot::from_environment();
  plug_options.guard = &runtime_.guard();
  plug_ = std::make_unique<link::SerialPlug>(runtime_.loop().get_executor(), port_, plug_options);
  for (const auto& recorder : recorders_) {
    plug_ = std::make_unique<link::CapturingPlug>(std::move(plug_), recorder);
  }
}

Task<void> Session::prepare() {
  co_await meet_person();
  // A profile that is named wrongly is said before a port is waited for; one that is not named is found on
  // the port.
  const bool named = profile_.is_made();
  if (named) co_await choose_profile();
  co_await reach_port();
  if (named) {
    make_console();
  } else {
    co_await choose_profile_that_answers();
  }
}

std::uint32_t Session::order_of_check(std::uint32_t wanted) {
  auto order = wanted != 0 ? wanted : static_cast<std::uint32_t>(options_.practice.seed);
  if (order == 0 && !options_.answers.empty()) order = 1;
  while (order == 0) order = std::random_device{}();
  log_->event("order", "number", std::to_string(order));
  return order;
}

void Session::make_console() {
  console::Profile profile = profile_.profile();
  if (bench_on_) console::stop_each_of(profile, *bench_on_);
  console::Sentry& sentry = watched_by(profile);
  log_->event("profile", "text", console::profile_text(profile));
  console_.reset();  // the port is held for one at a time
  auto console = std::make_unique<console::ProfileConsole>(*plug_, profile, runtime_.clock(), sentry);
  // Nothing is sent into its start-up: a key may stop it there. One that has answered is up.
  if (bench_on_ && std::exchange(just_plugged_in_, false) && !profile_.any_answered())
    console->hear_start_first();
  console_ = std::move(console);
}

Task<void> Session::find_fitting_profile(int motors) {
  while (true) {
    const std::optional<Fault> misfit = co_await session::misfit(*console_, motors);
    if (!misfit) co_return;
    person_->tell("profile-misfit",
                  {{"profile", printable(profile_.profile().name)}, {"why", misfit->sentence()}});
    profile_.take_back_misfit();
    co_await choose_profile();
    make_console();
  }
}

Task<void> Session::prepare_to_teach() {
  co_await meet_person();
  co_await reach_port();
}

console::Sentry& Session::watched_by(const console::Profile& profile) {
  runtime_.guard().say(stop_speech(profile));
  const fs::path folder = record::Folders::from_environment().state;
  runtime_.guard().leave_word_in(link::guard_note_file(folder, ::getpid()));
  return runtime_.sentry();
}

}  // namespace armwise::app
