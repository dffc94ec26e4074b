// Pieces of the library: what is copied into a project under which names, and what is refused.
#include "aumbry/piece_file.hpp"

#include "catalog/sample.hpp"
#include "documents/edit_members.hpp"
#include "fault_of.hpp"
#include "values/formula_names.hpp"

#include "aumbry/piece_check.hpp"
#include "aumbry/project.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace aumbry {
namespace {

using ::testing::HasSubstr;

PluginHost& host() {
    static PluginHost shared({AUMBRY_TEST_PLUGINS});
    return shared;
}

/// A rail with screws; `more` are further members of the piece.
std::string rail(const std::string& more = "", const std::string& length = "length - 2 * gap") {
    return R"({ "aumbry_piece": 1, "title": "Rail", "help": "A rail with its hooks.",
  "parameters": {
    "length": { "label": "Length", "help": "from end to end", "default": { "mm": "900 mm", "in": "36 in" },
                "min": { "mm": "300 mm", "in": "12 in" }, "max": { "mm": "2000 mm", "in": "78 in" } },
    "hooks": { "label": "Hooks", "help": "how many", "default": 4, "min": 1 },
    "gap": { "mm": "2 mm", "in": "1/16 in" } },
  "materials": { "wood": { "class": "item", "type": "wood" } },
  "lines": {
    "rail": { "kind": "item", "title": "Rail of {id}", "type": "rail {length}", "count": 1, "length": ")" +
           length + R"(" },
    "hook": { "kind": "item", "type": "hook", "count": "hooks" } },
  "tasks": { "screw_on": { "title": "Screw on", "hours": "hooks * 5 min", "after": ["rail"] } },
  "checks": { "room": { "at_most": ["hooks * 50 mm", "rail.length"], "text": "The hooks have room." } })" +
           more + " }";
}

std::string project(const std::string& more = "") {
    return R"({
  "aumbry": 1,
  "title": "Hall",
  "currency": "EUR",
  "priced_on": "2027-02-01",
  "start": "2027-03-01")" +
           more + "\n}\n";
}

PieceFile piece(const std::string& text = rail()) {
    return read_piece(text, "pieces/rail.piece.json");
}

Json added(const std::string& text, const PieceToAdd& wanted, const PieceFile& of = piece()) {
    return parse_json(add_piece(text, "hall.aumbry.json", of, wanted, host(), {}).with.text);
}

std::string refused(const std::string& text, const PieceToAdd& wanted,
                    const PieceFile& of = piece()) {
    return fault_of([&] { (void)added(text, wanted, of); }).sentence();
}

TEST(FormulaNames, AreReplacedWhereTheyStandAndUnitsAreLeftAlone) {
    const auto renamed = [](const std::string& name) { return "a_" + name; };
    EXPECT_EQ(with_names("2 * (m + max(in.length, 3 m)) - 1 1/2 in", renamed),
              "2 * (a_m + max(a_in.length, 3 m)) - 1 1/2 in");
    EXPECT_EQ(with_names("if(width > 900 mm, width, width / 2)", renamed),
              "if(a_width > 900 mm, a_width, a_width / 2)");
    EXPECT_EQ(with_names("12 mm", renamed), "12 mm");
}

TEST(InsertedMembers, LeaveEveryOtherByteAsItWas) {
    EXPECT_EQ(insert_members(R"({ "b": {}, "a": 1.50e1 })", "/b", {{"x", 1}}),
              "{ \"b\": {\n  \"x\": 1\n}, \"a\": 1.50e1 }");
    EXPECT_EQ(
        insert_members("{\n    \"b\": {\n        \"w\":  0.10 },\n  \"s\": \"}{\\\"\"\n}\n", "/b",
                       {{"x", Json::array({1})}}),
        "{\n    \"b\": {\n        \"w\":  0.10,\n        \"x\": [\n          1\n        ] },\n  "
        "\"s\": \"}{\\\"\"\n}\n");
    EXPECT_EQ(insert_members("{\r\n  \"a\": 1\r\n}\r\n", "", {{"b", Json{{"x", 1}}}}),
              "{\r\n  \"a\": 1,\r\n  \"b\": {\r\n    \"x\": 1\r\n  }\r\n}\r\n");
    EXPECT_EQ(fault_of([] {
                  (void)insert_members("{\"a\": 1}", "/a", {{"x", 1}});
              }).code,
              "bad-pointer");
}

TEST(Piece, IsCopiedUnderNamesThatBeginWithItsId) {
    const Json hall = added(project(), {"left", "", {{"length", "1200 mm"}}, {}});
    EXPECT_EQ(hall["parameters"],
              parse_json(R"({ "left_length": "1200 mm", "left_hooks": 4, "left_gap": "2 mm" })"));
    EXPECT_EQ(
        hall["lines"]["left_rail"],
        parse_json(
            R"({ "kind": "item", "piece": "left", "title": "Rail of left", "type": "rail 1200 mm",
                              "count": 1, "length": "left_length - 2 * left_gap" })"));
    EXPECT_EQ(hall["lines"]["left_hook"]["count"], "left_hooks");
    EXPECT_EQ(hall["tasks"]["left_screw_on"]["after"], Json::array({"left_rail"}));
    EXPECT_EQ(hall["tasks"]["left_screw_on"]["piece"], "left");
    EXPECT_EQ(hall["checks"]["left_room"]["at_most"],
              Json::array({"left_hooks * 50 mm", "left_rail.length"}));
    EXPECT_EQ(hall["pieces"]["left"]["title"], "Rail");
}

TEST(Piece, IsWrittenInTheUnitsOfTheProject) {
    const Json hall = added(project(R"(, "length_unit": "in")"), {"left", "", {}, {}});
    EXPECT_EQ(hall["parameters"]["left_length"], "36 in");
    EXPECT_EQ(hall["parameters"]["left_gap"], "1/16 in");
}

TEST(Piece, CanBeAddedTwiceAndTheTextBeforeStays) {
    const std::string before =
        project(R"(, "x-note": { "a": 1.50e1,   "b": [] }, "lines": {}, "tasks": {})");
    const std::string once =
        add_piece(before, "hall.aumbry.json", piece(), {"left", "", {}, {}}, host(), {}).with.text;
    const std::string twice =
        add_piece(once, "hall.aumbry.json", piece(), {"right", "", {}, {}}, host(), {}).with.text;
    EXPECT_THAT(twice, HasSubstr(R"("x-note": { "a": 1.50e1,   "b": [] })"));
    const Json hall = parse_json(twice);
    EXPECT_EQ(hall["pieces"]["left"]["title"], "Rail");
    EXPECT_EQ(hall["pieces"]["right"]["title"], "Rail 2");
    EXPECT_EQ(hall["lines"].size(), 4U);
    EXPECT_EQ(hall["parameters"].size(), 6U);
    // What was there is there, in its order: the text with what was added taken out is the text
    // before.
    std::size_t at = 0;
    for (const char c : before) {
        at = twice.find(c, at);
        ASSERT_NE(at, std::string::npos);
        ++at;
    }
    EXPECT_EQ(free_piece_id(hall, piece()), "rail");
    EXPECT_EQ(free_piece_id(added(project(), {"rail", "", {}, {}}), piece()), "rail_2");
}

TEST(Piece, SharesARoleThatTheProjectHasAndRefusesOneOfAnotherClass) {
    const std::string own = R"(, "materials": { "wood": { "class": "item", "type": "oak" } })";
    EXPECT_EQ(added(project(own), {"left", "", {}, {}})["materials"],
              parse_json(R"({ "wood": { "class": "item", "type": "oak" } })"));
    const std::string other = R"(, "materials": { "wood": { "class": "service" } })";
    EXPECT_EQ(refused(project(other), {"left", "", {}, {}}),
              "the project's material 'wood' is of class 'service', the piece needs one of class "
              "'item'; give the "
              "piece another role of the project, or a new one: --role wood=NAME");
    EXPECT_TRUE(
        added(project(other), {"left", "", {}, {{"wood", "slat"}}})["materials"].contains("slat"));
}

TEST(Piece, RefusesNamesThatTheProjectHas) {
    EXPECT_EQ(refused(project(R"(, "parameters": { "left_gap": "3 mm" })"), {"left", "", {}, {}}),
              "hall.aumbry.json: /parameters/left_gap: the project has 'left_gap' under "
              "\"parameters\" already; add "
              "the piece under another name: --as left_2");
    EXPECT_EQ(
        refused(project(R"(, "pieces": { "left": { "title": "Left" } })"), {"left", "", {}, {}}),
        "hall.aumbry.json: /pieces/left: the project has 'left' under \"pieces\" already; add the "
        "piece under "
        "another name: --as left_2");
    EXPECT_THAT(refused(project(), {"Left rail", "", {}, {}}),
                HasSubstr("--as Left rail: the id is not of small letters"));
}

TEST(Piece, RefusesSizesOutsideItsLimitsAlsoAsFormulas) {
    const auto length = [&](const std::string& text, const std::string& more = "") {
        return refused(project(more), {"left", "", {{"length", text}}, {}});
    };
    EXPECT_EQ(length("2100 mm"),
              "--set length: Length: 2100 mm is more than the most that this piece is built for; "
              "choose 300 mm to 2000 mm");
    EXPECT_EQ(length("wall + 1 mm", R"(, "parameters": { "wall": "2000 mm" })"),
              "--set length: Length: 2001 mm is more than the most that this piece is built for; "
              "choose 300 mm to "
              "2000 mm");
    EXPECT_EQ(length("wall", R"(, "parameters": { "wall": "2000 mm" })"), "");
    EXPECT_EQ(length("1200"), "--set length: '1200' has no unit; write it as in '900 mm'");
    EXPECT_THAT(length("3 kg"), HasSubstr("--set length: a mass stands where a length is needed"));
    EXPECT_THAT(length("wal", R"(, "parameters": { "wall": "2000 mm" })"),
                HasSubstr("did you mean 'wall'?"));
    EXPECT_EQ(refused(project(), {"left", "", {{"lenght", "900 mm"}}, {}}),
              "--set lenght: the piece 'rail' has no size 'lenght'; did you mean 'length'?");
    EXPECT_EQ(refused(project(), {"left", "", {{"hooks", "0"}}, {}}),
              "--set hooks: Hooks: 0 is less than the least that this piece is built for; choose "
              "at least 1");
}

TEST(Piece, SaysWhichOfItsChecksDoesNotHold) {
    const AddedPiece tight = add_piece(project(), "hall.aumbry.json", piece(),
                                       {"left", "", {{"hooks", "30"}}, {}}, host(), {});
    ASSERT_EQ(tight.does_not_hold.size(), 1U);
    EXPECT_EQ(tight.does_not_hold.front(), "Check 'left_room' does not hold: The hooks have room. "
                                           "left_hooks * 50 mm is 1500 mm, 604 mm more than "
                                           "left_rail.length (896 mm).");
}

/// The first fault of a piece file, as the check of catalogs tells it.
std::string faults_of(const std::string& text) {
    try {
        const std::vector<Fault> faults = piece_faults(piece(text), host(), {});
        return faults.empty() ? "" : faults.front().sentence();
    } catch (const FaultError& error) {
        return error.faults().front().sentence();
    }
}

TEST(PieceFile, IsCheckedAtItsOwnSizesAndAtTheirLimits) {
    EXPECT_EQ(faults_of(rail()), "");
    // 1 / (2000 mm - length) is finite but at the limit.
    EXPECT_EQ(
        faults_of(rail("", "length / (2000 mm / (2000 mm - length))")),
        "pieces/rail.piece.json:9:93: /lines/rail/length: division by zero in '(2000 mm / (2000 "
        "mm - length))', when 'length' is 2000 mm; check the divisor");
}

TEST(PieceFile, IsToldWhenADefaultIsOutsideItsLimits) {
    std::string small = rail();
    small.replace(small.find("\"300 mm\""), 8, "\"950 mm\"");
    EXPECT_THAT(faults_of(small),
                HasSubstr("/parameters/length: Length: 900 mm is less than the least"));
}

TEST(PieceFile, NamesARingOfFormulas) {
    std::string ring = rail("", "length - gap");
    ring.replace(ring.find(R"("gap": {)"),
                 std::string(R"("gap": { "mm": "2 mm", "in": "1/16 in" })").size(),
                 R"("gap": "2 * side", "side": "gap / 2")");
    EXPECT_EQ(
        faults_of(ring),
        "pieces/rail.piece.json:6:5: /parameters/gap: the value depends on itself: gap -> side -> "
        "gap; give one of them a value of its own");
}

TEST(PieceFile, RefusesNamesUsedTwiceAndNamesOfTheProject) {
    EXPECT_THAT(faults_of(rail(R"(, "materials": {})")), HasSubstr("materials"));
    std::string twice = rail();
    twice.replace(twice.find("\"hook\": {"), 7, "\"wood\":");
    EXPECT_THAT(faults_of(twice), HasSubstr("the name 'wood' is used twice in the piece"));
    EXPECT_THAT(faults_of(rail("", "wall - gap")),
                HasSubstr("/lines/rail/length: the piece knows no 'wall'; it has"));
    std::string of_piece = rail();
    of_piece.replace(of_piece.find("\"type\": \"hook\""), 14, "\"piece\": \"box\"");
    EXPECT_THAT(faults_of(of_piece), HasSubstr("a piece file does not say which piece it is"));
    EXPECT_THAT(faults_of(R"({ "aumbry_piece": 2, "title": "A" })"),
                HasSubstr("the piece is of version 2"));
    EXPECT_THAT(faults_of(R"({ "title": "A" })"), HasSubstr("this is no piece file"));
    std::string kind = rail();
    kind.replace(kind.find("\"item\", \"type\": \"hook\""), 6, "\"itme\"");
    EXPECT_THAT(faults_of(kind), HasSubstr("no module prices the kind 'itme'"));
}

TEST(PieceLibrary, TakesTheNearerOfTwoAndLeavesOutWhatIsAtFault) {
    const test::TemporaryFolder own;
    const test::TemporaryFolder installed;
    own.write("pieces/rail.piece.json", rail());
    own.write("pieces/broken.piece.json", "{");
    installed.write("pieces/rail.piece.json", rail());
    installed.write("pieces/shelf.piece.json", rail());
    const PieceLibrary library = load_pieces({own.path(), installed.path()});
    ASSERT_EQ(library.pieces.size(), 2U);
    EXPECT_THAT(library.find("rail").file, HasSubstr(own.path().generic_string()));
    ASSERT_EQ(library.faults.size(), 1U);
    EXPECT_EQ(fault_of([&] { (void)library.find("raill"); }).sentence(),
              "the library has no piece 'raill'; did you mean 'rail'?");
    EXPECT_EQ(fault_of([&] { (void)library.find("broken"); }).code, "bad-json");
}

} // namespace
} // namespace aumbry
