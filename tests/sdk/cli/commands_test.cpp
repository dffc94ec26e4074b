// What the command says when something goes wrong that is not in its input.
#include "cli/commands.hpp"

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <stdexcept>

namespace aumbry::cli {
namespace {

// "[json.exception.out_of_range.403] key 'copies' not found" was all that the user read.
TEST(Failure, NamesNoExceptionOfALibraryAndAsksForAReport) {
    try {
        (void)nlohmann::json::object().at("copies");
        FAIL() << "at() finds nothing";
    } catch (const std::exception& error) {
        EXPECT_EQ(failure_sentence(error),
                  "aumbry: a fault of the program itself: key 'copies' not found; please report it "
                  "with the command and the project file");
    }
    EXPECT_EQ(failure_sentence(std::runtime_error("the worker died")),
              "aumbry: a fault of the program itself: the worker died; please report it with the "
              "command and the project file");
}

TEST(RenamedWords, AreFoundWhereTheyAreWordsOfTheCommandAlone) {
    EXPECT_EQ(renamed({"weigh", "a.json"}), "the command 'weigh' is called 'tradeoff' now");
    EXPECT_EQ(renamed({"price", "a.json", "--finish-by=2027-03-26"}),
              "the option --finish-by is called --ready-by now");
    EXPECT_EQ(renamed({"price", "papers"}), "") << "a project may be called papers";
    EXPECT_EQ(renamed({"price", "a.json", "--finish-bysomething"}), "");
    EXPECT_EQ(renamed({}), "");
}

} // namespace
} // namespace aumbry::cli
