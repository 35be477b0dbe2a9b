// Console profiles from strangers.
#include "armwise/console/profile.hpp"

#include <cstdint>
#include <string>
#include <string_view>

#include "armwise/console/conversation.hpp"
#include "fuzz/must.hpp"

namespace armwise::fuzz {
namespace {

using console::Profile;

// The steps of a menu are sent as they stand: nothing but text may be in them.
void check_what_would_be_sent(const Profile& profile) {
  std::string stop = console::stop_lines(profile);
  std::erase_if(stop, [](char c) { return c == '\r' || c == '\n'; });
  must(is_printable(stop), "a stop holds no control characters but its line ends", stop);
  must(!profile.spin || !stop.empty(), "what can spin can be stopped");
  std::string_view send = profile.open.send;
  while (!send.empty() && send.back() >= 0 && send.back() < ' ') send.remove_suffix(1);
  must(is_printable(send), "only the end of what opens a console may be a key", send);
}

void check_codes(const Profile& profile) {
  for (int number = 1; number <= 8; ++number) {
    if (!profile.codes.motor.empty() && !profile.codes.motor.contains(number)) continue;
    const craft::Motor motor{number};
    const std::string code = profile.motor_code(motor);
    must_be_sayable(code);
    must(profile.motor_coded(code) == motor, "a motor's code is that motor's", code);
  }
  for (const craft::Turn turn : {craft::Turn::cw, craft::Turn::ccw})
    must(profile.turn_coded(profile.turn_code(turn)) == turn, "a turn's code is that turn's");
  for (const craft::Frame& frame : craft::frames()) {
    const auto numbering = profile.numbering_for(frame);
    must(!numbering || numbering->place_of_motor.size() == frame.places.size(),
         "a numbering names every place", frame.name);
  }
}

void check(std::string_view text) {
  Profile profile;
  try {
    profile = console::load_profile(text);
  } catch (const Fault& fault) {
    must(fault.kind() == FaultKind::bad_profile, "a profile that is not sound is a bad profile",
         fault.what());
    must_be_a_fair_refusal(fault);
    return;
  }
  for (const std::string& sentence : console::abilities(profile)) must_be_sayable(sentence);
  check_what_would_be_sent(profile);
  check_codes(profile);
  const std::string written = console::profile_text(profile);
  must(console::load_profile(written) == profile, "a profile reads back as it was written", written);
}

}  // namespace
}  // namespace armwise::fuzz

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  armwise::fuzz::check({reinterpret_cast<const char*>(data), size});
  return 0;
}
