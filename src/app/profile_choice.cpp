#include "profile_choice.hpp"

#include <algorithm>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"

namespace armwise::app {

namespace fs = std::filesystem;

// Profiles of the person's own first, where the console answers to one; the only one that it does, Enter
// takes.
Task<void> ProfileChoice::ask(session::Person& person, console::Plug& plug, Clock& clock,
                              console::Sentry& sentry) {
  std::vector<ProfileAtHand> at_hand = profiles_at_hand();
  std::erase_if(at_hand, [this](const ProfileAtHand& one) { return misfits_.contains(one.file); });
  const SayFirst say = [&person](session::StatementId id, session::Facts facts) {
    person.tell(id, std::move(facts));
  };
  answered_ = co_await profiles_answered_to(plug, clock, sentry, at_hand, say);
  session::Question question;
  question.id = "profile";
  question.kind = session::Question::Kind::choose;
  question.text = "Which console profile fits this controller? (armwise teach makes one)";
  question.may_go_back = false;
  for (const AnswersTo& match : answered_) {
    question.choices.push_back({match.file.stem().string(), "the console answers to it: " + match.words});
  }
  if (answered_.size() == 1) question.marked = question.choices.front().key;
  for (const fs::path& file : profile_files()) {
    const bool offered = std::any_of(answered_.begin(), answered_.end(),
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
  while (!std::holds_alternative<std::string>(answer)) answer = co_await person.ask(question);
  named_ = std::get<std::string>(answer);
  const auto chosen = std::find_if(at_hand.begin(), at_hand.end(),
                                   [&](const ProfileAtHand& one) { return one.file.stem() == named_; });
  known_ = chosen != at_hand.end() ? std::move(*chosen) : find_profile(named_);
}

void ProfileChoice::read() {
  if (!known_) known_ = find_profile(named_);
}

bool ProfileChoice::was_answered() const {
  return std::any_of(answered_.begin(), answered_.end(),
                     [&](const AnswersTo& match) { return match.file == known_->file; });
}

void ProfileChoice::take_back() {
  named_.clear();
  known_.reset();
}

void ProfileChoice::take_back_misfit() {
  misfits_.insert(known_->file);
  take_back();
}

}  // namespace armwise::app
