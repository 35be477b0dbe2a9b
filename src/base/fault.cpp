#include "armwise/base/fault.hpp"

#include <algorithm>
#include <utility>

namespace armwise {
namespace {

bool is_small_letter(char c) {
  return c >= 'a' && c <= 'z';
}

// A first word of small letters only gets its capital; what may be a name ("ttyACM0", "map.put:") keeps its
// own.
std::string as_sentence(std::string text) {
  if (text.empty()) return {};
  const auto word_end = std::find_if_not(text.begin(), text.end(), is_small_letter);
  const bool word =
      word_end != text.begin() && word_end != text.end() && (*word_end == ' ' || *word_end == ',');
  if (word && !text.starts_with("armwise ")) text.front() = static_cast<char>(text.front() - 'a' + 'A');
  const char last = text.back();
  return last == '.' || last == '?' || last == '!' ? text : text + ".";
}

}  // namespace

std::string_view name(FaultKind kind) {
  switch (kind) {
    case FaultKind::usage:
      return "usage";
    case FaultKind::port_missing:
      return "port-missing";
    case FaultKind::port_denied:
      return "port-denied";
    case FaultKind::port_busy:
      return "port-busy";
    case FaultKind::line_lost:
      return "line-lost";
    case FaultKind::no_reply:
      return "no-reply";
    case FaultKind::unreadable:
      return "unreadable";
    case FaultKind::refused:
      return "refused";
    case FaultKind::mismatch:
      return "mismatch";
    case FaultKind::not_back:
      return "not-back";
    case FaultKind::unsafe:
      return "unsafe";
    case FaultKind::left_changed:
      return "left-changed";
    case FaultKind::bad_profile:
      return "bad-profile";
    case FaultKind::bad_data:
      return "bad-data";
    case FaultKind::file:
      return "file";
    case FaultKind::internal:
      return "internal";
  }
  return "internal";
}

Fault::Fault(FaultKind kind, std::string what_happened, std::string why, std::string next)
    : kind_(kind), happened_(std::move(what_happened)), why_(std::move(why)), next_(std::move(next)) {
  sentence_ = as_sentence(happened_);
  for (const std::string* part : {&why_, &next_}) {
    if (!part->empty()) sentence_ += " " + as_sentence(*part);
  }
}

Fault Fault::within(std::string_view doing) const {
  return Fault(kind_, std::string(doing) + ": " + happened_, why_, next_).as(id_);
}

Fault Fault::as(std::string_view id) && {
  id_ = id;
  return std::move(*this);
}

std::string Fault::sentence() const {
  return sentence_;
}

std::optional<Fault> fault_in(const std::exception_ptr& trouble) {
  try {
    std::rethrow_exception(trouble);
  } catch (const Fault& fault) {
    return fault;
  } catch (...) {
    return std::nullopt;
  }
}

}  // namespace armwise
