#include "aumbry/fault.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <random>
#include <string>
#include <vector>

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

// The table of distances of two names was as large as the product of their lengths.
TEST(NearestName, AnswersForNamesOfAMegabyte) {
    const std::string huge(1'000'000, 'a');
    EXPECT_EQ(nearest_name(huge, {"width", "length"}), "");
    EXPECT_EQ(nearest_name(huge, {"width", huge + 'b'}), huge + 'b');
}

/// The definition written out (restricted Damerau-Levenshtein: R. W. Lowrance and R. A. Wagner,
/// 1975, without edits between exchanged letters; from memory).
std::size_t distance_by_definition(const std::string& a, const std::string& b) {
    std::vector<std::vector<std::size_t>> d(a.size() + 1, std::vector<std::size_t>(b.size() + 1));
    for (std::size_t i = 0; i <= a.size(); ++i) {
        for (std::size_t j = 0; j <= b.size(); ++j) {
            if (i == 0 || j == 0) {
                d[i][j] = i + j;
                continue;
            }
            d[i][j] = std::min({d[i - 1][j] + 1, d[i][j - 1] + 1,
                                d[i - 1][j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1)});
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
                d[i][j] = std::min(d[i][j], d[i - 2][j - 2] + 1);
        }
    }
    return d[a.size()][b.size()];
}

TEST(NearestName, IsTheFirstOfTheNearestByDefinition) {
    std::mt19937 random(7);
    const auto word = [&] {
        std::string made;
        const auto length = 1 + random() % 12;
        for (unsigned i = 0; i < length; ++i) made += static_cast<char>('a' + random() % 3);
        return made;
    };
    for (int round = 0; round < 2000; ++round) {
        const std::string name = word();
        const std::vector<std::string> candidates{word(), word(), word(), word()};
        std::string nearest;
        std::size_t best = std::max<std::size_t>(1, name.size() / 3) + 1;
        for (const std::string& candidate : candidates) {
            const std::size_t distance = distance_by_definition(name, candidate);
            if (distance < best) {
                best = distance;
                nearest = candidate;
            }
        }
        EXPECT_EQ(nearest_name(name, candidates), nearest) << name;
    }
}

} // namespace
} // namespace aumbry
