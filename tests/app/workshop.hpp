// A home of its own, practice crafts whose truth is known, and what `armwise bench` is started with.
#pragma once

#include <gtest/gtest.h>

#include <fstream>
#include <memory>
#include <nlohmann/json.hpp>
#include <random>
#include <sstream>
#include <string>
#include <vector>

#include "app/program.hpp"
#include "armwise/craft/frame.hpp"
#include "record/temporary_folder.hpp"

namespace armwise::test {

struct Truth {
  struct Wire {
    std::string place;
    craft::Turn turn = craft::Turn::cw;
  };
  const craft::Frame* frame = nullptr;
  std::map<std::string, Wire> wiring;  // by pin
};

inline std::string contents(const std::filesystem::path& file) {
  std::ifstream in(file, std::ios::binary);
  std::ostringstream out;
  out << in.rdbuf();
  return out.str();
}

struct Ran {
  int status = -1;
  std::string output, errors;
  std::string all() const { return output + errors; }
};

class Workshop {
 public:
  const std::filesystem::path& home() const { return folder_.path(); }
  std::string file(const std::string& name) const { return (folder_.path() / name).string(); }

  // A craft file with a hidden wiring out of a seed; says the truth.
  Truth make_craft(const std::string& name, const craft::Frame& frame, unsigned seed) const {
    std::mt19937 random(seed);
    std::vector<std::string> places;
    for (const craft::Place& place : frame.places) places.push_back(place.name);
    std::shuffle(places.begin(), places.end(), random);
    Truth truth;
    truth.frame = &frame;
    nlohmann::json craft{{"frame", frame.name}, {"name", name}, {"serial", "AW" + std::to_string(seed)}};
    craft["mount"] = {{"yaw", 90 * static_cast<int>(random() % 4)}, {"pitch", 0}, {"roll", 0}};
    craft["seed"] = seed;
    for (std::size_t i = 0; i < places.size(); ++i) {
      const std::string pin = "P" + std::to_string(i + 1);
      const craft::Turn turn = (random() & 1U) != 0 ? craft::Turn::ccw : craft::Turn::cw;
      truth.wiring[pin] = {places[i], turn};
      craft["pins"].push_back(pin);
      craft["wiring"][pin] = {{"place", places[i]}, {"turn", craft::name(turn)}};
    }
    std::ofstream(file(name)) << craft;
    return truth;
  }

  std::unique_ptr<Program> start(std::vector<std::string> arguments,
                                 const std::map<std::string, std::string>& more = {},
                                 bool input = false) const {
    arguments.insert(arguments.begin(), ARMWISE_PROGRAM);
    return std::make_unique<Program>(arguments, home(), more, input);
  }

  // To its end, without input.
  Ran run(const std::vector<std::string>& arguments,
          const std::map<std::string, std::string>& more = {}) const {
    const auto program = start(arguments, more);
    const int status = program->ended();
    return {status, program->output(), program->errors()};
  }

 private:
  TemporaryFolder folder_;
};

}  // namespace armwise::test
