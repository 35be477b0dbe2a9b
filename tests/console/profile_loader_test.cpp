#include <gtest/gtest.h>

#include <filesystem>
#include <nlohmann/json.hpp>

#include "armwise/base/fault.hpp"
#include "armwise/console/profile.hpp"

namespace armwise::console::profile_loader_test {
namespace {

using nlohmann::json;

std::filesystem::path fixture(const std::string& name) {
  return std::filesystem::path(ARMWISE_FIXTURES) / "profiles" / (name + ".json");
}

json smallest() {
  return json::parse(R"({"armwise_profile": 1, "name": "small", "open": {"prompt": "> "}})");
}

// The refusal that loading gives, empty where it loads.
std::string refusal(const std::string& text) {
  try {
    load_profile(text);
    return {};
  } catch (const Fault& fault) {
    EXPECT_EQ(fault.kind(), FaultKind::bad_profile);
    return fault.happened();
  }
}
std::string refusal_with(const std::string& pointer, const json& value) {
  json profile = json::parse(std::string(R"({"armwise_profile": 1, "name": "small", "open": {"prompt": "> "},
    "map": {"list": {"send": "list", "lines": ["m {motor} p {pin}"]}, "put": "m {motor} {pin}"},
    "spin": {"spin": "s {motor} {strength}", "stop_all": "s", "standard": 6},
    "mount": {"read": {"send": "a", "lines": ["{yaw} {pitch} {roll}"]}},
    "keep": {"keep": "k"}})"));
  profile[json::json_pointer(pointer)] = value;
  return refusal(profile.dump());
}

class EachDialect : public testing::TestWithParam<const char*> {};

TEST_P(EachDialect, LoadsAndCanDoTheWholeJob) {
  const Profile profile = load_profile_file(fixture(GetParam()));
  EXPECT_EQ(profile.name, GetParam());
  EXPECT_TRUE(profile.identify && profile.whole_configuration && profile.map && profile.map->put);
  EXPECT_TRUE(profile.spin && profile.keep && profile.mount);
  EXPECT_NEAR(profile.spin->per_cent(profile.spin->standard), 6, 1e-9);
  for (const craft::Frame& frame : craft::frames()) {
    const auto numbering = profile.numbering_for(frame);
    ASSERT_TRUE(numbering) << frame.name;
    EXPECT_EQ(numbering->place_of_motor.size(), frame.places.size());
  }
}
INSTANTIATE_TEST_SUITE_P(Fixtures, EachDialect, testing::Values("tarn", "sedge", "fell", "brook", "moor"));

TEST(ProfileLoader, TakesTheSmallestProfile) {
  EXPECT_EQ(refusal(smallest().dump()), "");
}

TEST(ProfileLoader, NamesThePathOfWhatIsWrong) {
  EXPECT_EQ(refusal_with("/map/put", "m {pin}"), "map.put: has no blank {motor}");
  EXPECT_EQ(refusal_with("/map/put", {{"send", "m {pin}"}}), "map.put.send: has no blank {motor}");
  EXPECT_EQ(refusal_with("/map/list/lines/0", "m {motor} p {pin"),
            "map.list.lines[0]: character 13: an opening brace that is never closed; write {{ for the brace "
            "itself");
  EXPECT_EQ(refusal_with("/map/list/lines/0", "m {motor}"), "map.list.lines[0]: has no blank {pin}");
  EXPECT_EQ(refusal_with("/map/lst", 1), "map: \"lst\" means nothing here; is \"list\" meant?");
  EXPECT_EQ(refusal_with("/map/put", 7), "map.put: must be text, or an object with \"send\" and \"prompt\"");
  EXPECT_EQ(refusal_with("/map/put", "m {motor} {pin} {speed}"),
            "map.put: the blank {speed} means nothing here; there may be {motor}, {pin}");
  EXPECT_EQ(refusal_with("/map/shared_meanwhile", false),
            "map: \"free\" is missing: a pin that is taken must be freed before it can be given away");
  EXPECT_EQ(refusal_with("/keep/restarts", "yes"), "keep.restarts: must be true or false");
  EXPECT_EQ(refusal_with("/mount/signs", {1, 0, 1}), "mount.signs[1]: must be 1 or -1");
  EXPECT_EQ(refusal_with("/timing", {{"reply_ms", 1}}), "timing.reply_ms: must lie between 50 and 60000");
  EXPECT_EQ(refusal_with("/numbering", {{"quad-x", {"front-left"}}}),
            "numbering.quad-x: names 1 places; quad-x has 4");
  EXPECT_EQ(refusal_with("/numbering", {{"quad-x", {"front-left", "nose", "rear-left", "rear-right"}}}),
            "numbering.quad-x[1]: \"nose\" is no place of quad-x");
}

TEST(ProfileLoader, RefusesASpinThatIsTooStrong) {
  EXPECT_EQ(refusal_with("/spin/standard", 80),
            "spin: standard is more than 25 % of full throttle, too much for a spin check");
  EXPECT_EQ(refusal_with("/spin/highest", 80),
            "spin: highest is more than 50 % of full throttle, too much for a spin check");
}

TEST(ProfileLoader, RefusesASpinInThePlaceOfAnythingElse) {
  for (const char* where : {"/spin/stop_all", "/keep/keep", "/keep/restart", "/leave", "/open/home",
                            "/open/send", "/whole_configuration", "/map/list/send", "/mount/read/send"}) {
    EXPECT_NE(refusal_with(where, "S 2 4.5").find(": is the order to spin a motor as well"),
              std::string::npos)
        << where;
  }
  EXPECT_EQ(refusal_with("/leave", "s 2 off"), "");
}

TEST(ProfileLoader, RefusesControlCharactersInWhatIsSent) {
  EXPECT_EQ(refusal_with("/map/put", "m {motor} {pin}\r\nerase"), "map.put: holds a control character");
  EXPECT_EQ(refusal_with("/open/prompt", "\x1b[2J> "), "open.prompt: holds a control character");
  EXPECT_EQ(refusal_with("/open/home", "\x03"), "open.home: holds a control character");
  EXPECT_EQ(refusal_with("/open/send", "\x03"), "");
  EXPECT_EQ(refusal_with("/open/send", "\x03go"), "open.send: control characters may only stand at its end");
}

TEST(ProfileLoader, RefusesStampsAndUnaskedLinesThatCouldHideAnAnswer) {
  EXPECT_EQ(refusal_with("/open/stamp", "[{skip:digits}.{skip:digits}] "), "");
  EXPECT_EQ(refusal_with("/open/stamp", "{skip} "),
            "open.stamp: takes only blanks that end by themselves, as in \"[{skip:digits}.{skip:digits}] \"");
  EXPECT_EQ(refusal_with("/open/stamp", "{skip:letters}: "),
            "open.stamp: needs a number, {skip:digits}, and behind it what ends it, a blank or a sign");
  EXPECT_EQ(refusal_with("/open/unasked", {"bat {skip:decimal} V"}), "");
  EXPECT_EQ(refusal_with("/open/unasked", {"{skip:decimal} V"}),
            "open.unasked: \"{skip:decimal} V\" does not begin with a word, so it could leave out an answer");
  EXPECT_EQ(refusal_with("/open/unasked", {"m {skip} p {skip}"}),
            "open.unasked: \"m {skip} p {skip}\" would leave out the answer \"m {motor} p {pin}\"");
  // A word about an order may be no such line, however it is read.
  json profile = smallest();
  profile["open"]["unasked"] = {"failed {skip:digits} times"};
  EXPECT_EQ(refusal(profile.dump()), "");
  profile["refusals"] = {"failed {rest}"};
  EXPECT_EQ(refusal(profile.dump()),
            "open.unasked: \"failed {skip:digits} times\" would leave out the answer \"failed {rest}\"");
}

TEST(ProfileLoader, RefusesANewerVersionInWords) {
  json profile = smallest();
  profile["armwise_profile"] = 2;
  EXPECT_EQ(refusal(profile.dump()),
            "armwise_profile: version 2 was written for a newer armwise; this one reads version 1");
}

// Nothing of it was ever tried, and even opening a console sends its stop.
TEST(ProfileLoader, RefusesWhatWasOnlyPreparedFromASavedSession) {
  json noted = smallest();
  noted["notes"] = {"mine", "Prepared from a saved console session; not proven on a console."};
  try {
    load_profile(noted.dump());
    ADD_FAILURE() << "it loaded";
  } catch (const Fault& fault) {
    EXPECT_EQ(fault.kind(), FaultKind::bad_profile);
    EXPECT_EQ(fault.id(), "profile-only-prepared");
  }
  json marked = smallest();
  marked["prepared"] = true;
  EXPECT_NE(refusal(marked.dump()), "");
}

TEST(ProfileLoader, RefusesWhatIsNoSoundJson) {
  EXPECT_NE(refusal("").find("not JSON"), std::string::npos);
  EXPECT_NE(refusal("{\"a\": \"\xff\"}").find("not JSON"), std::string::npos);
  EXPECT_EQ(refusal(R"({"name": 1, "name": 2})"), "name: said twice");
  EXPECT_EQ(refusal(std::string(1000, '[')), "the whole file: nested deeper than 16 levels");
  EXPECT_EQ(refusal(std::string(300'000, ' ')), "the whole file: larger than 256 KiB");
  EXPECT_EQ(refusal("[]"), "the whole file: must be an object in braces");
}

TEST(ProfileLoader, RefusesAConsoleWhoseRepliesHaveNoEnd) {
  EXPECT_NE(refusal(R"({"armwise_profile": 1, "name": "x", "open": {}})").find("open: needs a \"prompt\""),
            std::string::npos);
  EXPECT_NE(refusal(R"({"armwise_profile": 1, "name": "x", "open": {"reply_end": "ok"}})").find("barrier"),
            std::string::npos);
}

TEST(ProfileLoader, RefusesABarrierThatItsOwnEchoWouldAnswer) {
  const std::string said = refusal(R"({"armwise_profile": 1, "name": "x",
    "open": {"prompt": "> ", "barrier": {"send": "note = {word}", "lines": ["note = {word}"]}}})");
  EXPECT_EQ(said, "open.barrier: its answer reads like its own echo, so it would prove nothing");
}

// Found on the way to the fuzzer: the loader put a word into a blank that takes numbers, and failed with
// another kind of fault; and of a barrier of two steps only the first was ever sent.
TEST(ProfileLoader, RefusesABarrierWhoseWordCannotBeSent) {
  const auto with_barrier = [](const std::string& barrier) {
    return refusal(R"({"armwise_profile": 1, "name": "x", "open": {"prompt": "> ", "barrier": )" + barrier +
                   "}}");
  };
  const std::string number = "open.barrier: {word} is made of letters and cannot be a number";
  EXPECT_EQ(with_barrier(R"({"send": "say {word:int}", "lines": ["said {word}"]})"), number);
  EXPECT_EQ(with_barrier(R"({"send": "say {word}", "lines": ["said {word:decimal}"]})"), number);
  EXPECT_EQ(with_barrier(R"({"send": ["go", "say {word}"], "lines": ["said {word}"]})"),
            "open.barrier: must be one step: it is sent wherever the console may stand");
}

TEST(ProfileLoader, RefusesTwoQuestionsInWhichNothingCouldBeSpelled) {
  const auto with_barrier = [](const std::string& barrier) {
    return refusal(R"({"armwise_profile": 1, "name": "x", "open": {"reply_end": "{rest}", "barrier": )" +
                   barrier + "}}");
  };
  EXPECT_EQ(with_barrier(R"({"send": ["a", ""], "lines": ["no", "no"]})"),
            "open.barrier: both are answered alike, so nothing could be spelled in them");
  EXPECT_EQ(with_barrier(R"({"send": ["", "a"], "lines": ["no", "yes"]})"),
            "open.barrier: the first of the two must be no empty line");
  EXPECT_EQ(with_barrier(R"({"send": ["a", "b"], "lines": ["a", "yes"]})"),
            "open.barrier: its answer reads like its own echo, so it would prove nothing");
  EXPECT_EQ(with_barrier(R"({"send": ["a", "b"], "lines": ["{rest}", "yes"]})"),
            "open.barrier: where there are two, an answer may have no blank but {skip}");
  EXPECT_NE(with_barrier(R"({"send": "a", "lines": ["no"]})").find("or two with an answer each"),
            std::string::npos);
}

TEST(ProfileLoader, RefusesAPlaceholderThatIsAMotorsCode) {
  EXPECT_EQ(refusal_with("/map/no_motor", "3"), "map.no_motor: \"3\" is a motor's code as well");
}

TEST(ProfileLoader, TakesNamedMountCodes) {
  const Profile moor = load_profile_file(fixture("moor"));
  // MAVLink common message set, MAV_SENSOR_ROTATION_YAW_90 = 2.
  EXPECT_EQ(moor.mount->codes.at("2"), (craft::YawPitchRoll{90, 0, 0}));
}

TEST(Profile, CodesMotorsBothWays) {
  const Profile sedge = load_profile_file(fixture("sedge"));
  EXPECT_EQ(sedge.motor_code(craft::Motor{1}), "0");
  EXPECT_EQ(sedge.motor_coded("3"), craft::Motor{4});
  EXPECT_EQ(sedge.motor_coded("-1"), std::nullopt);
  EXPECT_EQ(sedge.motor_coded("P1"), std::nullopt);
  const Profile fell = load_profile_file(fixture("fell"));
  EXPECT_EQ(fell.motor_code(craft::Motor{3}), "103");
  EXPECT_EQ(fell.motor_coded("108"), craft::Motor{8});
  EXPECT_EQ(fell.motor_coded("3"), std::nullopt);
  EXPECT_THROW(fell.motor_code(craft::Motor{9}), Fault);
  // {motor:number} writes 2 of "m2"; a code that is a number stands for nothing else.
  Profile counted;
  counted.codes.motor = {{1, "m1"}, {2, "m2"}, {3, "7"}};
  EXPECT_EQ(counted.motor_coded("2"), craft::Motor{2});
  EXPECT_EQ(counted.motor_coded("7"), craft::Motor{3});
  EXPECT_EQ(counted.motor_coded("07"), std::nullopt);
}

TEST(Profile, SaysInWordsWhatTheConsoleCanDo) {
  const auto said = abilities(load_profile_file(fixture("fell")));
  EXPECT_EQ(said[2], "map: read and set, one write for each motor that moves");
  EXPECT_EQ(said[4],
            "turn: cannot be set from here; a motor that turns the wrong way is reversed in its speed "
            "controller or by swapping two of its three wires");
  EXPECT_EQ(said[6], "spin: at 6 %; the console does not end a spin by itself, only the stop does");
}

}  // namespace
}  // namespace armwise::console::profile_loader_test
