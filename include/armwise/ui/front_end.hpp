// Which front end a session gets: from the options and from what surrounds the process.
#pragma once

#include <filesystem>
#include <memory>

#include "armwise/base/clock.hpp"
#include "armwise/base/task_fwd.hpp"
#include "armwise/session/person.hpp"
#include "armwise/ui/line_person.hpp"
#include "armwise/ui/onlooker.hpp"
#include "armwise/ui/style.hpp"

namespace armwise::ui {

struct UiOptions {
  bool machine = false;  // --machine
  bool plain = false;    // --plain
  bool ascii = false;    // pictures in seven-bit characters
  bool yes = false;      // --yes: questions about settings only
  ColourChoice colour = ColourChoice::automatic;
  std::filesystem::path answers_file;  // --answers; empty: none
  std::filesystem::path keys_file;     // letters learned; empty: for one sitting only
  Onlooker onlooker;                   // practice only
};

enum class FrontEnd {
  terminal,
  plain,    // lines out, lines in
  machine,  // JSON out, JSON in
  mute      // lines out; no question is asked, since nobody asked for questions and no terminal is there
};

// --machine, then --plain or ACCESSIBLE (not empty, not 0), then a terminal on both sides that is not dumb;
// a terminal to read from but not to write to gives plain, with the prompts on stderr.
FrontEnd front_end_for(const UiOptions& options, const Surroundings& around);

// Whether that front end draws on the whole screen, which is given back at the end.
bool takes_the_screen(const UiOptions& options, const Surroundings& around);

// Where a plain or machine front end reads and writes: prompts never go into a pipe while a terminal is
// there to answer.
Streams streams_for(const Surroundings& around);

// `clock` outlives the person. Throws Fault(file) and Fault(bad_data) for an answers file, Fault(file)
// for a terminal that cannot be read.
std::unique_ptr<session::Person> make_person(const boost::asio::any_io_executor& executor, Clock& clock,
                                             const UiOptions& options, const Surroundings& around);

}  // namespace armwise::ui
