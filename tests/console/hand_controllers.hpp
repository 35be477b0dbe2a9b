// Controllers written out by hand, one for each of three dialects, with no profile behind them: what the
// profile and its reader get wrong together shows here.
#pragma once

#include <map>
#include <sstream>
#include <string>
#include <vector>

namespace armwise::test {

inline std::vector<std::string> words_of(const std::string& text) {
  std::istringstream in(text);
  std::vector<std::string> words;
  for (std::string word; in >> word;) words.push_back(word);
  return words;
}

struct HandSettings {
  std::map<int, std::string> pin{{1, "P1"}, {2, "P2"}, {3, "P3"}, {4, "P4"}};
  std::map<int, std::string> turn{{1, "clockwise"}, {2, "clockwise"}, {3, "clockwise"}, {4, "clockwise"}};
  std::string props = "inward";
  std::string yaw = "0", pitch = "0", roll = "0";
};

// A verb and its arguments, as the profile tarn speaks.
class Tarn {
 public:
  HandSettings running, saved;
  int turning = 0;  // the motor that turns
  std::string strength, milliseconds;
  // What it does wrong.
  bool stores_nothing = false, spins_on = false, confirms_another = false, clamps_yaw = false;
  std::string extra_lines;  // among the listed motors
  int leaves_out = 0;       // this motor, of the list
  bool keep_fails = false;
  bool restarted = false;

  std::string answer(const std::string& command) {
    const auto word = words_of(command);
    if (word.empty()) return "";
    if (word[0] == "say") return "said " + word.at(1) + "\n";
    if (command == "who are you") return "board moss7 running fenware 3.2\nserial 0042\n";
    if (command == "tell wiring") return wiring();
    if (command == "tell turning") return turns();
    if (command == "tell props") return "props sweep " + running.props + "\n";
    if (command == "tell mount") {
      return "mounted at yaw " + running.yaw + " pitch " + running.pitch + " roll " + running.roll + "\n";
    }
    if (command == "tell feel") return "feels x 0.01 y -0.02 z -0.99\n";
    if (command == "tell everything") return wiring() + turns() + "lamp on\n";
    if (command == "keep it") return keep();
    if (command == "start over") return start_over();
    if (command == "halt every motor") return halt();
    return change(command, word);
  }

 private:
  std::string wiring() const {
    std::string text = "servo 1 drives P7\n" + extra_lines;
    for (const auto& [motor, pin] : running.pin) {
      if (motor != leaves_out) text += "motor " + std::to_string(motor) + "  drives\t" + pin + "\n";
    }
    return text;
  }
  std::string turns() const {
    std::string text;
    for (const auto& [motor, turn] : running.turn)
      text += "motor " + std::to_string(motor) + " turns " + turn + "\n";
    return text;
  }
  std::string keep() {
    if (keep_fails) return "no: the store is locked\n";
    saved = running;
    return "kept\n";
  }
  std::string start_over() {
    running = saved;
    restarted = true;
    return "";
  }
  std::string halt() {
    if (spins_on) return "hm\n";
    turning = 0;
    return "every motor halted\n";
  }
  std::string change(const std::string& command, const std::vector<std::string>& word) {
    if (word[0] == "wire" && word.size() == 5 && word[4].starts_with('P')) {
      const int motor = std::stoi(word[2]);
      const bool is_pin = word[4].size() == 2 && word[4] <= "P8";
      if (!running.pin.contains(motor) || !is_pin) return "no: no such motor or pin\n";
      if (!stores_nothing) running.pin[motor] = word[4];
      return "motor " + std::to_string(confirms_another ? motor % 4 + 1 : motor) + " now drives " + word[4] +
             "\n";
    }
    if (word[0] == "turn" && word.size() == 4) {
      running.turn[std::stoi(word[2])] = word[3];
      return "motor " + word[2] + " now turns " + word[3] + "\n";
    }
    if (word[0] == "sweep" && word.size() == 3) {
      running.props = word[2];
      return "";
    }
    if (word[0] == "mount" && word.size() == 8) {
      running.yaw = clamps_yaw ? "45" : word[3];
      running.pitch = word[5];
      running.roll = word[7];
      return "";
    }
    if (word[0] == "spin" && word.size() == 7) {
      turning = std::stoi(word[2]);
      strength = word[4];
      milliseconds = word[6];
      return "motor " + word[2] + " spins at " + strength + "\n";
    }
    return "no: what is " + command + "\n";
  }
};

// A menu of numbered choices, as the profile fell speaks; gives its prompt with its answer.
class Fell {
 public:
  std::map<std::string, std::string> motor_on{{"P1", "101"}, {"P2", "102"},    {"P3", "103"},
                                              {"P4", "104"}, {"P5", "nobody"}, {"P6", "beeper"}};
  std::string picture = "1";
  std::string at = "choice> ";
  std::string pin, motor;
  bool turning = false;
  std::string pulse;

  // The answer; the prompt that follows is `at`.
  std::string answer(const std::string& typed) {
    if (typed.empty()) return "";
    if (typed == "x") {
      turning = false;
      at = "choice> ";
      return "All motors stand still\n";
    }
    if (at == "choice> ") return top(typed);
    if (at == "wiring> ") return wiring(typed);
    if (typed == "0") {
      at = "choice> ";
      return "";
    }
    return value(typed);
  }

 private:
  std::string top(const std::string& typed) {
    if (typed == "1") return go("wiring> ", "1 show, 2 assign, 3 free, 0 back\n");
    if (typed == "2") return "The board lies as in picture " + picture + "\n";
    if (typed == "3") return go("which picture> ", "");
    if (typed == "4") return go("which motor> ", "");
    if (typed == "6") return "everything\nand more\n";
    if (typed == "7") return "This is a crag2 with fellware 1.9\n";
    if (typed == "9") return "Settings stored\n";
    return "no choice " + typed + "\n";
  }
  std::string wiring(const std::string& typed) {
    if (typed == "0") return go("choice> ", "");
    if (typed == "2" || typed == "3") {
      freeing_ = typed == "3";
      return go("which pin> ", "");
    }
    if (typed != "1") return "no choice " + typed + "\n";
    std::string text;
    for (const auto& [name, on] : motor_on) text += "Pin " + name + " belongs to " + on + "\n";
    return text;
  }
  std::string value(const std::string& typed) {
    if (at == "which picture> ") {
      picture = typed;
      return go("choice> ", "");
    }
    if (at == "which pin> ") {
      if (!motor_on.contains(typed)) return go("wiring> ", "not possible: there is no pin " + typed + "\n");
      pin = typed;
      if (freeing_) {
        motor_on[pin] = "nobody";
        return go("wiring> ", "");
      }
      assigning_ = true;
      return go("which motor> ", "");
    }
    if (at == "which motor> ") {
      motor = typed;
      if (!assigning_) return go("pulse> ", "");
      assigning_ = false;
      motor_on[pin] = motor;
      return go("wiring> ", "");
    }
    pulse = typed;
    turning = true;
    return go("choice> ", "Motor " + motor + " gets " + typed + " us\n");
  }
  std::string go(const std::string& prompt, const std::string& text) {
    at = prompt;
    return text;
  }

  bool freeing_ = false, assigning_ = false;
};

// name = value, as the profile sedge speaks.
class Sedge {
 public:
  std::map<std::string, std::string> value{
      {"output.0", "P1"},         {"output.1", "P2"},         {"output.2", "P3"},
      {"output.3", "P4"},         {"output.lamp", "P8"},      {"props.outward", "off"},
      {"direction.P1", "normal"}, {"direction.P2", "normal"}, {"direction.P3", "reversed"},
      {"direction.P4", "normal"}, {"mount.yaw", "0"},         {"mount.pitch", "0"},
      {"mount.roll", "0"},        {"felt.gyro.x", "0.1"},     {"felt.gyro.y", "0"},
      {"felt.gyro.z", "0"},       {"felt.accel.x", "0.1"},    {"accel.x", "0.1"},
      {"felt.accel.y", "0.2"},    {"accel.y", "0.2"},         {"felt.accel.z", "9.8"},
      {"accel.z", "9.8"},         {"about.board", "reed"},    {"about.firmware", "sedgeware"},
      {"about.version", "0.9"},   {"about.serial", "1"}};
  bool saved = false;

  std::string answer(const std::string& command) {
    const auto equals = command.find(" = ");
    if (command.starts_with("note.")) return command + " = (unset)\n";
    if (equals == std::string::npos) return listed(command);
    const std::string name = command.substr(0, equals);
    const std::string wanted = command.substr(equals + 3);
    if (name == "save") {
      saved = true;
      return "save = done\n";
    }
    if (name.starts_with("test.")) return command + "\n";
    if (!value.contains(name)) return "!! there is no " + name + "\n";
    for (const auto& [other, taken] : value) {
      if (name.starts_with("output.") && other.starts_with("output.") && taken == wanted &&
          wanted != "none") {
        return "!! " + wanted + " is taken by " + other + "\n";
      }
    }
    value[name] = wanted;
    return command + "\n";
  }

 private:
  std::string listed(const std::string& command) const {
    const std::string start = command.ends_with('*') ? command.substr(0, command.size() - 1) : command;
    std::string text;
    for (const auto& [name, is] : value) {
      if (name.starts_with(start)) text += name + " = " + is + "\n";
    }
    return text.empty() ? "!! there is no " + command + "\n" : text;
  }
};

// One line of JSON for each command, as the profile brook speaks.
class Brook {
 public:
  std::map<int, std::string> pin{{1, "J1"}, {2, "J2"}, {3, "J3"}, {4, "J4"}};
  std::map<int, std::string> way{{1, "1"}, {2, "-1"}, {3, "1"}, {4, "1"}};
  std::string roll = "0", pitch = "0", yaw = "0", out = "false", counts;
  bool answers_for_another = false;

  std::string answer(const std::string& command) {
    const auto word = words_of(command);
    if (word.empty()) return "";
    if (word[0] == "ping") return R"({"re":"pong","word":")" + word.at(1) + "\"}\n";
    if (command == "seats") return "{\"event\":\"gust\"}\n" + map();
    if (command == "props") return R"({"re":"props","out":)" + out + "}\n";
    if (command == "mount")
      return R"({"re":"mount","roll":)" + roll + ",\"pitch\":" + pitch + ",\"yaw\":" + yaw + "}\n";
    if (command == "sense")
      return R"({"re":"sense","acc":[10,-20,990],"gyro":[5,0,-10]})"
             "\n";
    if (command == "stop")
      return R"({"re":"ok","still":"all"})"
             "\n";
    if (word[0] == "turn" && word.size() == 2) return turn(std::stoi(word[1]));
    if (word[0] == "seats" && word.size() == 3) {
      pin[std::stoi(word[1])] = word[2];
      return R"({"re":"ok","m":)" + word[1] + R"(,"pin":")" + word[2] + "\"}\n";
    }
    if (word[0] == "mount" && word.size() == 4) {
      roll = word[1];
      pitch = word[2];
      yaw = word[3];
      return R"({"re":"ok","roll":)" + roll + ",\"pitch\":" + pitch + ",\"yaw\":" + yaw + "}\n";
    }
    if (word[0] == "spin") {
      counts = word.at(2);
      return R"({"re":"ok","m":)" + word.at(1) + ",\"counts\":" + counts + "}\n";
    }
    return R"({"re":"no","why":"what is )" + command + "\"}\n";
  }

 private:
  std::string map() const {
    std::string items;
    for (const auto& [motor, name] : pin) {
      items += (items.empty() ? "" : ",") + std::string(R"({"m":)") + std::to_string(motor) + R"(,"pin":")" +
               name + "\"}";
    }
    return R"({"re":"seats","all":[)" + items + "]}\n";
  }
  std::string turn(int motor) const {
    const int told = answers_for_another ? motor % 4 + 1 : motor;
    return R"({"re":"turn","m":)" + std::to_string(told) + ",\"way\":" + way.at(motor) + "}\n";
  }
};

}  // namespace armwise::test
