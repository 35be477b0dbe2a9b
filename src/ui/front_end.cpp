#include "armwise/ui/front_end.hpp"

#include <unistd.h>

#include <utility>

#include "armwise/ui/answers_person.hpp"
#include "armwise/ui/machine_person.hpp"
#include "armwise/ui/terminal_person.hpp"

namespace armwise::ui {
namespace {

using session::Person;

bool is_dumb(const Surroundings& around) {
  const std::string terminal = around.variable("TERM");
  return terminal.empty() || terminal == "dumb";
}

bool wants_lines(const UiOptions& options, const Surroundings& around) {
  const std::string accessible = around.variable("ACCESSIBLE");
  return options.plain || (!accessible.empty() && accessible != "0");
}

std::unique_ptr<Person> terminal_person(const boost::asio::any_io_executor& executor,
                                        const UiOptions& options, const Surroundings& around) {
  TerminalOptions terminal;
  terminal.style = style_for(options.colour, around, around.output_is_terminal, options.ascii);
  terminal.keys_file = options.keys_file;
  terminal.onlooker = options.onlooker;
  return std::make_unique<TerminalPerson>(executor, STDIN_FILENO, std::move(terminal));
}

// Lines have no colour but where it is asked for: they go to a screen reader, a pipe or a file.
Style line_style(const UiOptions& options, const Surroundings& around) {
  return style_for(options.colour, around, false, options.ascii);
}

// What stands under answers that were given beforehand: it shows everything and asks nothing.
std::unique_ptr<Person> answered(const boost::asio::any_io_executor& executor, Clock& clock, Answers answers,
                                 const UiOptions& options, const Surroundings& around) {
  std::unique_ptr<Person> shown;
  if (options.machine) {
    shown = std::make_unique<MachinePerson>(executor, streams_for(around), options.onlooker);
  } else {
    shown = std::make_unique<LinePerson>(executor, streams_for(around), options.onlooker,
                                         line_style(options, around));
  }
  // A terminal's keys stop a spin also where nobody is asked anything.
  const bool someone = !options.machine && around.input_is_terminal;
  return std::make_unique<AnswersPerson>(std::move(answers), std::move(shown),
                                         someone ? Listening::someone : Listening::nobody, clock);
}

}  // namespace

FrontEnd front_end_for(const UiOptions& options, const Surroundings& around) {
  if (options.machine) return FrontEnd::machine;
  if (wants_lines(options, around)) return FrontEnd::plain;
  if (!around.input_is_terminal) return FrontEnd::mute;
  return around.output_is_terminal && !is_dumb(around) ? FrontEnd::terminal : FrontEnd::plain;
}

bool takes_the_screen(const UiOptions& options, const Surroundings& around) {
  return options.answers_file.empty() && front_end_for(options, around) == FrontEnd::terminal &&
         colour_wanted(options.colour, around, around.output_is_terminal);
}

Streams streams_for(const Surroundings& around) {
  Streams streams{STDIN_FILENO, STDOUT_FILENO, STDOUT_FILENO};
  if (around.input_is_terminal && !around.output_is_terminal && around.error_is_terminal)
    streams.prompts = STDERR_FILENO;
  return streams;
}

std::unique_ptr<Person> make_person(const boost::asio::any_io_executor& executor, Clock& clock,
                                    const UiOptions& options, const Surroundings& around) {
  const FrontEnd kind = front_end_for(options, around);
  std::unique_ptr<Person> person;
  if (!options.answers_file.empty()) {
    person = answered(executor, clock, Answers::from_file(options.answers_file), options, around);
  } else if (kind == FrontEnd::mute) {
    person = answered(executor, clock, Answers(), options, around);
  } else if (kind == FrontEnd::machine) {
    person = std::make_unique<MachinePerson>(executor, streams_for(around), options.onlooker);
  } else if (kind == FrontEnd::plain) {
    person = std::make_unique<LinePerson>(executor, streams_for(around), options.onlooker,
                                          line_style(options, around));
  } else {
    person = terminal_person(executor, options, around);
  }
  if (options.yes) person = std::make_unique<YesPerson>(std::move(person));
  return person;
}

}  // namespace armwise::ui
