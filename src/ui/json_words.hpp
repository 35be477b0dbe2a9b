// Questions, answers and statements as JSON, for the machine front end and for files of answers.
#pragma once

#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>

#include "armwise/session/person.hpp"
#include "armwise/ui/reading.hpp"

namespace armwise::ui {

nlohmann::ordered_json ask_object(const session::Question& question);
nlohmann::ordered_json statement_object(const session::Statement& statement);

// One line, whatever the strings hold: they are made printable first.
std::string one_line(const nlohmann::ordered_json& object);

// The text as a JSON value; absent with `why` set where it is none, or is nested deeper than an answer is.
std::optional<nlohmann::json> parsed(std::string_view text, std::string& why);

// The machine's forms: {"answer":"yes"}, {"arm":"rear-left","turn":"cw"},
// {"arm":"rear-left","flicked":"nose"},
// {"seen":"none|several|again|stop"}. Keys that are not known are ignored.
Reading read_object(const session::Question& question, const nlohmann::json& object);
// The same, or a string of words.
Reading read_value(const session::Question& question, const nlohmann::json& value);

}  // namespace armwise::ui
