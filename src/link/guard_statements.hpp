// What the guard says, in one table: as include/armwise/session/statements.hpp for what the tool says. It
// speaks only when the tool cannot, and of nothing but a motor that may be turning. The texts hold nothing
// that JSON would have to escape. Their ids stand in scripts/package/armwise-machine.5.scd, too.
#pragma once

#include <array>
#include <string_view>

namespace armwise::link {

struct GuardStatement {
  std::string_view id, level, text;
};

inline constexpr auto guard_statements = std::to_array<GuardStatement>({
    {"tool-hung", "danger",
     "armwise hung while a motor was turning, and was ended. The controller was told to stop. If a motor "
     "still turns, keep clear and pull the battery plug."},
    {"stop-lost", "danger",
     "armwise ended, and the controller has not answered the stop: a motor may be turning. Keep clear and "
     "pull the battery plug. Unplugging USB stops no motor. The guard is still trying."},
    {"guard-stopped", "danger",
     "armwise ended while a motor was turning. Its guard told the controller to stop, and it answered. If a "
     "motor still turns, keep clear and pull the battery plug."},
    {"guard-gave-up", "danger",
     "The controller never answered the stop, and the guard gives up: a motor may be turning. Keep clear and "
     "pull the battery plug."},
});

// Of one of these ids; any other does not compile.
consteval const GuardStatement& guard_statement(std::string_view id) {
  for (const GuardStatement& statement : guard_statements) {
    if (statement.id == id) return statement;
  }
  throw "no statement of the guard has this id";
}

}  // namespace armwise::link
