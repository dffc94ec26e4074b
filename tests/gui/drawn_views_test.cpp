// The views that are drawn, pointed at and clicked: cutting, alternatives, dates, lift, findings
// and how a figure came about, on the demonstration project.
#include "window.hpp"

#include "drawings/schedule_chart.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <sstream>

namespace aumbry::gui::test {

namespace {

using ::testing::HasSubstr;
using ::testing::Not;

class DrawnViews : public ::testing::Test {
  protected:
    Folder folder;
    Window window{{1600, 1000}};

    void SetUp() override { window.open(folder.copy_of("harbour-loft")); }

    void show(View view) {
        window.state().view = view;
        window.state().view_changed = true;
        window.frames(3);
    }

    /// What is shown while the mouse rests on something.
    std::string pointing_at(const std::string& place) {
        EXPECT_TRUE(window.shows(place)) << place;
        const ImVec4 box = (*window.state().places)[place];
        ImGui::GetIO().MousePos = {(box.x + box.z) / 2, (box.y + box.w) / 2};
        window.frames(2);
        return window.text();
    }

    /// Shows the sheet on which the line's part lies along the sheet; the name of its place.
    std::string show_sheet_of(const std::string& line) {
        show(View::cutting);
        const auto& sheets = window.state().estimate()->cutting_plans;
        for (std::size_t i = 0; i < sheets.size(); ++i) {
            for (const contract::Placement& part : sheets[i].placements) {
                if (part.line != line || part.rotated) continue;
                window.click("plan S" + std::to_string(i + 1));
                return "part " + line;
            }
        }
        ADD_FAILURE() << "no part of " << line << " lies along its sheet";
        return "";
    }

    const Json& document() { return window.application().document().json(); }
};

} // namespace

TEST_F(DrawnViews, APartIsNamedWhenPointedAt) {
    show_sheet_of("bed_floor");
    EXPECT_THAT(window.text(), Not(HasSubstr("in the whole job")));
    const std::string text = pointing_at("part bed_floor");
    EXPECT_THAT(text, HasSubstr("Floor of the store"));
    EXPECT_THAT(text, HasSubstr("finished 1425 x 1012 mm")); // as the project asks for
    EXPECT_THAT(text, HasSubstr("2 in the whole job"));
}

TEST_F(DrawnViews, AClickOnAPartGoesToItsLine) {
    show_sheet_of("bed_floor");
    window.click("part bed_floor");
    window.frames(3);
    EXPECT_EQ(window.state().selected, "bed_floor");
    EXPECT_EQ(window.state().view, View::bill);
}

TEST_F(DrawnViews, DraggingADrawingMovesItAndIsNoClick) {
    show_sheet_of("bed_floor");
    ASSERT_TRUE(window.shows("part bed_floor"));
    const ImVec4 before = (*window.state().places)["part bed_floor"];
    ImGuiIO& io = ImGui::GetIO();
    io.MousePos = {(before.x + before.z) / 2, (before.y + before.w) / 2};
    window.frames(1);
    io.MouseDown[0] = true;
    window.frames(2);
    io.MousePos.x += 40;
    window.frames(2);
    io.MouseDown[0] = false;
    window.frames(3);
    EXPECT_EQ(window.state().view, View::cutting);
    EXPECT_NEAR((*window.state().places)["part bed_floor"].x - before.x, 40, 1);
    window.click("Fit");
    EXPECT_NEAR((*window.state().places)["part bed_floor"].x, before.x, 0.5);
}

TEST_F(DrawnViews, CutsAreGoneThroughOneByOneTheOneAtHandLarge) {
    show_sheet_of("bed_floor");
    window.click("First cut");
    EXPECT_THAT(window.text(), HasSubstr("Cut 1 of"));
    EXPECT_THAT(window.text(), HasSubstr("Piece A of 1525 x 1525 mm"));
    window.click("Next cut");
    EXPECT_THAT(window.text(), HasSubstr("Cut 2 of"));
    window.click("cut 4"); // in the list
    EXPECT_THAT(window.text(), HasSubstr("Cut 4 of"));
    window.click("Previous cut");
    EXPECT_THAT(window.text(), HasSubstr("Cut 3 of"));
    window.click("plan S1");
    EXPECT_THAT(window.text(), Not(HasSubstr("Cut 3 of")));
}

TEST_F(DrawnViews, SheetsAreDrawnToScale) {
    show_sheet_of("bed_floor");
    const ImVec4 floor = (*window.state().places)["part bed_floor"];
    EXPECT_NEAR((floor.z - floor.x) / (floor.w - floor.y), 1425.0 / 1012.0, 0.001);
}

TEST_F(DrawnViews, AnUnsavedEditBecomesAnAlternativeAndUndoBringsItBack) {
    const std::string before = window.application().document().bytes();
    window.click("cell bed_side width");
    window.type("300 mm");
    window.press(ImGuiKey_Enter);
    window.wait();
    const std::string edited = window.application().document().bytes();
    ASSERT_NE(edited, before);
    show(View::alternatives);
    window.wait_for_comparison();
    window.click("alternative title");
    window.type("Lower sides");
    window.click("Keep the unsaved edits as an alternative");
    window.wait();
    ASSERT_TRUE(document()["alternatives"].contains("lower_sides"))
        << document()["alternatives"].dump();
    EXPECT_EQ(document()["alternatives"]["lower_sides"]["changes"]["lines"]["bed_side"]["width"],
              "300 mm");
    EXPECT_EQ(window.state().alternative, "lower_sides");
    EXPECT_NE(document()["lines"]["bed_side"]["width"], "300 mm");
    window.press('Z', true);
    window.wait();
    EXPECT_EQ(window.application().document().bytes(), edited);
}

TEST_F(DrawnViews, MakingAnAlternativeTheJobCanBeUndone) {
    const std::string before = window.application().document().bytes();
    show(View::alternatives);
    window.wait_for_comparison();
    const std::string name = document()["alternatives"].begin().key();
    window.click("make the job " + name);
    window.wait();
    EXPECT_FALSE(document()["alternatives"].contains(name));
    EXPECT_NE(window.application().document().bytes(), before);
    window.press('Z', true);
    window.wait();
    EXPECT_EQ(window.application().document().bytes(), before);
}

TEST_F(DrawnViews, AnAlternativeIsEditedAndLeft) {
    show(View::alternatives);
    window.wait_for_comparison();
    const std::string name = document()["alternatives"].begin().key();
    window.click("edit " + name);
    window.wait();
    EXPECT_EQ(window.state().alternative, name);
    window.click("Back to the base");
    EXPECT_EQ(window.state().alternative, "");
}

TEST_F(DrawnViews, TheSliderMovesTheLift) {
    show(View::lift);
    EXPECT_EQ(window.state().lift.step, 0);
    const ImVec4 least = (*window.state().places)["lift side view"];
    ASSERT_GT(least.z - least.x, 100);
    window.click("lift angle"); // its middle
    EXPECT_NEAR(window.state().lift.step, 30, 1);
    EXPECT_THAT(window.text(), HasSubstr("At 30 degrees"));
}

TEST_F(DrawnViews, TheLiftDefersToTheKitMaker) {
    show(View::lift);
    const std::string text = window.text();
    EXPECT_THAT(text, HasSubstr("Weigh the finished panel"));
    EXPECT_THAT(text, HasSubstr("instructions come first"));
}

TEST_F(DrawnViews, AFindingGoesToItsLine) {
    show(View::findings);
    // "finding CODE LINE NUMBER", of one in sight that names a line.
    std::string place;
    std::string line;
    for (const auto& [name, box] : *window.state().places) {
        std::istringstream words(name);
        std::string word;
        std::string code;
        std::string named;
        std::string number;
        words >> word >> code >> named >> number;
        if (word != "finding" || number.empty() || box.w > 900) continue;
        place = name;
        line = named;
    }
    ASSERT_FALSE(place.empty());
    window.click(place);
    EXPECT_EQ(window.state().selected, line);
    EXPECT_EQ(window.state().view, View::bill);
}

TEST_F(DrawnViews, AFigureIsFollowedAndTheWayBackIsKept) {
    show(View::explain);
    window.click("figure total");
    EXPECT_EQ(window.state().explained, "total");
    window.click("ask totals.goods");
    EXPECT_EQ(window.state().explained, "totals.goods");
    window.click("explain back");
    EXPECT_EQ(window.state().explained, "total");
}

TEST_F(DrawnViews, AnUnknownFigureIsSaidInASentence) {
    show(View::explain);
    window.click("explain entry");
    window.type("totals.gods");
    window.press(ImGuiKey_Enter);
    EXPECT_THAT(window.text(), HasSubstr("did you mean 'totals.goods'?"));
}

TEST_F(DrawnViews, TheCalendarShowsWhatIsCriticalAndOpensAnOrder) {
    show(View::dates);
    const Estimate& estimate = *window.state().estimate();
    const std::string text = window.text();
    for (const EstimateOrder& order : estimate.orders) {
        if (order.order_by) {
            EXPECT_THAT(text, HasSubstr(order.name + "  order by " + format_date(*order.order_by)));
        }
    }
    const std::string supplier = estimate.orders.front().supplier;
    window.click("calendar order " + supplier);
    EXPECT_TRUE(window.state().dates.orders);
    EXPECT_EQ(window.state().dates.order, supplier);
    EXPECT_THAT(window.text(), HasSubstr(estimate.orders.front().total.grouped()));
}

} // namespace aumbry::gui::test
