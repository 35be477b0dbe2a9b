#include "practised_craft.hpp"

#include <cstdlib>
#include <utility>

#include "armwise/base/task.hpp"
#include "armwise/practice/mischief.hpp"
#include "armwise/session/bench.hpp"
#include "profiles_at_hand.hpp"

namespace armwise::app {
namespace {

constexpr const char* practice_profile = "tarn";
constexpr Duration practice_is_there_within{10000};

// What the practice craft speaks: what was asked for, or else what the tool will speak with it.
std::filesystem::path practice_console(const SessionOptions& options) {
  if (!options.practice.console.empty()) return find_profile_file(options.practice.console);
  return find_profile_file(options.profile.empty() ? practice_profile : options.profile);
}

}  // namespace

PractisedCraft::PractisedCraft(const SessionOptions& options, std::unique_ptr<PracticeChild> child,
                               PracticePlace place)
    : options_(options.practice), child_(std::move(child)), place_(std::move(place)) {
  ::setenv("ARMWISE_DEVICES", place_.directory.c_str(), 1);
}

std::unique_ptr<PractisedCraft> PractisedCraft::of(const SessionOptions& options) {
  std::unique_ptr<PracticeChild> child;
  if (options.practice.wanted)
    child = std::make_unique<PracticeChild>(options.practice, practice_console(options));
  if (!child && !options.practice.left_behind) return nullptr;
  PracticePlace place = options.practice.left_behind ? craft_left_behind() : child->place();
  return std::unique_ptr<PractisedCraft>(new PractisedCraft(options, std::move(child), std::move(place)));
}

std::string PractisedCraft::profile() const {
  if (!options_.console.empty()) return {};
  return options_.left_behind ? place_.profile : practice_profile;
}

Task<void> PractisedCraft::ask_for_frame(session::Person& person) {
  std::string frame = "quad-x";
  if (options_.asks_frame && !options_.play) {
    session::Question question = session::frame_question("Which frame do you want to practise on?");
    question.may_go_back = false;
    const session::Answer answer = co_await person.ask(question);
    frame = frame_ = std::get<std::string>(answer);
  }
  child_->become(frame);
}

Task<std::unique_ptr<practice::Onlooker>> PractisedCraft::meet() {
  std::unique_ptr<practice::Onlooker> onlooker =
      co_await practice::Onlooker::connect(place_.socket(), practice_is_there_within);
  onlooker_ = onlooker.get();
  co_return onlooker;
}

std::optional<ui::Scene> PractisedCraft::scene() const {
  if (onlooker_ == nullptr) return std::nullopt;
  ui::Scene scene{craft::frame_named(onlooker_->frame()), {}};
  if (scene.frame == nullptr) return std::nullopt;
  for (const practice::Turning& turning : onlooker_->turning()) {
    if (const auto place = scene.frame->find(turning.place)) scene.moving.push_back({*place, turning.turn});
  }
  if (scene.moving.empty()) return std::nullopt;
  return scene;
}

void PractisedCraft::tell_mischief(session::Person& person) const {
  const std::string struck = onlooker_ == nullptr ? std::string() : onlooker_->mischief();
  const practice::MischiefKind* kind = practice::mischief_kind(struck.empty() ? options_.mischief : struck);
  if (kind == nullptr) return;
  const practice::MischiefStory story = practice::story_of(*kind);
  const session::Facts facts{{"what", std::string(story.what)},
                             {"notice", std::string(story.notice)},
                             {"answer", std::string(story.answer)}};
  person.tell(struck.empty() ? session::StatementId("mischief-missed") : session::StatementId("mischief"),
              facts);
}

std::string PractisedCraft::reached_by() const {
  std::string options = " --practice";
  if (!options_.console.empty()) options += " --practice-console " + options_.console;
  if (!options_.craft.empty()) return options + " --practice-craft " + options_.craft;
  return child_ ? options + " --seed " + std::to_string(child_->seed()) : options;
}

Task<Fault> PractisedCraft::story_of(Fault fault) {
  const bool left = fault.kind() == FaultKind::left_changed || fault.kind() == FaultKind::not_back;
  if (!child_ || !left || onlooker_ == nullptr || !onlooker_->connected()) co_return fault;
  const std::string wish = R"({"stay":true})";
  const std::string answer = co_await onlooker_->request(wish);
  child_->leave_behind();
  Fault story(fault.kind(), fault.happened(), fault.why(),
              "The practice craft is plugged in again and waits. Type armwise recover --practice");
  co_return fault.id().empty() ? story : std::move(story).as(fault.id());
}

}  // namespace armwise::app
