#include "terminal.hpp"

#include <sys/ioctl.h>
#include <termios.h>

#include <algorithm>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"

namespace armwise::ui {
namespace {

// A lone ESC is one when nothing followed for so long.
constexpr Duration escape_patience{50};

// Without its last character.
void take_back(std::string& text) {
  while (!text.empty() && (static_cast<unsigned char>(text.back()) & 0xC0U) == 0x80U) text.pop_back();
  if (!text.empty()) text.pop_back();
}

}  // namespace

Terminal::Terminal(const boost::asio::any_io_executor& executor, int descriptor, Style style)
    : input_(executor, own_descriptor(descriptor)),
      output_(sink_to(input_.descriptor())),
      modes_(input_.descriptor()),
      style_(style) {}

Terminal::~Terminal() = default;

const Style& Terminal::style() {
  winsize size{};
  if (ioctl(descriptor(), TIOCGWINSZ, &size) == 0 && size.ws_col > 0)
    style_.columns = std::max<int>(size.ws_col, narrowest);
  style_.rows = size.ws_row > 0 ? size.ws_row : 24;
  return style_;
}

void Terminal::write(std::string_view text) {
  if (!output_(text)) gone_ = true;
}

void Terminal::overwrite(std::string_view text) {
  std::string cut(text);
  // One column stays free: a full line would wrap, and could not be written over any more.
  while (columns_of(cut) >= style().columns) take_back(cut);
  write("\r" + padded(cut, written_));
  written_ = columns_of(cut);
}

void Terminal::finish_line() {
  write("\n");
  written_ = 0;
}

void Terminal::forget_keys() {
  tcflush(descriptor(), TCIFLUSH);
  decoder_ = KeyDecoder{};
  keys_.clear();
}

Task<std::optional<Key>> Terminal::key_within(std::optional<Duration> within) {
  while (keys_.empty()) {
    if (gone_) throw StoppedByPerson(StoppedByPerson::How::end_of_input);
    const bool half_a_key = decoder_.waiting();
    std::optional<Duration> patience = within;
    if (half_a_key) patience = escape_patience;
    const DescriptorInput::Got got = co_await input_.read(patience);
    std::vector<Key> more;
    if (got.status == DescriptorInput::Got::Status::bytes) more = decoder_.feed(got.bytes);
    if (got.status == DescriptorInput::Got::Status::end) gone_ = true;
    if (got.status == DescriptorInput::Got::Status::quiet) {
      if (!half_a_key) co_return std::nullopt;
      more = decoder_.flush();
    }
    keys_.insert(keys_.end(), more.begin(), more.end());
  }
  const Key key = keys_.front();
  keys_.pop_front();
  if (key.kind == Key::Kind::interrupt) throw StoppedByPerson(StoppedByPerson::How::interrupted);
  if (key.kind == Key::Kind::end_of_input) throw StoppedByPerson(StoppedByPerson::How::end_of_input);
  co_return key;
}

Task<bool> Terminal::has_key() {
  const std::optional<Key> key = co_await key_within(Duration{0});
  if (key) keys_.push_front(*key);
  co_return key.has_value();
}

Task<bool> Terminal::was_alone() {
  bool alone = true;
  while (true) {
    const std::optional<Key> more = co_await key_within(faster_than_a_hand);
    if (!more) break;
    alone = false;
  }
  co_return alone;
}

}  // namespace armwise::ui
