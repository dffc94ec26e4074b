// The worker: an answer for the newest request, and giving up what nobody waits for.
#include "window.hpp"

#include "aumbry/project.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <thread>

namespace aumbry::gui::test {

namespace {

using Clock = std::chrono::steady_clock;

bool until(const std::function<bool()>& done, int seconds = 60) {
    const auto last = Clock::now() + std::chrono::seconds(seconds);
    while (!done()) {
        if (Clock::now() > last) return false;
        std::this_thread::sleep_for(std::chrono::milliseconds(2));
    }
    return true;
}

Request request_of(int revision) {
    Request request;
    request.revision = revision;
    request.file = "harbour-loft.aumbry.json";
    request.text = read_file(std::filesystem::path(AUMBRY_CATALOGS) / "projects" / request.file);
    return request;
}

} // namespace

TEST(Worker, TheNewestRequestIsAnsweredWhateverCameBefore) {
    std::atomic<int> woken = 0;
    Worker worker([&] { ++woken; });
    worker.load({{AUMBRY_PLUGINS}, {AUMBRY_CATALOGS}});
    for (int revision = 1; revision <= 20; ++revision) worker.ask(request_of(revision));
    ASSERT_TRUE(until([&] { return worker.answer().refined && worker.doing().empty(); }));
    EXPECT_EQ(worker.answer().revision, 20);
    EXPECT_FALSE(worker.answer().stale);
    EXPECT_GT(woken, 0);
}

namespace {

/// A project whose only line waits in its module until it is cancelled.
Request endless_request(int revision) {
    Request request;
    request.revision = revision;
    request.file = "endless.aumbry.json";
    request.text = R"({"aumbry": 1, "title": "Endless", "currency": "EUR",
        "priced_on": "2027-02-01", "start": "2027-03-01",
        "lines": {"wait": {"kind": "patient.wait"}}})";
    return request;
}

/// Long enough for any busy machine, and far from the two minutes that the module waits.
constexpr int soon = 20;

} // namespace

TEST(Worker, StopEndsACallThatIsUnderWay) {
    Worker worker([] {});
    worker.load({{AUMBRY_PLUGINS, AUMBRY_GUI_FIXTURES}, {AUMBRY_CATALOGS}});
    worker.ask(endless_request(1));
    ASSERT_TRUE(until([&] { return worker.doing().starts_with("Drafting"); }));
    std::this_thread::sleep_for(std::chrono::milliseconds(200)); // it waits in the module
    ASSERT_THAT(worker.doing(), ::testing::StartsWith("Drafting"));
    worker.cancel();
    EXPECT_TRUE(until([&] { return worker.doing().empty(); }, soon));
    EXPECT_EQ(worker.answer().revision, -1) << "what was stopped is no answer";
    EXPECT_EQ(worker.trouble(), "");
    // The next request is served as if nothing had been.
    worker.ask(request_of(2));
    EXPECT_TRUE(until([&] { return worker.answer().revision == 2 && worker.answer().refined; }));
}

TEST(Worker, ANewerEditEndsACallThatIsUnderWay) {
    Worker worker([] {});
    worker.load({{AUMBRY_PLUGINS, AUMBRY_GUI_FIXTURES}, {AUMBRY_CATALOGS}});
    worker.ask(endless_request(1));
    ASSERT_TRUE(until([&] { return worker.doing().starts_with("Drafting"); }));
    worker.ask(request_of(2));
    EXPECT_TRUE(until([&] { return worker.answer().revision == 2 && worker.answer().refined; }));
}

TEST(Worker, LeavingEndsACallThatIsUnderWay) {
    const auto began = Clock::now();
    {
        Worker worker([] {});
        worker.load({{AUMBRY_PLUGINS, AUMBRY_GUI_FIXTURES}, {AUMBRY_CATALOGS}});
        worker.ask(endless_request(1));
        ASSERT_TRUE(until([&] { return worker.doing().starts_with("Drafting"); }));
    }
    EXPECT_LT(Clock::now() - began, std::chrono::seconds(60));
}

TEST(Worker, StoppingARefinementKeepsTheDraft) {
    Worker worker([] {});
    worker.load({{AUMBRY_PLUGINS}, {AUMBRY_CATALOGS}});
    worker.ask(request_of(1));
    ASSERT_TRUE(until([&] { return worker.answer().revision == 1; }));
    const auto draft = worker.answer().estimate;
    worker.cancel();
    ASSERT_TRUE(until([&] { return worker.doing().empty(); }, soon));
    // Stopped in time it is the draft still; refined already it is another value.
    EXPECT_NE(worker.answer().estimate, nullptr);
    if (!worker.answer().refined) {
        EXPECT_EQ(worker.answer().estimate, draft);
    }
}

// The window bought what the maker already owns: stock files that a project names were not read.
TEST(Worker, StockThatTheProjectNamesIsNotBoughtAgain) {
    const Folder folder;
    std::filesystem::create_directories(folder.path() / "suppliers" / "iron");
    std::filesystem::create_directories(folder.path() / "jobs");
    write_text(folder.path() / "suppliers" / "iron" / "supplier.json",
               R"({"name": "Iron", "currency": "EUR", "tax_included": false, "tax_percent": "20",
                   "delivery": {"flat": "0.00"}})");
    write_text(folder.path() / "suppliers" / "iron" / "rails.csv",
               "sku,class,description,price,price_unit,type\nR1,item,Rail,12.50,each,rail\n");
    write_text(folder.path() / "jobs" / "left.stock.json",
               R"({"aumbry_stock": 1, "from": "Shelf",
                   "owned": {"rail_left": {"class": "item", "type": "rail", "count": 3}}})");
    Request request;
    request.revision = 1;
    request.file = (folder.path() / "jobs" / "rails.aumbry.json").string();
    request.text = R"({"aumbry": 1, "title": "Rails", "currency": "EUR",
        "priced_on": "2027-02-01", "start": "2027-03-01", "stock": ["left.stock.json"],
        "lines": {"rail": {"kind": "item", "type": "rail", "count": 4}}})";
    Worker worker([] {});
    worker.load({{AUMBRY_PLUGINS}, {folder.path()}});
    worker.ask(request);
    ASSERT_TRUE(until([&] {
        const Answer answer = worker.answer();
        return answer.refined || !answer.faults.empty();
    }));
    ASSERT_NE(worker.answer().estimate, nullptr);
    // One of four has to be bought.
    EXPECT_EQ(worker.answer().estimate->totals.goods.str(), "12.50");
}

// The measure of the next edit was lost when the alternatives were looked at in between.
TEST(Worker, AskingAgainWhileTheDocumentIsAtFaultKeepsTheMeasureOfTheNextEdit) {
    Worker worker([] {});
    worker.load({{AUMBRY_PLUGINS}, {AUMBRY_CATALOGS}});
    worker.ask(request_of(1));
    ASSERT_TRUE(until([&] { return worker.answer().refined && worker.doing().empty(); }));
    Request broken = request_of(2);
    Json json = parse_json(broken.text);
    json["lines"]["bed_side"]["length"] = "3 + ";
    broken.text = pretty(json);
    broken.after_edit = true;
    worker.ask(broken);
    ASSERT_TRUE(until([&] { return worker.answer().revision == 2 && worker.doing().empty(); }));
    Request again = broken;
    again.after_edit = false;
    again.compare = true; // the alternatives are opened
    const int news = worker.news();
    worker.ask(again);
    ASSERT_TRUE(until([&] { return worker.news() > news + 1 && worker.doing().empty(); }));
    Request mended = request_of(3);
    mended.after_edit = true;
    worker.ask(mended);
    ASSERT_TRUE(until([&] { return worker.answer().revision == 3 && worker.answer().refined; }));
    EXPECT_FALSE(worker.answer().since_edit.empty());
}

TEST(Worker, ADocumentAtFaultKeepsTheLastEstimateAndListsEveryFault) {
    Worker worker([] {});
    worker.load({{AUMBRY_PLUGINS}, {AUMBRY_CATALOGS}});
    worker.ask(request_of(1));
    ASSERT_TRUE(until([&] { return worker.answer().refined; }));
    Request broken = request_of(2);
    Json json = parse_json(broken.text);
    json["lines"]["bed_side"]["length"] = "3 + ";
    json["lines"]["bed_head"]["width"] = "nobody.width";
    broken.text = pretty(json);
    worker.ask(broken);
    ASSERT_TRUE(until([&] { return worker.answer().revision == 2; }));
    const Answer answer = worker.answer();
    EXPECT_TRUE(answer.stale);
    ASSERT_NE(answer.estimate, nullptr);
    EXPECT_NE(fault_at(answer, "/lines/bed_side/length"), nullptr);
    EXPECT_NE(fault_at(answer, "/lines/bed_head/width"), nullptr);
    EXPECT_EQ(fault_at(answer, "/lines/bed_foot"), nullptr);
}

TEST(Worker, AnEditIsToldAgainstWhatStoodBeforeAtTheSameEffort) {
    Worker worker([] {});
    worker.load({{AUMBRY_PLUGINS}, {AUMBRY_CATALOGS}});
    worker.ask(request_of(1));
    ASSERT_TRUE(until([&] { return worker.answer().refined; }));
    EXPECT_TRUE(worker.answer().since_edit.empty());
    // A note changes nothing that costs: every difference is empty, in the draft too.
    Request noted = request_of(2);
    Json json = parse_json(noted.text);
    json["note"] = "measured again";
    noted.text = pretty(json);
    noted.after_edit = true;
    worker.ask(noted);
    ASSERT_TRUE(until([&] {
        const Answer answer = worker.answer();
        if (answer.revision == 2) {
            for (const Figure& figure : answer.since_edit)
                EXPECT_EQ(figure.difference.index(), 0U) << figure.name;
        }
        return answer.revision == 2 && answer.refined;
    }));
    EXPECT_FALSE(worker.answer().since_edit.empty());
}

TEST(Worker, FoldersThatAreNotThereAreATroubleInASentence) {
    Worker worker([] {});
    worker.load({{"/nowhere/at/all"}, {AUMBRY_CATALOGS}});
    ASSERT_TRUE(until([&] { return !worker.trouble().empty(); }));
    EXPECT_THAT(worker.trouble(), ::testing::HasSubstr("/nowhere/at/all"));
}

} // namespace aumbry::gui::test
