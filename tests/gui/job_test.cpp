// The job at hand: alternatives worked on, kept and adopted, without anything drawn.
#include "session/job.hpp"
#include "window.hpp"

#include "aumbry/merge_difference.hpp"
#include "aumbry/project.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace aumbry::gui::test {

using ::testing::HasSubstr;

namespace {

constexpr const char* bill_by_hand = R"({
  "aumbry": 1, "title": "Shelf", "currency": "EUR",
  "lines": {
    "knob": {"count": 2, "kind": "item", "type": "knob"},
    "board": {"kind": "panel", "length": "800 mm", "title": "Board"}
  },
  "alternatives": {
    "long": {"title": "Long", "changes": {"lines": {"board": {"length": "900 mm"}}}},
    "bare": {"title": "Bare", "changes": {"lines": {"knob": null}}}
  }
})";

std::string code_of(const std::function<void()>& call) {
    try {
        call();
    } catch (const FaultError& error) {
        return error.faults().front().code;
    }
    return "";
}

class Jobs : public ::testing::Test {
  protected:
    Folder folder;
    std::filesystem::path file = folder.path() / "shelf.aumbry.json";
    Job job;

    void SetUp() override {
        write_text(file, bill_by_hand);
        job.open(file);
    }
    void edit(const std::string& pointer, std::optional<Json> value) {
        job.apply({"Edit", {{pointer, std::move(value), ""}}});
    }
    /// The document with an alternative applied, as the line prices it.
    [[nodiscard]] Json priced(const std::string& alternative) const {
        return with_alternative(read_project(job.document().bytes(), "shelf"), alternative)
            .document;
    }
};

} // namespace

// A count that is cleared and typed again stands behind the other keys. That was taken for a
// change without content, and the alternative deleted the line.
TEST_F(Jobs, AlternativeKeptAfterKeysChangedPlacesKeepsTheLine) {
    edit("/lines/knob/count", std::nullopt);
    edit("/lines/knob/count", 2);
    edit("/lines/board/length", "750 mm");
    job.keep_as_alternative("Short");
    EXPECT_EQ(*find_at(job.document().json(), "/alternatives/short/changes"),
              parse_json(R"({"lines":{"board":{"length":"750 mm"}}})"));
    EXPECT_EQ(priced("short")["lines"]["knob"]["count"], 2);
    EXPECT_EQ(job.alternative(), "short");
    EXPECT_EQ(job.worked()["lines"]["board"]["length"], "750 mm");
    // The base is what is saved.
    EXPECT_EQ(job.document().json()["lines"]["board"]["length"], "800 mm");
}

TEST_F(Jobs, OnlyKeysThatChangedPlacesAreNothingToKeep) {
    edit("/lines/knob/count", std::nullopt);
    edit("/lines/knob/count", 2);
    EXPECT_TRUE(job.document().unsaved());
    EXPECT_EQ(code_of([&] { job.keep_as_alternative("Same"); }), "nothing-to-keep");
}

TEST_F(Jobs, ASecondAlternativeIsKeptBesideAnUnsavedFirst) {
    edit("/lines/board/length", "750 mm");
    job.keep_as_alternative("Short");
    job.work_on("");
    edit("/lines/knob/count", 4);
    job.keep_as_alternative("Four knobs");
    const Json* all = find_at(job.document().json(), "/alternatives");
    ASSERT_NE(all, nullptr);
    EXPECT_EQ(all->size(), 4U);
    EXPECT_EQ(*find_at(*all, "/four_knobs/changes"),
              parse_json(R"({"lines":{"knob":{"count":4}}})"));
    EXPECT_EQ(*find_at(*all, "/short/changes"),
              parse_json(R"({"lines":{"board":{"length":"750 mm"}}})"));
}

TEST_F(Jobs, AProjectWithoutAFileHasNothingToDifferFrom) {
    job.begin();
    edit("/title", "Mine");
    EXPECT_EQ(code_of([&] { job.keep_as_alternative("Mine"); }), "no-file");
}

TEST_F(Jobs, AnEditOfAnAlternativeLeavesTheBase) {
    job.work_on("long");
    edit("/lines/board/length", "950 mm");
    EXPECT_EQ(job.document().json()["lines"]["board"]["length"], "800 mm");
    EXPECT_EQ(priced("long")["lines"]["board"]["length"], "950 mm");
    EXPECT_THAT(job.title(), HasSubstr("editing: Long"));
    job.undo();
    EXPECT_EQ(job.worked()["lines"]["board"]["length"], "900 mm");
}

// The alternative deletes the line; put back with less in it, the base's other keys came back too.
TEST_F(Jobs, ALineThatAnAlternativeDeletedAndGetsAgainIsAsTheEditSays) {
    job.work_on("bare");
    edit("/lines/knob", parse_json(R"({"kind":"item","count":1})"));
    EXPECT_TRUE(
        same_value(priced("bare")["lines"]["knob"], parse_json(R"({"kind":"item","count":1})")))
        << priced("bare")["lines"]["knob"];
}

// A change of kind replaces the whole line: what both kinds have must be stated again.
TEST_F(Jobs, ALineOfAnotherKindKeepsWhatBothHave) {
    edit("/lines/board", parse_json(R"({"kind":"solid","length":"800 mm","title":"Board"})"));
    job.keep_as_alternative("Solid");
    EXPECT_TRUE(same_value(priced("solid")["lines"]["board"],
                           parse_json(R"({"kind":"solid","length":"800 mm","title":"Board"})")));
}

TEST_F(Jobs, MakingAnAlternativeTheJobTakesItFromTheList) {
    job.adopt("long");
    EXPECT_EQ(job.alternative(), "");
    EXPECT_EQ(job.document().json()["lines"]["board"]["length"], "900 mm");
    EXPECT_EQ(find_at(job.document().json(), "/alternatives/long"), nullptr);
    EXPECT_EQ(job.document().undo_label(), "Make Long the job");
    job.undo();
    EXPECT_EQ(job.document().bytes(), bill_by_hand);
}

TEST_F(Jobs, UndoingTheAlternativeWorkedOnGoesBackToTheBase) {
    edit("/lines/board/length", "750 mm");
    job.keep_as_alternative("Short");
    job.undo();
    EXPECT_EQ(job.alternative(), "");
    EXPECT_EQ(job.worked()["lines"]["board"]["length"], "750 mm");
}

// A line that is a text and a change that gives it a kind ended the program.
TEST_F(Jobs, AnAlternativeThatCannotBeAppliedLeavesTheBaseWithASentence) {
    write_text(file,
               R"({"aumbry": 1, "currency": "EUR", "lines": {"a": "oak", "b": {"kind": "item"}},
        "alternatives": {"other": {"changes": {"lines": {"a": {"kind": "item"}}}},
                         "lost": {"changes": {"lines": {"c": null}}}}})");
    job.open(file);
    job.work_on("other");
    EXPECT_EQ(job.worked()["lines"]["a"], parse_json(R"({"kind":"item"})"));
    EXPECT_EQ(code_of([&] { job.work_on("lost"); }), "nothing-to-delete");
    EXPECT_EQ(job.alternative(), "");
    EXPECT_EQ(job.worked(), job.document().json());
}

TEST_F(Jobs, AFileThatCannotBeOpenedLeavesTheJob) {
    edit("/lines/board/length", "750 mm");
    const int edition = job.edition();
    EXPECT_EQ(code_of([&] { job.open(folder.path() / "nowhere.aumbry.json"); }), "missing-file");
    EXPECT_EQ(job.edition(), edition);
    EXPECT_EQ(job.document().file(), file);
    EXPECT_TRUE(job.document().unsaved());
}

} // namespace aumbry::gui::test
