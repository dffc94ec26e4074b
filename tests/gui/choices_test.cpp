// Things made by choosing alone: a material out of the price lists, a piece, an alternative.
#include "session/offered.hpp"
#include "window.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace aumbry::gui::test {

using ::testing::Contains;
using ::testing::HasSubstr;

namespace {

class Choices : public ::testing::Test {
  protected:
    Folder folder;
    Window window{{1280, 1600}};

    void SetUp() override { window.open(folder.copy_of("harbour-loft")); }

    [[nodiscard]] std::string in_document(const std::string& pointer) {
        return written(find_at(window.application().document().json(), pointer));
    }
};

} // namespace

TEST_F(Choices, AMaterialIsMadeOfWhatThePriceListsHave) {
    window.press('2', true);
    window.click("section Materials");
    window.click("add a material");
    window.click("class sheet");
    window.write_over("material title", "Drawer fronts");
    window.press(ImGuiKey_Enter);
    window.click("choose species");
    window.click("offered poplar");
    window.click("choose thickness");
    window.click("offered 18 mm");
    // Each choice leaves what goes with it: what is left has a price.
    EXPECT_THAT(window.text(), HasSubstr("oplar plywood"));
    window.click("Add it");
    EXPECT_EQ(in_document("/materials/drawer_fronts/class"), "sheet");
    EXPECT_EQ(in_document("/materials/drawer_fronts/species"), "poplar");
    EXPECT_EQ(in_document("/materials/drawer_fronts/thickness"), "18 mm");
    EXPECT_EQ(window.application().document().undo_label(), "Add material Drawer fronts");
    window.wait();
    EXPECT_TRUE(window.state().answer.faults.empty());
    window.press('Z', true);
    EXPECT_FALSE(window.application().document().unsaved());
}

TEST_F(Choices, AMaterialThatIsGivenUpLeavesNothing) {
    window.press('2', true);
    window.click("section Materials");
    window.click("add a material");
    window.click("class sheet");
    window.click("Cancel");
    EXPECT_FALSE(window.application().document().unsaved());
    EXPECT_TRUE(window.shows("add a material"));
}

TEST_F(Choices, WhatIfMakesAnAlternativeOfAMaterialWithoutTyping) {
    window.press('4', true);
    window.wait();
    window.click("what if what");
    window.click("what if carcase");
    window.click("what if attribute");
    window.click("what if its grade");
    window.click("what if value");
    window.click("what if value S/BB");
    window.click("Try it");
    window.wait();
    EXPECT_FALSE(window.state().alternative.empty());
    const std::string changes =
        "/alternatives/" + window.state().alternative + "/changes/materials/carcase";
    EXPECT_EQ(in_document(changes + "/grade"), "S/BB");
    EXPECT_EQ(find_at(window.application().document().json(), changes)->size(), 1U);
    // The base is as it was.
    EXPECT_EQ(in_document("/materials/carcase/grade"), "BB/BB");
    EXPECT_FALSE(window.state().answer.against_base.empty());
    window.press('Z', true);
    EXPECT_EQ(window.state().alternative, "");
    EXPECT_FALSE(window.application().document().unsaved());
}

TEST_F(Choices, WhatIfMakesAnAlternativeOfASizeAndASecondOneToo) {
    for (const std::string value : {"20", "25"}) {
        window.press('4', true);
        window.wait();
        if (!window.state().alternative.empty()) window.click("Back to the base");
        window.click("what if what");
        window.click("what if ease");
        window.click("what if size");
        window.type(value);
        window.press(ImGuiKey_Enter);
        window.click("Try it");
        window.wait();
        EXPECT_EQ(
            in_document("/alternatives/" + window.state().alternative + "/changes/parameters/ease"),
            value + " mm");
    }
    EXPECT_EQ(in_document("/parameters/ease"), "12.5 mm");
}

TEST_F(Choices, APieceOfOnesOwnIsMadeAndFilled) {
    window.click("button piece");
    window.click("library own");
    window.write_over("piece title", "Shoe bench");
    window.click("Add the empty piece");
    window.wait();
    EXPECT_EQ(in_document("/pieces/shoe_bench/title"), "Shoe bench");
    EXPECT_FALSE(window.state().library.shown);
    // What is added next is of that piece.
    window.click("button add");
    window.click("add panel");
    EXPECT_EQ(in_document("/lines/panel/piece"), "shoe_bench");
}

// Fields that are matched with price lists offer what those have.
TEST_F(Choices, GoodsOfALineAreOfferedByThePriceLists) {
    const Knowledge& knowledge = *window.state().knowledge;
    const contract::LineKind& coating = *knowledge.kind("coating");
    const contract::Field& coats = *find_field(coating.fields, "coats");
    const std::vector<std::string> products =
        offered_for_line(knowledge, coating, Json::object(), *find_field(coats.fields, "product"));
    EXPECT_THAT(products, Contains("Kade clear varnish"));
    EXPECT_TRUE(
        offered_for_line(knowledge, coating, Json::object(), *find_field(coating.fields, "faces"))
            .empty());
}

TEST_F(Choices, EveryPieceOfTheLibraryShowsItsFormAndAPrice) {
    window.click("button piece");
    const std::vector<PieceFile>& pieces = window.state().knowledge->library.pieces;
    EXPECT_GE(pieces.size(), 16U);
    for (const PieceFile& piece : pieces) {
        window.click("library " + piece.name);
        window.wait_for_trial();
        ASSERT_NE(window.state().trial, nullptr);
        for (const Fault& fault : window.state().trial->faults)
            ADD_FAILURE() << piece.name << ": " << fault.sentence();
        EXPECT_TRUE(window.shows("piece price")) << piece.name;
    }
    EXPECT_FALSE(window.application().document().unsaved()) << "trying changes nothing";
}

} // namespace aumbry::gui::test
