// A first job, by somebody who has never seen the program: from the start page to a priced bookcase
// and further, as README's first chapter does it by commands.
#include "drawings/lift_drawing.hpp"
#include "window.hpp"

#include "aumbry/new_project.hpp"
#include "aumbry/project.hpp"

#include <array>
#include <cstdio>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace aumbry::gui::test {

using ::testing::AnyOfArray;
using ::testing::ContainsRegex;
using ::testing::Each;
using ::testing::HasSubstr;
using ::testing::Not;

namespace {

/// README's answers, in the order in which they are asked.
void answer_as_readme(Window& window) {
    window.write_over("answer title", "study");
    window.click("answer wall");
    window.click("wall solid masonry");
    window.write_over("answer priced_on", "2027-02-10");
    window.write_over("answer start", "2027-03-01");
    window.write_over("answer rate", "46.00");
    window.write_over("answer tax", "21");
    window.press(ImGuiKey_Enter);
}

/// What the command says of the same job, by README's commands.
Json job_by_command(const std::filesystem::path& folder) {
    const std::string job = (folder / "study.aumbry.json").string();
    const std::string with = "XDG_CONFIG_HOME=" + folder.string() + " " AUMBRY_COMMAND " ";
    const std::string lists = " --catalogs " AUMBRY_CATALOGS;
    const auto run = [](const std::string& command) {
        std::FILE* pipe = ::popen(command.c_str(), "r");
        if (pipe == nullptr) throw std::runtime_error("no command");
        std::string text;
        std::array<char, 65536> part{};
        while (const std::size_t count = std::fread(part.data(), 1, part.size(), pipe))
            text.append(part.data(), count);
        if (::pclose(pipe) != 0) throw std::runtime_error("failed: " + command);
        return text;
    };
    run(with + "new " + job + lists +
        " --yes --currency EUR --rate 46.00 --tax 21 --wall 'solid masonry'"
        " --priced-on 2027-02-10 --start 2027-03-01");
    run(with + "add " + job +
        " open-bookcase --as case --set width='900 mm' --set height='2050 mm'" + lists);
    return parse_json(run(with + "price --json " + job + lists));
}

class FirstJob : public ::testing::Test {
  protected:
    Folder kept; ///< of journals and the maker's answers
    std::filesystem::path maker = kept.path() / "maker.json";
    Window window{{1280, 900}, AUMBRY_CATALOGS, kept.path(), "normal"};

    void SetUp() override { window.wait(); }

    void begin() {
        answer_as_readme(window);
        window.click("Begin, and choose a first piece");
        window.wait();
    }
    void choose_bookcase() {
        window.click("library open-bookcase");
        window.wait_for_trial();
    }
    [[nodiscard]] std::string text_at(const std::string& pointer) {
        return written(find_at(window.application().document().json(), pointer));
    }
};

} // namespace

TEST_F(FirstJob, FromNothingToAPricedBookcaseAsTheCommandPricesIt) {
    begin();
    EXPECT_FALSE(window.state().start.shown);
    EXPECT_TRUE(window.state().library.shown) << "a first piece is asked for";
    choose_bookcase();
    window.write_over("size width", "900");
    window.press(ImGuiKey_Enter);
    window.write_over("size height", "2050 mm");
    window.press(ImGuiKey_Enter);
    window.wait_for_trial();
    // A number that stands alone is meant in the job's unit, and says so.
    EXPECT_EQ(window.state().library.sizes["width"], "900 mm");
    ASSERT_NE(window.state().trial->with, nullptr);
    const std::string promised = window.state().trial->with->totals.total.str();
    window.click("Add it to the job");
    window.wait();
    EXPECT_FALSE(window.state().library.shown);
    EXPECT_EQ(text_at("/parameters/open_bookcase_width"), "900 mm");
    EXPECT_EQ(text_at("/lines/open_bookcase_side/length"), "open_bookcase_height");
    // Columns are those that lines have something in: "Length at the back" stood there, empty.
    EXPECT_THAT(window.text(), HasSubstr("| Length | Width | Thickness |"));

    const Folder folder;
    const Json by_command = job_by_command(folder.path());
    EXPECT_EQ(window.total(), by_command.at("totals").at("total").get<std::string>());
    EXPECT_EQ(format_date(window.state().estimate()->schedule.ready),
              by_command.at("schedule").at("ready"));
    // What was promised is a draft: a refined plan costs no more.
    EXPECT_LE(Decimal::parse(window.total()), Decimal::parse(promised));

    // One undo takes the piece out again.
    window.press('Z', true);
    EXPECT_TRUE(window.application().document().json().at("lines").empty());
    EXPECT_TRUE(window.application().document().json().at("parameters").empty());
    window.press('Y', true);
    window.wait();
    EXPECT_EQ(window.total(), by_command.at("totals").at("total").get<std::string>());
    window.press('3', true);
    EXPECT_TRUE(window.shows("cut 1")) << "and it can be cut";
}

TEST_F(FirstJob, AnswersAreKeptAndTheNextJobAsksOnlyWhatIsItsOwn) {
    begin();
    const Maker maker_kept = read_maker(maker);
    EXPECT_EQ(maker_kept.answers.rate, "46.00");
    EXPECT_EQ(maker_kept.answers.tax, "21");
    EXPECT_EQ(maker_kept.answers.helper, "46.00") << "a helper costs as much unless it is said";
    window.press('N', true);
    EXPECT_TRUE(window.shows("answer title"));
    EXPECT_FALSE(window.shows("answer rate"));
    EXPECT_THAT(window.text(), HasSubstr("As in your last job: EUR, sizes in mm, 46.00 an hour"));
    window.click("unfold kept");
    EXPECT_TRUE(window.shows("answer rate"));
    // Nothing is lost by looking.
    window.click("back to the job");
    EXPECT_EQ(text_at("/title"), "study");
}

TEST_F(FirstJob, AnAnswerThatCannotBeIsSaidBesideItAndNothingBegins) {
    window.write_over("answer kerf", "wide");
    window.write_over("answer vehicle", "a van");
    window.write_over("answer priced_on", "10 March");
    window.press(ImGuiKey_Enter);
    window.frames(2);
    const std::string shown = window.text();
    EXPECT_THAT(shown, HasSubstr("write it as '1900 mm x 1050 mm'"));
    EXPECT_TRUE(window.state().start.faults.contains("priced_on"));
    window.click("Begin, and choose a first piece");
    EXPECT_TRUE(window.state().start.shown);
    EXPECT_FALSE(std::filesystem::exists(maker));
}

TEST_F(FirstJob, ADayWithoutPricesIsSaidAndTheNearestIsOffered) {
    window.write_over("answer priced_on", "2031-05-01");
    window.press(ImGuiKey_Enter);
    window.frames(2);
    EXPECT_THAT(window.text(), HasSubstr("No price here holds then"));
    window.click("take the nearest day");
    EXPECT_LT(window.state().start.answers.priced_on, "2031-05-01");
    EXPECT_THAT(window.text(), Not(HasSubstr("No price here holds then")));
}

TEST_F(FirstJob, ADollarJobLeavesOutWhoSellsInEuro) {
    window.write_over("answer currency", "USD");
    window.press(ImGuiKey_Enter);
    window.click("unit in");
    window.write_over("answer rate", "55.00");
    window.write_over("answer priced_on", "2027-02-10");
    window.press(ImGuiKey_Enter);
    window.click("Begin, and choose a first piece");
    window.wait();
    const Json& excluded = window.application().document().json().at("suppliers").at("exclude");
    EXPECT_THAT(excluded.dump(), HasSubstr("nordkade-panels"));
    EXPECT_THAT(excluded.dump(), Not(HasSubstr("orchard-hardware")));
    choose_bookcase();
    EXPECT_THAT(window.text(), HasSubstr("34 1/2 in"));
    ASSERT_NE(window.state().trial->with, nullptr);
    ASSERT_NE(window.state().trial->without, nullptr);
    // What is left out is left out of the empty job too: all of the piece can be bought for
    // dollars.
    EXPECT_THAT(window.state().trial->with->not_included,
                Each(AnyOfArray(window.state().trial->without->not_included)));
}

// Forces were told in newtons, the axis of the plot too.
TEST_F(FirstJob, TheLiftOfAnInchJobTellsForcesInPounds) {
    window.write_over("answer currency", "USD");
    window.press(ImGuiKey_Enter);
    window.click("unit in");
    window.write_over("answer priced_on", "2027-02-10");
    window.press(ImGuiKey_Enter);
    window.click("Begin, and choose a first piece");
    window.wait();
    window.click("library lift-up-bed");
    window.wait_for_trial();
    window.click("Add it to the job");
    window.wait();
    ASSERT_FALSE(window.state().estimate()->lift_plans.empty());
    window.application().obey(ShowView{View::lift});
    window.frames(3);
    const std::string shown = window.text();
    EXPECT_THAT(shown, ContainsRegex("push [0-9.]+ lbf"));
    EXPECT_THAT(shown, ContainsRegex("[0-9.]+ lbf each"));
    EXPECT_THAT(shown, Not(ContainsRegex("[0-9] N[^a-zA-Z0-9]")));
    // NIST SP 811: a pound of force is 4.448222 N.
    EXPECT_EQ(force_in_words(4.448222F * 20, "in"), "20 lbf");
    EXPECT_EQ(force_in_words(40, "mm"), "40 N");
}

TEST_F(FirstJob, ASizeBeyondThePieceIsSaidBesideItAndCannotBeAdded) {
    begin();
    choose_bookcase();
    window.write_over("size width", "3 m");
    window.press(ImGuiKey_Enter);
    window.wait_for_trial();
    EXPECT_THAT(window.text(), HasSubstr("400 mm to 940 mm"));
    EXPECT_FALSE(window.state().trial->faults.empty());
    window.click("Add it to the job");
    EXPECT_TRUE(window.state().library.shown);
    window.write_over("size width", "width of what");
    window.press(ImGuiKey_Enter);
    window.wait_for_trial();
    EXPECT_FALSE(window.state().trial->faults.empty());
    EXPECT_TRUE(window.application().document().json().at("lines").empty());
}

TEST_F(FirstJob, ThePriceOfAPieceMovesWithItsSizesAndSharesAMaterial) {
    begin();
    choose_bookcase();
    const Money narrow = window.state().trial->with->totals.total;
    window.write_over("size height", "2300");
    window.press(ImGuiKey_Enter);
    window.wait_for_trial();
    EXPECT_GT(window.state().trial->with->totals.total.minor(), narrow.minor());
    window.click("Add it to the job");
    window.wait();
    window.click("button piece");
    choose_bookcase();
    // The second one has names of its own, and the price is what it adds.
    EXPECT_EQ(window.state().library.id, "open_bookcase_2");
    ASSERT_NE(window.state().trial->without, nullptr);
    EXPECT_FALSE(window.state().trial->without->totals.total.is_zero());
    window.click("Add it to the job");
    window.wait();
    EXPECT_EQ(window.application().document().json().at("materials").size(), 2U);
    EXPECT_EQ(window.application().document().undo_label(), "Add Open bookcase");
}

TEST_F(FirstJob, ADemonstrationAndARecentJobAreOpenedFromTheStartPage) {
    window.click("demonstration harbour-loft.aumbry.json");
    window.wait();
    EXPECT_FALSE(window.state().start.shown);
    EXPECT_EQ(text_at("/title"), "Guest loft over the harbour office");
    window.press('N', true);
    EXPECT_TRUE(window.shows("recent harbour-loft.aumbry.json"));
    window.click("recent harbour-loft.aumbry.json");
    window.wait();
    EXPECT_FALSE(window.state().start.shown);
}

TEST_F(FirstJob, NoFrameWaitsForThePriceOfAPiece) {
    begin();
    window.click("library wardrobe");
    // The form is there, and the price is not: it comes when it comes.
    EXPECT_TRUE(window.shows("size width"));
    window.write_over("size width", "1");
    EXPECT_TRUE(window.shows("size width"));
    window.wait_for_trial();
    window.write_over("size width", "1100 mm");
    window.wait_for_trial();
    EXPECT_TRUE(window.state().trial->faults.empty());
}

} // namespace aumbry::gui::test
