// The plain sections of a project: what they are read into, and every fault word by word.
#include "line/resolve/sections.hpp"

#include "aumbry/field_makers.hpp"
#include "aumbry/resolve.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <functional>
#include <string>
#include <vector>

namespace aumbry::resolving {
namespace {

using ::testing::ElementsAre;
using ::testing::IsEmpty;
using ::testing::SizeIs;

/// One module with one class and one setting; `ease` is a name of 8 mm.
const std::vector<contract::Description>& modules() {
    static const std::vector<contract::Description> made = [] {
        contract::CatalogClass slab;
        slab.name = "slab";
        slab.attributes = {quantity_field("thickness", "mm", "Thickness", "how thick")};
        contract::Description module;
        module.id = "masonry";
        module.catalog_classes = {slab};
        module.settings = {with_default(quantity_field("joint", "mm", "Joint", "how wide"), 3.0)};
        return std::vector{module};
    }();
    return made;
}

FieldContext names() {
    return {[](std::string_view name) -> Quantity {
                if (name == "ease") return parse_quantity("8 mm");
                fail("unknown-name", {}, "unknown name '" + std::string(name) + "'");
            },
            {}};
}

/// A document read by one section's function.
template <class Value>
struct ReadSection {
    Value value;
    std::vector<std::string> faults;
};

template <class Reader>
auto read(const std::string& text, const Reader& reader) {
    const Json document = parse_json(text);
    FaultList faults("");
    const Reading reading{document, faults, names(), currency("EUR")};
    ReadSection<decltype(reader(reading))> made{reader(reading), {}};
    for (const Fault& fault : faults.faults()) made.faults.push_back(fault.sentence());
    return made;
}

std::vector<Person> people_of(const Reading& reading) {
    const ToldSettings told = read_settings(reading, KnownModules(modules()));
    return read_people(reading, told.workshop, read_pricing(reading).rate);
}

// ---------------------------------------------------------------- what is read

TEST(Head, IsReadWithItsUnits) {
    const auto read_one =
        read(R"({"aumbry": 1, "title": "Bench", "currency": "SEK", "length_unit": "in",
                 "priced_on": "2027-02-01", "start": "2027-03-01"})",
             read_head);
    EXPECT_THAT(read_one.faults, IsEmpty());
    EXPECT_EQ(read_one.value.title, "Bench");
    EXPECT_EQ(read_one.value.currency.code, "SEK");
    EXPECT_EQ(read_one.value.length_unit, "in");
    EXPECT_EQ(format_date(read_one.value.start), "2027-03-01");
}

TEST(Pricing, IsReadAsExactPercentages) {
    const auto made = read(R"({"pricing": {"tax_recoverable": false, "tax_charged": 21,
        "contingency": 7.5, "margin": 12.25, "deposit": 40, "rate": "42.50", "rounded_to": "5",
        "valid_days": 30}})",
                           read_pricing);
    EXPECT_THAT(made.faults, IsEmpty());
    const ProjectPricing& pricing = made.value;
    EXPECT_FALSE(pricing.terms.tax_paid_recoverable);
    EXPECT_EQ(pricing.terms.tax_charged_percent.str(), "21");
    EXPECT_EQ(pricing.terms.contingency_percent.str(), "7.5");
    EXPECT_FALSE(pricing.terms.markup_percent.has_value());
    EXPECT_EQ(pricing.terms.margin_percent->str(), "12.25");
    EXPECT_EQ(pricing.terms.deposit_percent->str(), "40");
    EXPECT_EQ(*pricing.rate, Decimal::parse("42.50"));
    EXPECT_EQ(pricing.rounded_to->str(), "5.00");
    EXPECT_EQ(pricing.valid_days, 30);
}

TEST(Pricing, IsPlainWhenNothingIsSaid) {
    const auto made = read("{}", read_pricing);
    EXPECT_THAT(made.faults, IsEmpty());
    EXPECT_TRUE(made.value.terms.tax_paid_recoverable);
    EXPECT_FALSE(made.value.rate.has_value());
    EXPECT_FALSE(made.value.rounded_to.has_value());
}

TEST(People, WorkAsTheWorkshopDoesUnlessTheySayOtherwise) {
    const auto made = read(R"({"pricing": {"rate": "40"},
        "workshop": {"hours_a_day": 6, "weekdays": ["monday", "tuesday"],
                     "holidays": ["2027-03-02", "2027-03-08/2027-03-09"]},
        "people": {"maker": {"title": "Ada"}, "mate": {"rate": "25", "least": "2 h",
                   "weekdays": ["saturday"], "hours_a_day": 4,
                   "dates": ["2027-03-20", "2027-03-13"]}}})",
                           people_of);
    EXPECT_THAT(made.faults, IsEmpty());
    ASSERT_THAT(made.value, SizeIs(2));
    const Person& maker = made.value[0];
    EXPECT_EQ(maker.title, "Ada");
    EXPECT_EQ(maker.rate.str(), "40");
    EXPECT_EQ(maker.calendar.hours_on(parse_date("2027-03-01")), 6); // a Monday
    EXPECT_EQ(maker.calendar.hours_on(parse_date("2027-03-02")), 0); // the single holiday
    EXPECT_EQ(maker.calendar.hours_on(parse_date("2027-03-03")), 0); // a Wednesday
    EXPECT_EQ(maker.calendar.hours_on(parse_date("2027-03-09")), 0); // the range's last day
    EXPECT_EQ(maker.calendar.hours_on(parse_date("2027-03-15")), 6);
    const Person& mate = made.value[1];
    EXPECT_TRUE(mate.rate_stated);
    EXPECT_EQ(mate.min_minutes, 120);
    EXPECT_EQ(mate.calendar.hours_on(parse_date("2027-03-06")), 4); // a Saturday
    EXPECT_EQ(mate.calendar.hours_on(parse_date("2027-03-01")), 0);
    ASSERT_THAT(mate.dates, SizeIs(2));
    EXPECT_EQ(format_date(mate.dates.front()), "2027-03-13");
}

TEST(WorkshopCalendar, IsReadFromADocumentByItself) {
    const WorkCalendar calendar = workshop_calendar(parse_json(
        R"({"workshop": {"weekdays": ["monday", "saturday"], "holidays": ["2027-03-27/2027-03-29"]}})"));
    EXPECT_TRUE(calendar.is_working(parse_date("2027-03-22")));  // a Monday
    EXPECT_FALSE(calendar.is_working(parse_date("2027-03-23"))); // a Tuesday
    EXPECT_FALSE(calendar.is_working(parse_date("2027-03-27"))); // a Saturday off
    EXPECT_TRUE(calendar.is_working(parse_date("2027-04-03")));
}

// A holiday that does not exist made the whole week a plain one.
TEST(WorkshopCalendar, TakesWhatIsAtFaultAsNotSaid) {
    const WorkCalendar calendar = workshop_calendar(parse_json(
        R"({"workshop": {"kerf": "ease", "weekdays": ["saturday"],
                         "holidays": ["2027-02-30", "2027-03-27"]}})"));
    EXPECT_FALSE(calendar.is_working(parse_date("2027-03-22"))); // a Monday
    EXPECT_FALSE(calendar.is_working(parse_date("2027-03-27"))); // the Saturday that is a date
    EXPECT_TRUE(calendar.is_working(parse_date("2027-04-03")));
    EXPECT_EQ(workshop_calendar(parse_json(R"({"workshop": 3})")), WorkCalendar());
}

TEST(Tasks, AreReadInMinutes) {
    const auto made = read(
        R"({"tasks": {"fit": {"title": "Fit", "piece": "bench", "hours": "90 min",
        "wait": "12 h", "people": 2, "who": ["maker"], "phase": "install", "rate": "30",
        "after": ["cut"], "not_before": "2027-03-05"}, "x-later": 1}})",
        [](const Reading& reading) {
            return read_tasks(reading, std::vector<Piece>{{"bench", "Bench"}}, people_of(reading));
        });
    EXPECT_THAT(made.faults, IsEmpty());
    ASSERT_THAT(made.value, SizeIs(1));
    const ProjectTask& task = made.value.front();
    EXPECT_EQ(task.minutes, 90);
    EXPECT_EQ(task.wait_minutes, 720);
    EXPECT_EQ(task.people, 2);
    EXPECT_EQ(task.phase, contract::Phase::install);
    EXPECT_EQ(task.rate->str(), "30");
    EXPECT_THAT(task.who, ElementsAre("maker"));
    EXPECT_THAT(task.after, ElementsAre("cut"));
    EXPECT_EQ(format_date(*task.not_before), "2027-03-05");
}

TEST(Settings, TakeFormulasAndDefaults) {
    const auto made = read(
        R"({"workshop": {"kerf": "ease / 2"}, "vehicle": {"length": "2 m",
        "width": "1 m"}, "settings": {"masonry": {"joint": "ease"}, "quarry": {"anything": 1},
        "x-mine": 1}})",
        [](const Reading& reading) { return read_settings(reading, KnownModules(modules())); });
    EXPECT_THAT(made.faults, IsEmpty());
    EXPECT_DOUBLE_EQ(made.value.workshop["kerf"].get<double>(), 4);
    EXPECT_DOUBLE_EQ(made.value.workshop["end_trim"].get<double>(), 20);
    EXPECT_DOUBLE_EQ(made.value.vehicle["length"].get<double>(), 2000);
    EXPECT_DOUBLE_EQ(made.value.by_module.at("masonry")["joint"].get<double>(), 8);
}

// A known module that is not loaded keeps its settings; its name is no slip of one that is.
TEST(Settings, OfAKnownModuleThatIsNotLoadedAreLeftAlone) {
    const auto made = read(R"({"settings": {"masonery": {}}})", [](const Reading& reading) {
        return read_settings(reading, KnownModules(modules(), KindTable{{{"wall", "masonery"}}}));
    });
    EXPECT_THAT(made.faults, IsEmpty());
}

TEST(Wishes, AreReadWithDatedRates) {
    const auto made = read(R"({"suppliers": {"exclude": ["a"], "prefer": ["b"], "rates":
        [{"currency": "SEK", "rate": "0.0885", "on": "2027-01-31"}]}})",
                           read_wishes);
    EXPECT_THAT(made.faults, IsEmpty());
    EXPECT_THAT(made.value.exclude, ElementsAre("a"));
    EXPECT_THAT(made.value.prefer, ElementsAre("b"));
    ASSERT_THAT(made.value.rates, SizeIs(1));
    EXPECT_EQ(made.value.rates[0].rate.str(), "0.0885");
}

TEST(PapersSection, IsReadWithItsStages) {
    const auto made =
        read(R"({"maker": {"name": "Ada", "address": ["Quay 1", "Town"]},
        "client": {"name": "Ben"}, "quote": {"number": "7", "terms": ["Cash."],
        "stages": [{"title": "at start", "percent": 30}, {"title": "at end", "percent": 70}]}})",
             [](const Reading& reading) { return read_papers(reading, std::nullopt); });
    EXPECT_THAT(made.faults, IsEmpty());
    EXPECT_THAT(made.value.maker.address, ElementsAre("Quay 1", "Town"));
    EXPECT_EQ(made.value.client.name, "Ben");
    ASSERT_THAT(made.value.stages, SizeIs(2));
    EXPECT_EQ(made.value.stages[1].percent.str(), "70");
}

TEST(BoughtSection, IsReadWithWhatItServes) {
    const auto made =
        read(R"({"bought": {"screws": {"supplier": "shop", "sku": "S4", "title": "Screws",
        "class": "screw", "count": 2, "amount": "12.34", "tax": "2.59", "state": "received",
        "on": "2027-03-01", "arrives": "2027-03-02",
        "for": [{"demand": "sundries/screws", "content": 200}]}, "x-note": 1}})",
             read_bought);
    EXPECT_THAT(made.faults, IsEmpty());
    ASSERT_THAT(made.value, SizeIs(1));
    const Bought& bought = made.value.front();
    EXPECT_EQ(bought.amount.str(), "12.34");
    EXPECT_EQ(bought.state, Progress::received);
    EXPECT_EQ(bought.charge, "goods");
    EXPECT_EQ(format_date(*bought.arrives), "2027-03-02");
    ASSERT_THAT(bought.serves, SizeIs(1));
    EXPECT_EQ(bought.serves[0].content, 200);
}

TEST(WorkedSection, IsReadInMinutes) {
    const auto made =
        read(R"({"worked": {"1": {"step": "cut", "hours": "3.5 h", "done": true,
        "on": "2027-03-03"}}})",
             [](const Reading& reading) { return read_worked(reading, people_of(reading)); });
    EXPECT_THAT(made.faults, IsEmpty());
    ASSERT_THAT(made.value, SizeIs(1));
    EXPECT_EQ(made.value[0].minutes, 210);
    EXPECT_EQ(made.value[0].who, "maker");
    EXPECT_TRUE(made.value[0].done);
}

TEST(OwnedSection, IsReadByTheAttributesOfItsClass) {
    const auto made =
        read(R"({"owned": {
        "offcut": {"class": "slab", "count": 3, "value": "1.50", "thickness": "2 * ease"},
        "odd": {"class": "nobodys", "anything": true}}})",
             [](const Reading& reading) { return read_owned(reading, KnownModules(modules())); });
    EXPECT_THAT(made.faults, IsEmpty());
    ASSERT_THAT(made.value, SizeIs(1));
    EXPECT_EQ(made.value[0].count, 3);
    EXPECT_EQ(made.value[0].value.str(), "1.50");
    EXPECT_EQ(made.value[0].attributes.dump(), R"({"thickness":16.0})");
}

// ---------------------------------------------------------------- what is at fault

/// Everything but lines, in the order of the stage.
int read_all(const Reading& reading) {
    const KnownModules known(modules());
    const std::vector<Piece> pieces = read_pieces(reading);
    const ToldSettings told = read_settings(reading, known);
    const ProjectPricing pricing = read_pricing(reading);
    const std::vector<Person> people = read_people(reading, told.workshop, pricing.rate);
    (void)read_tasks(reading, pieces, people);
    (void)read_wishes(reading);
    (void)read_papers(reading, pricing.terms.deposit_percent);
    (void)read_as_bought(reading, read_bought(reading));
    (void)read_worked(reading, people);
    (void)read_owned(reading, known);
    return 0;
}

struct SectionFault {
    const char* name;
    const char* text;
    const char* sentence;
};
class FaultySection : public ::testing::TestWithParam<SectionFault> {};

TEST_P(FaultySection, IsSaidInOneSentence) {
    EXPECT_THAT(read(GetParam().text, read_all).faults, ElementsAre(GetParam().sentence));
}

INSTANTIATE_TEST_SUITE_P(
    Cases, FaultySection,
    ::testing::Values(
        SectionFault{"no_object", R"({"people": []})",
                     "/people: found array; write an object in { }"},
        SectionFault{
            "piece_without_title", R"({"pieces": {"bench": {}}})",
            "/pieces/bench: missing key 'title'; add it: what the piece is called on paper"},
        SectionFault{"markup_and_margin", R"({"pricing": {"markup": 10, "margin": 10}})",
                     "/pricing/margin: both a markup and a margin are given; keep one of them"},
        SectionFault{"rate_no_decimal", R"({"pricing": {"rate": "dear"}})",
                     "/pricing/rate: 'dear' is not a decimal number; write digits with at most one "
                     "decimal point, such as 12.50"},
        SectionFault{"workshop_name", R"({"workshop": {"kerf": "eese"}})",
                     "/workshop/kerf: unknown name 'eese'"},
        SectionFault{"workshop_day", R"({"workshop": {"weekdays": ["munday"]}})",
                     "/workshop/weekdays: unknown day 'munday'; write monday, tuesday, wednesday, "
                     "thursday, friday, saturday or sunday"},
        SectionFault{
            "workshop_no_days", R"({"workshop": {"weekdays": []}})",
            "/workshop/weekdays: the calendar has no working day; give hours to at least one "
            "weekday"},
        SectionFault{
            "holiday_no_date", R"({"workshop": {"holidays": ["2027-02-30"]},
                                         "people": {"mate": {"weekdays": ["monday"]}}})",
            "/workshop/holidays: there is no date 2027-02-30; write a date of the calendar "
            "from 1900-01-01 on"},
        SectionFault{"holiday_backwards",
                     R"({"workshop": {"holidays": ["2027-03-09/2027-03-08"]}})",
                     "/workshop/holidays: a holiday ends on 2027-03-08 before it begins on "
                     "2027-03-09; swap the two dates"},
        SectionFault{"module_slip", R"({"settings": {"masonri": {}}})",
                     "/settings/masonri: unknown module 'masonri'; did you mean 'masonry'?"},
        SectionFault{"module_setting", R"({"settings": {"masonry": {"joint": "3 kg"}}})",
                     "/settings/masonry/joint: found a mass where a length is expected; write a "
                     "length, as in '280 mm' or '11 in'"},
        SectionFault{
            "person_day", R"({"people": {"mate": {"weekdays": ["funday"]}}})",
            "/people/mate/weekdays: unknown day 'funday'; write monday, tuesday, wednesday, "
            "thursday, friday, saturday or sunday"},
        SectionFault{"task_piece", R"({"tasks": {"fit": {"piece": "bunch"}}})",
                     "/tasks/fit/piece: there is no piece 'bunch'; add it under \"pieces\""},
        SectionFault{"task_person", R"({"tasks": {"fit": {"who": ["ben"]}}})",
                     "/tasks/fit/who: there is nobody called 'ben'; add them under \"people\""},
        SectionFault{"task_phase", R"({"tasks": {"fit": {"phase": "instal"}}})",
                     "/tasks/fit/phase: unknown value 'instal'; did you mean 'install'?"},
        SectionFault{
            "exchange_currency",
            R"({"suppliers": {"rates": [{"currency": "EUX", "rate": "1", "on": "2027-01-01"}]}})",
            "/suppliers/rates: 'EUX' is not an active currency code of ISO 4217; did you mean "
            "'EUR'?"},
        SectionFault{"party_without_name", R"({"maker": {"contact": "here"}})",
                     "/maker: missing key 'name'; add it: as it stands on an order, a quote or an "
                     "invoice"},
        SectionFault{
            "stages_above_all",
            R"({"quote": {"stages": [{"title": "a", "percent": 60}, {"title": "b", "percent": 50}]}})",
            "/quote/stages: the stages are 110 % of the total together; make them 100 % or "
            "less"},
        SectionFault{
            "deposit_and_stages",
            R"({"pricing": {"deposit": 30}, "quote": {"stages": [{"title": "a", "percent": 60}]}})",
            "/quote/stages: both a deposit under \"pricing\" and stages are given; keep one "
            "of them: a deposit is the first of two stages"},
        SectionFault{
            "bought_state",
            R"({"bought": {"s": {"supplier": "a", "title": "S", "amount": "1", "state": "got"}}})",
            "/bought/s/state: unknown value 'got'; write one of ordered, received, cut"},
        SectionFault{"as_bought_of_nothing",
                     R"({"as_bought": {"d": {"shares": [], "way": {"id": "w", "uses":
                      [{"offer": "bought/s", "count": 1}]}}}})",
                     "/as_bought/d: nothing called 's' is bought; take the plan out, or write the "
                     "purchase under \"bought\""},
        SectionFault{"as_bought_without_way", R"({"as_bought": {"d": {"shares": []}}})",
                     "/as_bought/d: missing key 'way'"},
        SectionFault{"worked_person",
                     R"({"worked": {"1": {"step": "cut", "who": "ben", "hours": "1 h"}}})",
                     "/worked/1/who: there is nobody called 'ben'; add them under \"people\""},
        SectionFault{"owned_class", R"({"owned": {"offcut": {}}})",
                     "/owned/offcut: the owned item 'offcut' has no class; add \"class\", one of: "
                     "slab"},
        SectionFault{"owned_attribute",
                     R"({"owned": {"offcut": {"class": "slab", "thicknes": "1 mm"}}})",
                     "/owned/offcut/thicknes: unknown key 'thicknes'; did you mean 'thickness'?"}),
    [](const auto& one) { return std::string(one.param.name); });

/// Checks, of which `ease` is 8 mm.
auto read_of_checks(const std::string& checks) {
    return read(R"({"checks": {)" + checks + "}}", [](const Reading& reading) {
        return read_checks(reading, LengthUnit::mm, [](const std::string& name) {
            return name == "lost.width" ? "module 'lost' is missing" : "";
        });
    });
}

// A frame of 100 1/2 in was planned on a wall of 87 1/2 in, and nothing said so.
TEST(Checks, SayByHowMuchAFormulaDoesNotHold) {
    const auto checked = read_of_checks(
        R"x("fits": {"at_most": ["100 1/2 in", "87 1/2 in"], "text": "The frame fits the wall."},
            "sums": {"equal": ["2 * ease + 4 mm", "ease + 11 mm"], "text": "It adds up."},
            "holds": {"equal": ["2 * ease", "16 mm"], "text": "It holds."},
            "near": {"equal": ["ease", "8.4 mm"], "within": "0.5 mm", "text": "It is near."},
            "room": {"at_most": ["20 mm", "ease"], "text": "There is room."})x");
    EXPECT_THAT(checked.faults, IsEmpty());
    ASSERT_THAT(checked.value.findings, SizeIs(3));
    EXPECT_EQ(checked.value.findings[0].text,
              "Check 'fits' does not hold: The frame fits the wall. 87 1/2 in is 2222.5 mm, 330.2 "
              "mm less than 100 1/2 in.");
    EXPECT_EQ(checked.value.findings[1].text,
              "Check 'sums' does not hold: It adds up. 2 * ease + 4 mm is 20 mm, 1 mm more than "
              "ease + 11 mm (19 mm).");
    EXPECT_EQ(checked.value.findings[2].text,
              "Check 'room' does not hold: There is room. ease is 8 mm, 12 mm less than 20 mm.");
    EXPECT_EQ(checked.value.findings[0].severity, contract::Severity::problem);
    ASSERT_THAT(checked.value.workings, SizeIs(5));
    EXPECT_EQ(checked.value.workings[1].ref, "check.sums");
    EXPECT_EQ(checked.value.workings[1].formula, "2 * ease + 4 mm = ease + 11 mm");
    EXPECT_EQ(checked.value.workings[1].result, "20 mm and 19 mm, 1 mm apart");
}

TEST(Checks, RefuseWhatIsNoCheck) {
    EXPECT_THAT(read_of_checks(R"x("a": {"equal": ["ease", "2 kg"], "text": "t"},
                                   "b": {"equal": ["ease"], "text": "t"},
                                   "c": {"text": "t"},
                                   "d": {"equal": ["1", "1"], "at_most": ["1", "1"], "text": "t"},
                                   "e": {"equal": ["ease", "eas"], "text": "t"},
                                   "f": {"equal": ["ease", "ease"], "within": "1 kg", "text": "t"},
                                   "g": {"equal": ["ease", "ease"]})x")
                    .faults,
                ElementsAre("/checks/a/equal/1: a mass stands where a length is needed; give it in "
                            "mm or another unit of length",
                            "/checks/b/equal: found 1 formulas; write two, as [\"frame.width\", "
                            "\"wall\"]",
                            "/checks/c: the check says neither 'equal' nor 'at_most'; write one of "
                            "them, as \"equal\": [\"frame.width\", \"wall\"]",
                            "/checks/d: the check says both 'equal' and 'at_most'; write one of "
                            "them, as \"equal\": [\"frame.width\", \"wall\"]",
                            "/checks/e/equal/1: unknown name 'eas'",
                            "/checks/f/within: a mass stands where a length is needed; give it in "
                            "mm or another unit of length",
                            "/checks/g: missing key 'text'; add it: what must hold, as a sentence: "
                            "\"The frame fits the wall.\""));
}

TEST(Checks, OfWhatIsNotPricedAreNotMade) {
    const auto checked =
        read_of_checks(R"x("fits": {"at_most": ["lost.width", "ease"], "text": "It fits."})x");
    EXPECT_THAT(checked.faults, IsEmpty());
    ASSERT_THAT(checked.value.findings, SizeIs(1));
    EXPECT_EQ(checked.value.findings[0].text, "Check 'fits' cannot be made: 'lost.width' has no "
                                              "value: module 'lost' is missing.");
    EXPECT_EQ(checked.value.findings[0].severity, contract::Severity::caution);
}

TEST(Pieces, SayWhatToWatchOutFor) {
    const auto pieces = read(R"({"pieces": {"bed": {"title": "Bed", "warnings": ["It falls."],
                                                    "cautions": ["It creaks."]}}})",
                             read_pieces);
    const std::vector<contract::Finding> found = findings_of(pieces.value);
    ASSERT_THAT(found, SizeIs(2));
    EXPECT_EQ(found[0].text, "Bed: It falls.");
    EXPECT_EQ(found[0].severity, contract::Severity::warning);
    EXPECT_EQ(found[1].severity, contract::Severity::caution);
}

} // namespace
} // namespace aumbry::resolving
