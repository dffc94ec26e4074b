#include "aumbry/fault.hpp"

#include <gtest/gtest.h>

namespace aumbry {
namespace {

TEST(Fault, SentenceNamesFilePlaceWrongAndRight) {
    const Fault fault{"unknown-key",
                      {"a.json", "/lines/x/lenght", 3, 9},
                      "unknown key 'lenght'",
                      "did you mean 'length'?"};
    EXPECT_EQ(fault.sentence(),
              "a.json:3:9: /lines/x/lenght: unknown key 'lenght'; did you mean 'length'?");
}

TEST(Fault, ErrorKeepsEveryFault) {
    const FaultError error({Fault{"a", {}, "first", ""}, Fault{"b", {}, "second", "mend it"}});
    EXPECT_EQ(error.faults().size(), 2u);
    EXPECT_STREQ(error.what(), "first\nsecond; mend it");
}

TEST(NearestName, FindsASlipAndRefusesAStranger) {
    EXPECT_EQ(nearest_name("lenght", {"width", "length", "grain"}), "length");
    EXPECT_EQ(nearest_name("colour", {"width", "length", "grain"}), "");
}

TEST(NearestName, TakesTwoExchangedLettersForOneSlip) {
    EXPECT_EQ(nearest_name("itme", {"item", "kit"}), "item");
}

} // namespace
} // namespace aumbry
