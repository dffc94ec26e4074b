// Opening, dropping, saving and quitting, as a person does them in the window.
#include "session/exports.hpp"
#include "window.hpp"

#include "aumbry/project.hpp"

#include <array>
#include <cstdio>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace aumbry::gui::test {

using ::testing::HasSubstr;

namespace {

class Files : public ::testing::Test {
  protected:
    Folder folder;
    std::filesystem::path file = folder.copy_of("harbour-loft");
    Window window{{1280, 2900}}; // every line is in sight

    void SetUp() override { window.open(file); }

    void edit() {
        window.click("cell shelf_side length");
        window.type("1100 mm");
        window.press(ImGuiKey_Enter);
        ASSERT_TRUE(window.application().document().unsaved());
    }
};

} // namespace

TEST_F(Files, ABrokenFileDroppedIsRefusedWithASentenceAndNothingIsLost) {
    edit();
    const std::string bytes = window.application().document().bytes();
    const auto broken = folder.path() / "broken.aumbry.json";
    write_text(broken, "{\"aumbry\": 1, \"lines\": {");
    window.application().drop(broken);
    window.frames(3);
    // First it asks, as there are changes to lose.
    ASSERT_TRUE(window.shows("choice Cancel"));
    window.click("choice Discard");
    EXPECT_THAT(window.text(), HasSubstr("broken.aumbry.json"));
    window.click("choice OK");
    EXPECT_EQ(window.application().document().bytes(), bytes);
    EXPECT_EQ(window.application().document().file(), file);
    EXPECT_TRUE(window.application().document().can_undo());
}

TEST_F(Files, CancellingKeepsTheProject) {
    edit();
    window.application().drop(folder.path() / "elsewhere.aumbry.json");
    window.frames(3);
    window.click("choice Cancel");
    EXPECT_EQ(window.application().document().file(), file);
    EXPECT_TRUE(window.application().document().unsaved());
}

TEST_F(Files, QuittingAsksAndSavingSavesThenQuits) {
    edit();
    window.application().close();
    window.frames(3);
    EXPECT_FALSE(window.application().closed());
    window.click("choice Save");
    EXPECT_TRUE(window.application().closed());
    EXPECT_THAT(read_file(file), HasSubstr("\"length\": \"1100 mm\""));
}

TEST_F(Files, QuittingTakesWhatIsBeingTypedIntoAccount) {
    window.click("cell shelf_side length");
    window.type("1100 mm");
    window.application().close();
    window.frames(3);
    EXPECT_FALSE(window.application().closed());
    EXPECT_TRUE(window.shows("choice Save"));
}

TEST_F(Files, ANewProjectAsksForANameWhenSavedAndThenGoesOn) {
    window.press('N', true);
    window.click("Begin, and choose a first piece");
    EXPECT_EQ(window.application().document().file(), "");
    window.click("Close");
    window.click("button add");
    window.click("add item");
    window.application().close();
    window.frames(3);
    window.click("choice Save");
    ASSERT_TRUE(window.shows("dialog file"));
    window.press('A', true);
    const auto named = folder.path() / "fresh.aumbry.json";
    window.type(named.string());
    window.press(ImGuiKey_Enter);
    EXPECT_TRUE(window.application().closed());
    EXPECT_EQ(parse_json(read_file(named))["lines"].size(), 1U);
}

TEST_F(Files, SavingUnderTheNameOfAnotherFileAsks) {
    const auto other = folder.path() / "other.aumbry.json";
    write_text(other, "kept");
    edit();
    window.click("menu Project");
    window.click("item Save as");
    ASSERT_TRUE(window.shows("dialog file"));
    window.press('A', true);
    window.type("other.aumbry.json");
    window.press(ImGuiKey_Enter);
    ASSERT_TRUE(window.shows("choice Overwrite"));
    EXPECT_EQ(read_file(other), "kept");
    window.click("choice Cancel");
    EXPECT_EQ(read_file(other), "kept");
    EXPECT_EQ(window.application().document().file(), file);
}

TEST_F(Files, AFileChangedBySomebodyElseIsAskedAboutAndCanBeReloaded) {
    edit();
    std::string theirs = read_file(file);
    theirs.replace(theirs.find("Guest loft"), 10, "Their loft");
    write_text(file, theirs);
    window.press('S', true);
    ASSERT_TRUE(window.shows("choice Reload"));
    EXPECT_EQ(read_file(file), theirs);
    window.click("choice Reload");
    window.wait();
    EXPECT_EQ(window.application().document().bytes(), theirs);
}

TEST_F(Files, AProjectOfANewerVersionIsShownAndNotEdited) {
    const auto newer = folder.path() / "newer.aumbry.json";
    Json json = parse_json(read_file(file));
    json["aumbry"] = 999;
    write_text(newer, pretty(json));
    window.application().open(newer);
    window.frames(3);
    EXPECT_THAT(window.text(), HasSubstr("It is shown, not edited"));
    window.click("choice OK");
    window.click("cell bed_side length");
    window.type("1 m");
    window.press(ImGuiKey_Enter);
    window.press(ImGuiKey_Delete);
    EXPECT_FALSE(window.application().document().unsaved());
    EXPECT_EQ(read_file(newer), pretty(json));
}

TEST_F(Files, WhatTheCommandPrintsIsExported) {
    window.click("menu Project");
    window.click("menu Export");
    window.click("item The estimate, JSON");
    ASSERT_TRUE(window.shows("dialog file"));
    window.press('A', true);
    const auto out = folder.path() / "estimate.json";
    window.type(out.string());
    window.press(ImGuiKey_Enter);
    ASSERT_TRUE(std::filesystem::exists(out));
    EXPECT_EQ(parse_json(read_file(out))["totals"]["total"], window.total());
}

/// What a program prints; it must end well.
std::string printed_by(const std::string& command) {
    std::string out;
    FILE* pipe = ::popen(command.c_str(), "r");
    std::array<char, 4096> some;
    for (std::size_t got = 0; (got = std::fread(some.data(), 1, some.size(), pipe)) > 0;)
        out.append(some.data(), got);
    EXPECT_EQ(::pclose(pipe), 0) << command;
    return out;
}

TEST(Exports, AreByteForByteWhatTheCommandWrites) {
    const Folder folder;
    const auto file = folder.copy_of("orchard-mudroom");
    Window window;
    window.open(file);
    window.application().obey(ShowView{View::alternatives});
    window.wait_for_comparison();
    const State& state = window.state();
    ASSERT_NE(state.answer.comparison, nullptr);

    const std::string out = (folder.path() / "out").string();
    const auto by_command = [&](const std::string& verb, const std::string& options = "") {
        return printed_by(std::string(AUMBRY_COMMAND) + ' ' + verb + " '" + file.string() +
                          "' --effort draft --plugins '" + AUMBRY_PLUGINS + "' --catalogs '" +
                          AUMBRY_CATALOGS + "' " + options);
    };
    const auto in_file = [&](const std::string& verb, const std::string& option) {
        EXPECT_EQ(by_command(verb, option + " '" + out + '\''), "");
        return read_file(out);
    };
    EXPECT_EQ(by_command("order", "--pdf '" + folder.path().string() + "/orders'"), "");
    const std::map<std::string, std::string> written{
        {"price.txt", by_command("price", "--full")},
        {"price.json", by_command("price", "--json")},
        {"plan.txt", by_command("plan")},
        {"plan.ics", in_file("plan", "--ics")},
        {"compare.txt", by_command("compare")},
        {"compare.csv", by_command("compare", "--csv")},
        {"cut.txt", by_command("cut")},
        {"cut.pdf", in_file("cut", "--pdf")},
        {"labels.pdf", in_file("labels", "--pdf")},
        {"orders.txt", by_command("order")},
        {"to-collect.pdf", read_file(folder.path() / "orders" / "to-collect.pdf")},
        {"quote.txt", by_command("quote")},
        {"quote.pdf", in_file("quote", "--pdf")},
        {"job-pack.pdf", in_file("jobpack", "--pdf")}};
    for (const Export& what : exports()) {
        const std::string bytes = bytes_of(what, *state.estimate(), state.answer.comparison.get());
        if (const auto same = written.find(what.file); same != written.end()) {
            EXPECT_TRUE(bytes == same->second) << what.file << " is something else";
            continue;
        }
        // The command writes a file for each supplier, the window one for all.
        ASSERT_EQ(what.file, std::string("orders.pdf"));
        write_text(out, bytes);
        const std::string text = printed_by("pdftotext -layout '" + out + "' -");
        for (const EstimateOrder& order : state.estimate()->orders) {
            EXPECT_THAT(text, HasSubstr(order.name));
            const Money asked = order.collected ? order.total - order.delivery : order.total;
            EXPECT_THAT(text, HasSubstr(asked.grouped()));
        }
    }
}

TEST_F(Files, LinesOfAMissingModuleAreShownAndStay) {
    Json json = parse_json(read_file(file));
    json["lines"]["gate"] = {{"kind", "smithy.gate"}, {"title", "Iron gate"}, {"bars", 7}};
    write_text(file, pretty(json));
    window.open(file);
    window.click("filter");
    window.type("gate");
    window.click("cell gate title");
    const std::string shown = window.text();
    EXPECT_THAT(shown, HasSubstr("No module for lines of kind 'smithy.gate' is loaded"));
    EXPECT_THAT(shown, HasSubstr("bars"));
    EXPECT_THAT(shown, HasSubstr("Not priced: "));
    window.press(ImGuiKey_Escape);
    window.press('D', true);
    window.press('S', true);
    EXPECT_EQ(parse_json(read_file(file))["lines"]["gate"], json["lines"]["gate"]);
}

TEST_F(Files, OpeningAnotherProjectForgetsWhatWasLookedAt) {
    window.click("cell bed_side title");
    window.press('2', true);
    const auto other = folder.path() / "other.aumbry.json";
    write_text(other, R"({"aumbry": 1, "title": "Other", "currency": "EUR"})");
    window.application().drop(other);
    window.frames(2);
    window.wait();
    EXPECT_EQ(window.state().selected, "");
    EXPECT_EQ(window.application().settings().recent.front(), other.string());
    EXPECT_FALSE(window.application().document().can_undo());
}

} // namespace aumbry::gui::test
