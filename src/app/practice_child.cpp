#include "practice_child.hpp"

#include <sys/wait.h>
#include <unistd.h>

#include <csignal>
#include <cstdlib>
#include <random>
#include <string>

#include "armwise/base/fault.hpp"
#include "armwise/practice/mischief.hpp"
#include "armwise/practice/process.hpp"
#include "runtime.hpp"

namespace armwise::app {

namespace fs = std::filesystem;

PracticeChild::PracticeChild(const SessionOptions& options, const fs::path& profile) {
  // The child's own complaint would come too late.
  if (!options.mischief.empty()) practice::mischief_named(options.mischief, options.seed);
  std::string name = (fs::temp_directory_path() / "armwise-practice-XXXXXX").string();
  if (::mkdtemp(name.data()) == nullptr) {
    throw Fault(FaultKind::file, "A folder for the practice craft could not be made", name,
                "Make room there");
  }
  directory_ = name;
  practice::PracticeOptions practice;
  practice.directory = directory_;
  practice.profile = profile;
  practice.craft = options.practice_craft;
  practice.frame = options.practice_frame;
  practice.seed = options.seed != 0 ? options.seed : std::random_device{}();
  practice.baud = options.baud;
  practice.mischief = options.mischief;
  practice.end_with_parent = true;
  practice.say = [](const std::string&) {};
  process_ = ::fork();
  if (process_ == 0) {
    ::setsid();  // Ctrl-C at the terminal is for the tool; the craft ends with it
    int status = 1;
    try {
      status = practice::run_practice(practice);
    } catch (const Fault& fault) {
      say_fault(fault, nullptr);
    }
    // Also where a signal ended the tool, which then takes nothing down behind itself.
    std::error_code ignored;
    fs::remove_all(directory_, ignored);
    ::_exit(status);
  }
  ::setenv("ARMWISE_DEVICES", directory_.c_str(), 1);
}

PracticeChild::~PracticeChild() {
  if (process_ > 0) {
    ::kill(process_, SIGTERM);
    ::waitpid(process_, nullptr, 0);
  }
  std::error_code ignored;
  fs::remove_all(directory_, ignored);
}

}  // namespace armwise::app
