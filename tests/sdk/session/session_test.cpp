// A session reads projects the one way: stock and alternatives in, from a file as from text.
#include "aumbry/session.hpp"

#include "fault_of.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <stdexcept>
#include <stdlib.h>

namespace aumbry {
namespace {

namespace fs = std::filesystem;

/// A folder that goes when the test does.
struct Folder {
    fs::path path;
    Folder() {
        std::string name = (fs::temp_directory_path() / "aumbry-session-XXXXXX").string();
        if (mkdtemp(name.data()) == nullptr) throw std::runtime_error("no folder");
        path = name;
    }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
    ~Folder() { fs::remove_all(path); }
    fs::path write(const fs::path& name, const std::string& text) const {
        fs::create_directories((path / name).parent_path());
        std::ofstream(path / name) << text;
        return path / name;
    }
};

const char* const stock = R"({ "aumbry_stock": 1, "from": "Shelf", "owned": {
  "rail_left": { "class": "item", "type": "rail", "count": 3 } } })";

/// Four rails at 12.50 each; `more` stands among the document's keys.
std::string four_rails(const std::string& more) {
    return R"({ "aumbry": 1, "title": "Rails", "currency": "EUR", "priced_on": "2027-02-01", "start": "2027-03-01",
"pieces": { "bench": { "title": "Bench" } }, )" +
           more + R"(
"lines": { "rail": { "kind": "item", "piece": "bench", "type": "rail", "count": 4 } },
"alternatives": { "two": { "changes": { "lines": { "rail": { "count": 2 } } } } } })";
}

/// A catalog with one supplier who sells rails, and the project's folder below it.
struct Shop : Folder {
    Shop() {
        write(
            "suppliers/iron/supplier.json",
            R"({ "name": "Iron", "currency": "EUR", "tax_included": false, "tax_percent": "20", "delivery": { "flat": "0.00" }, "dispatch_days": 0 })");
        write("suppliers/iron/rails.csv", "sku,class,description,price,price_unit,type\n"
                                          "R1,item,Rail,12.50,each,rail\n");
        write("reference/empty.json", R"({ "table": "empty", "note": "none", "rows": [] })");
        write("jobs/left.stock.json", stock);
    }
    [[nodiscard]] Session session() const {
        return Session(find_folders(path / "jobs/rails.aumbry.json", {{AUMBRY_TEST_PLUGINS}, {}}));
    }
};

TEST(Session, FindsTheCatalogAboveTheProject) {
    const Shop shop;
    const SessionFolders found = find_folders(shop.path / "jobs" / "rails.aumbry.json");
    ASSERT_EQ(found.catalogs.size(), 1U);
    EXPECT_TRUE(fs::equivalent(found.catalogs.front(), shop.path));
    EXPECT_EQ(found.plugins, program_folders().plugins);
}

TEST(Session, AddsReferenceTablesToACatalogThatHasNone) {
    const Shop shop;
    fs::remove_all(shop.path / "reference");
    const SessionFolders found = find_folders(shop.path / "jobs" / "rails.aumbry.json");
    ASSERT_EQ(found.catalogs.size(), 2U);
    EXPECT_EQ(found.catalogs.back(), program_folders().catalogs.front());
}

/// A variable of the environment for the time of a test.
struct Variable {
    std::string name;
    std::string before;
    Variable(std::string variable, const std::string& value) : name(std::move(variable)) {
        if (const char* was = std::getenv(name.c_str())) before = was;
        setenv(name.c_str(), value.c_str(), 1);
    }
    Variable(const Variable&) = delete;
    Variable& operator=(const Variable&) = delete;
    ~Variable() { setenv(name.c_str(), before.c_str(), 1); }
};

TEST(Session, FindsTheUsersOwnCatalogsWhereNoneStandAboveTheProject) {
    const Shop own;
    const Folder elsewhere;
    const Variable data("XDG_DATA_HOME", (own.path / "data").string());
    const fs::path job = elsewhere.path / "rails.aumbry.json";
    EXPECT_EQ(user_folders().data, own.path / "data" / "aumbry");
    EXPECT_FALSE(fs::exists(user_folders().data)) << "nothing is made by looking";
    own.write("data/aumbry/catalogs/suppliers/iron/supplier.json", "{}");
    EXPECT_EQ(find_folders(job).catalogs.front(), own.path / "data/aumbry/catalogs");
    // Pieces: those above the project, the user's, what is installed.
    elsewhere.write("pieces/rail.piece.json", "{}");
    const std::vector<fs::path> pieces = piece_folders(job);
    ASSERT_EQ(pieces.size(), 3U);
    EXPECT_TRUE(fs::equivalent(pieces[0], elsewhere.path));
    EXPECT_EQ(pieces[1], own.path / "data/aumbry/catalogs");
    EXPECT_EQ(pieces[2], program_folders().catalogs.front());
}

TEST(Session, FindsWhatIsInstalledWhereThereIsNothingElse) {
    const Variable data("XDG_DATA_HOME", "/nowhere");
    EXPECT_EQ(find_folders("/rails.aumbry.json").catalogs.front(),
              program_prefix() / "share" / "aumbry" / "catalogs");
}

TEST(Session, SaysWhichCatalogFolderIsMissing) {
    const Fault named = fault_of([] { (void)find_folders("a.json", {{}, {"nowhere"}}); });
    EXPECT_EQ(named.sentence(), "nowhere: there is no such catalog folder; name one that holds "
                                "suppliers/ with --catalogs");
}

// The window priced text that it had read itself and left out the stock files it names: what the
// maker owned was ordered again.
TEST(Session, TextThatIsNotSavedIsPricedWithItsStockLikeAFile) {
    const Shop shop;
    const std::string text = four_rails(R"("stock": ["left.stock.json"],)");
    const std::string file = shop.write("jobs/rails.aumbry.json", text).string();
    const Session session = shop.session();
    const auto bought = [&](const Project& project) {
        std::int64_t count = 0;
        for (const EstimatePurchase& purchase : session.price(project).purchases)
            if (!purchase.owned) count += purchase.count;
        return count;
    };
    EXPECT_EQ(bought(Session::with_file(file)), 1) << "three of four rails are owned";
    EXPECT_EQ(bought(Session::with_text(text, file)), 1);
    EXPECT_EQ(bought(Session::with_text(four_rails(""), file)), 4) << "the file is not read";
    EXPECT_EQ(bought(Session::with_file(file, "two")), 0);
    EXPECT_EQ(to_json(session.price(Session::with_file(file))),
              to_json(session.price(Session::with_text(text, file))));
}

TEST(Session, FaultsOfStockNameTheStockFile) {
    const Shop shop;
    const std::string file = (shop.path / "jobs/rails.aumbry.json").string();
    const auto said = [&](const std::string& more) {
        return fault_of([&] { (void)Session::with_text(four_rails(more), file); }).sentence();
    };
    EXPECT_EQ(said(R"("stock": ["gone.json"],)"),
              (shop.path / "jobs/gone.json").string() + ": there is no such file; check the path");
    EXPECT_THAT(said(R"("stock": "left.stock.json",)"),
                testing::HasSubstr("write a list of stock files in [ ]"));
    EXPECT_THAT(
        said(R"("owned": { "rail_left": { "class": "item" } }, "stock": ["left.stock.json"],)"),
        testing::HasSubstr("the owned item 'rail_left' is in the project too"));
    shop.write("jobs/left.stock.json", R"({ "aumbry_stock": 2, "owned": {} })");
    EXPECT_THAT(said(R"("stock": ["left.stock.json"],)"),
                testing::HasSubstr("the stock file is of version 2, this program reads version 1"));
}

TEST(Session, FaultsOfTimesNameTheTimesFile) {
    const Shop shop;
    const std::string file = (shop.path / "jobs/rails.aumbry.json").string();
    const auto said = [&](const std::string& more) {
        return fault_of([&] { (void)Session::with_text(four_rails(more), file); }).sentence();
    };
    const std::string times = (shop.path / "jobs/my.times.json").string();
    const std::string named = R"("times": "my.times.json",)";
    EXPECT_EQ(said(named), times + ": there is no such file; check the path");
    EXPECT_THAT(said(R"("times": ["my.times.json"],)"),
                testing::HasSubstr("write the name of a times file in quotes"));
    shop.write("jobs/my.times.json", "{}");
    EXPECT_EQ(said(named), times + ": this is no file of times: it does not say \"aumbry_times\"; "
                                   "name one that aumbry plan --times wrote");
    shop.write("jobs/my.times.json", R"({ "aumbry_times": 2 })");
    EXPECT_THAT(said(named),
                testing::HasSubstr("the times file is of version 2, this program reads version 1"));
    shop.write("jobs/my.times.json", R"({ "aumbry_times": 1, )");
    EXPECT_THAT(said(named), testing::StartsWith(times + ":1:"));
}

TEST(Session, AnAlternativeNamesNoOtherTimes) {
    const Shop shop;
    shop.write("jobs/my.times.json", R"({ "aumbry_times": 1 })");
    std::string text = four_rails(R"("times": "my.times.json",)");
    const std::string changes = R"("changes": {)";
    text.insert(text.rfind(changes) + changes.size(), R"("times": "other.json", )");
    const std::string file = (shop.path / "jobs/rails.aumbry.json").string();
    const Fault fault =
        fault_of([&] { (void)shop.session().price(Session::with_text(text, file, "two")); });
    EXPECT_EQ(fault.code, "wrong-type");
    EXPECT_THAT(fault.sentence(), testing::HasSubstr("an alternative states its times under "
                                                     "settings"));
    EXPECT_EQ(shop.session().price(Session::with_text(text, file)).lines.size(), 1U);
}

TEST(Session, TimesOfAModuleThatIsNotThereStay) {
    const Shop shop;
    shop.write("jobs/my.times.json", R"({ "aumbry_times": 1, "turned_legs": { "minutes": 3 } })");
    const Project project = Session::with_text(four_rails(R"("times": "my.times.json",)"),
                                               (shop.path / "jobs/rails.aumbry.json").string());
    EXPECT_EQ(shop.session().price(project).lines.size(), 1U);
    shop.write("jobs/my.times.json", R"({ "aumbry_times": 1, "sundrys": { "minutes": 3 } })");
    const Project slip = Session::with_text(four_rails(R"("times": "my.times.json",)"),
                                            (shop.path / "jobs/rails.aumbry.json").string());
    const Fault fault = fault_of([&] { (void)shop.session().price(slip); });
    EXPECT_EQ(fault.place.file, (shop.path / "jobs/my.times.json").string());
    EXPECT_EQ(fault.place.line, 1);
    EXPECT_THAT(fault.sentence(), testing::HasSubstr("did you mean 'sundries'?"));
}

// An "owned" that is no object met the stock files' items as an exception of the JSON library.
TEST(Session, OwnedThatIsNoObjectIsSaidByResolve) {
    const Shop shop;
    const std::string text = four_rails(R"("owned": 3, "stock": ["left.stock.json"],)");
    const Project project =
        Session::with_text(text, (shop.path / "jobs/rails.aumbry.json").string());
    const Session session = shop.session();
    const Fault fault = fault_of([&] { (void)session.price(project); });
    EXPECT_EQ(fault.place.pointer, "/owned") << fault.sentence();
}

TEST(Session, AnUnknownAlternativeIsSaidWithTheNearest) {
    const Fault fault =
        fault_of([] { (void)Session::with_text(four_rails(""), "rails.aumbry.json", "tow"); });
    EXPECT_EQ(fault.code, "unknown-alternative");
    EXPECT_THAT(fault.sentence(), testing::HasSubstr("two"));
}

} // namespace
} // namespace aumbry
