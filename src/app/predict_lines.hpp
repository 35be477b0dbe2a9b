// The lines that a prediction comes to on one kind of console.
#pragma once

#include <string>
#include <vector>

#include "armwise/console/profile.hpp"
#include "armwise/solve/predict.hpp"

namespace armwise::app {

struct PredictedLines {
  // Where the pins are not known, "<motor 2's pin>" stands for the one that motor 2 has now.
  std::vector<std::string> lines;
  std::vector<std::string> remarks;  // what is taken for granted, what to fill in, and what only hands can do
};

// From a controller that holds nothing yet: no mount told, and every motor set to turn as it comes.
PredictedLines lines_for(const console::Profile& profile, const solve::PredictRequest& request);

}  // namespace armwise::app
