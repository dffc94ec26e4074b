// Formulas: reading, dimensions, faults with their sentences. Values are worked by hand.
#include "aumbry/formula.hpp"
#include "fault_of.hpp"

#include <gtest/gtest.h>

#include <limits>
#include <map>

using namespace aumbry;

namespace {

const std::map<std::string, Quantity, std::less<>> values = {
    {"bed_inner", Length::mm(2016)},
    {"ease", Length::mm(8)},
    {"guest_mattress.length", Length::mm(2000)},
    {"carcase.thickness", Length::mm(18)},
    {"panel.mass", Mass::kg(24)},
    {"count", Quantity(3)},
    {"m", Quantity(4)},
    {"gap", Length::mm(-2)},
    {"nothing", Length::mm(0)},
    {"huge", Quantity(1e300)},
};

Quantity lookup(std::string_view name) {
    const auto found = values.find(name);
    if (found == values.end()) fail("unknown-name", {}, "there is no '" + std::string(name) + "'");
    return found->second;
}

double in(std::string_view unit, std::string_view text) {
    return in_unit(Formula::parse(text).evaluate(lookup), unit);
}

Fault fault(std::string_view text) {
    return fault_of([&] { (void)Formula::parse(text).evaluate(lookup); });
}

std::string code(std::string_view text) {
    return fault(text).code;
}

} // namespace

TEST(Formula, ArithmeticOverNamesAndQuantities) {
    EXPECT_EQ(in("mm", "guest_mattress.length + 2 * ease"), 2016);
    EXPECT_EQ(in("mm", "bed_inner + 2 * carcase.thickness"), 2052);
    EXPECT_EQ(in("mm", "1 ft 2 3/8 in + 12 mm"), 377.125);
    EXPECT_EQ(in("mm", "bed_inner / 2 - ease"), 1000);
    EXPECT_EQ(in("m2", "bed_inner * 500 mm"), 1.008);
    EXPECT_EQ(in("", "bed_inner / ease"), 252);
    EXPECT_EQ(in("kg/m2", "panel.mass / (bed_inner * 500 mm) "), 23.8095238095238);
    EXPECT_EQ(in("mm", "35 % * bed_inner"), 705.6);
    EXPECT_EQ(in("N·m", "600 N * 250 mm"), 150);
}

TEST(Formula, PrecedenceAndAssociativity) {
    EXPECT_EQ(in("", "2 + 3 * 4"), 14);
    EXPECT_EQ(in("", "(2 + 3) * 4"), 20);
    EXPECT_EQ(in("", "10 - 4 - 3"), 3);
    EXPECT_EQ(in("", "24 / 4 / 2"), 3);
    EXPECT_EQ(in("", "-2^2"), -4);
    EXPECT_EQ(in("", "(-2)^2"), 4);
    EXPECT_EQ(in("", "2 * -3"), -6);
    EXPECT_EQ(in("", "2 - -3"), 5);
    EXPECT_EQ(in("", "--3"), 3);
    EXPECT_EQ(in("", "2^-1"), 0.5);
    EXPECT_EQ(in("", "7^0"), 1);
    EXPECT_EQ(in("m2", "(3 m)^2"), 9);
    EXPECT_EQ(in("", "1 + 1 < 3"), 1);
}

TEST(Formula, AWordAfterANumberIsAUnit) {
    EXPECT_EQ(in("mm", "2 m"), 2000);
    EXPECT_EQ(in("", "2 * m"), 8);
    EXPECT_EQ(in("mm", "2 m * m"), 8000);
    EXPECT_EQ(in("kg", "12 kg / m"), 3);
    EXPECT_EQ(in("kg/m", "12 kg/m"), 12);
    EXPECT_EQ(in("kg", "12 kg/count"), 4); // no unit of that name: a division
    EXPECT_EQ(in("kg", "12 kg/m3 * 1 m3"), 12);
    const Fault unit = fault("2 count");
    EXPECT_EQ(unit.code, "unknown-unit");
    EXPECT_EQ(unit.wrong, "'count' in '2 count' is not a known unit");
    EXPECT_EQ(code("2(3)"), "bad-formula");
    EXPECT_EQ(code("2 guest_mattress.length"), "unknown-unit");
    EXPECT_EQ(code("3 m.length"), "unknown-unit");
}

TEST(Formula, FractionsOfAUnit) {
    EXPECT_EQ(in("in", "3/4 in"), 0.75);
    EXPECT_EQ(in("in", "2 * 3/4 in"), 1.5);
    EXPECT_EQ(in("in", "1 in - 3/4 in"), 0.25);
    EXPECT_EQ(in("", "3/4"), 0.75);
    EXPECT_EQ(in("", "2 1/4 * 2"), 4.5);
    EXPECT_EQ(in("in", "2 1/4\" + 5' 3\""), 65.25);
    EXPECT_EQ(in("in", "5' - 3\""), 57);
    EXPECT_EQ(in("in", "-5' 3\""), -63);
    EXPECT_EQ(in("", "1/2 * 4"), 2);
    EXPECT_EQ(in("", "3 in / (3/4 in)"), 4);
    EXPECT_EQ(in("", "6 in / 3 in"), 2);
    EXPECT_EQ(in("", "count/2"), 1.5);
}

TEST(Formula, WhatCouldBeReadInTwoWaysIsRefused) {
    EXPECT_EQ(fault("3 / 4 in").wrong,
              "formula '3 / 4 in', column 5: this can be read as a fraction or as a division");
    EXPECT_EQ(fault("3 / 4 in").right,
              "write 3/4 in for the fraction, 3 / (4 in) for the division");
    EXPECT_EQ(code("bed_inner * 3 / 4 in"), "bad-formula");
    EXPECT_EQ(fault("bed_inner / 3/4 in").right, "put it in parentheses: a / (3/4 in)");
    EXPECT_EQ(fault("2 mm^2").right, "write 3 mm2 for an area, (3 mm)^2 for the power");
    EXPECT_EQ(fault("5'-3\"").right, "write 5' 3\" for the length, 5' - 3\" for the difference");
    EXPECT_EQ(code("1 ft 2"), "bad-quantity");
}

TEST(Formula, Functions) {
    EXPECT_EQ(in("mm", "min(bed_inner, 3 m, ease)"), 8);
    EXPECT_EQ(in("mm", "max(bed_inner, ease)"), 2016);
    EXPECT_EQ(in("mm", "abs(gap)"), 2);
    EXPECT_EQ(in("mm", "sqrt((3 mm)^2 + (4 mm)^2)"), 5);
    EXPECT_EQ(in("", "round(2.5)"), 3);
    EXPECT_EQ(in("", "round(-2.5)"), -3);
    EXPECT_EQ(in("", "floor(-2.1)"), -3);
    EXPECT_EQ(in("", "ceil(2.1)"), 3);
    EXPECT_EQ(in("mm", "round(bed_inner, 5 mm)"), 2015);
    EXPECT_EQ(in("mm", "round_up(bed_inner, 5 mm)"), 2020);
    EXPECT_EQ(in("mm", "round_down(bed_inner, 5 mm)"), 2015);
    EXPECT_EQ(in("mm", "ceil(bed_inner, 1/4 in)"), 2019.3); // 318 quarters
    EXPECT_EQ(in("mm", "if(count > 2, ease, 10 * ease)"), 8);
    EXPECT_EQ(in("mm", "if(count == 2, ease, 10 * ease)"), 80);
    EXPECT_EQ(in("", "(count >= 3) + (count <= 3) + (count != 3) + (count < 3)"), 2);
    EXPECT_EQ(in("mm", "max(0, gap)"), 0);
    EXPECT_EQ(in("mm", "if(gap < 0, 0, ease)"), 0);
}

TEST(Formula, BinaryRoundingDecidesNothing) {
    EXPECT_EQ(in("", "ceil(1200 mm / 0.1 mm)"), 12000);
    EXPECT_EQ(in("", "ceil(0.1 * 3 / 0.1)"), 3);
    EXPECT_EQ(in("", "0.1 + 0.2 == 0.3"), 1);
    EXPECT_EQ(in("", "0.1 + 0.2 > 0.3"), 0);
    EXPECT_EQ(in("", "0.3 mm - 0.1 mm - 0.2 mm == 0"), 1);
    EXPECT_EQ(in("", "1 in == 25.4 mm"), 1);
    EXPECT_EQ(in("", "680 kg/m3 * 0.018 m == 12.24 kg/m2"), 1);
    EXPECT_EQ(in("mm", "round_up(3/10 in, 1/10 in)"), 7.62);
}

TEST(Formula, OnlyTheChosenBranchIsComputedButBothAreChecked) {
    EXPECT_EQ(in("", "if(nothing == 0, 0, 1 / (nothing / 1 mm))"), 0);
    EXPECT_EQ(code("if(nothing == 0, 1 mm, 1 kg)"), "dimension-clash");
    EXPECT_EQ(code("if(nothing == 0, 1 mm, no_such_name)"), "unknown-name");
}

TEST(Formula, AddingALengthToAMassNamesThePlace) {
    const Fault clash = fault("2 * (bed_inner + panel.mass)");
    EXPECT_EQ(clash.code, "dimension-clash");
    EXPECT_EQ(clash.wrong, "cannot add length and mass in '(bed_inner + panel.mass)'");
    EXPECT_EQ(clash.right, "both must be of one kind");
    EXPECT_EQ(fault("ease - panel.mass").wrong,
              "cannot subtract mass from length in 'ease - panel.mass'");
    EXPECT_EQ(fault("ease > count").wrong, "cannot compare length and number in 'ease > count'");
    EXPECT_EQ(fault("min(1, ease)").wrong,
              "cannot choose between number and length in 'min(1, ease)'");
    EXPECT_EQ(fault("round(ease, 2 kg)").wrong,
              "cannot round length to steps of mass in 'round(ease, 2 kg)'");
    EXPECT_EQ(fault("ease * ease + ease").wrong,
              "cannot add area and length in 'ease * ease + ease'");
    EXPECT_EQ(code("sqrt(ease)"), "dimension-clash");
    EXPECT_EQ(code("floor(ease)"), "dimension-clash");
    EXPECT_EQ(code("if(ease, 1, 2)"), "dimension-clash");
    EXPECT_EQ(code("ease + 3"), "dimension-clash");
    EXPECT_EQ(code("max(1,5 mm)"), "dimension-clash");
    EXPECT_EQ(code("((((ease^12)^12)^12)^12)"), "dimension-clash");
}

TEST(Formula, ValuesThatAreNoNumbersAreFaults) {
    EXPECT_EQ(code("ease / nothing"), "division-by-zero");
    EXPECT_EQ(fault("ease / (8 mm - ease)").wrong, "division by zero in 'ease / (8 mm - ease)'");
    EXPECT_EQ(code("nothing^-1"), "division-by-zero");
    EXPECT_EQ(code("huge * huge"), "not-finite");
    EXPECT_EQ(code("huge^2 - huge^2"), "not-finite");
    EXPECT_EQ(code("sqrt(-1)"), "bad-argument");
    EXPECT_EQ(code("round_up(ease, 0 mm)"), "bad-argument");
    EXPECT_EQ(code("round_up(ease, gap)"), "bad-argument");
    EXPECT_EQ(fault_of([] {
                  (void)Formula::parse("a").evaluate([](std::string_view) {
                      return Quantity(std::numeric_limits<double>::quiet_NaN());
                  });
              }).code,
              "not-finite");
}

TEST(Formula, SyntaxFaultsSayWhereAndWhatWasExpected) {
    const auto wrong = [](std::string_view text) { return fault(text).wrong; };
    EXPECT_EQ(wrong("ease + * 2"), "formula 'ease + * 2', column 8: a quantity, a name or '(' was "
                                   "expected, but '*' stands here");
    EXPECT_EQ(wrong("(ease + 2 mm"),
              "formula '(ease + 2 mm', column 13: ')' was expected, but the end stands here");
    EXPECT_EQ(fault("(ease + 2 mm").right, "close the parenthesis of column 1");
    EXPECT_EQ(
        wrong("ease)"),
        "formula 'ease)', column 5: an operator or the end was expected, but ')' stands here");
    EXPECT_EQ(wrong("ease ease"),
              "formula 'ease ease', column 6: an operator was expected, but 'ease' stands here");
    EXPECT_EQ(fault("ease ease").right, "write * to multiply");
    EXPECT_EQ(wrong("ease = 3"), "formula 'ease = 3', column 6: a single = stands here");
    EXPECT_EQ(wrong("1 < 2 < 3"), "formula '1 < 2 < 3', column 7: comparisons cannot be chained");
    EXPECT_EQ(fault("1,5 mm").right, "the decimal sign is a point");
    EXPECT_EQ(fault("maxx(1, 2)").right, "did you mean 'max'?");
    EXPECT_EQ(fault("min()").right, "it takes 1 to 64");
    EXPECT_EQ(fault("if(1, 2)").right, "it takes 3");
    EXPECT_EQ(fault("a^0.5").wrong,
              "formula 'a^0.5', column 3: a whole exponent from -12 to 12 was expected");
    EXPECT_EQ(wrong("5\u2032 + $"), "formula '5\u2032 + $', column 6: a quantity, a name or '(' "
                                    "was expected, but '$' stands here");
    for (const char* text : {"",      "   ",  "+",    "2 +",          "()",    "min(1,", "min(,1)",
                             "min 1", "2^^3", "2^x",  "2^13",         "2^2^2", "a..b",   "a.",
                             ".a",    "a.2",  "\xff", "a \xc3\xa9 b", "a ! b", "[a]",    "a\nb"})
        EXPECT_EQ(code(text), "bad-formula") << text;
}

TEST(Formula, DeepNestingAndLengthAreRefused) {
    const auto nested = [](std::size_t depth) {
        return std::string(depth, '(') + "1" + std::string(depth, ')');
    };
    EXPECT_EQ(in("", nested(60)), 1);
    EXPECT_EQ(code(nested(100)), "bad-formula");
    EXPECT_EQ(code(nested(100000)), "bad-formula");
    EXPECT_EQ(code(std::string(1000, '-') + "1"), "bad-formula");
    std::string chain = "1";
    for (int i = 0; i < 990; ++i) chain += "+1";
    EXPECT_EQ(in("", chain), 991);
    EXPECT_EQ(code(chain + std::string(100, ' ')), "bad-formula");
}

TEST(Formula, NamesComeOnceInOrderOfAppearance) {
    EXPECT_EQ(Formula::parse("b + a * b - min(c.d, a)").names(),
              (std::vector<std::string>{"b", "a", "c.d"}));
    EXPECT_TRUE(Formula::parse("18 mm").names().empty());
    int calls = 0;
    (void)Formula::parse("a * a + a").evaluate([&](std::string_view) {
        ++calls;
        return Quantity(1);
    });
    EXPECT_EQ(calls, 1);
}

TEST(Formula, PlainQuantitiesAreTold) {
    for (const char* text : {"18 mm", "1 ft 2 3/8 in", "-3/4 in", "4", " 5' "})
        EXPECT_TRUE(Formula::parse(text).is_plain_quantity()) << text;
    for (const char* text : {"a", "1 + 2", "(18 mm)", "3/4", "-(2)", "--2", "min(1)"})
        EXPECT_FALSE(Formula::parse(text).is_plain_quantity()) << text;
}

TEST(Formula, SubstitutedShowsTheFiguresForAWorking) {
    const auto shown = [](std::string_view text, LengthUnit unit = LengthUnit::mm) {
        return Formula::parse(text).substituted(lookup, unit);
    };
    EXPECT_EQ(shown("guest_mattress.length + 2 * ease"), "2000 mm + 2 * 8 mm");
    EXPECT_EQ(shown("bed_inner/2 - gap"), "2016 mm/2 - (-2 mm)");
    EXPECT_EQ(shown("ease^2 / ease"), "(8 mm)^2 / (8 mm)");
    EXPECT_EQ(shown("(ease) + count"), "(8 mm) + 3");
    EXPECT_EQ(shown("carcase.thickness * 2", LengthUnit::inch), "23/32 in * 2");
    EXPECT_EQ(shown("count / 4 in"), "(3) / 4 in");
    EXPECT_EQ(shown("5'-count"), "5'-(3)");
    EXPECT_EQ(shown("12 mm"), "12 mm");
}

TEST(Formula, KeepsItsTextAsGiven) {
    const Formula formula = Formula::parse(" 2 *ease ");
    EXPECT_EQ(formula.text(), " 2 *ease ");
    const Formula copy = formula;
    EXPECT_EQ(copy.evaluate(lookup), Quantity(Length::mm(16)));
}
