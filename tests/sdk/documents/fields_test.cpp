#include "aumbry/fields.hpp"

#include "aumbry/plugin.hpp"
#include "aumbry/short_form.hpp"

#include <gtest/gtest.h>

namespace aumbry {
namespace {

using contract::Field;
using contract::FieldType;

Field of_type(FieldType type, std::string name = "x") {
    Field field = text_field(std::move(name), "X", "help");
    field.type = type;
    return field;
}

/// What a value written for a field becomes, or the sentences with which it is refused.
std::string reading(const Field& field, const char* written, const FieldContext& context = {}) {
    FaultList faults("");
    const auto value = read_value(field, parse_json(written), "/x", context, faults);
    EXPECT_EQ(value.has_value(), faults.empty());
    if (value) return value->dump();
    return FaultError(faults.faults()).what();
}

struct Case {
    const char* written;
    const char* outcome;
};
void walk(const Field& field, std::initializer_list<Case> cases) {
    for (const Case& each : cases)
        EXPECT_EQ(reading(field, each.written), each.outcome) << each.written;
}

// ---------------------------------------------------------------- one type after the other

TEST(Fields, AQuantityIsReadInItsUnitAndItsRangeIsKept) {
    const Field width = at_most(quantity_field("width", "mm", "Width", "help"), 3000);
    // Exact factors: 1 in = 25.4 mm (NIST SP 811).
    walk(
        width,
        {{"\"280 mm\"", "280.0"},
         {"\"11 in\"", "279.4"},
         {"\"1 ft 2 3/8 in\"", "365.125"},
         {"\"2 * 14 cm + 1 mm\"", "281.0"},
         {"\"3 m\"", "3000.0"},
         {"\"3000.1 mm\"", "/x: 3000.1 mm is too large; write at most 3000 mm"},
         {"\"0.1 mm\"", "0.1"},
         {"\"0 mm\"", "/x: 0 mm is too small; write more than 0 mm"},
         {"0", "/x: 0 mm is too small; write more than 0 mm"},
         {"\"-5 mm\"", "/x: -5 mm is too small; write more than 0 mm"},
         {"280", "/x: the number 280 has no unit where a length is expected; write the unit, as in "
                 "'280 mm' or '11 in'"},
         {"\"280\"", "/x: '280' has no unit where a length is expected; write the unit, "
                     "as in '280 mm' or '11 in'"},
         {"\"12 kg\"",
          "/x: found a mass where a length is expected; write a length, as in '280 mm' or '11 in'"},
         {"\"1 m2\"", "/x: found an area where a length is expected; write a length, as in '280 "
                      "mm' or '11 in'"},
         {"true", "/x: found true; write a length, as in '280 mm' or '11 in'"},
         {"[1]", "/x: found a list; write a length, as in '280 mm' or '11 in'"},
         {"{}", "/x: found an object; write a length, as in '280 mm' or '11 in'"},
         {"null", "/x: null is no value; write a value or leave the key out"}});
    const Field turn = quantity_field("turn", "deg", "Turn", "help");
    walk(turn, {{"\"90 deg\"", "90.0"},
                {"\"1 mm\"",
                 "/x: found a length where an angle is expected; write an angle, as in '12 deg'"}});
    const Field wait = at_least(quantity_field("wait", "min", "Wait", "help"), 0);
    walk(wait, {{"\"2 h\"", "120.0"},
                {"0", "0.0"},
                {"30", "/x: the number 30 has no unit where a duration is expected; write the "
                       "unit, as in '30 min' or '2 h'"}});
}

TEST(Fields, AnUnknownUnitOrNameOrABrokenFormulaIsSaid) {
    const Field width = quantity_field("width", "mm", "Width", "help");
    walk(width,
         {{"\"280 mn\"", "/x: 'mn' in '280 mn' is not a known unit; did you mean 'mm'?"},
          {"\"ease\"", "/x: the name 'ease' means nothing here; write a value with its unit"}});
    // The formula's own sentence, at the place of the value.
    for (const char* broken : {"2 * (", "1 mm / 0", "1 mm + 1 kg", ""}) {
        try {
            (void)Formula::parse(broken).evaluate({});
            ADD_FAILURE() << broken;
        } catch (const FaultError& error) {
            EXPECT_EQ(reading(width, Json(broken).dump().c_str()),
                      std::string("/x: ") + error.what());
        }
    }
    FieldContext context;
    context.lookup = [](std::string_view name) {
        if (name != "ease") fail("unknown-name", {}, "no name '" + std::string(name) + "'");
        return Quantity(Length::mm(8));
    };
    EXPECT_EQ(reading(width, "\"2 * ease + 1 mm\"", context), "17.0");
    EXPECT_EQ(reading(width, "\"eas\"", context), "/x: no name 'eas'");
}

TEST(Fields, ANumberHasNoUnit) {
    const Field factor = at_most(at_least(number_field("factor", "Factor", "help"), 0.5), 2);
    walk(factor, {{"0.5", "0.5"},
                  {"2", "2.0"},
                  {"\"3 / 2\"", "1.5"},
                  {"\"35 %\"", "/x: 0.35 is too small; write at least 0.5"},
                  {"0.49", "/x: 0.49 is too small; write at least 0.5"},
                  {"2.01", "/x: 2.01 is too large; write at most 2"},
                  {"\"1 mm\"",
                   "/x: found a length where a number is expected; write a number without unit"},
                  {"false", "/x: found false; write a number"}});
}

TEST(Fields, ACountIsWhole) {
    const Field count = at_most(at_least(count_field("count", "Count", "help"), 1), 100);
    walk(
        count,
        {{"1", "1"},
         {"100", "100"},
         {"4.0", "4"},
         {"\"2 * 3\"", "6"},
         {"0", "/x: 0 is too small; write at least 1"},
         {"-3", "/x: -3 is too small; write at least 1"},
         {"101", "/x: 101 is too large; write at most 100"},
         {"2.5", "/x: 2.5 is not a whole number; write a whole number"},
         {"\"2 mm\"",
          "/x: found a length where a whole number is expected; write a whole number without unit"},
         {"[]", "/x: found a list; write a whole number"}});
    // Nobody counts further than a number of 64 bits does.
    EXPECT_EQ(reading(of_type(FieldType::count), "1e300"),
              "/x: 1e+300 is too large; write a number that can be counted");
}

TEST(Fields, AChoiceIsOneOfItsChoices) {
    const Field grain = choice_field("grain", "Grain", {"length", "width", "free"}, "help");
    walk(grain, {{"\"width\"", "\"width\""},
                 {"\"lenght\"", "/x: unknown value 'lenght'; did you mean 'length'?"},
                 {"\"across\"", "/x: unknown value 'across'; write one of length, width, free"},
                 {"3", "/x: found the number 3; write one of length, width, free"}});
}

TEST(Fields, AFlagIsTrueOrFalse) {
    walk(flag_field("seen", "Seen", "help"),
         {{"true", "true"},
          {"\"yes\"", "/x: found the text 'yes'; write true or false"},
          {"1", "/x: found the number 1; write true or false"}});
}

TEST(Fields, ATextIsWrittenInQuotes) {
    walk(text_field("note", "Note", "help"),
         {{"\"left of the door\"", "\"left of the door\""},
          {"\"\"", "\"\""},
          {"12", "/x: found the number 12; write a text in quotes"}});
}

TEST(Fields, MoneyIsADecimalText) {
    const Field rate = at_most(at_least(of_type(FieldType::money), 0), 500);
    walk(rate, {{"\"12.50\"", "\"12.5\""},
                {"\"0\"", "\"0\""},
                {"\"0.00880\"", "\"0.0088\""},
                {"\"-0.01\"", "/x: -0.01 is too small; write at least 0"},
                {"\"500.01\"", "/x: 500.01 is too large; write at most 500"},
                {"\"12,50\"", "/x: '12,50' is not a decimal number; the decimal sign is a point "
                              "and thousands are not grouped: 1234.50"},
                {"\"12.50 EUR\"", "/x: '12.50 EUR' is not a decimal number; write digits with at "
                                  "most one decimal point, such as 12.50"},
                {"12.5", "/x: found the number 12.5; write an amount as text, as in \"12.50\""}});
    EXPECT_EQ(reading(at_most(of_type(FieldType::money), 10), "\"11\""),
              "/x: 11 is too large; write at most 10");
}

TEST(Fields, ADateIsACalendarDay) {
    walk(
        of_type(FieldType::date),
        {{"\"2027-03-01\"", "\"2027-03-01\""},
         {"\"2028-02-29\"", "\"2028-02-29\""},
         {"\"2027-02-29\"",
          "/x: there is no date 2027-02-29; write a date of the calendar from 1900-01-01 on"},
         {"\"1.3.2027\"", "/x: '1.3.2027' is not a date; write year-month-day, such as 2027-03-01"},
         {"20270301", "/x: found the number 20270301; write a date as \"2027-03-01\""}});
}

TEST(Fields, LinesAreNamedOnceEach) {
    FieldContext context;
    context.expand_lines = [](const Field&, const std::string& entry) -> std::vector<std::string> {
        if (entry == "bed.*") return {"side", "top"};
        if (entry == "side" || entry == "top") return {entry};
        fail("unknown-line", {}, "there is no line '" + entry + "'", "name a line of the project");
    };
    const Field lines = lines_field("parts", "Parts", {}, "help");
    EXPECT_EQ(reading(lines, R"(["top", "bed.*", "top"])", context), R"(["top","side"])");
    EXPECT_EQ(reading(lines, "[]", context), "[]");
    EXPECT_EQ(reading(lines, R"(["top", "tpo", 3])", context),
              "/x/1: there is no line 'tpo'; name a line of the project\n/x/2: found the number 3; "
              "write the id of a line in quotes");
    EXPECT_EQ(reading(lines, "\"top\"", context),
              "/x: found the text 'top'; write a list of line ids in [ ]");
    const Field line = of_type(FieldType::line);
    EXPECT_EQ(reading(line, "\"top\"", context), "\"top\"");
    EXPECT_EQ(reading(line, "\"bed.*\"", context),
              "/x: one line is expected, 'bed.*' names 2; name one line");
    EXPECT_EQ(reading(line, "[\"top\"]", context),
              "/x: found a list; write the id of a line in quotes");
}

TEST(Fields, TextsAreAListOfTexts) {
    walk(of_type(FieldType::texts),
         {{R"(["mon", "tue"])", R"(["mon","tue"])"},
          {R"(["mon", 2])", "/x/1: found the number 2; write a text in quotes"},
          {"\"mon\"", "/x: found the text 'mon'; write a list of texts in [ ]"}});
}

TEST(Fields, RecordsAreReadFieldByField) {
    Field coat = of_type(FieldType::records, "coats");
    coat.fields = {required(text_field("product", "Product", "help")),
                   with_default(count_field("layers", "Layers", "help"), 1),
                   quantity_field("wait", "min", "Wait", "help")};
    walk(coat, {{R"([{"product": "oil"}, {"product": "wax", "layers": 2, "wait": "4 h"}])",
                 R"([{"product":"oil","layers":1},{"product":"wax","layers":2,"wait":240.0}])"},
                {"[]", "[]"},
                {R"([{"layers": 2}])", "/x/0: missing key 'product'; add it: help"},
                {R"([{"product": "oil", "layer": 2}])",
                 "/x/0/layer: unknown key 'layer'; did you mean 'layers'?"},
                {R"([{"product": "oil", "wait": "4 kg"}, 3])",
                 "/x/0/wait: found a mass where a duration is expected; write a duration, as in "
                 "'30 min' or '2 h'\n/x/1: found the number 3; write an object in { }"},
                {R"({"product": "oil"})", "/x: found an object; write a list of objects in [ ]"}});
    coat.type = FieldType::record;
    walk(coat, {{R"({"product": "oil"})", R"({"product":"oil","layers":1})"},
                {"[]", "/x: found a list; write an object in { }"}});
}

// ---------------------------------------------------------------- objects

TEST(Fields, AnObjectIsReadWholeWithEveryFaultOfIt) {
    const std::vector<Field> fields{
        required(quantity_field("length", "mm", "Length", "the finished length")),
        with_default(count_field("count", "Count", "help"), 1),
        choice_field("grain", "Grain", {"length", "free"}, "help")};
    const std::string text = "{\n  \"lenght\": \"1 m\",\n  \"count\": 1.5,\n  \"x-note\": null,\n  "
                             "\"kind\": \"panel\",\n  \"grain\": \"fre\"\n}";
    FaultList faults("a.json");
    const std::string_view also[] = {"kind"};
    const Json read = read_fields(fields, parse_json(text), "", {}, faults, also);
    faults.find_places(text);
    EXPECT_EQ(read.dump(), "{}");
    EXPECT_STREQ(FaultError(faults.faults()).what(),
                 "a.json:2:3: /lenght: unknown key 'lenght'; did you mean 'length'?\n"
                 "a.json:1:1: missing key 'length'; add it: the finished length\n"
                 "a.json:3:3: /count: 1.5 is not a whole number; write a whole number\n"
                 "a.json:6:3: /grain: unknown value 'fre'; did you mean 'free'?");
    EXPECT_THROW(faults.throw_if_any(), FaultError);
}

TEST(Fields, AKeyThatResemblesNoneIsAnsweredWithAllThatAreKnown) {
    const std::vector<Field> fields{text_field("title", "T", "h"), text_field("note", "N", "h")};
    FaultList faults("");
    (void)read_fields(fields, parse_json("{\"colour\": 1}"), "/pieces/bed", {}, faults);
    EXPECT_EQ(faults.faults().front().sentence(),
              "/pieces/bed/colour: unknown key 'colour'; known here: title, note");
}

TEST(Fields, AFaultOfWhatIsMissingIsPlacedWhereItShouldBeWritten) {
    FaultList faults("a.json");
    faults.add("missing-key", "/lines/side/material/thickness", "missing");
    faults.add("no-place", "column", "not of this document");
    faults.find_places("{\n \"lines\": {\n  \"side\": {}}}");
    EXPECT_EQ(faults.faults()[0].place, (Place{"a.json", "/lines/side/material/thickness", 3, 3}));
    EXPECT_EQ(faults.faults()[1].place.line, 0);
}

// All places of a text are found in one walk; the place of one pointer is found by another.
TEST(Fields, ManyFaultsArePlacedWhereEachIsFoundAlone) {
    const std::string text =
        "\xEF\xBB\xBF{ \"f\u00fc\u00dfe\": {\"\u20ac\": 1, \"b\": [true, [ ], {\"c\": null}]},\n"
        "  \"a/b\" : {}, \"m~n\": -1.5e3,\r\n\t\"k\\\"l\": \"x\\\\\", \"\\u00e9\": [[1, 2],\n[3]],"
        " \"\": {\"\": 7} }";
    const Json flat = parse_json(text).flatten();
    FaultList faults("a.json");
    for (const auto& [pointer, value] : flat.items()) {
        for (std::string part = pointer; !part.empty(); part.resize(part.rfind('/')))
            faults.add("any", part, "any");
    }
    faults.find_places(text);
    ASSERT_GT(faults.size(), 20U);
    for (const Fault& fault : faults.faults()) {
        const auto alone = locate(text, fault.place.pointer);
        ASSERT_TRUE(alone) << fault.place.pointer;
        EXPECT_EQ((Position{fault.place.line, fault.place.column}), *alone) << fault.place.pointer;
    }
}

// ---------------------------------------------------------------- cells

TEST(Fields, ACellOfAPriceListIsReadByTheSameRecords) {
    const auto cell = [](const Field& field, const char* text, const char* unit = "") {
        try {
            return read_cell(field, text, unit).dump();
        } catch (const FaultError& error) {
            return std::string(error.what());
        }
    };
    const Field thickness = quantity_field("thickness", "mm", "Thickness", "help");
    EXPECT_EQ(cell(thickness, "18 mm"), "18.0");
    EXPECT_EQ(cell(thickness, "18", "mm"), "18.0");
    EXPECT_EQ(cell(thickness, "3/4", "in"), "19.05");
    EXPECT_EQ(cell(thickness, "18"), "'18' has no unit where a length is expected; write "
                                     "the unit, as in '280 mm' or '11 in'");
    EXPECT_EQ(cell(thickness, "18", "kg"),
              "found a mass where a length is expected; write a length, as in '280 mm' or '11 in'");
    EXPECT_EQ(cell(thickness, "18", "%"), "'18' has no unit where a length is expected; "
                                          "write the unit, as in '280 mm' or '11 in'");
    EXPECT_EQ(cell(flag_field("grain", "G", "h"), "yes"), "true");
    EXPECT_EQ(cell(flag_field("grain", "G", "h"), "false"), "false");
    EXPECT_EQ(cell(flag_field("grain", "G", "h"), "si"),
              "'si' is neither yes nor no; write yes or no");
    EXPECT_EQ(cell(of_type(FieldType::texts), " a; b c ;;d"), R"(["a","b c","d"])");
    EXPECT_EQ(cell(of_type(FieldType::money), "0.00880"), "\"0.0088\"");
    EXPECT_EQ(cell(count_field("n", "N", "h"), "16000"), "16000");
    EXPECT_EQ(cell(lines_field("l", "L", {}, "h"), "side"),
              "the field 'l' is no single value; leave the cell empty");
}

// ---------------------------------------------------------------- names, schemas

TEST(Fields, NamesInFormulasAreFoundThroughRecords) {
    Field coat = of_type(FieldType::records);
    coat.fields = {quantity_field("area", "m2", "A", "h"), text_field("note", "N", "h"),
                   count_field("n", "N", "h")};
    EXPECT_EQ(
        names_in(
            coat,
            parse_json(
                R"([{"area": "side.area * k", "note": "not a name"}, {"n": "k + 1", "area": "2 * ("}, 3])")),
        (std::vector<std::string>{"side.area", "k"}));
    EXPECT_TRUE(names_in(quantity_field("l", "mm", "L", "h"), parse_json("18")).empty());
}

TEST(Fields, EveryMakerYieldsARecordThatAcceptsItsOwnDefaultAndBounds) {
    for (const Field& field : {quantity_field("a", "mm", "A", "h"), count_field("b", "B", "h"),
                               number_field("c", "C", "h"),
                               at_most(at_least(quantity_field("d", "L", "D", "h"), 2), 5)}) {
        const auto written = [&](double value) {
            return Json(format_trimmed(value, 6) + (field.unit.empty() ? "" : " " + field.unit))
                .dump();
        };
        if (field.minimum && !field.above_minimum) {
            EXPECT_EQ(parse_json(reading(field, written(*field.minimum).c_str())).get<double>(),
                      *field.minimum);
        }
        if (field.maximum) {
            EXPECT_EQ(parse_json(reading(field, written(*field.maximum).c_str())).get<double>(),
                      *field.maximum);
        }
        if (field.maximum) {
            EXPECT_TRUE(reading(field, written(*field.maximum + 1).c_str()).find("is too large") !=
                        std::string::npos)
                << field.name;
        }
        if (field.minimum) {
            EXPECT_TRUE(reading(field, written(*field.minimum - 1).c_str()).find("is too small") !=
                        std::string::npos)
                << field.name;
        }
    }
}

// "front": "banded" was answered with "write an object in { }".
TEST(Fields, AWordWhereARecordIsWantedIsToldAsThatRecord) {
    const Field edge =
        record_field("front", "Front", "help",
                     {choice_field("treatment", "Treatment", {"raw", "banded"}, "help"),
                      quantity_field("thickness", "mm", "Thickness", "help")});
    walk(edge, {{"\"banded\"", "/x: found the text 'banded'; write { \"treatment\": \"banded\" }"},
                {"\"bandet\"", "/x: found the text 'bandet'; write an object in { }"}});
}

Field edges_field() {
    const auto edge = [](const char* name) {
        return record_field(name, name, "help",
                            {with_default(choice_field("treatment", "Treatment",
                                                       {"raw", "banded", "scribed"}, "help"),
                                          "raw"),
                             quantity_field("thickness", "mm", "Thickness", "help")});
    };
    return record_field("edges", "Edges", "help", {edge("front"), edge("back"), edge("left")});
}

TEST(ShortForm, SaysWhatTheLongFormSays) {
    const Field edges = edges_field();
    for (const auto& [brief, full] : {
             std::pair{R"("front banded")", R"({"front": {"treatment": "banded"}})"},
             {R"("front and left banded")",
              R"({"front": {"treatment": "banded"}, "left": {"treatment": "banded"}})"},
             {R"("Front, left banded, back scribed")",
              R"({"front": {"treatment": "banded"}, "back": {"treatment": "scribed"},
                  "left": {"treatment": "banded"}})"},
             {R"("all banded")",
              R"({"front": {"treatment": "banded"}, "back": {"treatment": "banded"},
                  "left": {"treatment": "banded"}})"},
             {R"("back scribed, all banded")",
              R"({"front": {"treatment": "banded"}, "back": {"treatment": "scribed"},
                  "left": {"treatment": "banded"}})"},
         }) {
        EXPECT_EQ(parse_json(reading(edges, brief)), parse_json(reading(edges, full))) << brief;
        // And back: what the short form says of the record is the record.
        const Json record = parse_json(full);
        EXPECT_EQ(parse_json(reading(edges, Json(short_form_of(edges, record)).dump().c_str())),
                  parse_json(reading(edges, full)))
            << brief;
    }
    EXPECT_EQ(short_form_of(edges, parse_json(R"({"front": {"treatment": "raw"}})")), "");
    EXPECT_EQ(short_form_example(edges), "front banded");
}

TEST(ShortForm, WhatIsNotUnderstoodShowsOneThatIs) {
    const std::string right = "; write such as \"front banded\", of front, back, left or all, and "
                              "raw, banded or scribed";
    const auto told = [&](const char* written, const std::string& why) {
        EXPECT_EQ(reading(edges_field(), written), "/x: " + why + right);
    };
    told("\"frnt banded\"", "'frnt banded' is not understood: 'frnt' is no word of it");
    told("\"banded\"", "'banded' is not understood: nothing is named before 'banded'");
    told("\"front\"", "'front' is not understood: it does not say what front is");
    told("\"front banded, front raw\"",
         "'front banded, front raw' is not understood: 'front' is named twice");
    told("\"\"", "'' is not understood: it says nothing");
}

} // namespace
} // namespace aumbry
