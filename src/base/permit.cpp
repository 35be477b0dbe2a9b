#include "armwise/base/permit.hpp"

#include <algorithm>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"

namespace armwise {
namespace {

void require_all_of(const std::vector<std::string>& lines, const std::vector<std::string>& agreed) {
  for (const std::string& line : lines) {
    if (std::find(agreed.begin(), agreed.end(), line) == agreed.end())
      throw Fault(FaultKind::internal, "\"" + printable(line) + "\" was not agreed to, so it was not sent");
  }
}

}  // namespace

void require_agreed(const WritePermit& permit, const std::vector<std::string>& lines) {
  require_all_of(lines, permit.lines());
}

void require_agreed(const MayWrite& permit, const std::vector<std::string>& lines) {
  if (const auto* agreed = std::get_if<WritePermit>(&permit)) require_all_of(lines, agreed->lines());
}

void require_agreed(const MayPlay& permit, const std::vector<std::string>& lines) {
  if (const auto* agreed = std::get_if<PlayPermit>(&permit)) require_all_of(lines, agreed->lines());
}

}  // namespace armwise
