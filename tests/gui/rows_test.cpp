// Lines as rows of a spreadsheet, through the clipboard.
#include "session/rows.hpp"
#include "window.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace aumbry::gui::test {

using ::testing::HasSubstr;
using ::testing::StartsWith;

namespace {

class Rows : public ::testing::Test {
  protected:
    Folder folder;
    Window window{{1280, 2900}};

    void SetUp() override { window.open(folder.copy_of("harbour-loft")); }

    [[nodiscard]] std::string in_document(const std::string& pointer) {
        return written(find_at(window.application().document().json(), pointer));
    }
    void paste(const std::string& text) {
        window.set_clipboard(text);
        window.press('V', true);
        window.wait();
    }
};

} // namespace

TEST_F(Rows, ChosenLinesAreCopiedWithHeadingsAsWhatTheyComeTo) {
    window.click("cell bed_side title");
    window.click("cell bed_head title", false, true);
    window.press('C', true);
    // 2061 and 356 mm are read off the bill; tab-separated as spreadsheets paste it.
    EXPECT_THAT(window.clipboard(),
                StartsWith("Title\tKind\tCount\tMaterial\tLength mm\tWidth mm"));
    EXPECT_THAT(window.clipboard(), HasSubstr("\nBed side\tPanel\t2\tcarcase\t2061\t356"));
    EXPECT_THAT(window.clipboard(), HasSubstr("\nBed head end\tPanel\t1\tcarcase\t1425\t240"));
}

TEST_F(Rows, RowsOfASpreadsheetBecomeLinesBehindTheCursorInOneStep) {
    window.click("cell bed_side title");
    paste("Part\tCount\tMaterial\tLength (cm)\tWidth mm\n"
          "Shoe shelf\t3\tCarcase, 18 mm birch\t82,5\t280\n"
          "\t\t\t\t\n"
          "Shoe back\t1\tboxes\tbed_inner_width\t14 in\n");
    ASSERT_EQ(in_document("/lines/shoe_shelf/kind"), "panel") << window.text();
    EXPECT_EQ(in_document("/lines/shoe_shelf/count"), "3");
    EXPECT_EQ(in_document("/lines/shoe_shelf/material"), "carcase");
    EXPECT_EQ(in_document("/lines/shoe_shelf/length"), "82.5 cm");
    EXPECT_EQ(in_document("/lines/shoe_shelf/width"), "280 mm");
    EXPECT_EQ(in_document("/lines/shoe_back/length"), "bed_inner_width");
    EXPECT_EQ(in_document("/lines/shoe_back/width"), "14 in");
    EXPECT_EQ(in_document("/lines/shoe_shelf/piece"), in_document("/lines/bed_side/piece"));
    ASSERT_NE(line_of(window.state().estimate(), "shoe_shelf"), nullptr);
    EXPECT_EQ(line_of(window.state().estimate(), "shoe_shelf")->fields.at("length"), 825.0);
    EXPECT_EQ(window.application().document().undo_label(), "Paste 2 lines");
    window.press('Z', true);
    EXPECT_FALSE(window.application().document().unsaved());
}

TEST_F(Rows, WhatIsCopiedCanBePastedAgainInTheSameSizes) {
    window.click("cell bed_side title");
    window.press('C', true);
    window.press('V', true);
    window.wait();
    const EstimateLine* before = line_of(window.state().estimate(), "bed_side");
    const EstimateLine* after = line_of(window.state().estimate(), "bed_side_2");
    ASSERT_NE(after, nullptr);
    EXPECT_EQ(after->fields.at("length"), before->fields.at("length"));
    EXPECT_EQ(after->fields.at("width"), before->fields.at("width"));
    EXPECT_EQ(after->count, before->count);
}

TEST_F(Rows, FaultsAreToldByRowAndColumnAndNothingIsPasted) {
    window.click("cell bed_side title");
    paste("Title\tCount\tMaterial\tLength mm\tColour of it\n"
          "Shelf\ttwo\tebony\t800\tred\n");
    const std::string told = window.text();
    EXPECT_THAT(told, HasSubstr("row 2, column Count"));
    EXPECT_THAT(told, HasSubstr("'two' is no whole number"));
    EXPECT_THAT(told, HasSubstr("the job has no material 'ebony'"));
    EXPECT_THAT(told, HasSubstr("has no 'Colour of it'"));
    window.click("choice OK");
    EXPECT_FALSE(window.application().document().unsaved());
}

TEST_F(Rows, TextThatIsNoTableIsRefusedWithASentence) {
    window.click("cell bed_side title");
    paste("just a word");
    EXPECT_THAT(window.text(), HasSubstr("the first row does not name the columns"));
    window.click("choice OK");
    EXPECT_FALSE(window.application().document().unsaved());
}

} // namespace aumbry::gui::test
