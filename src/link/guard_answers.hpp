// Whether a stop has been answered, told by what comes from the port: the confirmation, and not the echo of a
// stop that reads like it.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace armwise::link {

class GuardAnswers {
 public:
  // As StopSpeech has them.
  void expect(std::string_view acknowledged_by, int times);
  // The tool may have said so many stops just before its end, whose echoes are still on their way.
  void count_of_the_tool(int stops) { tools_ = stops; }

  // On a port, from the first stop on.
  void begin();
  // So many more stops have been said.
  void count(int stops);
  void hear(std::string_view bytes);
  bool acknowledged() const;

 private:
  void forget();

  std::string wanted_;
  int times_ = 0;
  int said_ = 0, tools_ = 0;
  int heard_ = 0;         // times that what is wanted has come
  std::string unread_;    // what came last and may be the beginning of it
  std::size_t read_ = 0;  // so much of that stands before it
};

}  // namespace armwise::link
