#include "sample.hpp"

#include "aumbry/catalog_import.hpp"
#include "aumbry/fault.hpp"
#include "aumbry/parts_list.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>

namespace aumbry {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;

const std::string titles = "Preisliste Hafenholz;;;;;\r\nStand 1.2.2027;;;;;\r\n";
const std::string header = "Art.-Nr.;Bezeichnung;VK netto;ab;bis;Lager\r\n";

std::string text_of(const std::filesystem::path& path) {
    std::ifstream in(path, std::ios::binary);
    EXPECT_TRUE(in) << path;
    return {std::istreambuf_iterator<char>(in), {}};
}

class ImportTest : public testing::Test {
  protected:
    void SetUp() override {
        folder.write("suppliers/hafen/supplier.json", test::sample_terms);
        mapping = read_mapping(text_of(AUMBRY_FIXTURES "/mappings/good/dealer.mapping.json"),
                               "dealer.mapping.json", test::sample_classes());
    }
    [[nodiscard]] Import plan(const std::string& text) const {
        folder.write("dealer.csv", text);
        return plan_import(folder.path() / "dealer.csv", mapping, supplier(),
                           test::sample_classes());
    }
    [[nodiscard]] std::filesystem::path supplier() const {
        return folder.path() / "suppliers/hafen";
    }
    [[nodiscard]] std::vector<std::string> sentences(const Import& import) const {
        std::vector<std::string> all;
        for (const csv::RowFault& fault : import.faults)
            all.push_back(folder.without_path(fault.fault.sentence()));
        return all;
    }
    template <class Run>
    [[nodiscard]] std::string fault_of(const Run& run) const {
        try {
            run();
            return "";
        } catch (const FaultError& error) {
            return folder.without_path(error.what());
        }
    }

    test::TemporaryFolder folder;
    Mapping mapping;
};

TEST_F(ImportTest, AMessyListBecomesAPriceListThatIsUsed) {
    const Import import = plan(
        titles + header +
        "Sperrholz;;;;;\r\n"
        "B18;18mm BB/BB 2440x1220;74,50 €;1;31.12.2027;40\r\n"
        "B18;\"18mm BB/BB 2440x1220\";70,00 €;10;31.12.2027;40\r\n"
        "P12;Pappel Sperrholz 12 mm BB/CC 2500 × 1250 (Aktion);1.034,90 EUR;1;;auf Anfrage\r\n");
    EXPECT_THAT(sentences(import), IsEmpty());
    EXPECT_EQ(import.rows, 3u);
    EXPECT_EQ(import.passed_over, 1u);
    EXPECT_EQ(import.text,
              "sku,class,description,price,price_unit,min_quantity,stock,valid_to,species,"
              "thickness,grade,length,width\r\n"
              "B18,sheet,18mm BB/BB 2440x1220,74.50,each,1,40,2027-12-31,birch,18mm,BB/BB,2440 "
              "mm,1220 mm\r\n"
              "B18,sheet,18mm BB/BB 2440x1220,70.00,each,10,40,2027-12-31,birch,18mm,BB/BB,2440 "
              "mm,1220 mm\r\n"
              "P12,sheet,Pappel Sperrholz 12 mm BB/CC 2500 × 1250 "
              "(Aktion),1034.90,each,1,0,,poplar,12 mm,BB/CP,2500 mm,1250 mm\r\n");
    EXPECT_FALSE(std::filesystem::exists(import.target));
    write_import(import);
    const Catalog catalog = load_catalog({folder.path()}, test::sample_classes());
    EXPECT_THAT(catalog.faults(), IsEmpty());
    const auto found = catalog.match(
        "sheet", {{"species", {"poplar"}}, {"thickness", {12}}, {"grade", {"BB/CP"}}});
    ASSERT_EQ(found.size(), 1u);
    EXPECT_EQ(found.front()->price, Decimal::parse("1034.9"));
}

TEST_F(ImportTest, FaultsNameRowAndColumnOfTheSpreadsheetAndTheRestWorks) {
    const Import import = plan(titles + header +
                               "Sperrholz;;;;;\r\n"
                               "B18;18mm BB/BB 2440x1220;74.5x;1;;\r\n"
                               "B19;\"eine\r\nPlatte\";60;1;;\r\n"
                               "B20;18mm BB/BB 2440x1220;-5,00;1;;\r\n"
                               "B21;18mm BB/BB 2440x1220;60;1;30.02.2027;\r\n"
                               "B22;18mm BB/BB 2440x1220;60;1;bald;\r\n"
                               "B23;18mm BB/BB 2440x1220;60;1\r\n"
                               "B24;18mm BB/BB 2440x1220;60,00;1;;\r\n"
                               "B24;18mm BB/BB 2440x1220;61,00;1;;\r\n");
    EXPECT_THAT(
        sentences(import),
        ElementsAre(
            "dealer.csv:5: row 5, column VK netto: '74.5x' has a point where the decimal "
            "sign is a comma; change decimal in the mapping, or name the sign as its grouping",
            "dealer.csv:6: row 6, column Bezeichnung: 'eine  Platte' fits no pattern of the "
            "mapping; add a pattern for it, such as {} for text that is not kept",
            "dealer.csv:8: row 7, column VK netto: the price '-5.00' is below zero; write what one "
            "costs",
            "dealer.csv:9: row 8, column bis: there is no date 2027-02-30; write a date of the "
            "calendar from 1900-01-01 on",
            "dealer.csv:10: row 9, column bis: 'bald' is no date of the order that the mapping "
            "says; write day, month and year in that order, or change dates in the mapping",
            "dealer.csv:11: row 10: 4 fields where the header has 6; write every field, empty ones "
            "too",
            "dealer.csv:13: row 12, column Art.-Nr.: the sku 'B24' with min_quantity 1 is already "
            "in row 11; give it another min_quantity, or dates that do not overlap"));
    EXPECT_EQ(import.rows, 1u);
}

TEST_F(ImportTest, RowsThatAreNoCsvAreLeftOutAndTheRestWorks) {
    using namespace std::string_literals;
    const std::string article = "18mm BB/BB 2440x1220";
    const Import import =
        plan(titles + header + "B1;" + article + ";60;1;;\r\n" + "B2;3/4\" BB/BB;60;1;;\r\n" +
             "B3;\"" + article + "\"!;60;1;;\r\n" + "B4;" + article + ";60;1;;;\r\n" +
             "B5;18\0mm;60;1;;\r\n"s + "B6;" + std::string(1'000'000, 'x') + ";60;1;;\r\n" + "B7;" +
             article + ";Preis auf Anfrage;1;;\r\n" + "B8;" + article + ";;1;;\r\n" + "B9;\"" +
             article + ";60;1;;\r\n" + "B10;" + article + ";61;1;;\r\n");
    EXPECT_THAT(
        sentences(import),
        ElementsAre(
            "dealer.csv:5: row 5, column Bezeichnung: a quote inside a field that does not begin "
            "with one; put the field in quotes and double the quotes inside it",
            "dealer.csv:6: row 6, column Bezeichnung: text after the closing quote; double the "
            "quotes inside the field",
            "dealer.csv:7: row 7: 7 fields where the header has 6; put fields that hold the "
            "separator in quotes",
            "dealer.csv:8: row 8, column Bezeichnung: a NUL character; remove it",
            "dealer.csv:9: row 9, column Bezeichnung: a field of 1000000 bytes; at most 65536 are "
            "read",
            "dealer.csv:10: row 10, column VK netto: 'Preis auf Anfrage' is no price; write the "
            "number alone, such as 12.50; it is taken in EUR, the supplier's currency",
            "dealer.csv:12: row 12, column Bezeichnung: the quote that opens this field is never "
            "closed; close it, and double the quotes inside the field"));
    EXPECT_EQ(import.rows, 2u);
    EXPECT_EQ(import.passed_over, 1u); // the row without a price is a heading: the mapping says so
}

TEST_F(ImportTest, ASpreadsheetInUtf16IsRefusedWithASentence) {
    EXPECT_EQ(fault_of([&] { (void)plan(text_of(AUMBRY_FIXTURES "/list_utf16.csv")); }),
              "dealer.csv: the text is UTF-16; save it as CSV in UTF-8");
}

TEST_F(ImportTest, AnEmptySpreadsheetIsOneSentence) {
    for (const std::string& text : {std::string(), titles}) {
        EXPECT_EQ(fault_of([&] { (void)plan(text); }),
                  "dealer.csv: the table is empty; begin it with a header row");
    }
}

TEST_F(ImportTest, TitlesOfSeveralLinesInOneCellAreOneRow) {
    const Import import = plan("\"Hafenholz\r\nKai 4\";;;;;\r\nStand 1.2.2027;;;;;\r\n" + header +
                               "B1;18mm BB/BB 2440x1220;free;1;;\r\n");
    ASSERT_EQ(import.faults.size(), 1u);
    EXPECT_EQ(import.faults.front().row, 4);
    EXPECT_EQ(import.faults.front().fault.place.line, 5);
}

TEST_F(ImportTest, TheListIsComparedWithTheOneThatIsThere) {
    write_import(plan(titles + header +
                      "A;18mm BB/BB 2440x1220;80,00;1;;\r\nB;18mm BB/BB "
                      "2440x1220;60,00;1;;\r\nC;18mm BB/BB 2440x1220;50,00;1;;\r\n"
                      "D;18mm BB/BB 2440x1220;10,00;1;;\r\nE;18mm BB/BB 2440x1220;30,00;1;;\r\n"));
    const Import import =
        plan(titles + header +
             "E;18mm BB/BB 2440x1220;31,00;1;;\r\nA;18mm BB/BB 2440x1220;84,00;1;;\r\nB;18mm BB/BB "
             "2440x1220;45,00;1;;\r\n"
             "C;18mm BB/BB 2440x1220;50,00;1;;\r\nN;18mm BB/BB 2440x1220;10,00;1;;\r\n");
    EXPECT_THAT(import.added, ElementsAre("N"));
    EXPECT_THAT(import.gone, ElementsAre("D"));
    EXPECT_EQ(import.unchanged, 1u);
    // 84 / 80 = 1.05; 31 / 30 = 1.0333...; 45 / 60 = 0.75
    ASSERT_EQ(import.dearer.size(), 2u);
    EXPECT_EQ(import.dearer[0].sku, "A");
    EXPECT_EQ(import.dearer[0].percent, Decimal(5));
    EXPECT_EQ(import.dearer[1].percent, Decimal::parse("3.3"));
    ASSERT_EQ(import.cheaper.size(), 1u);
    EXPECT_EQ(import.cheaper[0].percent, Decimal(-25));
    EXPECT_EQ(folder.without_path(import_report(import, false, false)),
              "dealer.csv -> suppliers/hafen/boards.csv (nothing is written)\n"
              "  5 good rows, 0 passed over, 0 faults\n"
              "Against the list that is there: 1 new, 1 gone, 2 dearer, 1 cheaper, 1 unchanged\n"
              "  new: N\n"
              "  gone: D\n"
              "  dearer:\n"
              "    A  80 -> 84 (+5 %)\n"
              "    E  30 -> 31 (+3.3 %)\n"
              "  cheaper:\n"
              "    B  60 -> 45 (-25 %)\n");
    const Json report = parse_json(import_report(import, true, true));
    EXPECT_EQ(report.at("dearer").at(0).at("percent"), "5");
    EXPECT_EQ(report.at("written"), true);
}

TEST_F(ImportTest, ALookAtTheFirstRowsReadsNoMore) {
    write_import(plan(titles + header + "A;18mm BB/BB 2440x1220;80,00;1;;\r\n"));
    folder.write("dealer.csv", titles + header +
                                   "B;18mm BB/BB 2440x1220;60,00;1;;\r\nC;nonsense;60,00;1;;\r\n"
                                   "D;more nonsense;60,00;1;;\r\n");
    const Import look =
        plan_import(folder.path() / "dealer.csv", mapping, supplier(), test::sample_classes(), 2);
    EXPECT_EQ(look.rows, 1u);
    EXPECT_EQ(look.faults.size(), 1u);
    EXPECT_THAT(look.gone, IsEmpty()); // A may be among the rows that were not read
}

TEST_F(ImportTest, PricesByAnotherUnitAreNotCompared) {
    write_import(plan(titles + header + "A;18mm BB/BB 2440x1220;80,00;1;;\r\n"));
    mapping.constants["price_unit"] = "m2";
    const Import import = plan(titles + header + "A;18mm BB/BB 2440x1220;27,00;1;;\r\n");
    EXPECT_THAT(import.sold_otherwise, ElementsAre("A"));
    EXPECT_THAT(import.cheaper, IsEmpty());
}

TEST_F(ImportTest, TheSupplierWithADecimalCommaGetsOne) {
    folder.write(
        "suppliers/hafen/supplier.json",
        R"({"name": "Hafen", "currency": "EUR", "tax_percent": "19", "delivery": {"flat": "0"}, "decimal_comma": true})");
    const Import import = plan(titles + header + "A;12,5mm BB/BB 2440x1220;1.080,50;1;;\r\n");
    EXPECT_THAT(sentences(import), IsEmpty());
    EXPECT_THAT(import.text, testing::HasSubstr("\r\nA;sheet;12,5mm BB/BB 2440x1220;1080,50;"));
    write_import(import);
    const Catalog catalog = load_catalog({folder.path()}, test::sample_classes());
    EXPECT_THAT(catalog.faults(), IsEmpty());
    EXPECT_EQ(catalog.rows().at(0).price, Decimal::parse("1080.5"));
    EXPECT_EQ(catalog.attributes(catalog.rows().at(0)).at("thickness"), 12.5);
}

TEST_F(ImportTest, ConstantsOfAMappingHaveADecimalPointWhateverTheListsHave) {
    folder.write(
        "suppliers/hafen/supplier.json",
        R"({"name": "Hafen", "currency": "EUR", "tax_percent": "19", "delivery": {"flat": "0"}, "decimal_comma": true})");
    mapping.constants["pack"] = "2.5";
    const Import import = plan(titles + header + "A;18mm BB/BB 2440x1220;80,00;1;;\r\n");
    EXPECT_THAT(sentences(import), IsEmpty());
    write_import(import);
    EXPECT_EQ(load_catalog({folder.path()}, test::sample_classes()).rows().at(0).pack, 2.5);
}

TEST_F(ImportTest, OnlyThreeDigitsBehindAGroupingSignAreThousands) {
    const Import import =
        plan(titles + header +
             "A;18mm BB/BB 2440x1220;1.234.567,50;1;;\r\nB;18mm BB/BB 2440x1220;74.50;1;;\r\n");
    EXPECT_EQ(sentences(import).size(), 1u); // 74.50 is no 7450
    EXPECT_THAT(import.text, testing::HasSubstr(",1234567.50,"));
    EXPECT_EQ(import.rows, 1u);
}

TEST_F(ImportTest, AMappingToAColumnThatIsNotThereIsOneSentenceEach) {
    folder.write("dealer.mapping.json",
                 "{ \"aumbry_mapping\": 1, \"list\": \"boards.csv\",\n  \"columns\": { "
                 "\"Art.-Nr.\": \"sku\", \"VK nett\": \"price\",\n    \"Farbe\": \"species\" },\n"
                 "  \"header_row\": 3, \"constants\": { \"class\": \"sheet\" } }");
    mapping = read_mapping(folder.read("dealer.mapping.json"),
                           (folder.path() / "dealer.mapping.json").generic_string(),
                           test::sample_classes());
    EXPECT_EQ(fault_of([&] { (void)plan(titles + header); }),
              "dealer.mapping.json:3:5: /columns/Farbe: dealer.csv has no column 'Farbe'; its "
              "columns are Art.-Nr., Bezeichnung, VK netto, ab, bis, Lager\n"
              "dealer.mapping.json:2:35: /columns/VK nett: dealer.csv has no column 'VK nett'; is "
              "'VK netto' meant?");
}

TEST_F(ImportTest, AListThatChangedMeanwhileIsNotOverwritten) {
    const Import import = plan(titles + header + "A;18mm BB/BB 2440x1220;80,00;1;;\r\n");
    folder.write("suppliers/hafen/boards.csv", "sku,class,price,species,thickness\n");
    EXPECT_EQ(fault_of([&] { write_import(import); }),
              "suppliers/hafen/boards.csv: the list has changed since it was compared; run the "
              "import again");
    EXPECT_EQ(folder.read("suppliers/hafen/boards.csv"), "sku,class,price,species,thickness\n");
}

TEST_F(ImportTest, AnImportOntoASupplierThatIsBeingWrittenIsRefused) {
    const Import import = plan(titles + header + "A;18mm BB/BB 2440x1220;80,00;1;;\r\n");
    folder.write("suppliers/hafen/.boards.csv.new", "");
    EXPECT_EQ(fault_of([&] { write_import(import); }),
              "suppliers/hafen/boards.csv: another import is writing this list, or was broken off; "
              "wait for it, or delete suppliers/hafen/.boards.csv.new");
}

// The mark "somebody writes this list" stayed behind when the list could not be read again: every
// later import was refused.
TEST_F(ImportTest, NothingIsLeftBehindWhateverStopsTheWriting) {
    folder.write("suppliers/hafen/boards.csv", "sku,class,price,species,thickness\n");
    const Import import = plan(titles + header + "A;18mm BB/BB 2440x1220;80,00;1;;\r\n");
    std::filesystem::remove(supplier() / "boards.csv");
    std::filesystem::create_directory(supplier() / "boards.csv");
    const std::string stopped = fault_of([&] { write_import(import); });
    EXPECT_EQ(stopped, "suppliers/hafen/boards.csv: is a folder; name a file");
    EXPECT_EQ(fault_of([&] { write_import(import); }), stopped);
    EXPECT_FALSE(std::filesystem::exists(supplier() / ".boards.csv.new"));
}

// The list was put in the place of the link, with the permissions of a new file.
TEST_F(ImportTest, ALinkStaysALinkAndPermissionsStay) {
    namespace fs = std::filesystem;
    const std::string old = "sku,class,price,species,thickness\n";
    folder.write("shared/boards.csv", old);
    const fs::perms mode = fs::perms::owner_read | fs::perms::owner_write | fs::perms::group_read |
                           fs::perms::group_write;
    fs::permissions(folder.path() / "shared/boards.csv", mode);
    fs::create_symlink(folder.path() / "shared/boards.csv", supplier() / "boards.csv");
    write_import(plan(titles + header + "A;18mm BB/BB 2440x1220;80,00;1;;\r\n"));
    EXPECT_TRUE(fs::is_symlink(supplier() / "boards.csv"));
    EXPECT_NE(folder.read("shared/boards.csv"), old);
    EXPECT_EQ(fs::status(folder.path() / "shared/boards.csv").permissions(), mode);
}

TEST_F(ImportTest, ASupplierInUseKeepsWhatItRead) {
    write_import(plan(titles + header + "A;18mm BB/BB 2440x1220;80,00;1;;\r\n"));
    const Catalog in_use = load_catalog({folder.path()}, test::sample_classes());
    write_import(plan(titles + header + "B;18mm BB/BB 2440x1220;90,00;1;;\r\n"));
    EXPECT_EQ(in_use.rows().at(0).sku, "A");
    EXPECT_EQ(load_catalog({folder.path()}, test::sample_classes()).rows().at(0).sku, "B");
    EXPECT_FALSE(std::filesystem::exists(supplier() / ".boards.csv.new"));
}

TEST_F(ImportTest, ASkuOfAnotherListOfTheSupplierIsAFault) {
    folder.write("suppliers/hafen/all.csv",
                 "sku,class,price,species,thickness\nA,sheet,10,birch,18 mm\n");
    const Import import = plan(titles + header + "A;18mm BB/BB 2440x1220;80,00;1;;\r\n");
    EXPECT_THAT(sentences(import),
                ElementsAre("dealer.csv:4: row 4, column Art.-Nr.: the sku 'A' with min_quantity 1 "
                            "is already in row 2 of suppliers/hafen/all.csv; give it another "
                            "min_quantity, or dates that do not overlap"));
    EXPECT_EQ(
        fault_of([&] { write_import(import); }),
        "dealer.csv: no row could be read, so nothing is written; mend the rows or the mapping");
}

TEST_F(ImportTest, FilesThatAreNotThereAreSentences) {
    EXPECT_EQ(fault_of([&] {
                  (void)plan_import(folder.path() / "none.csv", mapping, supplier(),
                                    test::sample_classes());
              }),
              "none.csv: there is no such file; check the path");
    folder.write("dealer.csv", header);
    EXPECT_EQ(fault_of([&] {
                  (void)plan_import(folder.path() / "dealer.csv", mapping,
                                    folder.path() / "suppliers/none", test::sample_classes());
              }),
              "suppliers/none/supplier.json: the supplier 'none' has no supplier.json; write one "
              "with its name, currency, tax_percent and delivery");
}

TEST(MappingDocument, FaultsAreToldAtOnce) {
    try {
        (void)read_mapping("{ \"aumbry_mapping\": 1, \"list\": \"../boards.csv\",\n \"columns\": { "
                           "\"A\": \"skuu\", \"B\": \"price\", \"C\": \"price\" },\n \"units\": { "
                           "\"length\": \"mmm\" },\n"
                           " \"decimals\": \"comma\",\n \"patterns\": [ { \"column\": \"D\", "
                           "\"texts\": [ \"{thicknes} {\" ] } ] }",
                           "m.json", test::sample_classes());
        FAIL();
    } catch (const FaultError& error) {
        EXPECT_STREQ(error.what(),
                     "m.json:4:2: /decimals: unknown key 'decimals'; did you mean 'decimal'?\n"
                     "m.json:2:15: /columns/A: unknown field 'skuu'; did you mean 'sku'?\n"
                     "m.json:2:42: /columns/C: the field 'price' comes from the column 'B' "
                     "already; keep one of them\n"
                     "m.json:3:13: /units/length: 'mmm' is not a known unit; did you mean 'mm'?\n"
                     "m.json:5:44: /patterns/0/texts/0: the pattern '{thicknes} {' opens a brace "
                     "that it does not close; write {name}, or {{ for a brace itself\n"
                     "m.json:1:24: /list: '../boards.csv' is no name of a price list; write a file "
                     "name that ends in .csv");
    }
}

TEST(MappingDocument, APriceMustComeFromSomewhere) {
    try {
        (void)read_mapping(
            R"({"aumbry_mapping": 1, "list": "a.csv", "columns": {"A": "sku"}, "constants": {"class": "sheet"}})",
            "m.json", test::sample_classes());
        FAIL();
    } catch (const FaultError& error) {
        EXPECT_STREQ(
            error.what(),
            "m.json:1:1: nothing gives the price; map a column to it, or write it in constants");
    }
}

TEST(MappingDocument, ReadsBackAsItWasWritten) {
    const std::string text = text_of(AUMBRY_FIXTURES "/mappings/good/dealer.mapping.json");
    const Mapping mapping = read_mapping(text, "m.json", test::sample_classes());
    const Json written = to_json(mapping);
    EXPECT_EQ(nlohmann::json(written), nlohmann::json::parse(text)); // order of keys apart
    EXPECT_EQ(to_json(read_mapping(pretty(written), "m.json", test::sample_classes())), written);
}

// An outside validator judges the same documents (schema_test.py).
TEST(MappingSchema, TheReaderTakesWhatTheSchemaTakesAndRefusesWhatItRefuses) {
    int good = 0, bad = 0;
    for (const auto& entry :
         std::filesystem::directory_iterator(AUMBRY_FIXTURES "/mappings/good")) {
        EXPECT_NO_THROW((void)read_mapping(text_of(entry.path()), "m.json", test::sample_classes()))
            << entry.path();
        ++good;
    }
    for (const auto& entry : std::filesystem::directory_iterator(AUMBRY_FIXTURES "/mappings/bad")) {
        EXPECT_THROW((void)read_mapping(text_of(entry.path()), "m.json", test::sample_classes()),
                     FaultError)
            << entry.path();
        ++bad;
    }
    EXPECT_EQ(good, 2);
    EXPECT_EQ(bad, 5);
}

TEST(MappingSchema, ThePublishedOneIsThatOfTheReader) {
    EXPECT_TRUE(test::is_published(AUMBRY_SCHEMAS, "mapping.schema.json", mapping_schema()));
}

TEST(PartsMappingSchema, ThePublishedOneIsThatOfTheReader) {
    EXPECT_TRUE(test::is_published(AUMBRY_SCHEMAS, "parts_mapping.schema.json",
                                   parts_mapping_schema()));
}

} // namespace
} // namespace aumbry
