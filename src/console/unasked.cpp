// What a console says unasked, beside what it answers: neither may be taken for the other.
#include "unasked.hpp"

#include <algorithm>

#include "armwise/base/text.hpp"

namespace armwise::console {
namespace {

// Every line of the profile's that answers something; those that say whether an order was taken stand apart.
struct KnownAnswers {
  std::vector<Template> to_orders, to_questions;

  void add(const std::optional<Template>& line) {
    if (line) to_orders.push_back(*line);
  }
  void add(const std::optional<Command>& command) {
    if (command) add(command->confirms);
  }
  void add(const Query& query) {
    to_questions.insert(to_questions.end(), query.lines.begin(), query.lines.end());
  }
  void add(const std::optional<Query>& query) {
    if (query) add(*query);
  }
};

KnownAnswers answers_of(const Profile& profile) {
  KnownAnswers all;
  for (const Template& refusal : profile.refusals) all.add(std::optional(refusal));
  all.add(profile.open.reply_end);
  if (profile.open.barrier) all.add(*profile.open.barrier);
  all.add(profile.identify);
  if (profile.map) {
    all.add(profile.map->list);
    all.add(profile.map->put);
    all.add(profile.map->free);
  }
  if (profile.props) {
    all.add(profile.props->read);
    all.add(profile.props->set);
  }
  if (profile.turn) {
    all.add(profile.turn->read);
    all.add(profile.turn->set);
  }
  if (const auto& mount = profile.mount) {
    all.add(mount->read);
    for (const auto* set : {&mount->set, &mount->set_yaw, &mount->set_pitch, &mount->set_roll}) all.add(*set);
  }
  if (profile.spin) {
    all.add(profile.spin->spin.confirms);
    all.add(profile.spin->stop_all.confirms);
    all.add(profile.spin->stop);
  }
  if (profile.sense) all.add(profile.sense->read);
  if (profile.keep) {
    all.add(profile.keep->keep.confirms);
    all.add(profile.keep->restart);
  }
  return all;
}

bool is_of_letters(const Piece& piece) {
  return piece.type != BlankType::digits && piece.type != BlankType::whole &&
         piece.type != BlankType::decimal && piece.type != BlankType::comma;
}

// With the same number in each blank of numbers.
std::string example_of(const Template& line, const std::string& number) {
  std::string text;
  for (const Piece& piece : line.pieces())
    text += !piece.blank                                              ? piece.text
            : is_of_letters(piece) && piece.type != BlankType::number ? "x"
                                                                      : number;
  return text;
}

// Numbers are alike, whatever they are.
std::string without_numbers(std::string_view text) {
  std::string without;
  for (const char c : lower_case(text)) {
    if (!is_digit(c) || !without.ends_with('0')) without += is_digit(c) ? '0' : c;
  }
  return without;
}

}  // namespace

std::optional<Template> answer_hidden_by(const Template& unasked, const Profile& profile) {
  const KnownAnswers answers = answers_of(profile);
  const auto reads_it = [&](const Template& answer) {
    return unasked.match(example_of(answer, "1")).has_value();
  };
  for (const Template& answer : answers.to_orders) {
    if (reads_it(answer) || answer.match(example_of(unasked, "1"))) return answer;
  }
  const auto hidden = std::find_if(answers.to_questions.begin(), answers.to_questions.end(), reads_it);
  return hidden == answers.to_questions.end() ? std::nullopt : std::optional(*hidden);
}

bool may_be_said_unasked(std::string_view words, const Open& open) {
  const std::string wanted = without_numbers(words);
  return std::any_of(open.unasked.begin(), open.unasked.end(), [&](const Template& unasked) {
    const bool any_text = std::any_of(unasked.pieces().begin(), unasked.pieces().end(),
                                      [](const Piece& piece) { return piece.blank && is_of_letters(piece); });
    return any_text || without_numbers(example_of(unasked, "0")).find(wanted) != std::string::npos;
  });
}

}  // namespace armwise::console
