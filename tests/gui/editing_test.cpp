// Editing as a maker does it: clicks, keys, and what the answer says.
#include "window.hpp"

#include "aumbry/project.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace aumbry::gui::test {

using ::testing::HasSubstr;

namespace {

class Editing : public ::testing::Test {
  protected:
    Folder folder;
    std::filesystem::path file = folder.copy_of("harbour-loft");
    Window window{{1280, 2900}}; // every line is in sight

    void SetUp() override { window.open(file); }

    [[nodiscard]] std::string in_document(const std::string& pointer) {
        return written(find_at(window.application().document().json(), pointer));
    }
    void edit_cell(const std::string& cell, const std::string& text) {
        window.click("cell " + cell);
        window.type(text);
        window.press(ImGuiKey_Enter);
        window.wait();
    }
};

} // namespace

TEST_F(Editing, ASizeChangesTheTotal) {
    const std::string before = window.total();
    ASSERT_FALSE(before.empty());
    edit_cell("shelf_side length", "1100 mm");
    EXPECT_EQ(in_document("/lines/shelf_side/length"), "1100 mm");
    EXPECT_NE(window.total(), before);
    // Less wood: what the answer says has a sign and names the edit.
    EXPECT_THAT(window.text(), HasSubstr("by the last edit"));
    // The estimate of the same text, made without the window, is the same.
    PluginHost host({AUMBRY_PLUGINS});
    const Catalog catalog = load_catalog({AUMBRY_CATALOGS}, host.catalog_classes());
    const Project project = read_project(window.application().document().bytes(), file.string());
    EstimateOptions drafted;
    drafted.effort = "draft";
    EXPECT_EQ(estimate(project, host, catalog, drafted).totals.total.str(), window.total());
}

TEST_F(Editing, UndoRestoresTheBytesAndRedoTheEdit) {
    const std::string bytes = window.application().document().bytes();
    const std::string before = window.total();
    edit_cell("shelf_side length", "1100 mm");
    const std::string after = window.application().document().bytes();
    EXPECT_NE(after, bytes);
    EXPECT_TRUE(window.application().document().unsaved());
    EXPECT_EQ(window.application().document().undo_label(), "Length of Shelf side by the bed");
    window.press('Z', true);
    window.wait();
    EXPECT_EQ(window.application().document().bytes(), bytes);
    EXPECT_FALSE(window.application().document().unsaved());
    EXPECT_EQ(window.total(), before);
    window.press('Y', true);
    window.wait();
    EXPECT_EQ(window.application().document().bytes(), after);
}

TEST_F(Editing, ABadFormulaShowsItsSentenceAtTheCellAndTheLastTotalStays) {
    const std::string before = window.total();
    edit_cell("bed_side width", "box_hight + 20 mm");
    EXPECT_EQ(in_document("/lines/bed_side/width"), "box_hight + 20 mm");
    EXPECT_EQ(window.total(), before);
    EXPECT_TRUE(window.state().answer.stale);
    // The nearest name is proposed.
    const std::string shown = window.text();
    EXPECT_THAT(shown, HasSubstr("! unknown name 'box_hight'"));
    EXPECT_THAT(shown, HasSubstr("did you mean 'box_height'?"));
    EXPECT_THAT(shown, HasSubstr("Not priced as it stands, Bed side, Width"));
    // Mended, it is priced again.
    edit_cell("bed_side width", "box_height");
    EXPECT_FALSE(window.state().answer.stale);
    EXPECT_EQ(window.total(), before);
}

TEST_F(Editing, ClickingTheFaultGoesToItsLine) {
    edit_cell("bed_side width", "box_hight");
    window.press('5', true);
    window.click("fault");
    EXPECT_EQ(window.state().view, View::bill);
    EXPECT_EQ(window.state().selected, "bed_side");
}

TEST_F(Editing, EscapeLeavesTheCellAsItWas) {
    window.click("cell bed_side length");
    window.type("9 m");
    EXPECT_TRUE(window.state().bill.editing);
    window.press(ImGuiKey_Escape);
    EXPECT_FALSE(window.state().bill.editing);
    EXPECT_FALSE(window.application().document().unsaved());
}

TEST_F(Editing, EveryCharacterTypedReachesTheCell) {
    // As fast as one a frame, from the first on, before the field has the keyboard.
    window.click("cell bed_side length");
    for (const char sign : std::string("1234.5 mm")) {
        ImGui::GetIO().AddInputCharacter(static_cast<unsigned char>(sign));
        window.frames(1);
    }
    window.press(ImGuiKey_Enter);
    EXPECT_EQ(in_document("/lines/bed_side/length"), "1234.5 mm");
}

TEST_F(Editing, ArrowsMoveTheCursorAndTabTakesAndGoesOn) {
    window.click("cell bed_side title");
    window.press(ImGuiKey_DownArrow);
    EXPECT_EQ(window.state().bill.cursor.line, "bed_head");
    for (int i = 0; i < 4; ++i) window.press(ImGuiKey_RightArrow);
    window.type("1 m");
    window.press(ImGuiKey_Tab);
    EXPECT_EQ(in_document("/lines/bed_head/length"), "1 m");
    EXPECT_TRUE(window.state().bill.editing);
    window.type(" - 1 mm"); // what stood there is added to
    window.press(ImGuiKey_Enter);
    EXPECT_EQ(in_document("/lines/bed_head/width"), "head_height - 1 mm");
}

TEST_F(Editing, ClickingElsewhereTakesWhatIsBeingTyped) {
    window.click("cell bed_side length");
    window.type("1900 mm");
    window.click("cell bed_foot title");
    EXPECT_EQ(in_document("/lines/bed_side/length"), "1900 mm");
    EXPECT_EQ(window.state().selected, "bed_foot");
}

TEST_F(Editing, SavingTakesWhatIsBeingTyped) {
    window.click("cell bed_side length");
    window.type("1900 mm");
    window.press('S', true);
    EXPECT_FALSE(window.application().document().unsaved());
    EXPECT_THAT(read_file(file), HasSubstr("\"length\": \"1900 mm\""));
}

TEST_F(Editing, AFieldOfTheFormIsTakenWhenAnotherIsClicked) {
    window.click("cell bed_side title");
    window.click("field /lines/bed_side/width");
    window.press('A', true);
    window.type("300 mm");
    window.click("cell bed_head title");
    window.wait();
    EXPECT_EQ(in_document("/lines/bed_side/width"), "300 mm");
    EXPECT_EQ(window.application().document().undo_label(), "Width of Bed side");
}

TEST_F(Editing, LinesAreDuplicatedDeletedAndMovedTogether) {
    window.click("cell bed_side title");
    window.click("cell bed_foot title", false, true);
    EXPECT_EQ(window.state().bill.chosen.size(), 3U);
    window.press('D', true);
    EXPECT_EQ(in_document("/lines/bed_head_2/length"), "bed_inner_width");
    EXPECT_EQ(window.state().bill.chosen,
              (std::set<std::string>{"bed_side_2", "bed_head_2", "bed_foot_2"}));
    window.click("button move");
    window.click("move to bench");
    EXPECT_EQ(in_document("/lines/bed_side_2/piece"), "bench");
    EXPECT_EQ(in_document("/lines/bed_foot_2/piece"), "bench");
    window.click("cell bed_plinth title");
    window.click("cell plinth_end title", true);
    EXPECT_EQ(window.state().bill.chosen.size(), 2U);
    window.press(ImGuiKey_Delete);
    EXPECT_EQ(in_document("/lines/bed_plinth/kind"), "");
    EXPECT_EQ(in_document("/lines/plinth_end/kind"), "");
    EXPECT_EQ(window.application().document().undo_label(), "Delete 2 lines");
    window.press('Z', true);
    EXPECT_EQ(in_document("/lines/bed_plinth/kind"), "panel");
}

TEST_F(Editing, ALineOfEveryKindCanBeAddedAndHasItsForm) {
    for (const contract::Description& module : window.state().knowledge->modules) {
        for (const contract::LineKind& kind : module.line_kinds) {
            window.click("button add");
            window.click("add " + kind.kind);
            window.wait();
            const std::string id = window.state().selected;
            EXPECT_EQ(in_document("/lines/" + id + "/kind"), kind.kind);
            const std::string shown = window.text();
            for (const contract::Field& field : kind.fields) {
                EXPECT_THAT(shown, HasSubstr(field.title)) << kind.kind;
            }
            window.press('Z', true);
            window.wait();
        }
    }
    EXPECT_FALSE(window.application().document().unsaved());
}

TEST_F(Editing, TheFilterLeavesLinesThatHaveTheText) {
    window.click("filter");
    window.type("DRAWER F");
    window.frames(2);
    EXPECT_TRUE(window.shows("cell drawer_front title"));
    EXPECT_FALSE(window.shows("cell drawer_side title"));
    EXPECT_FALSE(window.shows("cell bed_side title"));
}

TEST_F(Editing, APlywoodGradeIsChangedForAWholeRoleInOnePlace) {
    const std::string before = window.total();
    window.press('2', true);
    window.click("section Materials");
    window.click("list /materials/carcase/grade");
    // Only grades that the price lists have in 18 mm birch are offered.
    EXPECT_TRUE(window.shows("suggestion BB/BB"));
    EXPECT_TRUE(window.shows("suggestion S/BB"));
    window.click("suggestion S/BB");
    window.wait();
    EXPECT_EQ(in_document("/materials/carcase/grade"), "S/BB");
    EXPECT_NE(window.total(), before);
}

TEST_F(Editing, AParameterSaysWhoUsesItAndChangesThemAll) {
    window.press('2', true);
    EXPECT_TRUE(window.shows("user gap lid_rail"));
    window.click("size gap");
    window.press('A', true);
    window.type("10 mm");
    window.press(ImGuiKey_Enter);
    window.wait();
    EXPECT_EQ(in_document("/parameters/gap"), "10 mm");
    // 2025 mm less two gaps of 10 mm.
    EXPECT_EQ(line_of(window.state().estimate(), "lid_rail")->fields.at("length"), 2005.0);
    window.click("user gap lid_rail");
    EXPECT_EQ(window.state().view, View::bill);
    EXPECT_EQ(window.state().selected, "lid_rail");
}

TEST_F(Editing, ASizeCanBeAddedAndDeleted) {
    window.press('2', true);
    window.click("new size name");
    window.type("Plinth height");
    window.click("new size value");
    window.type("80 mm");
    window.press(ImGuiKey_Enter);
    EXPECT_EQ(in_document("/parameters/plinth_height"), "80 mm");
    window.click("delete size plinth_height");
    EXPECT_EQ(find_at(window.application().document().json(), "/parameters/plinth_height"),
              nullptr);
}

TEST_F(Editing, AnEditOfAnAlternativeGoesToItsChanges) {
    const std::string base = window.total();
    window.application().obey(WorkOn{"poplar"});
    window.wait();
    EXPECT_NE(window.total(), base);
    EXPECT_FALSE(window.state().answer.against_base.empty());
    edit_cell("shelf_side length", "1100 mm");
    // The base keeps its size; the alternative's changes have the new one beside what they had.
    EXPECT_EQ(in_document("/lines/shelf_side/length"), "1480 mm");
    EXPECT_EQ(in_document("/alternatives/poplar/changes/lines/shelf_side/length"), "1100 mm");
    EXPECT_EQ(in_document("/alternatives/poplar/changes/materials/carcase/species"), "poplar");
    window.application().obey(WorkOn{""});
    window.wait();
    EXPECT_EQ(window.total(), base);
}

TEST_F(Editing, UnsavedEditsBecomeAnAlternativeAndTheBaseIsAsSaved) {
    const std::string base = window.total();
    edit_cell("shelf_side length", "1100 mm");
    const std::string edited_total = window.total();
    window.application().obey(KeepAsAlternative{"Lower shelves"});
    window.wait();
    EXPECT_EQ(window.state().alternative, "lower_shelves");
    EXPECT_EQ(window.total(), edited_total);
    EXPECT_EQ(in_document("/lines/shelf_side/length"), "1480 mm");
    window.press('Z', true);
    window.wait();
    // Undone, the edit stands in the base again.
    EXPECT_EQ(window.state().alternative, "");
    EXPECT_EQ(in_document("/lines/shelf_side/length"), "1100 mm");
    window.press('Z', true);
    window.wait();
    EXPECT_EQ(window.total(), base);
}

TEST_F(Editing, AnAlternativeIsAdoptedAsBase) {
    window.application().obey(WorkOn{"wide_mattress"});
    window.wait();
    const std::string total = window.total();
    window.application().obey(AdoptAlternative{"wide_mattress"});
    window.wait();
    EXPECT_EQ(window.state().alternative, "");
    EXPECT_EQ(window.total(), total);
    EXPECT_EQ(in_document("/lines/guest_mattress/size"), "160 x 200");
    EXPECT_EQ(find_at(window.application().document().json(), "/alternatives/wide_mattress"),
              nullptr);
}

} // namespace aumbry::gui::test
