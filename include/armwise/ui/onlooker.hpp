// What a practice craft shows while a motor turns, as a person at the bench would see it.
#pragma once

#include <functional>
#include <optional>
#include <vector>

#include "armwise/craft/frame.hpp"
#include "armwise/ui/picture.hpp"

namespace armwise::ui {

struct Scene {
  const craft::Frame* frame = nullptr;  // outlives the front end
  std::vector<Moving> moving;           // empty: nothing moves
};

// Asked again and again during a spin until it has something to show. Empty function: a real craft.
using Onlooker = std::function<std::optional<Scene>()>;

}  // namespace armwise::ui
