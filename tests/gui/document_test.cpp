// The document: edits as values, undo, and saving that loses nothing.
#include "window.hpp"

#include "aumbry/fault.hpp"
#include "aumbry/merge_difference.hpp"
#include "aumbry/project.hpp"

#include <csignal>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

namespace aumbry::gui::test {

using ::testing::HasSubstr;

namespace {

/// A project as a person may have written it: own keys, an odd order, a module that is not here.
constexpr const char* by_hand = R"({
   "title": "By hand", "aumbry": 1,
   "x-mood": {"of the day": "fair"},
   "currency": "EUR",
   "lines": {
      "gate": {"kind": "smithy.gate", "bars": [1, 2, {"x-forged": true}], "x-seen": "2027-01-01"},
      "knob": {"count": 2, "kind": "item", "type": "knob", "x-drawer": "top"}
   },
   "x-last": null
}
)";

std::string fault_code(const std::function<void()>& action) {
    try {
        action();
    } catch (const FaultError& error) {
        return error.faults().front().code;
    }
    return "";
}

Edit edit_count(const Json& value) {
    return {"Count of knob", {{"/lines/knob/count", value, ""}}};
}

} // namespace

TEST(Document, SavingKeepsOwnKeysTheOrderOfKeysAndLinesOfMissingModules) {
    const Folder folder;
    const auto file = folder.path() / "hand.aumbry.json";
    write_text(file, by_hand);
    Document document = Document::open(file);
    document.apply(edit_count(3));
    document.save();
    // Only the number differs: the order is as written, members known and unknown.
    Json expected = parse_json(by_hand);
    expected["lines"]["knob"]["count"] = 3;
    EXPECT_EQ(read_file(file), pretty(expected));
    EXPECT_LT(read_file(file).find("\"title\""), read_file(file).find("\"aumbry\""));
    EXPECT_THAT(read_file(file), HasSubstr("\"x-forged\": true"));
    EXPECT_THAT(read_file(file), HasSubstr("\"x-last\": null"));
}

TEST(Document, SavingWithoutAChangeWritesTheSameBytes) {
    const Folder folder;
    const auto file = folder.path() / "hand.aumbry.json";
    write_text(file, by_hand);
    Document document = Document::open(file);
    document.save();
    EXPECT_EQ(read_file(file), by_hand);
    document.apply(edit_count(3));
    document.apply(edit_count(2));
    document.save();
    EXPECT_EQ(read_file(file), by_hand); // back where it was, also in its spaces
}

TEST(Document, UndoRestoresTheBytesAfterAnyNumberOfEdits) {
    const Folder folder;
    const auto file = folder.path() / "hand.aumbry.json";
    write_text(file, by_hand);
    Document document = Document::open(file);
    for (int count = 3; count < 40; ++count) document.apply(edit_count(count));
    document.apply({"Delete gate", {{"/lines/gate", std::nullopt, ""}}});
    document.apply({"Add", {{"/parameters/gap", "3 mm", ""}}});
    while (document.can_undo()) document.undo();
    EXPECT_EQ(document.bytes(), by_hand);
    EXPECT_FALSE(document.unsaved());
    while (document.can_redo()) document.redo();
    EXPECT_EQ(document.json()["lines"]["knob"]["count"], 39);
    EXPECT_EQ(document.json()["parameters"]["gap"], "3 mm");
}

TEST(Document, ANewMemberStandsBehindTheOneNamed) {
    const Json json = edited(parse_json(by_hand), {"", {{"/lines/knob/title", "Knob", "kind"}}});
    EXPECT_EQ(json["lines"]["knob"].dump(),
              R"({"count":2,"kind":"item","title":"Knob","type":"knob","x-drawer":"top"})");
}

TEST(Document, AnEditOfNothingThatIsThereSaysSo) {
    EXPECT_EQ(fault_code([] {
                  static_cast<void>(edited(parse_json(by_hand), {"", {{"/title/deep", 1, ""}}}));
              }),
              "bad-pointer");
}

TEST(Document, AFurtherChangeOfAnAlternativeReadsTheSameAsTheEdit) {
    const Json base = parse_json(R"({"lines":{"a":{"n":1,"m":2},"b":{"n":1}}})");
    const Json changes = parse_json(R"({"lines":{"a":{"n":5},"c":{"n":9}}})");
    const Json before = merge_patch(base, changes);
    const std::vector<const char*> wanted{
        R"({"lines":{"a":{"n":6,"m":2},"b":{"n":1},"c":{"n":9}}})",
        R"({"lines":{"a":{"n":5},"b":{"n":1},"c":{"n":9}}})",
        R"({"lines":{"a":{"n":5,"m":2},"b":{"n":1}}})",
        R"({"lines":{"a":{"n":5,"m":2},"c":{"n":9}}})",
        R"({"lines":{"a":{"n":1,"m":2},"b":{"n":1},"c":{"n":9}}})"};
    for (const char* text : wanted) {
        const Json after = parse_json(text);
        const Json further = changed_further(base, changes, merge_difference(before, after));
        EXPECT_EQ(nlohmann::json::parse(merge_patch(base, further).dump()),
                  nlohmann::json::parse(text))
            << text << " by " << further.dump();
    }
}

TEST(Document, AnIdIsTakenOnceAmongAllThatFormulasName) {
    const Json document = parse_json(
        R"({"lines":{"bed_side":{}},"parameters":{"gap":"1 mm"},"materials":{"oak":{}}})");
    EXPECT_EQ(new_id(document, "lines", "Bed side"), "bed_side_2");
    EXPECT_EQ(new_id(document, "lines", "Gap"), "gap_2");
    EXPECT_EQ(new_id(document, "parameters", "Oak"), "oak_2");
    EXPECT_EQ(new_id(document, "lines", "18 mm board!"), "new_18_mm_board");
    EXPECT_EQ(new_id(document, "lines", "\xC3\x9C"), "new");
}

TEST(Document, AFileThatMayNotBeWrittenStaysAndSaysSo) {
    const Nobody nobody; // root may write anything
    const Folder folder;
    const auto file = folder.path() / "hand.aumbry.json";
    write_text(file, by_hand);
    std::filesystem::permissions(file, std::filesystem::perms::owner_read);
    Document document = Document::open(file);
    document.apply(edit_count(7));
    EXPECT_EQ(fault_code([&] { document.save(); }), "read-only-file");
    EXPECT_TRUE(document.unsaved());
    EXPECT_EQ(read_file(file), by_hand);
    // Under another name it can be saved.
    document.save_as(folder.path() / "other.aumbry.json");
    EXPECT_FALSE(document.unsaved());
    EXPECT_EQ(Document::open(folder.path() / "other.aumbry.json").json()["lines"]["knob"]["count"],
              7);
}

TEST(Document, SomebodyElsesChangeIsNotOverwrittenUnasked) {
    const Folder folder;
    const auto file = folder.path() / "hand.aumbry.json";
    write_text(file, by_hand);
    Document document = Document::open(file);
    document.apply(edit_count(7));
    const std::string theirs = R"({"aumbry": 1, "title": "Theirs", "currency": "EUR"})";
    write_text(file, theirs);
    EXPECT_EQ(fault_code([&] { document.save(); }), "changed-meanwhile");
    EXPECT_EQ(read_file(file), theirs);
    document.save(true);
    EXPECT_EQ(read_file(file), document.bytes());
}

TEST(Document, ANewerVersionIsShownNotEdited) {
    const Folder folder;
    const auto file = folder.path() / "newer.aumbry.json";
    const std::string text = R"({"aumbry": 999, "title": "From the future", "currency": "EUR"})";
    write_text(file, text);
    Document document = Document::open(file);
    EXPECT_THAT(document.read_only(), HasSubstr("999"));
    EXPECT_THAT(document.read_only(), HasSubstr("It is shown, not edited"));
    document.apply({"Title", {{"/title", "Mine", ""}}});
    EXPECT_EQ(document.json()["title"], "From the future");
    EXPECT_EQ(fault_code([&] { document.save(); }), "read-only-file");
    EXPECT_EQ(fault_code([&] { document.save_as(folder.path() / "b.json"); }), "read-only-file");
    EXPECT_EQ(read_file(file), text);
}

// A limit on the size of files makes writing fail half way, as a full disk does: the call to write
// comes back short, with EFBIG in place of ENOSPC.
TEST(Document, AFullDiskLosesNothing) {
    const Folder folder;
    const auto file = folder.path() / "hand.aumbry.json";
    write_text(file, by_hand);
    Document document = Document::open(file);
    document.apply({"Note", {{"/note", std::string(100'000, 'n'), ""}}});
    struct rlimit before {};
    ASSERT_EQ(::getrlimit(RLIMIT_FSIZE, &before), 0);
    const struct rlimit small { 4096, before.rlim_max };
    const auto old = std::signal(SIGXFSZ, SIG_IGN);
    ASSERT_EQ(::setrlimit(RLIMIT_FSIZE, &small), 0);
    const std::string code = fault_code([&] { document.save(); });
    ASSERT_EQ(::setrlimit(RLIMIT_FSIZE, &before), 0);
    std::signal(SIGXFSZ, old);
    EXPECT_EQ(code, "write-failed");
    EXPECT_EQ(read_file(file), by_hand);
    EXPECT_TRUE(document.unsaved());
    // No half file is left beside it.
    EXPECT_EQ(std::distance(std::filesystem::directory_iterator(folder.path()), {}), 1);
    document.save();
    EXPECT_EQ(read_file(file), document.bytes());
}

TEST(Document, ALinkStaysALinkAndPermissionsStay) {
    const Folder folder;
    const auto file = folder.path() / "hand.aumbry.json";
    write_text(file, by_hand);
    std::filesystem::permissions(file, std::filesystem::perms(0640));
    const auto linked = folder.path() / "linked.aumbry.json";
    std::filesystem::create_symlink(file, linked);
    Document document = Document::open(linked);
    document.apply(edit_count(7));
    document.save();
    EXPECT_TRUE(std::filesystem::is_symlink(linked));
    EXPECT_EQ(read_file(file), document.bytes());
    EXPECT_EQ(std::filesystem::status(file).permissions(), std::filesystem::perms(0640));
}

} // namespace aumbry::gui::test
