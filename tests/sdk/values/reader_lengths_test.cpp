// Inches are 25.4 mm exactly (NIST SP 811, appendix B.8).
#include "aumbry/reader_lengths.hpp"

#include <gtest/gtest.h>

namespace aumbry {
namespace {

TEST(ReaderLengths, AreInTheUnitOfTheReader) {
    EXPECT_EQ(lengths_for_reader("a joint of 80 mm", "mm"), "a joint of 80 mm");
    EXPECT_EQ(lengths_for_reader("a joint of 25.4 mm.", "in"), "a joint of 1 in.");
    EXPECT_EQ(lengths_for_reader("is 19.05 mm, then 50.8 mm", "in"), "is 3/4 in, then 2 in");
}

TEST(ReaderLengths, OfRangesAndSizesAreAllTurned) {
    EXPECT_EQ(lengths_for_reader("25.4 to 50.8 mm", "in"), "1 in to 2 in");
    EXPECT_EQ(lengths_for_reader("is 1524 x 2032 x 254 mm thick", "in"),
              "is 60 in x 80 in x 10 in thick");
    EXPECT_EQ(lengths_for_reader("4 x 25.4 kg and -25.4 mm", "in"), "4 x 25.4 kg and -1 in");
}

TEST(ReaderLengths, InNamesAndOtherUnitsStay) {
    EXPECT_EQ(lengths_for_reader("part 'Rust 18 mm' of 18 mm2", "in"),
              "part 'Rust 18 mm' of 18 mm2");
    EXPECT_EQ(lengths_for_reader("the maker's 25.4 mm", "in"), "the maker's 1 in");
    EXPECT_EQ(lengths_for_reader("it has no mm", "in"), "it has no mm");
}

} // namespace
} // namespace aumbry
