#include "armwise/base/fault.hpp"

#include <gtest/gtest.h>

#include <set>
#include <string>

namespace armwise::fault_test {
namespace {

TEST(Fault, SaysWhatHappenedWhyAndWhatToDoNext) {
  const Fault fault(FaultKind::port_busy, "Port /dev/one is busy", "Process 12 holds it",
                    "End it and try again");
  EXPECT_EQ(fault.kind(), FaultKind::port_busy);
  EXPECT_EQ(fault.sentence(), "Port /dev/one is busy. Process 12 holds it. End it and try again.");
  EXPECT_EQ(fault.what(), fault.sentence());
}

TEST(Fault, LeavesOutTheEmptyParts) {
  EXPECT_EQ(Fault(FaultKind::file, "The file is gone").sentence(), "The file is gone.");
  EXPECT_EQ(Fault(FaultKind::file, "The file is gone", "", "Name another").sentence(),
            "The file is gone. Name another.");
}

TEST(Fault, AddsNoSecondFullStop) {
  EXPECT_EQ(Fault(FaultKind::refused, "It was refused.", "Is the map locked?", "Unlock it!").sentence(),
            "It was refused. Is the map locked? Unlock it!");
}

TEST(Fault, BeginsItsSentencesWithACapitalButLeavesNamesAlone) {
  EXPECT_EQ(Fault(FaultKind::refused, "the console refused", "it said no", "try again").sentence(),
            "The console refused. It said no. Try again.");
  EXPECT_EQ(
      Fault(FaultKind::port_busy, "ttyACM0 is busy", "map.put: is a path", "/dev/one is one").sentence(),
      "ttyACM0 is busy. map.put: is a path. /dev/one is one.");
  EXPECT_EQ(Fault(FaultKind::usage, "x1 is no frame", "", "armwise crafts lists them").sentence(),
            "x1 is no frame. armwise crafts lists them.");
}

TEST(Fault, SaysWhatWasBeingDoneAndKeepsTheRest) {
  const Fault inner(FaultKind::no_reply, "no reply came", "The wire may be loose", "Check it");
  const Fault outer = inner.within("while reading the map").within("during the bench session");
  EXPECT_EQ(outer.kind(), FaultKind::no_reply);
  EXPECT_EQ(outer.happened(), "during the bench session: while reading the map: no reply came");
  EXPECT_EQ(outer.why(), "The wire may be loose");
  EXPECT_EQ(outer.next(), "Check it");
}

TEST(Fault, NamesEachKindDifferently) {
  std::set<std::string_view> names;
  for (int kind = 0; kind <= static_cast<int>(FaultKind::internal); ++kind) {
    const std::string_view word = name(static_cast<FaultKind>(kind));
    EXPECT_FALSE(word.empty());
    EXPECT_TRUE(names.insert(word).second) << word;
  }
  EXPECT_EQ(name(FaultKind::port_missing), "port-missing");
  EXPECT_EQ(name(FaultKind::left_changed), "left-changed");
}

TEST(StoppedByPerson, IsNoFault) {
  const StoppedByPerson stopped(StoppedByPerson::How::end_of_input);
  EXPECT_EQ(stopped.how(), StoppedByPerson::How::end_of_input);
  EXPECT_EQ(dynamic_cast<const Fault*>(static_cast<const std::exception*>(&stopped)), nullptr);
}

}  // namespace
}  // namespace armwise::fault_test
