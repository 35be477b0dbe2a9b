#include "armwise/link/capture.hpp"

#include <fcntl.h>
#include <time.h>
#include <unistd.h>

#include <cerrno>
#include <nlohmann/json.hpp>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "capture_lines.hpp"
#include "line_settings.hpp"

namespace armwise::link {
namespace {

using nlohmann::json;

std::string utf8_of(std::string_view bytes) {
  std::string text;
  text.reserve(bytes.size());
  for (const char c : bytes) {
    const auto byte = static_cast<unsigned char>(c);
    if (byte < 0x80U) {
      text += c;
    } else {
      text += static_cast<char>(0xC0U | (byte >> 6U));
      text += static_cast<char>(0x80U | (byte & 0x3FU));
    }
  }
  return text;
}

}  // namespace

std::int64_t microseconds_now() {
  timespec now{};
  clock_gettime(CLOCK_MONOTONIC, &now);
  return now.tv_sec * std::int64_t{1'000'000} + now.tv_nsec / 1000;
}

std::string as_json(std::string_view utf8) {
  return json(std::string(utf8)).dump(-1, ' ', true, json::error_handler_t::replace);
}

std::string first_line(const std::string& date_and_time) {
  return "\"capture\":1,\"started\":" + as_json(date_and_time);
}

std::string bytes_line(std::int64_t started, const char* which_way, std::string_view bytes) {
  return "\"at\":" + std::to_string(microseconds_now() - started) + ",\"" + which_way +
         "\":" + as_json(utf8_of(bytes));
}

std::string event_line(std::int64_t started, const std::string& name, const std::string& key,
                       const std::string& value) {
  std::string line = "\"at\":" + std::to_string(microseconds_now() - started) + ",\"event\":" + as_json(name);
  if (!key.empty()) line += "," + as_json(key) + ":" + as_json(value);
  return line;
}

CaptureFile::CaptureFile(const std::filesystem::path& file, Clock& clock)
    : descriptor_(open(file.c_str(), O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC | O_NOCTTY, 0600)),
      file_(file),
      clock_(clock),
      started_(microseconds_now()) {
  if (descriptor_ < 0) {
    throw Fault(FaultKind::file, "The capture file " + file.string() + " could not be opened",
                error_text(errno), "Name another with --capture");
  }
  add(first_line(clock_.date_and_time()));
  if (!trouble_.empty()) {
    close(descriptor_);
    throw Fault(FaultKind::file, trouble_, "", "Name another with --capture");
  }
}

CaptureFile::~CaptureFile() {
  close(descriptor_);
}

void CaptureFile::add(const std::string& rest) {
  if (!trouble_.empty()) return;
  const std::string line = "{" + rest + "}\n";
  for (std::size_t written = 0; written < line.size();) {
    const ssize_t count = write(descriptor_, line.data() + written, line.size() - written);
    if (count < 0 && errno == EINTR) continue;
    if (count <= 0) {
      trouble_ = "The capture file " + file_.string() + " ends early: " + error_text(errno);
      return;
    }
    written += static_cast<std::size_t>(count);
  }
}

void CaptureFile::sent(std::string_view bytes) {
  add(bytes_line(started_, "sent", bytes));
}

void CaptureFile::came(std::string_view bytes) {
  add(bytes_line(started_, "came", bytes));
}

void CaptureFile::event(const std::string& name, const std::string& key, const std::string& value) {
  add(event_line(started_, name, key, value));
}

CapturingLine::CapturingLine(std::unique_ptr<console::Line> line, std::shared_ptr<Recorder> recorder)
    : line_(std::move(line)), recorder_(std::move(recorder)) {
  recorder_->event("opened", "port", line_->name());
}

Task<console::Received> CapturingLine::read(Duration within) {
  console::Received received = co_await line_->read(within);
  if (received.status == console::Received::Status::data) recorder_->came(received.bytes);
  if (received.status == console::Received::Status::closed) recorder_->event("closed", {}, {});
  co_return received;
}

Task<void> CapturingLine::write(std::string_view bytes, Duration within) {
  recorder_->sent(bytes);
  try {
    co_await line_->write(bytes, within);
  } catch (const Fault& fault) {
    recorder_->event("not sent", "why", fault.sentence());
    throw;
  }
}

void CapturingLine::remark(const std::string& what, const std::string& why) {
  recorder_->event(what, "why", why);
  line_->remark(what, why);
}

void CapturingLine::discard_input() {
  line_->discard_input();
  recorder_->event("discarded", {}, {});
}

CapturingPlug::CapturingPlug(std::unique_ptr<console::Plug> plug, std::shared_ptr<Recorder> recorder)
    : plug_(std::move(plug)), recorder_(std::move(recorder)) {}

std::unique_ptr<console::Line> CapturingPlug::captured(std::unique_ptr<console::Line> line) {
  return std::make_unique<CapturingLine>(std::move(line), recorder_);
}

Task<std::unique_ptr<console::Line>> CapturingPlug::open() {
  std::unique_ptr<console::Line> line = co_await plug_->open();
  co_return captured(std::move(line));
}

Task<std::unique_ptr<console::Line>> CapturingPlug::reopen(Duration within) {
  recorder_->event("waiting for its return", {}, {});
  std::unique_ptr<console::Line> line = co_await plug_->reopen(within);
  co_return captured(std::move(line));
}

}  // namespace armwise::link
