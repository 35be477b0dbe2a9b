// What an option takes, checked before anything else is done, and said in armwise's own words.
#pragma once

#include <CLI/App.hpp>
#include <string>
#include <vector>

namespace armwise::app {

// Each goes on behind the option's name: "--yaw" "cannot be "500": it takes a number from -360 to 360".
CLI::Validator one_of(const std::vector<std::string>& words);
CLI::Validator number_within(double lowest, double highest);
CLI::Validator whole_number_within(long lowest, long highest);
CLI::Validator whole_number();  // from 0 on
CLI::Validator known_frame();
CLI::Validator existing_file();

// What is wrong with a command line, in words, and what to do; `error` is CLI11's own.
std::string in_words(const CLI::ParseError& error, const CLI::App& command);

}  // namespace armwise::app
