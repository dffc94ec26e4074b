// Names offered while a formula or a reference is typed.
#include "session/names.hpp"
#include "widgets/offers.hpp"
#include "window.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace aumbry::gui::test {

using ::testing::Contains;
using ::testing::Not;

// A unit after a number is no name, nor is a number.
TEST(Offers, TheNameBeforeTheCursorIsFoundAndAUnitIsNone) {
    EXPECT_EQ(name_before("2 * gap", 7), "gap");
    EXPECT_EQ(name_before("2 * bed_side.le + 3", 15), "bed_side.le");
    EXPECT_EQ(name_before("18 mm", 5), "");
    EXPECT_EQ(name_before("18mm", 4), "");
    EXPECT_EQ(name_before("gap + ", 6), "");
    EXPECT_EQ(name_before("max(wi", 6), "wi");
    EXPECT_EQ(name_before("gap", 99), "gap");
}

TEST(Offers, TextsThatBeginWithItComeFirst) {
    const std::vector<Offer> found = offers_among({"clear varnish", "Varnish oil", "glue"}, "varn");
    ASSERT_EQ(found.size(), 2U);
    EXPECT_EQ(found[0].text, "Varnish oil");
    EXPECT_EQ(found[1].text, "clear varnish");
}

namespace {

class Typing : public ::testing::Test {
  protected:
    Folder folder;
    Window window{{1280, 2900}};

    void SetUp() override { window.open(folder.copy_of("harbour-loft")); }

    [[nodiscard]] std::string in_document(const std::string& pointer) {
        return written(find_at(window.application().document().json(), pointer));
    }
    [[nodiscard]] std::vector<std::string> offered(const std::string& so_far) {
        std::vector<std::string> texts;
        for (const Name& name : names_for(so_far, window.state().document,
                                          *window.state().knowledge, window.state().estimate()))
            texts.push_back(name.text);
        return texts;
    }
};

} // namespace

TEST_F(Typing, NamesAreOfferedByTheirBeginningTheirMiddleAndTheirTitle) {
    EXPECT_EQ(offered("box_h").front(), "box_height");
    EXPECT_THAT(offered("height"), Contains("box_height"));
    EXPECT_THAT(offered("Bed side"), Contains("bed_side."));
    EXPECT_THAT(offered("carcase.th"), Contains("carcase.thickness"));
    EXPECT_THAT(offered("bed_side."), Contains("bed_side.length"));
    EXPECT_THAT(offered("bed_side."), Contains("bed_side.mass"));
    // What the line does not state has no value that a formula could use.
    EXPECT_THAT(offered("bed_side."), Not(Contains("bed_side.length_back")));
    EXPECT_TRUE(offered("nothing_like_it").empty());
}

// Whatever is offered is a name that the estimate knows: typed into a size, it is no fault.
TEST_F(Typing, EveryNameOfferedCanBeUsed) {
    std::vector<std::string> names;
    for (const std::string owner : {"bed_side.", "carcase.", "guest_mattress.", "lift_kit."}) {
        for (const std::string& name : offered(owner)) names.push_back(name);
    }
    ASSERT_GT(names.size(), 10U);
    Edit edit{"all of them", {}};
    for (std::size_t i = 0; i < names.size(); ++i)
        edit.changes.push_back({"/parameters/try_" + std::to_string(i), Json(names[i]), ""});
    window.application().obey(ApplyEdit{edit});
    window.wait();
    for (const Fault& fault : window.state().answer.faults) ADD_FAILURE() << fault.sentence();
}

TEST_F(Typing, ArrowKeysChooseAndEnterTakesWithoutLeavingTheField) {
    window.click("cell bed_side length");
    window.type("box_he");
    ASSERT_TRUE(window.shows("offer box_height"));
    window.press(ImGuiKey_DownArrow);
    window.press(ImGuiKey_Enter);
    EXPECT_TRUE(window.state().bill.editing) << "Enter took the name alone";
    EXPECT_FALSE(window.shows("offer box_height"));
    window.type(" + 20 mm");
    window.press(ImGuiKey_Enter);
    EXPECT_EQ(in_document("/lines/bed_side/length"), "box_height + 20 mm");
}

TEST_F(Typing, WhoeverTypesOnIsNotDisturbed) {
    window.click("cell bed_side length");
    window.type("box_h");
    ASSERT_TRUE(window.shows("offer box_height"));
    window.type("eight");
    window.press(ImGuiKey_Enter);
    EXPECT_EQ(in_document("/lines/bed_side/length"), "box_height");
}

TEST_F(Typing, AClickTakesANameAndALineLeadsOnToItsValues) {
    window.click("cell bed_side title");
    window.write_over("field /lines/bed_side/width", "2 * bed_head");
    ASSERT_TRUE(window.shows("offer bed_head."));
    window.click("offer bed_head.");
    ASSERT_TRUE(window.shows("offer bed_head.width"));
    window.click("offer bed_head.width");
    window.press(ImGuiKey_Enter);
    EXPECT_EQ(in_document("/lines/bed_side/width"), "2 * bed_head.width");
}

TEST_F(Typing, EscapeClosesTheOffersAndKeepsWhatIsTyped) {
    window.click("cell bed_side title");
    window.write_over("field /lines/bed_side/width", "box_h");
    ASSERT_TRUE(window.shows("offer box_height"));
    window.press(ImGuiKey_Escape);
    EXPECT_FALSE(window.shows("offer box_height"));
    window.type("eight");
    window.press(ImGuiKey_Enter);
    EXPECT_EQ(in_document("/lines/bed_side/width"), "box_height");
}

TEST_F(Typing, RolesOfMaterialsAndGoodsOfPriceListsAreOffered) {
    window.click("cell bed_side title");
    window.write_over("field /lines/bed_side/material", "box");
    ASSERT_TRUE(window.shows("offer boxes"));
    window.click("offer boxes");
    window.press(ImGuiKey_Enter);
    EXPECT_EQ(in_document("/lines/bed_side/material"), "boxes");
    // The product of a coat is matched with price lists, so that they say what there is.
    window.application().obey(SelectLine{"varnish_all", true});
    window.frames(3);
}

// A size of one's own may be a formula too, also while it is new.
TEST_F(Typing, SizesOfOnesOwnOfferNames) {
    window.press('2', true);
    window.click("new size value");
    window.type("2 * carc");
    ASSERT_TRUE(window.shows("offer carcase."));
    window.press(ImGuiKey_DownArrow);
    window.press(ImGuiKey_Enter);
    ASSERT_TRUE(window.shows("offer carcase.thickness"));
    window.press(ImGuiKey_DownArrow);
    window.press(ImGuiKey_Enter);
    EXPECT_EQ(window.state().parameters.new_value, "2 * carcase.thickness");
}

// What a field is stands beside it while it is typed into, in the words of `aumbry fields`.
TEST_F(Typing, TheHelpOfAFieldStandsBesideIt) {
    window.click("cell bed_side title");
    window.click("field /lines/bed_side/width");
    EXPECT_TRUE(window.shows("help width"));
    EXPECT_THAT(window.text(), ::testing::HasSubstr("(needed); finished width"));
    window.click("cell bed_side title");
    EXPECT_FALSE(window.shows("help width"));
}

// A European hand types a comma, and no unit where the column says which.
TEST_F(Typing, ANumberThatStandsAloneIsMeantInTheJobsUnit) {
    window.click("cell bed_side length");
    window.type("1999,5");
    window.press(ImGuiKey_Enter);
    EXPECT_EQ(in_document("/lines/bed_side/length"), "1999.5 mm");
    EXPECT_EQ(with_unit("12", "in"), "12 in");
    EXPECT_EQ(with_unit("12 mm", "in"), "12 mm");
    EXPECT_EQ(with_unit("gap, 2", "mm"), "gap, 2");
    EXPECT_EQ(with_unit("1,200.5", "mm"), "1,200.5");
    EXPECT_EQ(with_unit("", "mm"), "");
}

} // namespace aumbry::gui::test
