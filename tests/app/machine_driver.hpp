// Somebody behind `--machine`: reads the program's lines, answers its questions by what can be seen turning.
#pragma once

#include <algorithm>
#include <functional>
#include <map>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <vector>

#include "app/program.hpp"

namespace armwise::test {

class MachineDriver {
 public:
  using Json = nlohmann::json;
  // What has turned since the last spin began, as [{"arm": …, "turn": …}].
  using Eyes = std::function<Json()>;

  explicit MachineDriver(Program& program) : program_(program) {}

  Eyes eyes;  // absent: what the practice craft shows
  // question id -> what is written instead, always
  std::map<std::string, Json> answers{{"arrow", {{"answer", "nose"}}}, {"side-up", {{"answer", "up"}}}};
  std::function<void(const Json&)> at_line;  // called with each line before it is answered
  std::vector<Json> lines;                   // all that came
  Json given = Json::object();               // what was answered, as a file of --answers has it

  // Answers until the program says no more; its last line.
  Json run() {
    while (const auto text = program_.line()) {
      Json line = Json::parse(*text, nullptr, false);
      if (line.is_discarded()) line = {{"type", "no JSON"}, {"text", *text}};
      lines.push_back(line);
      if (line.value("doing", "") == "spin") moving_ = Json::array();
      if (line.value("doing", "") == "practice") moving_ = line.at("moving");
      if (at_line) at_line(line);
      if (line.value("type", "") != "ask") continue;
      Json said = answer(line);
      program_.write(said.dump() + "\n");
      said.erase("id");
      given[line.at("id").get<std::string>()].push_back(said);
    }
    return lines.empty() ? Json() : lines.back();
  }

  int asked(const std::string& id) const {
    int count = 0;
    for (const Json& line : lines) {
      if (line.value("type", "") == "ask" && line.value("id", "") == id) ++count;
    }
    return count;
  }
  // By the id of what was said, with a value that holds `part`.
  bool said(const std::string& id, const std::string& part = {}) const {
    return std::any_of(lines.begin(), lines.end(), [&](const Json& line) {
      return line.value("type", "") != "ask" && line.value("id", "") == id &&
             line.dump().find(part) != std::string::npos;
    });
  }
  std::string all() const {
    std::string text;
    for (const Json& line : lines) text += line.dump() + "\n";
    return text;
  }

 private:
  Json answer(const Json& question) {
    const std::string id = question.at("id");
    Json own{{"id", id}};
    if (const auto prepared = answers.find(id); prepared != answers.end()) {
      own.update(prepared->second);
      return own;
    }
    const std::string kind = question.at("kind");
    if (kind == "spin" || id == "hand" || id == "strip") seen_ = eyes ? eyes() : moving_;
    const Json& seen = seen_;
    if (const std::string words = of_the_spin(question, seen); !words.empty()) {
      own["answer"] = words;
    } else if (kind == "spin") {
      if (seen.size() != 1) {
        own["seen"] = seen.empty() ? "none" : "several";
      } else {
        own["arm"] = seen[0].at("arm");
        own["turn"] = seen[0].at("turn");
      }
    } else if (kind == "typed-word") {
      own["answer"] = question.at("word");
    } else if (kind == "go") {
      own["answer"] = "spin";
    } else if (kind == "pose") {
      own["answer"] = "ready";
    } else if (kind == "text") {
      own["answer"] = "driven craft";
    } else if (kind == "choose") {
      own["answer"] = question.at("choices").at("answer").begin().key();
    } else {
      own["answer"] = "yes";
    }
    return own;
  }

  // What is asked of a spin in other words; empty: this question is not. Of a quad-x, whose arms lie on
  // either side of the nose: a bell that turns clockwise has its outer edge move to the nose on the left, to
  // the tail on the right.
  static std::string of_the_spin(const Json& question, const Json& seen) {
    const std::string id = question.at("id");
    if (id == "from-above") return "yes";
    if (seen.size() != 1) return id == "edge" || id == "lid" ? "unsure" : id == "strip" ? "still" : "";
    const std::string arm = seen[0].at("arm");
    const bool clockwise = seen[0].at("turn") == "cw", left = arm.find("left") != std::string::npos;
    if (id == "hand") return question.at("arm") == arm ? "yes" : "no";
    if (id == "strip" && question.at("arm") != arm) return "still";
    if (id == "edge" || id == "strip") return clockwise == left ? "nose" : "tail";
    if (id == "lid") return clockwise ? "closing" : "opening";
    if (id == "nose-half") return arm.starts_with("front") ? "yes" : "no";
    return {};
  }

  Program& program_;
  Json moving_ = Json::array(), seen_ = Json::array();
};

}  // namespace armwise::test
