// Every view as text, of the harbour loft: what a maker can read there.
#include "window.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace aumbry::gui::test {

using ::testing::HasSubstr;

namespace {

/// Looking changes nothing, so that all look through one window.
class Views : public ::testing::Test {
  protected:
    struct Opened {
        Folder folder;
        Window window{{1600, 1000}, AUMBRY_CATALOGS, {}, "normal"};
        Opened() { window.open(folder.copy_of("harbour-loft")); }
    };
    static std::unique_ptr<Opened> opened;

    static void SetUpTestSuite() { opened = std::make_unique<Opened>(); }
    static void TearDownTestSuite() { opened.reset(); }

    Window& window = opened->window;

    std::string shown(View view) {
        window.application().obey(ShowView{view});
        window.wait();
        return window.text();
    }
};

std::unique_ptr<Views::Opened> Views::opened;

} // namespace

TEST_F(Views, BillOfMaterials) {
    window.click("cell bed_side title");
    expect_kept("bill", shown(View::bill));
}

TEST_F(Views, SizesAndMaterials) {
    std::string all = shown(View::parameters);
    for (const char* section : {"Materials", "The job", "Prices and tax", "Workshop and vehicle",
                                "People", "Tasks", "What you have", "Where to buy", "Modules"}) {
        window.click(std::string("section ") + section);
        all += "\n======== " + std::string(section) + "\n" + window.text();
    }
    expect_kept("parameters", all);
}

TEST_F(Views, Cutting) {
    expect_kept("cutting", shown(View::cutting));
}

TEST_F(Views, Alternatives) {
    window.application().obey(ShowView{View::alternatives});
    window.wait_for_comparison();
    window.wait();
    expect_kept("alternatives", window.text());
}

TEST_F(Views, Dates) {
    expect_kept("dates", shown(View::dates));
}

TEST_F(Views, Lift) {
    expect_kept("lift", shown(View::lift));
}

TEST_F(Views, WatchOut) {
    expect_kept("findings", shown(View::findings));
}

TEST_F(Views, Workings) {
    window.application().obey(ExplainFigure{"total"});
    window.frames(3);
    window.wait();
    expect_kept("explain", window.text());
}

// Every view draws without a project, and in a window far too small, without misuse of Dear ImGui,
// which would end the program.
TEST(AnyView, DrawsWithNothingToShowAndInTheSmallestWindow) {
    for (const ImVec2 size : {ImVec2{1280, 800}, ImVec2{320, 240}}) {
        Window window{size};
        for (char key = '1'; key <= '0' + view_count; ++key) {
            window.press(key, true);
            window.frames(2);
            EXPECT_FALSE(window.text().empty());
        }
    }
}

// What is scrolled out of sight counts as shown: it can be reached.
TEST(AnyView, ShowsInTheSmallestWindowWhatItIsAbout) {
    const Folder folder;
    Window window{{320, 240}};
    window.open(folder.copy_of("harbour-loft"));
    const std::map<View, std::vector<std::string>> needed{
        {View::bill, {"Lift-up storage bed"}},
        {View::parameters, {"alcove_front"}},
        {View::cutting, {"S1", "18 mm birch BB/BB"}},
        {View::alternatives, {"Mattress 160 cm", "Edit this one"}},
        {View::dates, {"Calendar", "critical"}},
        {View::lift, {"instructions come first"}},
        {View::findings, {"A loaded spring stores energy"}},
        {View::explain, {"total"}},
        {View::lists, {"Cooper Street Hire"}}};
    ASSERT_EQ(needed.size(), static_cast<std::size_t>(view_count));
    const std::string total = window.state().estimate()->totals.total.grouped();
    char key = '0';
    for (const auto& [view, texts] : needed) {
        window.press(++key, true);
        window.wait();
        if (view == View::alternatives) window.wait_for_comparison();
        EXPECT_EQ(window.state().view, view);
        const std::string text = window.text();
        EXPECT_THAT(text, HasSubstr(total)) << "in view " << key;
        for (const std::string& each : texts)
            EXPECT_THAT(text, HasSubstr(each)) << "in view " << key;
        for (const auto& [name, failure] : window.state().failures)
            ADD_FAILURE() << name << ": " << failure.reason;
    }
}

// A module's setting in a unit of its own, with a default, ended the program when it was shown.
TEST(AnyView, AValueOfAUnitThatNobodyKnowsIsShownWithIt) {
    contract::Field field;
    field.type = contract::FieldType::quantity;
    field.unit = "cubits";
    EXPECT_EQ(computed(field, Json(2.5), Estimate{}), "2.5 cubits");
}

} // namespace aumbry::gui::test
