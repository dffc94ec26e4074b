// What lies in the vehicle: against every way to turn a box with its edges along the vehicle's.
#include "aumbry/vehicle.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <random>

namespace aumbry {
namespace {

bool fits_turned(const std::array<double, 3>& room, std::array<double, 3> sides) {
    std::sort(sides.begin(), sides.end());
    do {
        if (sides[0] <= room[0] && sides[1] <= room[1] && sides[2] <= room[2]) return true;
    } while (std::next_permutation(sides.begin(), sides.end()));
    return false;
}

TEST(Vehicle, TakesABoxThatFitsTurnedSomehow) {
    std::mt19937_64 random(11);
    const auto pick = [&] { return static_cast<double>(1 + random() % 12); };
    int fitting = 0;
    for (int round = 0; round < 20'000; ++round) {
        const Vehicle vehicle{pick(), pick(), pick(), {}};
        const std::array<double, 3> sides{pick(), pick(), pick()};
        const bool fits = fits_turned({vehicle.length, vehicle.width, *vehicle.height}, sides);
        fitting += fits ? 1 : 0;
        EXPECT_EQ(carried_in(vehicle, sides[0], sides[1], sides[2]) == Carried::yes, fits);
    }
    EXPECT_GT(fitting, 2000);
}

// Without a height what lies flat on the floor fits; what would have to stand is told apart from
// what no height makes fit, for a height up to the vehicle's length.
TEST(Vehicle, WithoutAHeightTakesWhatLiesFlat) {
    std::mt19937_64 random(12);
    const auto pick = [&] { return static_cast<double>(1 + random() % 12); };
    for (int round = 0; round < 20'000; ++round) {
        const Vehicle vehicle{pick(), pick(), {}, {}};
        const std::array<double, 3> sides{pick(), pick(), pick()};
        std::array<double, 3> sorted = sides;
        std::sort(sorted.begin(), sorted.end());
        const bool flat = fits_turned({vehicle.length, vehicle.width, sorted[0]}, sides);
        const double highest = std::max(vehicle.length, vehicle.width);
        const bool standing = fits_turned({vehicle.length, vehicle.width, highest}, sides);
        EXPECT_EQ(carried_in(vehicle, sides[0], sides[1], sides[2]), flat       ? Carried::yes
                                                                     : standing ? Carried::standing
                                                                                : Carried::no);
    }
}

// A sheet of 1525 x 1525 in a vehicle of 1600 x 1000: flat never, on edge if it is high enough.
TEST(Vehicle, ASheetStandsOnEdgeWhereTheRoofAllowsIt) {
    EXPECT_EQ(carried_in({1600, 1000, {}, {}}, 1525, 1525, 12), Carried::standing);
    EXPECT_EQ(carried_in({1600, 1000, 1550, {}}, 1525, 1525, 12), Carried::yes);
    EXPECT_EQ(carried_in({1600, 1000, 1500, {}}, 1525, 1525, 12), Carried::no);
}

TEST(Vehicle, IsReadFromTheSettings) {
    EXPECT_FALSE(vehicle_of(Json::object()));
    const auto vehicle = vehicle_of({{"length", 2100.0}, {"width", 1100.0}, {"load", 420.0}});
    ASSERT_TRUE(vehicle);
    EXPECT_FALSE(vehicle->height);
    EXPECT_EQ(vehicle->load, 420);
    EXPECT_EQ(vehicle_text(*vehicle, "mm"), "2100 x 1100 mm");
    EXPECT_EQ(vehicle_text({2100, 1100, 1300, {}}, "mm"), "2100 x 1100 x 1300 mm");
}

} // namespace
} // namespace aumbry
