// The view of price lists: what it says of suppliers and faults, and importing by hand from
// choosing a spreadsheet to the next estimate.
#include "window.hpp"

#include "views/text_views.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <chrono>
#include <fstream>
#include <future>
#include <thread>

namespace aumbry::gui::test {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::Not;

std::string bytes_of(const std::filesystem::path& file) {
    std::ifstream in(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

const std::string terms =
    R"({ "name": "Quay Timber", "invented": true, "currency": "EUR", "tax_percent": "21", "length_unit": "mm",
  "delivery": { "flat": "35.00", "free_from": "500.00" } })";
const std::string list =
    "sku,class,description,price,price_unit,species,grade,thickness,length,width\r\n"
    "B18,sheet,Birch plywood,79.50,each,birch,BB/BB,18 mm,2500 mm,1250 mm\r\n"
    "B19,sheet,Birch plywood,free,each,birch,BB/BB,18 mm,2500 mm,1250 mm\r\n";
const std::string spreadsheet = "Quay Timber;;;\r\nprices of March;;;\r\n"
                                "Item;Article;Unit price EUR;In stock\r\n"
                                "B18;18mm Birch BB/BB 2500x1250 mm;€ 83,50;14\r\n"
                                "B12;12mm Birch BB/BB 2500x1250 mm;€ 61,90;on request\r\n"
                                "P18;18mm Poplar BB/BB 2500x1250 mm;ask us;6\r\n";
const std::string project =
    R"({ "aumbry": 1, "title": "Shelf", "currency": "EUR", "priced_on": "2027-02-10", "start": "2027-03-01",
  "materials": { "ply": { "class": "sheet", "species": "birch", "grade": "BB/BB", "thickness": "18 mm" } },
  "lines": { "shelf": { "kind": "panel", "material": "ply", "count": 2, "length": "900 mm", "width": "300 mm" } } })";

/// A project, its one supplier, and what the dealer sent.
struct FolderOfAJob : Folder {
    FolderOfAJob() {
        std::filesystem::create_directories(path() / "suppliers/quay-timber");
        write_text(path() / "suppliers/quay-timber/supplier.json", terms);
        write_text(path() / "suppliers/quay-timber/plywood.csv", list);
        write_text(path() / "march.csv", spreadsheet);
        write_text(path() / "shelf.aumbry.json", project);
    }
};

class Lists : public testing::Test {
  protected:
    void SetUp() override {
        window.open(folder.path() / "shelf.aumbry.json");
        window.wait();
        window.state().view = View::lists;
        window.state().view_changed = true;
        window.frames(3);
    }
    [[nodiscard]] std::filesystem::path supplier() const {
        return folder.path() / "suppliers/quay-timber";
    }
    ListImport& import() { return *window.state().lists.importing; }
    /// Draws until what was chosen has been tried.
    void wait_for_look() {
        for (int i = 0; i < 3000; ++i) {
            window.frames();
            if (!import().stale && !import().busy()) break;
            std::this_thread::sleep_for(std::chrono::milliseconds(10));
        }
        window.frames(2);
        ASSERT_FALSE(import().stale || import().busy());
    }
    /// Chooses from a list that drops down.
    void choose(const std::string& place, const std::string& choice) {
        window.click(place);
        window.frames(2);
        window.click(place + ": " + choice);
        window.frames(2);
    }
    /// Types a file into the question that waits.
    void answer(const std::filesystem::path& file) {
        window.frames(3);
        window.click("dialog file");
        window.press('A', true);
        window.type(file.string());
        window.click("dialog take");
        window.frames(3);
    }
    void begin_import() {
        window.click("Import a dealer's list");
        window.frames(2);
        window.click("Spreadsheet...");
        answer(folder.path() / "march.csv");
        choose("supplier of the import", "Quay Timber");
        wait_for_look();
    }

    FolderOfAJob folder;
    Window window{{1280, 800}, folder.path().string()};
};

TEST_F(Lists, SuppliersStandWithTermsCountsAndFaultsByRowAndColumn) {
    const std::string text = window.text();
    EXPECT_THAT(text, HasSubstr("Quay Timber"));
    EXPECT_THAT(text,
                HasSubstr("delivers for EUR 35.00, free from EUR 500.00; prices without 21 % tax"));
    EXPECT_THAT(text, HasSubstr("plywood.csv"));
    EXPECT_THAT(text, HasSubstr("'free' is no price"));
    EXPECT_EQ(window.state().lists.counts["quay-timber"].rows, 1u);
    EXPECT_EQ(window.state().lists.counts["quay-timber"].faults, 1u);
}

TEST_F(Lists, ASpreadsheetIsShownWithItsHeaderFound) {
    begin_import();
    EXPECT_EQ(import().mapping.header_row, 3);
    EXPECT_TRUE(import().mapping.decimal_comma);
    EXPECT_THAT(columns_of(import()), ElementsAre("Item", "Article", "Unit price EUR", "In stock"));
    EXPECT_THAT(window.text(), HasSubstr("prices of March"));
    EXPECT_THAT(window.text(), HasSubstr("nothing gives it yet"));
    ASSERT_FALSE(import().outcome.faults.empty());
    EXPECT_THAT(window.text(), HasSubstr("nothing gives the sku"));
}

TEST_F(Lists, WhatIsChosenIsSeenAtOnceAndWrittenWhenAllRowsAreChecked) {
    begin_import();
    choose("class", "Sheets");
    choose("column Item", "sku");
    choose("column Article", "description");
    choose("column Unit price EUR", "price");
    choose("column In stock", "stock");
    // What texts become is typed below; the mapping is the same as if it were.
    Mapping& mapping = import().mapping;
    mapping.list = "plywood.csv";
    mapping.remove["price"] = texts_of_text("€");
    mapping.words["species"] = words_of_text("Birch = birch; Poplar = poplar");
    mapping.words["stock"] = words_of_text("on request = 0");
    mapping.patterns = {{"Article", {"{thickness} {species} {grade} {length}x{width}"}, {}}};
    import().stale = true;
    wait_for_look();
    ASSERT_TRUE(import().outcome.import.has_value());
    EXPECT_EQ(import().outcome.import->rows, 2u);
    EXPECT_THAT(window.text(), HasSubstr("The first rows: 2 good, 0 passed over, 1 fault"));
    EXPECT_THAT(window.text(), HasSubstr("'ask us' is no price"));
    EXPECT_EQ(bytes_of(supplier() / "plywood.csv"), list); // nothing is written yet

    window.click("Check all rows");
    wait_for_look();
    EXPECT_THAT(window.text(),
                HasSubstr("against the list that is there 1 new, 0 gone, 1 dearer, 0 cheaper"));
    const std::string before = window.total();
    window.click("Write the list");
    // The lists are read anew and the same document is priced anew: 83.50 in place of 79.50.
    for (int i = 0; i < 3000 && window.total() == before; ++i) {
        window.frames();
        std::this_thread::sleep_for(std::chrono::milliseconds(10));
    }
    window.frames(2);
    EXPECT_EQ(before, "114.50");
    EXPECT_EQ(window.total(), "118.50");
    EXPECT_EQ(window.state().lists.importing, nullptr);
    EXPECT_THAT(bytes_of(supplier() / "plywood.csv"), HasSubstr("B12,sheet,"));
    EXPECT_THAT(window.text(), HasSubstr("Written: 2 rows into plywood.csv"));
    EXPECT_THAT(window.text(), Not(HasSubstr("'free' is no price")));
}

TEST_F(Lists, AMappingIsSavedAndOpenedAgain) {
    begin_import();
    choose("class", "Sheets");
    choose("column Item", "sku");
    choose("column Unit price EUR", "price");
    window.click("Save the mapping...");
    answer(folder.path() / "quay.mapping.json");
    const Json saved = parse_json(bytes_of(folder.path() / "quay.mapping.json"));
    EXPECT_EQ(saved.at("columns").at("Item"), "sku");
    set_field(import().mapping, "Item", "");
    window.click("Open a mapping...");
    answer(folder.path() / "quay.mapping.json");
    wait_for_look();
    EXPECT_EQ(field_of(import().mapping, "Item"), "sku");
}

TEST_F(Lists, AFileThatIsNoSpreadsheetIsASentence) {
    using namespace std::string_literals;
    write_text(folder.path() / "march.csv", "\xFF\xFEs\0k\0u\0"s);
    begin_import();
    EXPECT_THAT(window.text(), HasSubstr("the text is UTF-16; save it as CSV in UTF-8"));
}

// The form waited for a look at a whole list to end before anything else was drawn.
TEST_F(Lists, LeavingTheFormWaitsForNoLook) {
    begin_import();
    std::promise<void> gate;
    import().thread = std::async(std::launch::async, [open = gate.get_future().share()] {
        open.wait_for(std::chrono::seconds(30));
});
const auto began = std::chrono::steady_clock::now();
window.click("Cancel");
EXPECT_LT(std::chrono::steady_clock::now() - began, std::chrono::seconds(15));
EXPECT_EQ(window.state().lists.importing, nullptr);
EXPECT_EQ(window.state().lists.ending.size(), 1U);
gate.set_value();
window.state().lists.ending.front().wait();
window.frames(2);
EXPECT_TRUE(window.state().lists.ending.empty());
} // namespace

// What the file system refuses was an exception in a thread, and the window's end.
TEST(ListImport, AFolderThatTheFileSystemRefusesIsASentence) {
    const FolderOfAJob folder;
    Mapping mapping;
    mapping.list = "march.csv";
    mapping.constants = {{"class", "sheet"}, {"price_unit", "each"}};
    mapping.columns = {{"Item", "sku"}, {"Unit price EUR", "price"}};
    mapping.header_row = 3;
    const ImportOutcome outcome = try_mapping(mapping, folder.path() / "march.csv",
                                              folder.path() / std::string(300, 'x'), {}, true);
    EXPECT_FALSE(outcome.import.has_value());
    EXPECT_FALSE(outcome.faults.empty());
}

TEST(ListImport, AColumnIsOneFieldAndAFieldOneColumn) {
    Mapping mapping;
    set_field(mapping, "Item", "sku");
    set_field(mapping, "Code", "sku");
    EXPECT_EQ(field_of(mapping, "Item"), "");
    EXPECT_EQ(field_of(mapping, "Code"), "sku");
    set_field(mapping, "Code", "");
    EXPECT_TRUE(mapping.columns.empty());
}

TEST(ListImport, WordsReadBackAsTheyAreWritten) {
    const std::map<std::string, std::string> words{{"Birch", "birch"}, {"on request", "0"}};
    EXPECT_EQ(words_as_text(words), "Birch = birch; on request = 0");
    EXPECT_EQ(words_of_text(words_as_text(words)), words);
    EXPECT_THAT(texts_of_text(" €  EUR "), ElementsAre("€", "EUR"));
}

} // namespace aumbry::gui::test
} // namespace aumbry::gui::test
