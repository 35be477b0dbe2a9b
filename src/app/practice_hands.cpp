#include "practice_hands.hpp"

namespace armwise::app {

void PracticeHands::tell(const session::Statement& statement) {
  if (statement.kind == session::Statement::Kind::plan && statement.plan != nullptr &&
      !statement.views.empty()) {
    to_reverse_.clear();
    for (const solve::HandWork& work : statement.plan->by_hand) {
      to_reverse_.push_back(statement.views.front().frame->places.at(work.place).name);
    }
  }
  player_->tell(statement);
}

Task<session::Answer> PracticeHands::ask(const session::Question& question) {
  session::Question put_so = question;
  if (question.id == "pose") {
    // Whoever practises has no craft to hold, and wants to read first: it is held so once they say so.
    put_so.look = nullptr;
    put_so.text += " (Practice: done for you once you answer.)";
  }
  const session::Answer answer = co_await player_->ask(put_so);
  const auto* said = std::get_if<std::string>(&answer);
  if (said == nullptr) co_return answer;
  if (question.kind == session::Question::Kind::pose) co_await sight_.hold(question.pose);
  if (question.id == "restart" && *said == "yes") co_await sight_.replug();
  if (question.id == "by-hand" && *said == "yes") {
    for (const std::string& place : to_reverse_) co_await sight_.reverse(place);
    to_reverse_.clear();
  }
  co_return answer;
}

}  // namespace armwise::app
