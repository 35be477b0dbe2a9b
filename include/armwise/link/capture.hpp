// Every byte both ways, with times, in a file (`--capture FILE`).
//
// The file is lines of JSON, each written as it happens:
//   {"capture":1,"started":"2026-11-25T07:10:00+01:00"}          first, and again for each further session
//   {"at":1234567,"event":"opened","port":"/dev/ttyACM0"}        `at`: microseconds since `started`
//   {"at":1234890,"sent":"map list\r\n"}                         written before it is sent
//   {"at":1236000,"came":"motor 1 on A\r\n\u00ff"}               as soon as it is read
//   {"at":1237000,"event":"not sent","why":"..."}                what was written last failed on its way
//   {"at":1240000,"event":"discarded"} / "closed"                input thrown away; the far side is gone
//   {"at":1241000,"event":"waited …","why":"..."}                 what was waited for, and why that ended
// Bytes stand as the characters U+0000 to U+00FF (Latin-1), all but plain ASCII escaped, so nothing is lost.
// What the guard process says when the tool is dead is not in it.
#pragma once

#include <cstdint>
#include <filesystem>
#include <memory>
#include <string>
#include <string_view>

#include "armwise/base/clock.hpp"
#include "armwise/console/line.hpp"

namespace armwise::link {

// Is told what goes over a line, as it happens.
class Recorder {
 public:
  virtual ~Recorder() = default;
  virtual void sent(std::string_view bytes) = 0;  // before it is sent
  virtual void came(std::string_view bytes) = 0;
  virtual void event(const std::string& name, const std::string& key, const std::string& value) = 0;
};

class CaptureFile : public Recorder {
 public:
  // Appends to what is there. `clock` outlives it. Throws Fault(file).
  CaptureFile(const std::filesystem::path& file, Clock& clock);
  ~CaptureFile() override;
  CaptureFile(const CaptureFile&) = delete;
  CaptureFile& operator=(const CaptureFile&) = delete;

  void sent(std::string_view bytes) override;
  void came(std::string_view bytes) override;
  void event(const std::string& name, const std::string& key, const std::string& value) override;

  // Why it stopped recording, for the person (a full disk); empty otherwise. Never thrown: a stop must go out
  // whether or not it can be recorded.
  const std::string& trouble() const { return trouble_; }

 private:
  void add(const std::string& rest);

  int descriptor_ = -1;
  std::filesystem::path file_;
  Clock& clock_;
  std::int64_t started_ = 0;
  std::string trouble_;
};

class CapturingLine : public console::Line {
 public:
  CapturingLine(std::unique_ptr<console::Line> line, std::shared_ptr<Recorder> recorder);

  Task<console::Received> read(Duration within) override;
  Task<void> write(std::string_view bytes, Duration within) override;
  void discard_input() override;
  void remark(const std::string& what, const std::string& why) override;
  std::string name() const override { return line_->name(); }

 private:
  std::unique_ptr<console::Line> line_;
  std::shared_ptr<Recorder> recorder_;
};

// Wraps each line that the other plug opens; one recorder for them all.
class CapturingPlug : public console::Plug {
 public:
  CapturingPlug(std::unique_ptr<console::Plug> plug, std::shared_ptr<Recorder> recorder);

  Task<std::unique_ptr<console::Line>> open() override;
  Task<std::unique_ptr<console::Line>> reopen(Duration within) override;
  std::string renamed() const override { return plug_->renamed(); }
  std::string identity() const override { return plug_->identity(); }

 private:
  std::unique_ptr<console::Line> captured(std::unique_ptr<console::Line> line);

  std::unique_ptr<console::Plug> plug_;
  std::shared_ptr<Recorder> recorder_;
};

}  // namespace armwise::link
