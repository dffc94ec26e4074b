// A view that throws: its sentence stands in its place, and everything else goes on.
#include "window.hpp"

#include "aumbry/project.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <imgui_internal.h>
#include <set>

namespace aumbry::gui::test {

using ::testing::HasSubstr;
using ::testing::Not;

namespace {

class Net : public ::testing::Test {
  protected:
    Folder folder;
    std::filesystem::path file = folder.copy_of("harbour-loft");
    Window window{{1280, 900}};

    void SetUp() override { window.open(file); }

    /// What is drawn throws when it comes to something of that name.
    void throw_at(const std::string& name) {
        window.state().noted = [name](const std::string& noted) {
            if (noted == name) throw std::runtime_error("the shelf fell down");
        };
    }
    void throw_nowhere() { window.state().noted = {}; }
    [[nodiscard]] std::string length() {
        return written(find_at(window.application().document().json(), "/lines/bed_side/length"));
    }
};

} // namespace

TEST_F(Net, AViewThatThrowsSaysSoAndTheOthersGoOn) {
    window.press('3', true);
    throw_at("cut 1");
    window.frames(2);
    EXPECT_THAT(window.text(), HasSubstr("Cutting cannot be shown: the shelf fell down. Everything "
                                         "else goes on, and your edits are kept."));
    window.click("tab Dates");
    EXPECT_THAT(window.text(), Not(HasSubstr("cannot be shown")));
    EXPECT_TRUE(window.shows("dates calendar"));
    // Once what failed is mended, the view is there when it is looked at again.
    throw_nowhere();
    window.click("tab Cutting");
    EXPECT_THAT(window.text(), Not(HasSubstr("cannot be shown")));
}

TEST_F(Net, ATableThatThrowsLeavesTheFormBesideItToWorkWith) {
    window.click("cell bed_side title");
    throw_at("cell bed_side length");
    window.frames(2);
    EXPECT_THAT(window.text(),
                HasSubstr("The table of lines cannot be shown: the shelf fell down"));
    window.click("field /lines/bed_side/title");
    window.press('A', true);
    window.type("Side");
    window.press(ImGuiKey_Enter);
    window.frames(3);
    EXPECT_EQ(window.application().document().json()["lines"]["bed_side"]["title"], "Side");
    throw_nowhere();
    window.wait();
    EXPECT_TRUE(window.shows("cell bed_side length")) << "a new answer came: it is tried again";
}

TEST_F(Net, AFormThatThrowsLeavesTheTableToWorkWith) {
    window.click("cell bed_side title");
    throw_at("field /lines/bed_side/count");
    window.frames(2);
    EXPECT_THAT(window.text(), HasSubstr("The form cannot be shown: the shelf fell down"));
    window.click("cell bed_side length");
    window.type("1234 mm");
    window.press(ImGuiKey_Enter);
    window.frames(3);
    EXPECT_EQ(length(), "1234 mm");
}

TEST_F(Net, TryingAgainDrawsItWhenNothingIsWrongAnyMore) {
    window.click("cell bed_side title");
    throw_at("field /lines/bed_side/count");
    window.frames(3);
    throw_nowhere();
    window.frames(3);
    EXPECT_FALSE(window.shows("field /lines/bed_side/count"));
    window.click("again The form");
    window.frames(2);
    EXPECT_TRUE(window.shows("field /lines/bed_side/count"));
}

TEST_F(Net, ADialogThatThrowsIsGivenUpWithItsSentence) {
    throw_at("dialog take");
    window.press('O', true);
    window.frames(3);
    EXPECT_THAT(window.text(), HasSubstr("the shelf fell down"));
    throw_nowhere();
    window.click("choice OK");
    window.frames(2);
    EXPECT_FALSE(window.shows("choice OK"));
    window.press('O', true);
    EXPECT_TRUE(window.shows("dialog take"));
}

TEST_F(Net, AMenuThatThrowsIsToldAndClosed) {
    window.click("menu Project");
    throw_at("item Save as");
    window.frames(2);
    throw_nowhere();
    EXPECT_THAT(window.text(), HasSubstr("the shelf fell down"));
    window.click("choice OK");
    window.click("tab Dates");
    EXPECT_EQ(window.state().view, View::dates);
}

// Whatever is drawn, in whatever table, child, group or popup: a throw at it leaves nothing begun.
TEST_F(Net, AThrowAtAnyPlaceOfAnyViewLeavesTheNextFrameWhole) {
    std::size_t tried = 0;
    for (const View view : views_in_order) {
        window.state().view = view;
        window.state().view_changed = true;
        window.frames(3);
        if (view == View::bill) window.click("cell bed_side title");
        std::set<std::string> names;
        window.state().noted = [&](const std::string& name) { names.insert(name); };
        window.frames(1);
        for (const std::string& name : names) {
            throw_at(name);
            window.frames(1);
            const ImGuiContext& context = *ImGui::GetCurrentContext();
            EXPECT_EQ(context.ColorStack.Size, 0) << name;
            EXPECT_EQ(context.StyleVarStack.Size, 0) << name;
            EXPECT_EQ(context.GroupStack.Size, 0) << name;
            EXPECT_EQ(context.CurrentTabBarStack.Size, 0) << name;
            throw_nowhere();
            window.state().failures.clear();
            window.frames(1);
            while (window.shows("choice OK")) window.click("choice OK");
            ++tried;
        }
        throw_nowhere();
        window.frames(2);
        EXPECT_THAT(window.text(), Not(HasSubstr("cannot be shown"))) << title_of(view);
    }
    EXPECT_GT(tried, 100U);
}

} // namespace aumbry::gui::test
