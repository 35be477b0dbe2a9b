// Replays a conversation that was written down, strictly: what is sent otherwise fails the test, and says
// what was expected beside what was sent. The format is described in fixtures/conversations/README.md.
#pragma once

#include <fstream>
#include <nlohmann/json.hpp>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

#include "support/scripted_line.hpp"

namespace armwise::test {

class Replay : public FarSide {
 public:
  explicit Replay(const std::string& path) {
    std::ifstream file(path);
    if (!file) throw std::runtime_error("cannot read " + path);
    script_ = nlohmann::json::parse(file);
  }

  const nlohmann::json& script() const { return script_; }
  bool is_over() const { return at_ == script_["talk"].size() && sent_.empty(); }

  std::vector<Chunk> receive(std::string_view bytes) override {
    sent_ += bytes;
    if (at_ == script_["talk"].size()) fail("nothing");
    const nlohmann::json& turn = script_["talk"][at_];
    const auto expected = turn["sent"].get<std::string>();
    const auto blank = expected.find(placeholder);
    if (blank == std::string::npos) {
      if (sent_ != expected) return wait_or_fail(expected);
    } else if (!sent_.starts_with(expected.substr(0, blank)) ||
               !sent_.ends_with(expected.substr(blank + 6))) {
      return wait_or_fail(expected);
    } else {
      word_ = sent_.substr(blank, sent_.size() - (expected.size() - placeholder.size()));
    }
    sent_.clear();
    ++at_;
    std::vector<Chunk> answers;
    for (const auto& came : turn["came"]) answers.push_back(chunk(came));
    return answers;
  }

 private:
  static constexpr std::string_view placeholder = "{word}";

  // Half a line may still become the one expected.
  std::vector<Chunk> wait_or_fail(const std::string& expected) {
    if (sent_.ends_with('\n') || sent_.ends_with('\r')) fail(expected);
    return {};
  }
  [[noreturn]] void fail(const std::string& expected) const {
    throw std::logic_error("expected to be sent: " + nlohmann::json(expected).dump() + ", but it was " +
                           nlohmann::json(sent_).dump());
  }
  Chunk chunk(const nlohmann::json& came) const {
    Chunk made;
    const bool is_late = came.is_object();
    if (is_late) made.after = Duration(came["after_ms"].get<int>());
    made.bytes = (is_late ? came["text"] : came).get<std::string>();
    for (auto at = made.bytes.find(placeholder); at != std::string::npos; at = made.bytes.find(placeholder)) {
      made.bytes.replace(at, placeholder.size(), word_);
    }
    return made;
  }

  nlohmann::json script_;
  std::size_t at_ = 0;
  std::string sent_, word_;
};

}  // namespace armwise::test
