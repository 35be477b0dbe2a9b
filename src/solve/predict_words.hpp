// A prediction in sentences. Private to this layer.
#pragma once

#include <string>

#include "armwise/solve/predict.hpp"

namespace armwise::solve {

// Fills in sentences and words.
void describe(Prediction& prediction, const PredictRequest& request);
std::string choice_in_words(const UsbChoice& choice);

}  // namespace armwise::solve
