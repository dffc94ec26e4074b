// Unsaved edits: what a kill leaves behind, and who is offered what.
#include "session/differences.hpp"
#include "session/journal.hpp"
#include "window.hpp"

#include "aumbry/project.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <set>
#include <sys/stat.h>
#include <thread>

namespace aumbry::gui::test {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

namespace {

constexpr const char* saved = R"({"aumbry": 1, "title": "Shelf", "currency": "EUR"})";

Unsaved unsaved_of(const std::filesystem::path& file, const std::string& title) {
    Json json = parse_json(saved);
    json["title"] = title;
    return {file, saved, "", std::make_shared<const Json>(json)};
}

class Journals : public ::testing::Test {
  protected:
    Folder folder;
    Folder state;
    std::filesystem::path file = folder.path() / "shelf.aumbry.json";

    void SetUp() override { write_text(file, saved); }

    [[nodiscard]] Unsaved unsaved(const std::string& title) const {
        return unsaved_of(file, title);
    }
    [[nodiscard]] std::vector<FoundJournal> found() const {
        return find_journals(file, state.path());
    }
    [[nodiscard]] std::vector<std::string> beside() const {
        std::vector<std::string> names;
        for (const auto& entry : std::filesystem::directory_iterator(folder.path()))
            names.push_back(entry.path().filename().string());
        std::sort(names.begin(), names.end());
        return names;
    }
};

std::string title_of(const FoundJournal& found) {
    if (found.unsaved.document == nullptr) return found.fault;
    return written(find_at(*found.unsaved.document, "/title"));
}

} // namespace

TEST_F(Journals, WhatAWriterLeavesBehindIsFound) {
    {
        Journal journal(state.path());
        journal.note(unsaved("First"));
        journal.flush();
        EXPECT_EQ(journal.path(), folder.path() / ".shelf.aumbry.json.aumbry-journal");
        EXPECT_THAT(found(), IsEmpty()) << "its writer lives";
        journal.note(unsaved("Last")); // not on the disk yet: ending writes it
    }
    const std::vector<FoundJournal> all = found();
    ASSERT_EQ(all.size(), 1U);
    EXPECT_EQ(title_of(all.front()), "Last");
    EXPECT_EQ(all.front().unsaved.base, saved);
    EXPECT_EQ(all.front().unsaved.file, file);
    EXPECT_THAT(all.front().written, ::testing::MatchesRegex("..:.."));
    EXPECT_THAT(found(), IsEmpty()) << "offered by one window, it is not by another";
}

TEST_F(Journals, ClearingTakesItOffTheDisk) {
    Journal journal(state.path());
    journal.note(unsaved("First"));
    journal.flush();
    journal.clear();
    journal.flush();
    EXPECT_THAT(beside(), ElementsAre("shelf.aumbry.json"));
    EXPECT_EQ(journal.path(), "");
}

TEST_F(Journals, TwoWindowsOnOneFileKeepOneEach) {
    {
        Journal one(state.path());
        Journal other(state.path());
        one.note(unsaved("One"));
        one.flush();
        other.note(unsaved("Other"));
        other.flush();
        EXPECT_NE(one.path(), other.path());
        // The first goes its way; the other's stays.
        one.clear();
        one.flush();
        EXPECT_THAT(found(), IsEmpty());
    }
    const std::vector<FoundJournal> all = found();
    ASSERT_EQ(all.size(), 1U);
    EXPECT_EQ(title_of(all.front()), "Other");
}

TEST_F(Journals, OneThatWaitsForAnAnswerIsNotWrittenOver) {
    {
        Journal killed(state.path());
        killed.note(unsaved("Lost"));
    }
    Journal next(state.path());
    next.note(unsaved("Next"));
    next.flush();
    const std::vector<FoundJournal> all = found();
    ASSERT_EQ(all.size(), 1U);
    EXPECT_EQ(title_of(all.front()), "Lost");
}

TEST_F(Journals, ARestoredOneGoesWhenItIsInTheNext) {
    {
        Journal killed(state.path());
        killed.note(unsaved("Lost"));
    }
    Journal next(state.path());
    next.replaces(std::move(found().front()));
    next.note(unsaved("Lost, and more"));
    next.flush();
    EXPECT_THAT(beside(), ElementsAre(next.path().filename().string(), "shelf.aumbry.json"));
}

TEST_F(Journals, AProjectWithoutAFileHasItsOwnInTheStateFolder) {
    {
        Journal journal(state.path());
        Unsaved fresh = unsaved("Fresh");
        fresh.file.clear();
        journal.note(fresh);
    }
    EXPECT_THAT(found(), IsEmpty());
    const std::vector<FoundJournal> all = find_journals({}, state.path());
    ASSERT_EQ(all.size(), 1U);
    EXPECT_EQ(title_of(all.front()), "Fresh");
    EXPECT_EQ(all.front().unsaved.file, "");
}

TEST(JournalElsewhere, WhereTheFolderMayNotBeWrittenTheStateFolderKeepsIt) {
    const Nobody nobody; // root may write anything
    const Folder folder;
    const Folder state;
    const std::filesystem::path file = folder.path() / "shelf.aumbry.json";
    write_text(file, saved);
    std::filesystem::permissions(folder.path(), std::filesystem::perms(0555));
    {
        Journal journal(state.path());
        journal.note(unsaved_of(file, "Elsewhere"));
        journal.flush();
        EXPECT_EQ(journal.trouble(), "");
        EXPECT_THAT(journal.path().string(), ::testing::StartsWith(state.path().string()));
    }
    const std::vector<FoundJournal> all = find_journals(file, state.path());
    std::filesystem::permissions(folder.path(), std::filesystem::perms(0755));
    ASSERT_EQ(all.size(), 1U);
    EXPECT_EQ(title_of(all.front()), "Elsewhere");
    // Another project of that name in another folder has nothing to do with it.
    EXPECT_THAT(find_journals("/elsewhere/shelf.aumbry.json", state.path()), IsEmpty());
}

TEST(JournalElsewhere, WhereNothingMayBeWrittenItSaysSo) {
    const Nobody nobody;
    const Folder folder;
    std::filesystem::permissions(folder.path(), std::filesystem::perms(0555));
    Journal journal("");
    journal.note(unsaved_of(folder.path() / "shelf.aumbry.json", "Nowhere"));
    journal.flush();
    std::filesystem::permissions(folder.path(), std::filesystem::perms(0755));
    EXPECT_EQ(journal.trouble(), "Unsaved edits cannot be kept against a crash: Permission denied");
}

TEST_F(Journals, SavedUnderAnotherNameTheOldOneGoes) {
    Journal journal(state.path());
    journal.note(unsaved("Here"));
    journal.flush();
    Unsaved there = unsaved("There");
    there.file = folder.path() / "other.aumbry.json";
    journal.note(there);
    journal.flush();
    EXPECT_THAT(beside(), ElementsAre(".other.aumbry.json.aumbry-journal", "shelf.aumbry.json"));
}

TEST_F(Journals, OneThatCannotBeReadSaysSo) {
    write_text(folder.path() / ".shelf.aumbry.json.aumbry-journal", R"({"aumbry_journal": 99})");
    const std::vector<FoundJournal> all = found();
    ASSERT_EQ(all.size(), 1U);
    EXPECT_THAT(all.front().fault, HasSubstr("these are no unsaved edits that this program reads"));
}

// At most one write in half a second, whatever is typed.
TEST_F(Journals, ManyEditsAreFewWrites) {
    Journal journal(state.path());
    const auto began = std::chrono::steady_clock::now();
    std::set<std::pair<std::int64_t, std::int64_t>> written;
    for (int i = 0; i < 100; ++i) {
        journal.note(unsaved(std::to_string(i)));
        std::this_thread::sleep_for(std::chrono::milliseconds(5));
        struct stat status {};
        const std::filesystem::path path = journal.path();
        if (!path.empty() && ::stat(path.c_str(), &status) == 0)
            written.insert({status.st_mtim.tv_sec, status.st_mtim.tv_nsec});
    }
    const auto took = std::chrono::steady_clock::now() - began;
    EXPECT_LE(static_cast<long>(written.size()), took / std::chrono::milliseconds(500) + 1);
    EXPECT_GE(written.size(), 1U);
    journal.flush();
}

TEST(Differences, AreToldByTitleAndInWords) {
    const Json from = parse_json(R"({"title":"Shelf","lines":{
        "side":{"title":"Side","length":"800 mm","edges":{"front":"band"}},"knob":{"count":2}},
        "parameters":{"gap":"3 mm"},"pricing":{"markup":20},"tags":["a"]})");
    const Json to = parse_json(R"({"title":"Long shelf","lines":{
        "side":{"title":"Side","length":"900 mm","edges":{"front":"lip"}},
        "back":{"title":"Back","count":1}},
        "parameters":{"gap":"3 mm","depth":"300 mm"},"pricing":{"markup":25},"tags":["a","b"]})");
    EXPECT_THAT(differences_in_words(from, to),
                ElementsAre("title: Shelf, now Long shelf", "line Side, length: 800 mm, now 900 mm",
                            "line Side, edges, front: band, now lip", "new line Back",
                            "line knob is gone", "new size depth: 300 mm",
                            "pricing, markup: 20, now 25", "tags changed"));
    EXPECT_THAT(differences_in_words(from, from), IsEmpty());
    EXPECT_THAT(
        differences_in_words(parse_json(R"({"a":1,"b":2})"), parse_json(R"({"b":2,"a":1})")),
        ElementsAre("the order in which things are written"));
}

// ---------------------------------------------------------------- in the window

namespace {

class Offered : public ::testing::Test {
  protected:
    Folder folder;
    Folder state;
    std::filesystem::path file = folder.copy_of("harbour-loft");
    std::string bytes = read_file(file);

    /// A window that edits and is killed.
    void lose_an_edit(const std::string& length = "1100 mm") {
        Window window({1280, 2900}, AUMBRY_CATALOGS, state.path());
        window.open(file);
        edit(window, length);
        window.kill();
    }
    static void edit(Window& window, const std::string& length) {
        window.click("cell shelf_side length");
        window.type(length);
        window.press(ImGuiKey_Enter);
        ASSERT_TRUE(window.application().document().unsaved());
    }
    static std::string length_in(Window& window) {
        return written(find_at(window.application().document().json(), "/lines/shelf_side/length"));
    }
    [[nodiscard]] bool journal_is_there() const {
        return std::filesystem::exists(folder.path() / ".harbour-loft.aumbry.json.aumbry-journal");
    }
};

} // namespace

TEST_F(Offered, EditsLostToAKillAreRestoredWhenTheFileIsOpened) {
    lose_an_edit();
    Window window({1280, 2900}, AUMBRY_CATALOGS, state.path());
    window.open(file);
    const std::string shown = window.text();
    EXPECT_THAT(shown, HasSubstr("to harbour-loft.aumbry.json were found"));
    EXPECT_THAT(shown, HasSubstr("line Shelf side by the bed, length: "));
    EXPECT_THAT(shown, HasSubstr("now 1100 mm"));
    EXPECT_NE(length_in(window), "1100 mm");
    window.click("choice Restore");
    window.wait();
    EXPECT_EQ(length_in(window), "1100 mm");
    EXPECT_TRUE(window.application().document().unsaved());
    EXPECT_EQ(read_file(file), bytes);
    // One step of undo leads back to the file, and saving clears the journal away.
    EXPECT_EQ(window.application().document().undo_label(), "Restore unsaved edits");
    window.press('S', true);
    window.application().journal().flush();
    EXPECT_FALSE(journal_is_there());
    EXPECT_THAT(read_file(file), HasSubstr("1100 mm"));
}

TEST_F(Offered, RestoredEditsOutliveTheNextKillToo) {
    lose_an_edit();
    {
        Window window({1280, 2900}, AUMBRY_CATALOGS, state.path());
        window.open(file);
        window.click("choice Restore");
        window.kill();
    }
    Window window({1280, 2900}, AUMBRY_CATALOGS, state.path());
    window.open(file);
    ASSERT_TRUE(window.shows("choice Restore"));
    window.click("choice Restore");
    EXPECT_EQ(length_in(window), "1100 mm");
    window.frames(3);
    EXPECT_FALSE(window.shows("choice Restore")) << "it is offered once";
}

TEST_F(Offered, DiscardedEditsAreGone) {
    lose_an_edit();
    {
        Window window({1280, 2900}, AUMBRY_CATALOGS, state.path());
        window.open(file);
        window.click("choice Discard");
        EXPECT_EQ(window.application().document().bytes(), bytes);
    }
    EXPECT_FALSE(journal_is_there());
    Window window({1280, 2900}, AUMBRY_CATALOGS, state.path());
    window.open(file);
    EXPECT_FALSE(window.shows("choice Restore"));
}

TEST_F(Offered, LaterKeepsThemAndEscapeIsLater) {
    lose_an_edit();
    {
        Window window({1280, 2900}, AUMBRY_CATALOGS, state.path());
        window.open(file);
        window.press(ImGuiKey_Escape);
        EXPECT_FALSE(window.shows("choice Restore"));
        EXPECT_EQ(window.application().document().bytes(), bytes);
    }
    EXPECT_TRUE(journal_is_there());
}

TEST_F(Offered, AFileThatSomebodyElseChangedIsToldAsSuch) {
    lose_an_edit();
    std::string theirs = bytes;
    theirs.replace(theirs.find("Guest loft"), 10, "Their loft");
    write_text(file, theirs);
    Window window({1280, 2900}, AUMBRY_CATALOGS, state.path());
    window.open(file);
    const std::string shown = window.text();
    EXPECT_THAT(shown, HasSubstr("The file was changed by somebody else since"));
    EXPECT_THAT(shown, HasSubstr("Their loft"));
    window.click("choice Restore");
    EXPECT_EQ(length_in(window), "1100 mm");
    window.press('Z', true);
    EXPECT_EQ(window.application().document().bytes(), theirs);
}

TEST_F(Offered, StartedWithoutAProjectTheLastOpenedAreLookedThrough) {
    lose_an_edit();
    Window window({1280, 2900}, AUMBRY_CATALOGS, state.path());
    window.application().settings().recent = {"/nowhere/at/all.aumbry.json", file.string()};
    window.application().offer_unsaved();
    window.frames(3);
    window.click("choice Restore");
    window.wait();
    EXPECT_EQ(window.application().document().file(), file);
    EXPECT_EQ(length_in(window), "1100 mm");
}

TEST_F(Offered, AProjectThatWasNeverSavedIsOfferedAtTheNextStart) {
    {
        Window window({1280, 800}, AUMBRY_CATALOGS, state.path());
        window.wait();
        window.click("Begin, and choose a first piece");
        window.wait();
        window.click("Close");
        window.click("button add");
        window.click("add item");
        window.kill();
    }
    Window window({1280, 800}, AUMBRY_CATALOGS, state.path());
    window.application().offer_unsaved();
    window.frames(3);
    EXPECT_THAT(window.text(), HasSubstr("to a project without a file were found"));
    window.click("choice Restore");
    EXPECT_EQ(window.application().document().json()["lines"].size(), 1U);
    EXPECT_EQ(window.application().document().file(), "");
}

TEST_F(Offered, LeavingInOrderLeavesNoJournal) {
    Window window({1280, 2900}, AUMBRY_CATALOGS, state.path());
    window.open(file);
    edit(window, "1100 mm");
    window.application().journal().flush();
    EXPECT_TRUE(journal_is_there());
    window.application().close();
    window.frames(3);
    window.click("choice Discard");
    EXPECT_TRUE(window.application().closed());
    window.application().journal().flush();
    EXPECT_FALSE(journal_is_there());
}

TEST_F(Offered, UndoneToWhatIsSavedNothingIsKept) {
    Window window({1280, 2900}, AUMBRY_CATALOGS, state.path());
    window.open(file);
    edit(window, "1100 mm");
    window.press('Z', true);
    window.application().journal().flush();
    EXPECT_FALSE(journal_is_there());
}

TEST_F(Offered, AJournalOfWhatIsSavedIsClearedAwayWithoutAWord) {
    lose_an_edit();
    Json json = parse_json(bytes);
    json["lines"]["shelf_side"]["length"] = "1100 mm";
    write_text(file, pretty(json));
    Window window({1280, 2900}, AUMBRY_CATALOGS, state.path());
    window.open(file);
    EXPECT_FALSE(window.shows("choice Restore"));
    EXPECT_FALSE(journal_is_there());
}

} // namespace aumbry::gui::test
