// Units against NIST SP 811 and UCUM, and the readings of what a person writes.
#include "aumbry/quantity.hpp"
#include "fault_of.hpp"

#include <gtest/gtest.h>

#include <cmath>

using namespace aumbry;

namespace {

double read(std::string_view text, std::string_view unit) {
    return in_unit(parse_quantity(text), unit);
}
std::string code_of(std::string_view text) {
    return fault_of([&] { parse_quantity(text); }).code;
}

} // namespace

TEST(Units, InchAndItsRelativesAreExact) {
    // UCUM [in_i], [mil_i]; NIST SP 811 appendix B.8.
    EXPECT_EQ(read("1 in", "mm"), 25.4);
    EXPECT_EQ(read("1 mil", "mm"), 0.0254);
    EXPECT_EQ(read("1 ft", "mm"), 304.8);
    EXPECT_EQ(read("1 yd", "m"), 0.9144);
    EXPECT_EQ(read("1 ft2", "m2"), 0.09290304);
    EXPECT_EQ(read("1 ft3", "m3"), 0.028316846592);
    EXPECT_EQ(read("1 sq ft", "m2"), 0.09290304);
    EXPECT_EQ(read("1 cu ft", "m3"), 0.028316846592);
    EXPECT_EQ(read("1 sq in", "m2"), 0.00064516);
    EXPECT_EQ(read("1 in3", "mL"), 16.387064);
}

TEST(Units, BoardFootIs144CubicInches) {
    // UCUM [bf_i] = 144 in3; SP 811 prints 2.359737 E-03 m3.
    EXPECT_EQ(read("1 bdft", "m3"), 0.002359737216);
    EXPECT_EQ(read("144 in3", "bdft"), 1);
    EXPECT_NEAR(in_unit(from_unit(1, "m3"), "bdft"), 423.776, 0.0005);
    EXPECT_EQ(parse_quantity("8 bd ft"), parse_quantity("8 board feet"));
}

TEST(Units, UsGallonAndFluidOunce) {
    // UCUM [gal_us] = 231 in3, [foz_us]; SP 811 prints 3.785412 and 29.57353.
    EXPECT_EQ(read("1 gal", "L"), 3.785411784);
    EXPECT_EQ(read("231 in3", "gal"), 1);
    EXPECT_EQ(read("1 fl oz", "mL"), 29.5735295625);
    EXPECT_EQ(read("16 fl oz", "pt"), 1);
    EXPECT_EQ(read("4 qt", "gal"), 1);
}

TEST(Units, PoundAndPoundForce) {
    // UCUM [lb_av] = 7000 gr, [gr] = 64.79891 mg; SP 811 prints lbf as 4.448222 N.
    EXPECT_EQ(read("1 lb", "kg"), 0.45359237);
    EXPECT_EQ(read("16 oz", "lb"), 1);
    EXPECT_NEAR(read("1 lbf", "N"), 4.448222, 5e-7);
    EXPECT_NEAR(read("23.5 lbf", "N"), 104.533217, 5e-5);
    // SP 811 appendix B.8 prints psi as 6.894757 E+03 Pa (from memory).
    EXPECT_NEAR(read("1 psi", "kPa"), 6.894757, 5e-7);
}

TEST(Units, FoamDensityOfOnePoundPerCubicFoot) {
    // Red Cross items catalogue: 1 lb/ft3 is about 16 kg/m3.
    EXPECT_NEAR(read("1 lb/ft3", "kg/m3"), 16, 0.05);
}

TEST(Units, SpreadRateConstantOf231By0144) {
    // One US gallon at one mil covers 231 in3 / 0.001 in = 1604.1667 ft2 (spreading-rate
    // bulletins).
    EXPECT_NEAR(in_unit(from_unit(1, "gal") / from_unit(1, "mil"), "ft2"), 231 / 0.144, 1e-9);
}

TEST(Units, EveryContractUnitRoundTripsExactly) {
    for (const UnitSpec& unit : contract_units())
        for (const double value :
             {0.1, 18.0, 680.0, 1.0 / 8, 123.456789, 99999.99, 3e-5, 10048.0}) {
            const Quantity quantity = from_unit(value, unit.name);
            EXPECT_EQ(quantity.dimension, unit.dimension);
            EXPECT_EQ(in_unit(quantity, unit.name), value) << unit.name;
        }
}

TEST(Units, ContractUnitsNameTheirDimension) {
    const auto name = [](std::string_view unit) { return dimension_name(dimension_of_unit(unit)); };
    EXPECT_EQ(name("mm"), "length");
    EXPECT_EQ(name("m2"), "area");
    EXPECT_EQ(name("m3"), "volume");
    EXPECT_EQ(name("L"), "volume");
    EXPECT_EQ(name("kg"), "mass");
    EXPECT_EQ(name("N"), "force");
    EXPECT_EQ(name("N·m"), "torque");
    EXPECT_EQ(name("N/mm2"), "stress");
    EXPECT_EQ(name("kg/m3"), "density");
    EXPECT_EQ(name("kg/m2"), "mass per area");
    EXPECT_EQ(name("m2/L"), "spread rate");
    EXPECT_EQ(name("deg"), "angle");
    EXPECT_EQ(name("min"), "duration");
    EXPECT_EQ(name(""), "number");
    EXPECT_EQ(name("%"), "number");
    EXPECT_EQ(name("kg/m"), "mass/length");
    EXPECT_EQ(name("m·kg"), "length·mass");
    EXPECT_EQ(contract_unit_of(dimension::volume), "m3");
    EXPECT_EQ(contract_unit_of(dimension::mass * dimension::mass), "");
}

TEST(Units, UnknownUnitsNameTheNearest) {
    const Fault fault = fault_of([] { parse_quantity("18 mn"); });
    EXPECT_EQ(fault.code, "unknown-unit");
    EXPECT_EQ(fault.wrong, "'mn' in '18 mn' is not a known unit");
    EXPECT_EQ(fault.right, "did you mean 'mm'?");
    EXPECT_EQ(fault_of([] { parse_quantity("18 MM"); }).right, "did you mean 'mm'?");
    EXPECT_EQ(fault_of([] { parse_quantity("2 inchs"); }).right, "did you mean 'inch'?");
    EXPECT_EQ(fault_of([] { parse_quantity("12 kg/mx"); }).right, "did you mean 'kg/m3'?");
    EXPECT_EQ(fault_of([] { parse_quantity("12 kg/mx"); }).wrong,
              "'kg/mx' in '12 kg/mx' is not a known unit");
    EXPECT_EQ(fault_of([] { parse_quantity("4 furlongs"); }).right,
              "use a unit such as mm, m2, L, kg, N, deg, min, in, ft or lb");
    EXPECT_EQ(fault_of([] { from_unit(1, "parsec"); }).code, "unknown-unit");
    EXPECT_EQ(fault_of([] { from_unit(1, "mm "); }).code, "unknown-unit");
    EXPECT_EQ(fault_of([] { dimension_of_unit("'x"); }).code, "unknown-unit");
}

TEST(Units, AQuantityOfAnotherKindIsAClash) {
    const Fault fault = fault_of([] { in_unit(parse_quantity("3 kg"), "mm"); });
    EXPECT_EQ(fault.code, "dimension-clash");
    EXPECT_EQ(fault.wrong, "a mass stands where a length is needed");
    EXPECT_EQ(fault.right, "give it in mm or another unit of length");
    EXPECT_EQ(fault_of([] { in_unit(parse_quantity("18"), "m2"); }).wrong,
              "a number stands where an area is needed");
    EXPECT_EQ(fault_of([] { in_unit(parse_quantity("18 mm"), ""); }).right,
              "give a number without unit");
    EXPECT_EQ(fault_of([] { (void)as<Mass>(parse_quantity("18 mm")); }).code, "dimension-clash");
    EXPECT_EQ(as<Length>(parse_quantity("18 mm")), Length::mm(18));
}

TEST(ParseQuantity, FractionsAndFeetAndInches) {
    EXPECT_EQ(read("18 mm", "mm"), 18);
    EXPECT_EQ(read("18mm", "mm"), 18);
    EXPECT_EQ(read("  2.5 cm ", "mm"), 25);
    EXPECT_EQ(read("3/4 in", "mm"), 19.05);
    EXPECT_EQ(read("1 3/8 in", "mm"), 34.925);
    EXPECT_EQ(read("1 ft 2 3/8 in", "in"), 14.375);
    EXPECT_EQ(read("5'", "mm"), 1524);
    EXPECT_EQ(read("2 1/4\"", "in"), 2.25);
    EXPECT_EQ(read("5' 3 1/2\"", "in"), 63.5);
    EXPECT_EQ(read("5'3\"", "in"), 63);
    EXPECT_EQ(read("5\u2032 3\u2033", "in"), 63);
    EXPECT_EQ(read("2\u00bd in", "in"), 2.5);
    EXPECT_EQ(read("2 \u215e in", "in"), 2.875);
    EXPECT_EQ(read("\u00be\"", "in"), 0.75);
    EXPECT_EQ(read("-3 1/2 in", "in"), -3.5);
    EXPECT_EQ(read("- 3 mm", "mm"), -3);
}

TEST(ParseQuantity, OtherKinds) {
    EXPECT_EQ(read("40 lb", "kg"), 18.1436948);
    EXPECT_EQ(read("12 kg/m3", "kg/m3"), 12);
    EXPECT_EQ(read("0.65 kg/m2", "g/m2"), 650);
    EXPECT_EQ(read("12 m2/L", "m2/L"), 12);
    EXPECT_NEAR(read("350 ft2/gal", "m2/L"), 350 * 0.09290304 / 3.785411784, 1e-12);
    EXPECT_EQ(read("2 h 30 min", "min"), 150);
    EXPECT_EQ(read("3 d", "h"), 72);
    EXPECT_EQ(read("1 week 2 days", "d"), 9);
    EXPECT_EQ(read("90 deg", "deg"), 90);
    EXPECT_EQ(read("90\u00b0", "deg"), 90);
    EXPECT_EQ(read("600 N", "N"), 600);
    EXPECT_EQ(read("1.2 kN", "N"), 1200);
    EXPECT_EQ(read("12 Nm", "N·m"), 12);
    EXPECT_EQ(read("12 N·m", "Nm"), 12);
    EXPECT_EQ(read("10048 N/mm2", "MPa"), 10048);
    EXPECT_EQ(read("125 um", "mm"), 0.125);
    EXPECT_EQ(read("125 \u00b5m", "mm"), 0.125);
    EXPECT_EQ(read("125 \u03bcm", "mm"), 0.125);
    EXPECT_EQ(read("2.5 L", "m3"), 0.0025);
    EXPECT_EQ(read("1 m\u00b2", "m2"), 1);
    EXPECT_EQ(read("47460937.5 mm4", "mm4"), 47460937.5);
    EXPECT_EQ(read("12 min/m2", "min/m2"), 12);
    EXPECT_EQ(read("35 %", ""), 0.35);
    EXPECT_EQ(read("4", ""), 4);
    EXPECT_EQ(read("3/4", ""), 0.75);
    EXPECT_EQ(read("2 1/4", ""), 2.25);
    EXPECT_EQ(read(".5 mm", "mm"), 0.5);
}

TEST(ParseQuantity, RefusesWhatIsNoQuantity) {
    for (const char* text : {"",
                             "  ",
                             "mm",
                             "abc",
                             "2,5 mm",
                             "1 000 mm",
                             "5' 3",
                             "2 3",
                             "5 in 3 ft",
                             "1 ft 2 kg",
                             "1 in 2 in",
                             "2. mm",
                             "3/0 in",
                             "2 8/3 in",
                             "2 4/4 in",
                             "2.5 3/8 in",
                             "3 / 4 in",
                             "--3 mm",
                             "+3 mm",
                             "1/2/3 in",
                             "3 mm mm",
                             "5'-3\"",
                             "nan",
                             "inf mm",
                             "2 mm^2",
                             "(3 mm)",
                             "3/4.5 in",
                             "1/-2 in",
                             "10000000000000 mm",
                             "3 mm\n",
                             "\xff\xfe"})
        EXPECT_EQ(code_of(text), "bad-quantity") << text;
    for (const char* text : {"0x10 mm", "1e3 mm", "3 mmm", "3 m_m", "3 mm5", "3 mm.x", "4 kg/m3.5x",
                             "2 mm/", "3 kg2", "3 N·", "5 fl", "3 kg/%"})
        EXPECT_EQ(code_of(text), "unknown-unit") << text;
    EXPECT_EQ(code_of(std::string(100000, '1')), "bad-quantity");
}

TEST(ParseQuantity, SaysWhatWouldBeRight) {
    EXPECT_EQ(fault_of([] { parse_quantity("2,5 mm"); }).right,
              "the decimal sign is a point and thousands are not grouped: 2.5 mm");
    EXPECT_EQ(fault_of([] { parse_quantity("5' 3"); }).right,
              "write every part with its unit, such as 5' 3\" or 2 h 30 min");
    EXPECT_EQ(fault_of([] { parse_quantity("5'-3\""); }).wrong,
              "'5'-3\"' is not a quantity: a stroke between feet and inches could be a minus");
    EXPECT_EQ(fault_of([] { parse_quantity("10000000000000 mm"); }).wrong,
              "'10000000000000 mm' is not a quantity: the number 10000000000000 is out of range");
}

TEST(FormatLength, InchesToTheNearestFractionInLowestTerms) {
    const auto inches = [](double in, int denominator) {
        return format_length(Length::mm(in * 25.4), LengthUnit::inch, denominator);
    };
    EXPECT_EQ(inches(1.375, 32), "1 3/8 in");
    EXPECT_EQ(inches(0.75, 16), "3/4 in");
    EXPECT_EQ(inches(-3.5, 16), "-3 1/2 in");
    EXPECT_EQ(inches(48, 64), "48 in");
    EXPECT_EQ(inches(0, 64), "0 in");
    EXPECT_EQ(inches(-0.001, 16), "0 in");
    EXPECT_EQ(inches(1.999, 16), "2 in");
    EXPECT_EQ(inches(63.0 / 64, 64), "63/64 in");
    EXPECT_EQ(inches(63.0 / 64, 32), "1 in"); // a half goes up
    EXPECT_EQ(inches(2.4, 1), "2 in");
    EXPECT_EQ(fault_of([&] { inches(1, 10); }).code, "bad-quantity");
    EXPECT_EQ(fault_of([&] { inches(1, 0); }).code, "bad-quantity");
}

TEST(FormatLength, TheRoundingErrorIsAvailable) {
    // 18 mm is 45.35/64 in: printed 45/64 in = 17.859375 mm.
    EXPECT_EQ(format_length(Length::mm(18), LengthUnit::inch, 64), "45/64 in");
    EXPECT_NEAR(rounding_error(Length::mm(18), LengthUnit::inch, 64).mm(), -0.140625, 1e-12);
    EXPECT_EQ(rounding_error(Length::mm(19.05), LengthUnit::inch, 16).mm(), 0);
    EXPECT_NEAR(rounding_error(Length::mm(18.04), LengthUnit::mm).mm(), -0.04, 1e-12);
}

TEST(FormatLength, MillimetresToOneDecimal) {
    EXPECT_EQ(format_length(Length::mm(1219.2), LengthUnit::mm), "1219.2 mm");
    EXPECT_EQ(format_length(Length::mm(18), LengthUnit::mm), "18 mm");
    EXPECT_EQ(format_length(Length::mm(17.96), LengthUnit::mm), "18 mm");
}

TEST(FormatQuantity, UsesTheContractsUnits) {
    EXPECT_EQ(format_quantity(parse_quantity("3600 cm2")), "0.36 m2");
    EXPECT_EQ(format_quantity(parse_quantity("1 gal")), "0.00378541 m3");
    EXPECT_EQ(format_quantity(parse_quantity("35 %")), "0.35");
    EXPECT_EQ(format_quantity(parse_quantity("12 min/m2")), "12 min/m2");
    EXPECT_EQ(format_quantity(parse_quantity("18 mm"), LengthUnit::inch), "23/32 in");
    EXPECT_EQ(format_quantity(parse_quantity("680 kg/m3")), "680 kg/m3");
}

TEST(Measure, ProductsCarryTheirDimension) {
    // Own cross-check by hand: 0.8 m * 0.3 m * 18 mm = 0.00432 m3; at 680 kg/m3 2.9376 kg; 30 kgf
    // is about 294.2 N.
    const Area area = Length::mm(800) * Length::mm(300);
    EXPECT_DOUBLE_EQ(area.m2(), 0.24);
    const Volume volume = area * Length::mm(18);
    EXPECT_DOUBLE_EQ(volume.m3(), 0.00432);
    EXPECT_DOUBLE_EQ(volume.litres(), 4.32);
    const Mass mass = volume * Density::kg_per_m3(680);
    EXPECT_DOUBLE_EQ(mass.kg(), 2.9376);
    const Torque torque = Force::newtons(600) * Length::mm(250);
    EXPECT_DOUBLE_EQ(torque.newton_metres(), 150);
    const Stress stress = Force::newtons(4500) / (Length::mm(50) * Length::mm(225));
    EXPECT_DOUBLE_EQ(stress.newtons_per_mm2(), 0.4);
    const Area covered = SpreadRate::m2_per_litre(5.2) * Volume::litres(2.5);
    EXPECT_DOUBLE_EQ(covered.m2(), 13);
    const double ratio = Length::mm(3) / Length::mm(4);
    EXPECT_EQ(ratio, 0.75);
    EXPECT_DOUBLE_EQ((MassPerArea::kg_per_m2(12.24) / Length::mm(18)).kg_per_m3(), 680);
    EXPECT_EQ((Duration::hours(2) + Duration::minutes(30)).minutes(), 150);
    EXPECT_LT(Angle::degrees(80), Angle::degrees(90));
}

TEST(Measure, AgreesWithTheUnitsByName) {
    EXPECT_EQ(Quantity(Force::newtons(1)), from_unit(1, "N"));
    EXPECT_EQ(Quantity(Torque::newton_metres(1)), from_unit(1, "N·m"));
    EXPECT_EQ(Quantity(Stress::newtons_per_mm2(1)), from_unit(1, "N/mm2"));
    EXPECT_EQ(Quantity(Density::kg_per_m3(680)), from_unit(680, "kg/m3"));
    EXPECT_EQ(Quantity(MassPerArea::kg_per_m2(12)), from_unit(12, "kg/m2"));
    EXPECT_EQ(Quantity(SpreadRate::m2_per_litre(12)), from_unit(12, "m2/L"));
    EXPECT_EQ(Quantity(Volume::litres(2.5)), from_unit(2.5, "L"));
    EXPECT_EQ(Quantity(Volume::m3(0.4)), from_unit(0.4, "m3"));
    EXPECT_EQ(Quantity(Area::m2(0.4)), from_unit(0.4, "m2"));
    EXPECT_EQ(Quantity(Duration::minutes(7)), from_unit(7, "min"));
}

TEST(Dimension, ExponentsStayInRange) {
    Dimension d = dimension::length;
    EXPECT_EQ(fault_of([&] {
                  for (int i = 0; i < 10; ++i) d = d * d;
              }).code,
              "dimension-clash");
}
