// A controller that answers rightly until the fuzzer's bytes take the place of one of its answers.
#pragma once

#include <map>
#include <memory>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "armwise/console/conversation.hpp"
#include "armwise/console/profile.hpp"
#include "console/hand_controllers.hpp"

namespace armwise::fuzz {

// One command in, the answer's lines out, as a controller of this dialect without a fault gives them.
class RightAnswers {
 public:
  virtual ~RightAnswers() = default;
  virtual std::string answer(const std::string& command) = 0;
  virtual std::string prompt() const = 0;
};

template <typename Controller>
class ByHand : public RightAnswers {
 public:
  explicit ByHand(std::string prompt) : prompt_(std::move(prompt)) {}
  std::string answer(const std::string& command) override { return controller_.answer(command); }
  std::string prompt() const override {
    if constexpr (requires { controller_.at; }) return controller_.at;
    return prompt_;
  }

 private:
  Controller controller_;
  std::string prompt_;
};

// Letters and commas, as the profile moor speaks.
class Moor {
 public:
  std::string answer(const std::string& command) {
    static const std::map<std::string, std::string> known{{"WL", "+WL 1:P1 2:P2 3:P3 4:P4"},
                                                          {"TL", "+TL 1:F 2:F 3:B 4:B"},
                                                          {"PD", "+PD IN"},
                                                          {"OR", "+OR 0"},
                                                          {"RA", "+RA\r\nlamp 1\r\nhum 2"},
                                                          {"ID", "+ID heath moorware 4.1 77"},
                                                          {"AC", "+AC 1 2 -999"},
                                                          {"ST", "+ST ALL"},
                                                          {"SV", "+SV"}};
    if (known.contains(command)) return known.at(command) + "\n";
    std::vector<std::string> part(1);
    for (const char c : command) {
      if (c == ',') {
        part.emplace_back();
      } else {
        part.back() += c;
      }
    }
    if (part[0] == "EC" && part.size() == 2) return "+EC " + part[1] + "\n";
    if (part[0] == "SP" && part.size() == 4) return "+SP " + part[1] + " " + part[2] + "\n";
    if (part.size() == 2) return "+" + part[0] + " " + part[1] + "\n";
    if (part.size() == 3) return "+" + part[0] + " " + part[1] + ":" + part[2] + "\n";
    return "-ERR what\n";
  }
};

inline std::unique_ptr<RightAnswers> right_answers_of(const console::Profile& profile) {
  const std::string& prompt = profile.open.prompt;
  if (profile.name == "tarn") return std::make_unique<ByHand<test::Tarn>>(prompt);
  if (profile.name == "fell") return std::make_unique<ByHand<test::Fell>>(prompt);
  if (profile.name == "sedge") return std::make_unique<ByHand<test::Sedge>>(prompt);
  if (profile.name == "brook") return std::make_unique<ByHand<test::Brook>>(prompt);
  return std::make_unique<ByHand<Moor>>(prompt);
}

// The fuzzer's script: answers with 0xFF between them, each in the place of one right answer; an empty one
// leaves it as it is. In an answer stands
//   0x01  what was sent            0x04  the next byte as it stands
//   0x02  its last word            0x05  the line goes away after this answer
//   0x03  the prompt               0x06  the right answer, echo and prompt included
class FaultyController {
 public:
  FaultyController(const console::Profile& profile, std::string_view script)
      : profile_(profile), right_(right_answers_of(profile)) {
    answers_.emplace_back();
    for (const char c : script) {
      if (c == '\xFF') {
        answers_.emplace_back();
      } else {
        answers_.back() += c;
      }
    }
  }

  bool line_goes_away = false;

  std::string receive(std::string_view bytes) {
    typed_ += bytes;
    const std::string_view end = console::line_end_of(profile_);
    std::string out;
    for (std::size_t at = typed_.find(end); at != std::string::npos; at = typed_.find(end)) {
      const std::string command = typed_.substr(0, at);
      typed_.erase(0, at + end.size());
      out += next_answer(command);
    }
    return out;
  }
  bool script_is_over() const { return next_ >= answers_.size(); }
  const std::string& last_answer() const { return answers_.back(); }

 private:
  std::string next_answer(const std::string& command) {
    if (next_ >= answers_.size()) return right_answer(command);
    const std::string& scripted = answers_[next_++];
    return scripted.empty() ? right_answer(command) : played(scripted, command);
  }

  std::string right_answer(const std::string& command) {
    const bool echoes = profile_.open.echo.value_or(true);
    std::string out = echoes ? command + "\r\n" : "";
    try {
      for (const char c : right_->answer(command)) out += c == '\n' ? std::string("\r\n") : std::string(1, c);
    } catch (const std::exception&) {
      out += "what?\r\n";  // no number where one should stand
    }
    return out + right_->prompt();
  }

  std::string played(const std::string& scripted, const std::string& command) {
    std::string out;
    for (std::size_t i = 0; i < scripted.size(); ++i) {
      switch (scripted[i]) {
        case '\x01':
          out += command;
          break;
        case '\x02':
          out += command.substr(command.find_last_of(" .,") + 1);
          break;
        case '\x03':
          out += profile_.open.prompt;
          break;
        case '\x04':
          if (++i < scripted.size()) out += scripted[i];
          break;
        case '\x05':
          line_goes_away = true;
          break;
        case '\x06':
          out += right_answer(command);
          break;
        default:
          out += scripted[i];
      }
    }
    return out;
  }

  const console::Profile& profile_;
  std::unique_ptr<RightAnswers> right_;
  std::vector<std::string> answers_;
  std::size_t next_ = 0;
  std::string typed_;
};

}  // namespace armwise::fuzz
