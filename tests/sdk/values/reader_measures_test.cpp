// Inches are 25.4 mm exactly (NIST SP 811, appendix B.8).
#include "aumbry/reader_measures.hpp"

#include <gtest/gtest.h>

namespace aumbry {
namespace {

TEST(ReaderLengths, AreInTheUnitOfTheReader) {
    EXPECT_EQ(measures_for_reader("a joint of 80 mm", "mm"), "a joint of 80 mm");
    EXPECT_EQ(measures_for_reader("a joint of 25.4 mm.", "in"), "a joint of 1 in.");
    EXPECT_EQ(measures_for_reader("is 19.05 mm, then 50.8 mm", "in"), "is 3/4 in, then 2 in");
}

TEST(ReaderLengths, OfRangesAndSizesAreAllTurned) {
    EXPECT_EQ(measures_for_reader("25.4 to 50.8 mm", "in"), "1 in to 2 in");
    EXPECT_EQ(measures_for_reader("is 1524 x 2032 x 254 mm thick", "in"),
              "is 60 in x 80 in x 10 in thick");
    EXPECT_EQ(measures_for_reader("4 x 25.4 kg and -25.4 mm", "in"), "4 x 56 lb and -1 in");
}

TEST(ReaderLengths, InNamesAndOtherUnitsStay) {
    EXPECT_EQ(measures_for_reader("part 'Rust 18 mm' of 18 mm2", "in"),
              "part 'Rust 18 mm' of 18 mm2");
    EXPECT_EQ(measures_for_reader("the maker's 25.4 mm", "in"), "the maker's 1 in");
    EXPECT_EQ(measures_for_reader("it has no mm", "in"), "it has no mm");
}

// NIST SP 811, appendix B.8: 1 lb = 0.453 592 37 kg, 1 gal (US) = 3.785 412 L, 1 ft = 0.3048 m, 1
// lbf = 4.448 222 N, 1 psi = 6.894 757 kPa.
TEST(ReaderMeasures, OfAJobInInchesAreNotMetric) {
    EXPECT_EQ(measures_for_reader("lifts 46.8 kg, more than the 31.7515 kg one lifts", "in"),
              "lifts 103.2 lb, more than the 70 lb one lifts");
    EXPECT_EQ(measures_for_reader("0.919 L is left, 1.5 L and 7.57 L too", "in"),
              "31.1 fl oz is left, 1.59 qt and 2 gal too");
    EXPECT_EQ(measures_for_reader("8.282 m2 and 3 m", "in"), "89.1 sq ft and 9.8 ft");
    EXPECT_EQ(measures_for_reader("200 N, 10 N m, 680 kg/m3, 12 N/mm2", "in"),
              "45 lbf, 7.4 lbf ft, 42.5 lb/ft3, 1740 psi");
    EXPECT_EQ(measures_for_reader("46.8 kg", "mm"), "46.8 kg");
    EXPECT_EQ(mass_text(10, "in"), "22 lb");
    EXPECT_EQ(mass_text(0.2, "in"), "0.44 lb");
    EXPECT_EQ(volume_text(0.5, "mm"), "0.5 L");
}

} // namespace
} // namespace aumbry
