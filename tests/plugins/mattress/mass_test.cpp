#include "mattress/engine/mass.hpp"

#include "complaint.hpp"
#include "mattress/engine/unrolling.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace aumbry::mattress {
namespace {

using ::testing::HasSubstr;

TEST(MattressMass, RedCrossHighDensityFoamMattressWeighsNineKilograms) {
    // Red Cross items catalogue: 0.9 x 1.9 x 0.15 m, listed volume 0.256 m3, ship weight 9 kg; at
    // 35 kg/m3 the volume of 0.2565 m3 makes 8.98 kg (computed).
    const MattressMass mass =
        mattress_mass({900, 1900, 150}, {{{"foam", 150, 35}}, 0, std::nullopt});
    EXPECT_NEAR(mass.layers.at(0).volume, 0.256, 0.001);
    EXPECT_NEAR(mass.mass, 8.98, 0.005);
    EXPECT_NEAR(mass.mass, 9, 0.1);
    EXPECT_FALSE(mass.given);
}

TEST(MattressMass, LayersAndCoverAddUp) {
    // 1.4 x 2.0 m: 0.12 m at 30 kg/m3 = 10.08, 0.06 m at 60 = 10.08, cover 2.5.
    const MattressMass mass = mattress_mass(
        {1400, 2000, 180}, {{{"core", 120, 30}, {"visco", 60, 60}}, 2.5, std::nullopt});
    EXPECT_NEAR(mass.mass, 22.66, 0.0005);
    EXPECT_NEAR(mass.layers.at(1).mass, 10.08, 0.0005);
}

TEST(MattressMass, AGivenMassWins) {
    const MattressMass mass = mattress_mass({1400, 2000, 180}, {{{"core", 180, 30}}, 2.5, 26.0});
    EXPECT_EQ(mass.mass, 26);
    EXPECT_TRUE(mass.given);
}

TEST(MattressMass, BadFigures) {
    const auto with = [](Size size, Construction construction) {
        return complaint([&] { (void)mattress_mass(size, construction); });
    };
    EXPECT_EQ(with({1400, 2000, 180}, {}),
              "neither mass nor construction of the mattress is known; give its mass, or its "
              "layers with their densities");
    EXPECT_THAT(with({1400, 0, 180}, {{}, 0, 20.0}), HasSubstr("a mattress of 1400 x 0 x 180 mm"));
    EXPECT_THAT(with({1400, 2000, 180}, {{{"core", 180, 0}}, 0, std::nullopt}),
                HasSubstr("layer 'core' is 180 mm thick with a density of 0 kg/m3"));
    EXPECT_THAT(with({1400, 2000, 180}, {{{"core", 150, 30}}, 0, std::nullopt}),
                HasSubstr("the layers add up to 150 mm, the mattress is 180 mm thick"));
    EXPECT_THAT(with({1400, 2000, 180}, {{}, 0, -1.0}),
                HasSubstr("the mattress has a mass of -1 kg"));
    EXPECT_THAT(with({1400, 2000, 180}, {{}, -1, 20.0}),
                HasSubstr("the cover has a mass of -1 kg"));
}

TEST(Unrolling, RolledFoamRestsADayOrMore) {
    // From memory: one to three days.
    EXPECT_GE(days_to_rest(Delivered::rolled), 1);
    EXPECT_LE(days_to_rest(Delivered::rolled), 3);
    EXPECT_EQ(days_to_rest(Delivered::flat), 0);
    EXPECT_EQ(days_to_rest(Delivered::flat, 1), 1);
    EXPECT_THAT(complaint([] { (void)days_to_rest(Delivered::flat, -1); }),
                HasSubstr("air for -1 days"));
    EXPECT_THAT(complaint([] { (void)days_to_rest(Delivered::flat, 100); }),
                HasSubstr("air for 100 days"));
}

} // namespace
} // namespace aumbry::mattress
