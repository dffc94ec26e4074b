#include "mattress/engine/size_table.hpp"

#include "aumbry/json.hpp"
#include "aumbry/quantity.hpp"
#include "complaint.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>
#include <iterator>
#include <set>
#include <utility>

namespace aumbry::mattress {
namespace {

using ::testing::HasSubstr;

Json reference_rows(const std::string& name) {
    const std::string path = std::string(AUMBRY_REFERENCE_DIR) + "/" + name + ".json";
    std::ifstream file(path);
    const std::string text{std::istreambuf_iterator<char>(file), {}};
    const Json document = parse_json(text, path);
    EXPECT_EQ(document.at("table"), name);
    return document.at("rows");
}

std::vector<NominalSize> shipped_sizes() {
    std::vector<NominalSize> table;
    for (const Json& row : reference_rows("mattress_sizes")) {
        const auto length = [&](const char* key) {
            return in_unit(parse_quantity(row.at(key).get<std::string>()), "mm");
        };
        table.push_back({row.at("region"), row.at("name"), length("width"), length("length"),
                         row.at("source"), row.at("mark")});
    }
    return table;
}

TEST(MattressSizes, ShippedTableTranscribesSecondaryPages) {
    // Secondary pages that name no publisher, in mm by 25.4 mm an inch: checks the transcription
    // and the units, not whether the sizes are right.
    struct Published {
        const char* region;
        const char* name;
        double width;
        double length;
    };
    const std::vector<NominalSize> table = shipped_sizes();
    for (const Published& p :
         {Published{"US", "twin", 38 * 25.4, 75 * 25.4}, Published{"US", "queen", 1524, 2032},
          Published{"US", "king", 76 * 25.4, 2032},
          Published{"US", "California king", 72 * 25.4, 84 * 25.4},
          Published{"EU", "140 x 200", 1400, 2000}, Published{"EU", "90 x 200", 900, 2000},
          Published{"UK", "single", 900, 1900}, Published{"UK", "double", 1350, 1900},
          Published{"UK", "super king", 1800, 2000}, Published{"AU", "queen", 1520, 2030},
          Published{"AU", "single", 920, 1870}, Published{"JP", "single", 970, 1950},
          Published{"JP", "double", 1400, 1950}}) {
        const NominalSize& size = find_size(table, p.region, p.name);
        EXPECT_NEAR(size.width, p.width, 1e-9) << p.region << ' ' << p.name;
        EXPECT_NEAR(size.length, p.length, 1e-9) << p.region << ' ' << p.name;
    }
}

TEST(MattressSizes, EveryShippedRowIsUsableAndNamesItsSource) {
    const std::vector<NominalSize> table = shipped_sizes();
    std::set<std::string> regions;
    for (const NominalSize& size : table) {
        regions.insert(size.region);
        EXPECT_EQ(&find_size(table, size.region, size.name), &size);
        EXPECT_FALSE(size.source.empty());
        EXPECT_FALSE(size.mark.empty());
        EXPECT_GE(size.length, size.width);
    }
    EXPECT_EQ(regions, (std::set<std::string>{"AU", "EU", "JP", "UK", "US"}));
}

TEST(FoamDensities, ShippedTableHoldsTheBandsOfTheItemsCatalogue) {
    // Red Cross items catalogue: low 18 to 22, medium 22 to 27, high above 27 kg/m3; latex and
    // visco common practice.
    const std::vector<std::pair<double, double>> bands{
        {18, 22}, {22, 27}, {27, 35}, {60, 90}, {40, 85}};
    const Json rows = reference_rows("foam_densities");
    ASSERT_EQ(rows.size(), bands.size());
    for (std::size_t i = 0; i < bands.size(); ++i) {
        EXPECT_EQ(in_unit(parse_quantity(rows[i].at("low").get<std::string>()), "kg/m3"),
                  bands[i].first);
        EXPECT_EQ(in_unit(parse_quantity(rows[i].at("high").get<std::string>()), "kg/m3"),
                  bands[i].second);
        EXPECT_FALSE(rows[i].at("source").get<std::string>().empty());
    }
}

TEST(MattressSizes, UnknownRegionsAndNamesGetTheNearest) {
    const std::vector<NominalSize> table{{"US", "queen", 1524, 2032, "s", "m"},
                                         {"UK", "king", 1500, 2000, "s", "m"}};
    EXPECT_EQ(complaint([&] { (void)find_size(table, "US", "quen"); }),
              "no mattress 'quen' is known in region 'US'; did you mean 'queen'? Or give width and "
              "length");
    EXPECT_EQ(complaint([&] { (void)find_size(table, "Mars", "queen"); }),
              "no mattress sizes are known for region 'Mars'; use one of US, UK");
    EXPECT_EQ(size_names(table, "UK"), std::vector<std::string>{"king"});
}

TEST(MattressSizes, ATableWithARowTwiceOrWithoutSizeIsRefused) {
    const std::vector<NominalSize> twice{{"US", "queen", 1524, 2032, "s", "m"},
                                         {"US", "queen", 1500, 2000, "s", "m"}};
    EXPECT_THAT(complaint([&] { (void)find_size(twice, "US", "queen"); }),
                HasSubstr("has two sizes named 'queen'"));
    const std::vector<NominalSize> empty{{"US", "queen", 0, 2032, "s", "m"}};
    EXPECT_THAT(complaint([&] { (void)find_size(empty, "US", "queen"); }),
                HasSubstr("as 0 x 2032 mm"));
}

} // namespace
} // namespace aumbry::mattress
