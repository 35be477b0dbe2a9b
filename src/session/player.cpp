#include "player.hpp"

#include <map>
#include <optional>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/console/playback.hpp"
#include "armwise/console/whole_configuration.hpp"
#include "words.hpp"

namespace armwise::session {
namespace {

constexpr std::size_t lines_between_words = 50;

}  // namespace

std::vector<std::string> lines_missing(const std::vector<std::string>& wanted,
                                       const std::vector<std::string>& now) {
  std::map<std::string, int> there;
  for (const std::string& line : now) ++there[line];
  std::vector<std::string> missing;
  for (const std::string& line : wanted) {
    if (--there[line] < 0) missing.push_back(line);
  }
  return missing;
}

Player::Sorted Player::sort(const std::vector<std::string>& saved) const {
  Sorted sorted;
  for (const std::string& line : saved) {
    if (trimmed(line).empty()) continue;
    std::string why = console::why_left_out(console_.profile(), line);
    if (why.empty()) {
      sorted.to_send.push_back(line);
    } else {
      sorted.left_out.push_back({line, std::move(why)});
    }
  }
  return sorted;
}

Task<std::vector<Player::Line>> Player::play(const std::vector<std::string>& to_send, const MayPlay& permit) {
  std::vector<Line> refused;
  for (std::size_t i = 0; i < to_send.size(); ++i) {
    std::optional<Fault> trouble;
    try {
      co_await console_.play(to_send[i], permit);
    } catch (const Fault& fault) {
      if (fault.kind() != FaultKind::refused) throw;
      trouble = fault;
    }
    if (trouble)
      refused.push_back({to_send[i], trouble->why().empty() ? trouble->happened() : trouble->why()});
    if ((i + 1) % lines_between_words != 0 && i + 1 != to_send.size()) continue;
    Statement progress = statement_of("playing", {}, Statement::Kind::progress);
    progress.step = static_cast<int>(i + 1);
    progress.of = static_cast<int>(to_send.size());
    person_.tell(progress);
  }
  co_return refused;
}

Task<void> Player::play_before(const std::vector<std::string>& before, const MayPlay& permit) {
  const std::string changed = co_await console_.whole_configuration();
  const Sorted sorted = sort(lines_missing(before, console::configuration_lines(changed)));
  co_await play(sorted.to_send, permit);
  const std::string now = co_await console_.whole_configuration();
  const std::vector<std::string> missing = lines_missing(before, console::configuration_lines(now));
  if (missing.empty()) co_return;
  throw Fault(FaultKind::left_changed,
              words::count(missing.size(), "line", "lines") +
                  " of the configuration could not be set back to what it was before",
              joined(missing, "; "),
              "None of it is saved: unplug battery and USB for a moment, and it is forgotten");
}

}  // namespace armwise::session
