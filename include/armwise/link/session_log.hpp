// What a session did, for whoever looks for what went wrong (`-v`, `--log-file FILE`, and the last logs in
// the state folder): the bytes both ways, what was asked, answered and said, what was waited for and why the
// wait ended.
//
// The file is a capture (capture.hpp) with more events in it, so whatever reads or plays a capture does so
// with a log:
//   {"at":1240000,"event":"waited","why":"..."}        and so on; the first names the version and what was
//   typed
// A log never gets in the way: what cannot be written is left out, and nothing is thrown but by the
// constructor.
#pragma once

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <memory>
#include <string>
#include <string_view>

#include "armwise/base/clock.hpp"
#include "armwise/link/capture.hpp"

namespace armwise::link {

class SessionLog : public Recorder {
 public:
  struct Options {
    std::filesystem::path file;  // appended to; empty: a new one in `folder`, of which the last 20 are kept
    std::filesystem::path folder;
    bool on_screen = false;  // on the error stream, too, for people
    std::string about;       // the version and the command line
  };
  // Throws Fault(file) where `file` was named and cannot be written. `clock` outlives it.
  SessionLog(const Options& options, Clock& clock);
  ~SessionLog() override;
  SessionLog(const SessionLog&) = delete;
  SessionLog& operator=(const SessionLog&) = delete;

  void sent(std::string_view bytes) override;
  void came(std::string_view bytes) override;
  void event(const std::string& name, const std::string& key, const std::string& value) override;

 private:
  struct Sinks;
  std::unique_ptr<Sinks> sinks_;
};

}  // namespace armwise::link
