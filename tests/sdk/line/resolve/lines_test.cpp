// Lines, materials and parameters read by modules that are described by hand and answer by hand.
#include "line/resolve/lines.hpp"
#include "line/resolve/sections.hpp"

#include "aumbry/field_makers.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <string>
#include <vector>

namespace aumbry::resolving {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

/// A module whose boards are `length` long and weigh 1 kg a metre; `unit` is that of the weight.
contract::Description joinery(const std::string& unit = "kg") {
    contract::LineKind board;
    board.kind = "joinery.board";
    board.title = "Board";
    board.fields = {required(quantity_field("length", "mm", "Length", "how long it is")),
                    quantity_field("width", "mm", "Width", "how wide it is"),
                    with_default(quantity_field("depth", "mm", "Depth", "how deep"), 40.0),
                    lines_field("under", "Under", {"joinery.board"}, "what lies under it")};
    board.derived = {{"mass", unit, "Mass", "of one"}};
    contract::Description module;
    module.id = "joinery";
    module.line_kinds = {board};
    return module;
}

/// A second module, whose plates are of a material.
contract::Description plates() {
    contract::LineKind plate;
    plate.kind = "plates.plate";
    plate.title = "Plate";
    plate.material_class = "slab";
    plate.fields = {required(quantity_field("length", "mm", "Length", "how long it is"))};
    plate.derived = {{"mass", "kg", "Mass", "of one"}};
    contract::Description module;
    module.id = "plates";
    module.line_kinds = {plate};
    return module;
}

contract::CatalogClass slab() {
    contract::CatalogClass made;
    made.name = "slab";
    made.attributes = {quantity_field("thickness", "mm", "Thickness", "how thick")};
    return made;
}

/// One reading, with what came of it.
struct Read {
    ReadLines lines;
    std::vector<std::string> faults;           ///< sentences
    std::vector<std::string> asked;            ///< "joinery: a b"
    std::map<std::string, std::string> reason; ///< why lines are not priced
    const ResolvedLine& line(const std::string& id) const {
        for (const ResolvedLine& each : lines.lines) {
            if (each.line.id == id) return each;
        }
        throw std::out_of_range(id);
    }
};

contract::DeriveReply weigh(const std::vector<contract::Line>& lines) {
    contract::DeriveReply reply;
    for (const contract::Line& line : lines)
        reply.lines.push_back(
            {line.id, Json{{"mass", line.fields.at("length").get<double>() / 1000}}});
    return reply;
}

Read read(
    const std::string& text, const std::vector<contract::Description>& modules,
    const KindTable& homes = {},
    const std::function<void(LineReader&)>& while_asked = [](LineReader&) {}) {
    const Project project{"job.json", text, parse_json(text), ""};
    FaultList faults("");
    const KnownModules known(modules, homes);
    const std::vector<Piece> pieces = read_pieces({project.document, faults});
    LineReader reader(project, known, pieces, faults);
    Read made;
    reader.open();
    reader.link();
    reader.settle([&](const std::string& module, std::vector<contract::Line> lines) {
        std::string asked = module + ":";
        for (const contract::Line& line : lines) asked += ' ' + line.id;
        made.asked.push_back(asked);
        while_asked(reader);
        return std::make_shared<const contract::DeriveReply>(weigh(lines));
    });
    made.lines = reader.take();
    for (const ResolvedLine& line : made.lines.lines) {
        if (!line.not_priced.empty()) made.reason[line.line.id] = line.not_priced;
    }
    for (const Fault& fault : faults.faults()) made.faults.push_back(fault.sentence());
    return made;
}

TEST(Lines, AreReadInOrderOfDependenceAcrossModules) {
    Read made = read(R"({"parameters": {"base": "rail.length - 2 * ease", "ease": "8 mm"},
        "lines": {
            "top": {"kind": "joinery.board", "length": "shelf.mass / 1 kg * base"},
            "shelf": {"kind": "joinery.board", "length": "base"},
            "rail": {"kind": "joinery.board", "length": "2 m", "count": "1 + 2"}}})",
                     {joinery()});
    EXPECT_THAT(made.faults, IsEmpty());
    EXPECT_THAT(made.asked, ElementsAre("joinery: shelf rail", "joinery: top"));
    EXPECT_DOUBLE_EQ(made.line("shelf").line.fields["length"].get<double>(), 1984);
    EXPECT_DOUBLE_EQ(made.line("top").line.fields["length"].get<double>(), 1.984 * 1984);
    EXPECT_EQ(made.line("rail").line.count, 3);
    EXPECT_DOUBLE_EQ(made.line("rail").line.derived["mass"].get<double>(), 2);
    EXPECT_DOUBLE_EQ(made.line("rail").line.fields["depth"].get<double>(), 40);
}

TEST(Lines, TellWhoseValuesTheyUseAlsoThroughParameters) {
    Read made = read(R"({"parameters": {"base": "middle + 1 mm", "middle": "rail.length"},
        "pieces": {"rack": {"title": "Rack"}},
        "lines": {
            "top": {"kind": "joinery.board", "length": "base", "under": ["rack.*"]},
            "low": {"kind": "joinery.board", "piece": "rack", "length": "10 mm"},
            "rail": {"kind": "joinery.board", "length": "2 m"}}})",
                     {joinery()});
    EXPECT_THAT(made.faults, IsEmpty());
    EXPECT_THAT(made.line("top").depends_on, ElementsAre("low", "rail"));
    EXPECT_THAT(made.line("rail").depends_on, IsEmpty());
    ASSERT_EQ(made.line("top").line.references.size(), 1U);
    EXPECT_DOUBLE_EQ(made.line("top").line.references[0].derived["mass"].get<double>(), 0.01);
}

TEST(Lines, SayHowAFormulaCameAbout) {
    Read made = read(R"({"length_unit": "in", "parameters": {"ease": "1 in"},
        "lines": {"rail": {"kind": "joinery.board", "length": "10 * ease"}}})",
                     {joinery()});
    ASSERT_EQ(made.lines.workings.size(), 2U);
    EXPECT_EQ(made.lines.workings[1].ref, "rail.length");
    EXPECT_EQ(made.lines.workings[1].formula, "10 * ease");
    EXPECT_EQ(made.lines.workings[1].source, "project, /lines/rail/length");
}

// 1/4 in among millimetres makes parts of 2011.35 mm, which no rule of that job shows.
TEST(Lines, CautionOfAParameterInTheOtherSystemOfUnits) {
    const auto told = [](const std::string& unit, const std::string& value) {
        Read made =
            read(R"({"length_unit": ")" + unit + R"(", "parameters": {"gap": ")" + value +
                     R"("}, "lines": {"rail": {"kind": "joinery.board", "length": "1 m"}}})",
                 {joinery()});
        const auto& found = made.lines.findings[""];
        return found.empty() ? std::string() : found.front().text;
    };
    EXPECT_EQ(told("mm", "1/4 in"),
              "The parameter 'gap' is written '1/4 in' in a job in millimetres: sizes that rest on "
              "it are no whole millimetres. Write it in mm, as 6 mm, unless it must be so.");
    EXPECT_THAT(told("in", "18 mm"), HasSubstr("Write it in inches, as 23/32 in"));
    EXPECT_EQ(told("mm", "5 in"), ""); // 127 mm
    EXPECT_EQ(told("mm", "6.5 mm"), "");
    EXPECT_EQ(told("in", "1/4 in"), "");
}

// The estimate of a project ended with a fault that named no module and no place.
TEST(Lines, OfAModuleWithAnUnknownUnitAreNotPricedAndTheOthersAre) {
    contract::Description odd = joinery("cubits");
    odd.id = "odd";
    odd.line_kinds.front().kind = "odd.board";
    Read made = read(R"({"lines": {
            "rail": {"kind": "odd.board", "length": "2 m"},
            "user": {"kind": "joinery.board", "length": "rail.mass / 1 kg * 1 mm"},
            "free": {"kind": "joinery.board", "length": "1 m"}}})",
                     {joinery(), odd});
    EXPECT_THAT(made.faults, IsEmpty());
    ASSERT_EQ(made.lines.absent.size(), 1U);
    EXPECT_EQ(made.lines.absent[0].module, "odd");
    EXPECT_THAT(made.lines.absent[0].reason,
                HasSubstr("gives 'mass' in the unit 'cubits', which is none of the contract's"));
    EXPECT_THAT(made.reason["rail"], HasSubstr("gives 'mass' in the unit 'cubits'"));
    EXPECT_THAT(made.reason["user"],
                HasSubstr("its values could not be calculated because of 'rail': "));
    EXPECT_EQ(made.reason.count("free"), 0U);
    EXPECT_DOUBLE_EQ(made.line("free").line.derived["mass"].get<double>(), 1);
}

TEST(Lines, OfAModuleWhoseDefaultHasAnUnknownUnitAreNotPriced) {
    contract::Description odd = joinery();
    odd.line_kinds.front().fields[2].unit = "cubits";
    Read made = read(R"({"lines": {"rail": {"kind": "joinery.board", "length": "2 m"}}})", {odd});
    EXPECT_THAT(made.faults, IsEmpty());
    EXPECT_THAT(made.reason["rail"], HasSubstr("gives 'depth' in the unit 'cubits'"));
}

// It was said of a line that its own material was of an unknown class, though only the line that it
// uses had one.
TEST(Lines, OfAnUnknownClassNameItAndThoseThatUseThemNameTheLine) {
    Read made = read(R"({"materials": {"top": {"class": "slab", "thickness": "20 mm"}},
        "lines": {
            "plate": {"kind": "plates.plate", "material": "top", "length": "1 m"},
            "rail": {"kind": "joinery.board", "length": "plate.mass / 1 kg * 1 mm"},
            "edge": {"kind": "joinery.board", "length": "top.thickness"},
            "free": {"kind": "joinery.board", "length": "1 m"}}})",
                     {joinery(), plates()});
    EXPECT_THAT(made.faults, IsEmpty());
    EXPECT_EQ(made.reason["plate"], "no module knows the class 'slab' of its material");
    EXPECT_EQ(made.reason["rail"], "its values could not be calculated because of 'plate': no "
                                   "module knows the class 'slab' of its material");
    EXPECT_EQ(made.reason["edge"], "its values could not be calculated because of "
                                   "'top.thickness': no module knows the class 'slab'");
    EXPECT_EQ(made.reason.count("free"), 0U);
}

TEST(Lines, OfAMaterialCarryItsAttributes) {
    contract::Description module = plates();
    module.catalog_classes = {slab()};
    Read made = read(R"({"materials": {"top": {"class": "slab", "thickness": "2 * 10 mm"}},
        "lines": {"plate": {"kind": "plates.plate", "material": "top", "length": "1 m"}}})",
                     {module});
    EXPECT_THAT(made.faults, IsEmpty());
    ASSERT_TRUE(made.line("plate").line.material.has_value());
    EXPECT_DOUBLE_EQ(made.line("plate").line.material->attributes["thickness"].get<double>(), 20);
}

TEST(Lines, OfAModuleThatIsNotThereStayAndSaySo) {
    const KindTable homes{{{"lid", "lids"}}};
    Read made = read(R"({"lines": {
            "cover": {"kind": "lid", "anything": true},
            "other": {"kind": "strangers.thing"},
            "rail": {"kind": "joinery.board", "length": "cover.width"}}})",
                     {joinery()}, homes);
    EXPECT_THAT(made.faults, IsEmpty());
    EXPECT_EQ(made.reason["cover"], "module 'lids' is missing");
    EXPECT_EQ(made.reason["other"], "module 'strangers' is missing");
    EXPECT_EQ(made.reason["rail"],
              "its values could not be calculated because of 'cover': module 'lids' is missing");
    ASSERT_EQ(made.lines.absent.size(), 2U);
    EXPECT_EQ(made.lines.absent[0].module, "lids");
}

// A setting over such a name was said to use a name without a value, as if it were misspelt.
TEST(Names, ThatRestOnDerivedValuesSayThatSettingsComeBeforeThem) {
    std::string sentence;
    (void)read(R"({"parameters": {"heavy": "2 * rail.mass", "ease": "8 mm"},
        "lines": {"rail": {"kind": "joinery.board", "length": "2 m"}}})",
               {joinery()}, {}, [&](LineReader& reader) {
                   EXPECT_DOUBLE_EQ(reader.names().lookup("ease").value, 8);
                   try {
                       (void)reader.names().lookup("heavy");
                   } catch (const FaultError& error) {
                       sentence = error.what();
                   }
               });
    EXPECT_EQ(sentence,
              "the name 'heavy' has no value yet: it rests on what modules derive from lines, and "
              "they are told this before they derive anything; write a value, or a formula over "
              "names that rest on no derived value");
}

TEST(Names, ChainOfSixtyThousandParametersIsRead) {
    std::string text = R"({"lines": {"rail": {"kind": "joinery.board", "length": "p0"}},
                           "parameters": {)";
    for (int i = 0; i < 60'000; ++i)
        text += "\"p" + std::to_string(i) + "\": \"p" + std::to_string(i + 1) + "\", ";
    text += R"("p60000": "75 cm"}})";
    Read made = read(text, {joinery()});
    EXPECT_THAT(made.faults, IsEmpty());
    EXPECT_DOUBLE_EQ(made.line("rail").line.fields["length"].get<double>(), 750);
}

struct FaultCase {
    const char* name;
    const char* text;
    const char* sentence;
};
class FaultyLines : public ::testing::TestWithParam<FaultCase> {};

TEST_P(FaultyLines, AreSaidInOneSentence) {
    contract::Description module = plates();
    module.catalog_classes = {slab()};
    EXPECT_THAT(read(GetParam().text, {joinery(), module}).faults,
                ElementsAre(GetParam().sentence));
}

INSTANTIATE_TEST_SUITE_P(
    Cases, FaultyLines,
    ::testing::Values(
        FaultCase{"no_object", R"({"lines": {"rail": 3}})",
                  "/lines/rail: found number; write an object in { }"},
        FaultCase{"no_kind", R"({"lines": {"rail": {}}})",
                  "/lines/rail: the line 'rail' has no kind; add \"kind\", one of: "
                  "joinery.board, plates.plate"},
        FaultCase{"kind_of_a_loaded_module", R"({"lines": {"rail": {"kind": "joinery.bord"}}})",
                  "/lines/rail/kind: unknown line kind 'joinery.bord'; did you mean "
                  "'joinery.board'?"},
        FaultCase{"kind_of_nobody", R"({"lines": {"rail": {"kind": "sail"}}})",
                  "/lines/rail/kind: unknown line kind 'sail'; known kinds: joinery.board, "
                  "plates.plate"},
        FaultCase{"required", R"({"lines": {"rail": {"kind": "joinery.board"}}})",
                  "/lines/rail: missing key 'length'; add it: how long it is"},
        FaultCase{"size_known",
                  R"({"lines": {"rail": {"kind": "joinery.board", "length": "1 m",
                                         "size_known": "yes"}}})",
                  "/lines/rail/size_known: found string; write true or false"},
        FaultCase{"title",
                  R"({"lines": {"rail": {"kind": "joinery.board", "length": "1 m", "title": 3}}})",
                  "/lines/rail/title: found number; write a text in quotes"},
        FaultCase{"near_derived_value",
                  R"({"lines": {"rail": {"kind": "joinery.board", "length": "1 m"},
                                "top": {"kind": "joinery.board", "length": "rale.mass / 1 kg * 1 m"}}})",
                  "/lines/top/length: unknown name 'rale.mass'; did you mean 'rail.mass'?"},
        FaultCase{"no_value",
                  R"({"lines": {"rail": {"kind": "joinery.board", "length": "width.width"},
                                "width": {"kind": "joinery.board", "length": "1 m"}}})",
                  "/lines/rail/length: the line 'width' has no value for 'width'; give it one"},
        FaultCase{"parameter_type", R"({"parameters": {"ease": true}})",
                  "/parameters/ease: found boolean; write a quantity such as '8 mm', a number, or "
                  "a formula"},
        FaultCase{"material_without_class", R"({"materials": {"top": {}}})",
                  "/materials/top: the material 'top' has no class; add \"class\", one of: slab"},
        FaultCase{"material_of_another_class",
                  R"({"materials": {"top": {"class": "paint"}},
                      "lines": {"plate": {"kind": "plates.plate", "material": "top",
                                          "length": "1 m"}}})",
                  "/lines/plate/material: the material 'top' is of class 'paint'; a line of kind "
                  "'plates.plate' takes class 'slab'"},
        FaultCase{"no_material",
                  R"({"lines": {"plate": {"kind": "plates.plate", "length": "1 m"}}})",
                  "/lines/plate: missing key 'material'; name a role under \"materials\" of class "
                  "'slab'"},
        FaultCase{"unknown_material",
                  R"({"materials": {"top": {"class": "slab"}},
                      "lines": {"plate": {"kind": "plates.plate", "material": "tpo",
                                          "length": "1 m"}}})",
                  "/lines/plate/material: there is no material role 'tpo'; did you mean 'top'?"},
        FaultCase{"unknown_line",
                  R"({"lines": {"rail": {"kind": "joinery.board", "length": "1 m",
                                         "under": ["rial"]}}})",
                  "/lines/rail/under/0: there is no line 'rial'; did you mean 'rail'?"},
        FaultCase{"wrong_kind",
                  R"({"materials": {"top": {"class": "slab"}},
                      "lines": {"rail": {"kind": "joinery.board", "length": "1 m",
                                         "under": ["plate"]},
                                "plate": {"kind": "plates.plate", "material": "top",
                                          "length": "1 m"}}})",
                  "/lines/rail/under/0: the line 'plate' is of kind 'plates.plate'; name a line of "
                  "kind joinery.board"},
        FaultCase{"lines_that_name_each_other",
                  R"({"lines": {"a": {"kind": "joinery.board", "length": "1 m", "under": ["b"]},
                                "b": {"kind": "joinery.board", "length": "1 m", "under": ["a"]}}})",
                  "/lines/a: the value depends on itself: a -> b -> a; give one of them a value of "
                  "its own"},
        FaultCase{"like_a_material",
                  R"({"materials": {"top": {"class": "slab"}},
                      "lines": {"top": {"kind": "joinery.board", "length": "1 m"}}})",
                  "/lines/top: the line 'top' is called like a material; rename one of the two"}),
    [](const auto& one) { return std::string(one.param.name); });

} // namespace
} // namespace aumbry::resolving
