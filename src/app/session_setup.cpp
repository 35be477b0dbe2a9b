#include "session_setup.hpp"

#include <unistd.h>

#include <algorithm>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/console/conversation.hpp"
#include "armwise/link/guard_note.hpp"
#include "armwise/link/serial_plug.hpp"
#include "armwise/link/session_log.hpp"
#include "armwise/link/waiting.hpp"
#include "armwise/practice/mischief.hpp"
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

constexpr const char* practice_profile = "tarn";
constexpr Duration practice_is_there_within{10000};
constexpr Duration looked_at_once{200};  // a port that was there is found so soon
// A console that is there says who it is well within that.
constexpr Duration answers_within{5000};

link::StopSpeech stop_speech(const console::Profile& profile) {
  link::StopSpeech speech;
  speech.line_end = console::spoiled_line_end(profile);
  speech.stop = console::stop_lines(profile);
  const console::StopWords words = console::stop_words(profile);
  speech.acknowledged_by = words.text.empty() ? profile.open.prompt : words.text;
  speech.times = words.times;
  speech.enter = std::string(console::line_end_of(profile)) + console::entering(profile);
  return speech;
}

// What the practice craft speaks: what was asked for, or else what the tool will speak with it.
fs::path practice_console(const SessionOptions& options) {
  if (!options.practice_console.empty()) return find_profile_file(options.practice_console);
  return find_profile_file(options.profile.empty() ? practice_profile : options.profile);
}

std::string mischief_in_words(const std::string& wanted) {
  if (wanted.empty()) return {};
  const practice::MischiefPlan plan = practice::mischief_named(wanted, 1);
  for (const practice::MischiefKind& kind : practice::mischiefs()) {
    if (kind.what == plan.what && kind.way == plan.way && kind.for_ever == plan.for_ever)
      return "That was the mischief you asked for: " + std::string(kind.words) + ". ";
  }
  return {};
}

// What no single option can see.
const SessionOptions& sound(const SessionOptions& options, const Common& common) {
  if (!options.machine || common.color != "always") return options;
  throw Fault(FaultKind::usage, "--color always and --machine do not go together", "JSON has no colours",
              "Leave one of them out");
}

// Before the guard is made, which looks for ports there, too.
std::optional<PracticePlace> where_practised(const SessionOptions& options, const PracticeChild* child) {
  std::optional<PracticePlace> place;
  if (child != nullptr) place = child->place();
  if (options.left_behind) place = craft_left_behind();
  if (place) ::setenv("ARMWISE_DEVICES", place->directory.c_str(), 1);
  return place;
}

}  // namespace

Session::Session(const SessionOptions& options, const Common& common)
    : options_(sound(options, common)),
      common_(common),
      practice_child_(options.practice ? std::make_unique<PracticeChild>(options, practice_console(options))
                                       : nullptr),
      practice_(where_practised(options, practice_child_.get())) {
  // A craft whose console was chosen by itself is met as a stranger would be: by the profiles at hand.
  const bool stranger = !options_.practice_console.empty();
  if (practice_ && options_.profile.empty() && !stranger)
    options_.profile = options_.left_behind ? practice_->profile : practice_profile;
  begin_log();
}

Session::~Session() = default;

ui::UiOptions Session::ui_options() const {
  ui::UiOptions ui;
  ui.machine = options_.machine;
  ui.plain = options_.plain;
  ui.ascii = options_.ascii;
  ui.yes = options_.yes;
  ui.colour = ui::colour_choice_named(common_.color).value_or(ui::ColourChoice::automatic);
  ui.answers_file = options_.answers;
  ui.keys_file = record::Folders::from_environment().config / "keys.json";
  return ui;
}

record::Folders Session::folders() const {
  record::Folders folders = record::Folders::from_environment();
  if (!practice_) return folders;
  folders = folders.for_practice();
  folders.state = practice_->state();
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
  Fault said = co_await as_practised(*trouble);
  throw std::move(said);
}

Task<Fault> Session::as_practised(Fault fault) {
  const bool left = fault.kind() == FaultKind::left_changed || fault.kind() == FaultKind::not_back;
  if (!practice_child_ || !left || !onlooker_ || !onlooker_->connected()) co_return fault;
  const std::string wish = R"({"stay":true})";
  const std::string answer = co_await onlooker_->request(wish);
  practice_child_->leave_behind();
  Fault story(fault.kind(), fault.happened(), fault.why(),
              mischief_in_words(options_.mischief) +
                  "The practice craft is plugged in again and waits. Type armwise recover --practice");
  co_return fault.id().empty() ? story : std::move(story).as(fault.id());
}

// Whoever practises chooses what they practise on.
Task<void> Session::meet_practice_craft() {
  if (practice_child_ && !practice_child_->has_frame()) {
    std::string frame = "quad-x";
    if (options_.asks_frame && !options_.play) {
      // A profile that is named wrongly is said before anything is asked.
      if (!options_.profile.empty()) co_await choose_profile();
      session::Question question = session::frame_question("Which frame do you want to practise on?");
      question.may_go_back = false;
      const session::Answer answer = co_await person_->ask(question);
      frame = practised_frame_ = std::get<std::string>(answer);
    }
    practice_child_->become(frame);
  }
  onlooker_ = co_await practice::Onlooker::connect(practice_->socket(), practice_is_there_within);
}

Task<void> Session::meet_person() {
  if (person_) co_return;
  ui::UiOptions ui = ui_options();
  if (practice_) {
    ui.onlooker = [this]() -> std::optional<ui::Scene> {
      if (!onlooker_) return std::nullopt;
      ui::Scene scene{craft::frame_named(onlooker_->frame()), {}};
      if (scene.frame == nullptr) return std::nullopt;
      for (const practice::Turning& turning : onlooker_->turning()) {
        if (const auto place = scene.frame->find(turning.place))
          scene.moving.push_back({*place, turning.turn});
      }
      if (scene.moving.empty()) return std::nullopt;
      return scene;
    };
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
  if (practice_ && options_.play) {
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
    session::tell_trials(*person_, store);
  } catch (const Fault& fault) {
    person_->tell(session::statement_of(fault));  // only what changes settings cannot do without
  }
}

// Profiles of the person's own first, where the console answers to one; the only one that it does, Enter
// takes.
Task<void> Session::ask_for_profile() {
  std::vector<ProfileAtHand> at_hand = profiles_at_hand();
  std::erase_if(at_hand, [this](const ProfileAtHand& one) { return misfits_.contains(one.file); });
  std::vector<AnswersTo>& answered = answered_;
  if (plug_) {
    console_.reset();  // the port is held for one at a time
    const SayFirst say = [this](session::StatementId id, session::Facts facts) {
      person_->tell(id, std::move(facts));
    };
    answered = co_await profiles_answered_to(*plug_, runtime_.clock(), runtime_.sentry(), at_hand, say);
  }
  session::Question question;
  question.id = "profile";
  question.kind = session::Question::Kind::choose;
  question.text = "Which console profile fits this controller? (armwise teach makes one)";
  question.may_go_back = false;
  for (const AnswersTo& match : answered) {
    question.choices.push_back({match.file.stem().string(), "the console answers to it: " + match.words});
  }
  if (answered.size() == 1) question.marked = question.choices.front().key;
  for (const fs::path& file : profile_files()) {
    const bool offered = std::any_of(answered.begin(), answered.end(),
                                     [&](const AnswersTo& match) { return match.file == file; });
    if (!offered && !misfits_.contains(file))
      question.choices.push_back({file.stem().string(), file.string()});
  }
  if (question.choices.empty()) {
    throw Fault(FaultKind::bad_profile, "No profile at hand fits this console",
                "all of them were tried: " + std::to_string(misfits_.size()),
                "armwise teach makes one for it");
  }
  session::Answer answer = session::Back{};
  while (!std::holds_alternative<std::string>(answer)) answer = co_await person_->ask(question);
  const std::string name = std::get<std::string>(answer);
  const auto chosen = std::find_if(at_hand.begin(), at_hand.end(),
                                   [&](const ProfileAtHand& one) { return one.file.stem() == name; });
  options_.speak_as(chosen != at_hand.end() ? std::move(*chosen) : find_profile(name));
}

namespace {

// Even opening a console sends its stop, and nobody has seen yet that this is one.
void require_proven(const console::Profile& profile) {
  if (!profile.prepared) return;
  throw Fault(FaultKind::bad_profile,
              "The profile " + printable(profile.name) + " was only prepared from a saved console session",
              "None of its commands was ever tried on a console, the stop neither",
              "Prove it at the console, with armwise teach --from and its file");
}

}  // namespace

Task<void> Session::choose_profile() {
  if (options_.profile.empty()) co_await ask_for_profile();
  if (!options_.known) options_.known = find_profile(options_.profile);
  profile_ = options_.known->profile;
  require_proven(profile_);
}

// Chosen out of a list, a profile that the console does not answer to is a slip, and is asked for again; what
// was named on the command line is not.
Task<void> Session::choose_profile_that_answers() {
  while (true) {
    co_await choose_profile();
    make_console();
    const bool answered = std::any_of(answered_.begin(), answered_.end(), [&](const AnswersTo& match) {
      return match.file == options_.known->file;
    });
    if (answered) co_return;
    std::optional<Fault> trouble;
    try {
      co_await console_->open();
    } catch (const Fault& fault) {
      if (fault.kind() != FaultKind::no_reply && fault.kind() != FaultKind::unreadable) throw;
      trouble = fault;
    }
    if (!trouble) co_return;
    person_->tell("profile-silent", {{"profile", printable(profile_.name)}, {"why", trouble->happened()}});
    options_.speak_as(std::nullopt);
  }
}

// With no port named: the only one is used, and said why; several are asked about; none is waited for.
Task<void> Session::choose_port() {
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
}

void Session::make_plug() {
  link::PlugOptions plug_options;
  plug_options.root = link::DeviceRoot::from_environment();
  plug_options.guard = &runtime_.guard();
  plug_ = std::make_unique<link::SerialPlug>(runtime_.loop().get_executor(), port_, plug_options);
  for (const auto& recorder : {capture_, listener_, log_}) {
    if (recorder) plug_ = std::make_unique<link::CapturingPlug>(std::move(plug_), recorder);
  }
}

Task<void> Session::prepare() {
  co_await meet_person();
  begin_capture();
  // A profile that is named wrongly is said before a port is waited for; one that is not named is found on
  // the port.
  if (!options_.profile.empty()) co_await choose_profile();
  co_await choose_port();
  make_plug();
  if (options_.profile.empty()) {
    co_await choose_profile_that_answers();
  } else {
    make_console();
  }
}

// Before anything is waited for: where the file cannot be made, no controller is needed to say so.
void Session::begin_capture() {
  if (!options_.capture.empty())
    capture_ = std::make_shared<link::CaptureFile>(options_.capture, runtime_.clock());
}

void Session::begin_log() {
  link::SessionLog::Options log;
  log.file = options_.log_file;
  log.on_screen = options_.verbose;
  log.about = common_.about;
  try {
    log.folder = record::Folders::from_environment().state / "logs";
  } catch (const Fault&) {
    // Without a home there is none; whatever needs one says so.
  }
  log_ = std::make_shared<link::SessionLog>(log, runtime_.clock());
}

void Session::make_console() {
  if (bench_on_) console::stop_each_of(profile_, *bench_on_);
  have_motors_guarded(profile_);
  log_->event("profile", "text", console::profile_text(profile_));
  console_.reset();  // the port is held for one at a time
  auto console =
      std::make_unique<console::ProfileConsole>(*plug_, profile_, runtime_.clock(), runtime_.sentry());
  // Nothing is sent into its start-up: a key may stop it there. One that has answered is up.
  if (bench_on_ && std::exchange(just_plugged_in_, false) && answered_.empty()) console->hear_start_first();
  console_ = std::move(console);
}

Task<void> Session::find_fitting_profile(int motors) {
  while (true) {
    const std::optional<Fault> misfit = co_await session::misfit(*console_, motors);
    if (!misfit) co_return;
    person_->tell("profile-misfit", {{"profile", printable(profile_.name)}, {"why", misfit->sentence()}});
    misfits_.insert(options_.known->file);
    options_.speak_as(std::nullopt);
    co_await choose_profile();
    make_console();
  }
}

Task<void> Session::prepare_to_teach() {
  co_await meet_person();
  begin_capture();
  co_await choose_port();
  make_plug();
}

void Session::have_motors_guarded(const console::Profile& profile) {
  runtime_.guard().say(stop_speech(profile));
  const fs::path folder = record::Folders::from_environment().state;
  runtime_.guard().leave_word_in(link::guard_note_file(folder, ::getpid()));
}

console::Sentry& Session::watched_by(const console::Profile& profile) {
  have_motors_guarded(profile);
  return runtime_.sentry();
}

}  // namespace armwise::app
