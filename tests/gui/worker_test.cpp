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

TEST(Worker, CancellingKeepsTheDraftAndTheNextRequestIsServed) {
    Worker worker([] {});
    worker.load({{AUMBRY_PLUGINS}, {AUMBRY_CATALOGS}});
    worker.ask(request_of(1));
    ASSERT_TRUE(until([&] { return worker.answer().revision == 1; }));
    worker.cancel();
    ASSERT_TRUE(until([&] { return worker.doing().empty(); }));
    EXPECT_NE(worker.answer().estimate, nullptr);
    worker.ask(request_of(2));
    EXPECT_TRUE(until([&] { return worker.answer().revision == 2 && worker.answer().refined; }));
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
