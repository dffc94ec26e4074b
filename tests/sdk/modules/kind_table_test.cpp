// The table beside the modules that says whose a kind is.
#include "aumbry/kind_table.hpp"

#include "aumbry/fault.hpp"

#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <string>

namespace aumbry {
namespace {

namespace fs = std::filesystem;

/// A folder with a table, or without one.
class TableFolder {
  public:
    explicit TableFolder(const std::string& table) {
        fs::create_directories(path_);
        if (!table.empty()) std::ofstream(path_ / "kinds.json") << table;
    }
    TableFolder(const TableFolder&) = delete;
    TableFolder& operator=(const TableFolder&) = delete;
    ~TableFolder() { fs::remove_all(path_); }
    [[nodiscard]] const fs::path& path() const { return path_; }

  private:
    fs::path path_ =
        fs::path(::testing::TempDir()) /
        ("kinds_" + std::string(::testing::UnitTest::GetInstance()->current_test_info()->name()));
};

std::string fault_of(const std::string& table) {
    const TableFolder folder(table);
    try {
        (void)read_kind_table(folder.path());
        return {};
    } catch (const FaultError& error) {
        const std::string sentence = error.what();
        return sentence.substr(sentence.find("kinds.json"));
    }
}

TEST(KindTable, NamesTheHomeOfAKind) {
    const TableFolder folder(R"({"joinery": ["board", "post"], "masonry": ["wall"]})");
    const KindTable table = read_kind_table(folder.path());
    EXPECT_EQ(home_of_kind(table, "post"), "joinery");
    EXPECT_EQ(home_of_kind(table, "wall"), "masonry");
    EXPECT_EQ(home_of_kind(table, "roof"), "");
}

TEST(KindTable, OfAStrangerIsHisKindsOwnName) {
    EXPECT_EQ(home_of_kind({}, "glazing.pane"), "glazing");
    EXPECT_EQ(home_of_kind({}, "pane"), "");
}

TEST(KindTable, MayBeAbsent) {
    const TableFolder folder("");
    EXPECT_TRUE(read_kind_table(folder.path()).homes.empty());
}

TEST(KindTable, SaysWhatIsWrongWithIt) {
    EXPECT_EQ(fault_of("[]"), "kinds.json: this is no table of kinds; write the kinds of each "
                              "module, as in { \"module\": [\"kind\"] }");
    EXPECT_EQ(fault_of(R"({"joinery": "board"})"),
              "kinds.json: /joinery: found the text 'board' for the kinds; write the kinds of each "
              "module, as in { \"module\": [\"kind\"] }");
    EXPECT_EQ(fault_of(R"({"joinery": [3]})"),
              "kinds.json: /joinery: found the number 3 for a kind; write the kinds of each "
              "module, as in { \"module\": [\"kind\"] }");
    EXPECT_EQ(fault_of(R"({"joinery": ["board"], "masonry": ["board"]})"),
              "kinds.json: /masonry: the kind 'board' is that of module 'joinery' already; write "
              "the kinds of each module, as in { \"module\": [\"kind\"] }");
    EXPECT_TRUE(fault_of("{").starts_with("kinds.json:1:2: this is not JSON: ")) << fault_of("{");
}

} // namespace
} // namespace aumbry
