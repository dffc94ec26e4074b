// The cut book and its pages, for a sheet and a board whose numbers are worked out by hand.
#include "print/cut_book.hpp"
#include "print/flow.hpp"
#include "print/print.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <string>

namespace aumbry::print {
namespace {

EstimateLine line(const std::string& id, const std::string& title, double length, double width,
                  std::int64_t count) {
    EstimateLine made;
    made.id = id;
    made.kind = "panel";
    made.title = title;
    made.material = "carcase";
    made.count = count;
    made.fields = {{"grain", "length"}};
    made.derived = {{"length", length}, {"width", width}, {"thickness", 18.0}};
    return made;
}

/// A sheet of 1000 x 500 mm, clean-up 10, kerf 4: a side of 600 x 480 and two shelves of 376 x 238.
Estimate small_job() {
    Estimate estimate;
    estimate.title = "A cupboard <with> \"marks\" & signs";
    estimate.currency = currency("EUR");
    estimate.length_unit = "mm";
    estimate.priced_on = parse_date("2027-02-01");
    estimate.lines = {line("side", "Side", 600, 480, 1), line("shelf", "Shelf", 376, 238, 2)};
    const auto place = [](const char* name, double x, double y, double length, double width) {
        return contract::Placement{.line = name, .x = x, .y = y, .length = length, .width = width};
    };
    contract::SheetPlan plan;
    plan.material = "carcase";
    plan.supplier = "yard";
    plan.sku = "P18";
    plan.offer = "yard/P18";
    plan.demand = "sheet_goods/carcase";
    plan.sheet = {1000, 500};
    plan.grain = contract::SheetGrain::length;
    plan.clean_up = 10;
    plan.kerf = 4;
    plan.placements = {place("side", 10, 10, 600, 480), place("shelf", 614, 10, 376, 238),
                       place("shelf", 614, 252, 376, 238)};
    plan.cuts = {
        {0, contract::CutDirection::length, 600, contract::CutBy::dealer, 1, 2},
        {2, contract::CutDirection::width, 238, contract::CutBy::workshop, 3, 4},
    };
    plan.blanks = {{10, 10, 980, 480},
                   {10, 10, 600, 480, "side"},
                   {614, 10, 376, 480},
                   {614, 10, 376, 238, "shelf"},
                   {614, 252, 376, 238, "shelf"}};
    estimate.cutting_plans = {plan};
    estimate.bounds = {
        {"sheet_goods/carcase", "sheet_goods", "18 mm birch", 1, 1, true, 0.93, 0.03}};
    return estimate;
}

TEST(CutBook, NumbersPartsInTheOrderOfTheBillAndCountsThem) {
    const CutBook book = cut_book(small_job());
    ASSERT_EQ(book.parts.size(), 2U);
    EXPECT_EQ(book.parts[0].number, "1");
    EXPECT_EQ(book.parts[0].count, 1);
    EXPECT_EQ(book.parts[1].number, "2");
    EXPECT_EQ(book.parts[1].count, 2);
    EXPECT_EQ(book.labels.size(), 3U);
    EXPECT_EQ(book.labels[0].from, "S1");
}

TEST(CutBook, APartThatFollowsAWallOutOfSquareSaysBothItsSizes) {
    Estimate job = small_job();
    job.lines[0].fields["length_back"] = 592.0;
    job.lines[0].fields["width_right"] = 480.0;
    const CutBook book = cut_book(job);
    EXPECT_EQ(book.parts[0].taper, "front 600, back 592");
    EXPECT_EQ(edges_in_words(book.parts[0]), "tapered: front 600, back 592");
    EXPECT_EQ(book.parts[1].taper, "");
}

TEST(CutBook, YieldIsAreaOfPartsOverAreaOfTheSheet) {
    const CutBook book = cut_book(small_job());
    // (600 x 480 + 2 x 376 x 238) / (1000 x 500) = 466 976 / 500 000
    EXPECT_NEAR(book.sheets.at(0).yield, 0.9340, 0.00005);
    EXPECT_EQ(book.sheets.at(0).quality,
              "93.0 % of 1 sheet becomes parts. Proven fewest: fewer sheets cannot do.");
}

TEST(CutBook, CutsRunThroughTheMiddleOfTheKerfFromEdgeToEdgeOfTheirPiece) {
    const SheetPage sheet = cut_book(small_job()).sheets.at(0);
    ASSERT_EQ(sheet.cuts.size(), 2U);
    const PlannedCut& across = sheet.cuts[0];
    EXPECT_TRUE(across.dealer);
    EXPECT_FALSE(across.along);
    EXPECT_DOUBLE_EQ(across.x1, 612); // 10 + 600 + half of 4
    EXPECT_DOUBLE_EQ(across.x2, 612);
    EXPECT_DOUBLE_EQ(across.y1, 10);
    EXPECT_DOUBLE_EQ(across.y2, 490);
    EXPECT_EQ(across.first, "part 1");
    EXPECT_EQ(across.rest, "A 376 x 480");
    const PlannedCut& along = sheet.cuts[1];
    EXPECT_TRUE(along.along);
    EXPECT_DOUBLE_EQ(along.y1, 250); // 10 + 238 + half of 4
    EXPECT_EQ(along.first, "part 2");
    EXPECT_EQ(along.rest, "part 2");
}

TEST(CutBook, EdgesAreThoseOfThePartAsItLies) {
    Estimate job = small_job();
    job.lines[0].fields["edges"] = {{"front", {{"treatment", "banded"}}},
                                    {"left", {{"treatment", "scribed"}}}};
    // Unturned its front is at the bottom; a quarter turn takes the left end to where the back was.
    const EdgeLooks lying = cut_book(job).sheets.at(0).placed.at(0).edges;
    EXPECT_EQ(lying.bottom, EdgeLook::treated);
    EXPECT_EQ(lying.left, EdgeLook::scribed);
    EXPECT_EQ(lying.top, EdgeLook::raw);
    job.cutting_plans[0].placements[0].rotated = true;
    const EdgeLooks turned = cut_book(job).sheets.at(0).placed.at(0).edges;
    EXPECT_EQ(turned.left, EdgeLook::treated);
    EXPECT_EQ(turned.top, EdgeLook::scribed);
    EXPECT_EQ(turned.bottom, EdgeLook::raw);
}

TEST(CutBook, OfAPairEverySecondIsMirrored) {
    Estimate job = small_job();
    job.lines[1].fields["hand"] = "pair";
    job.lines[1].fields["edges"] = {{"left", {{"treatment", "scribed"}}}};
    const CutBook book = cut_book(job);
    EXPECT_EQ(book.labels[1].hand, "left");
    EXPECT_EQ(book.labels[2].hand, "right");
    EXPECT_EQ(book.sheets[0].placed[1].edges.left, EdgeLook::scribed);
    EXPECT_EQ(book.sheets[0].placed[2].edges.left, EdgeLook::raw);
    EXPECT_EQ(book.sheets[0].placed[2].edges.right, EdgeLook::scribed);
    EXPECT_EQ(edges_in_words(book.parts[1], "left"), "left scribed");
    EXPECT_EQ(edges_in_words(book.parts[1], "right"), "right scribed");
}

TEST(CutBook, ASectionSaysItsOwnTaperAndWhatIsMadeAtTheSeam) {
    Estimate job = small_job();
    job.lines[0].fields["length_back"] = 1188.0;
    job.lines[0].derived["length"] = 1200.0;
    contract::Placement& section = job.cutting_plans[0].placements[0];
    section.section = 2;
    section.finished = {600, 480};
    section.tapered = contract::TaperedTo{.length_back = 588.0};
    section.joints = contract::PlacedEdges{.left = "lap of 60 mm, 9 mm left at the back"};
    const BookPart part = cut_book(job).parts.at(0);
    EXPECT_EQ(part.taper, "front 600, back 588");
    EXPECT_EQ(edges_in_words(part),
              "tapered: front 600, back 588; left: lap of 60 mm, 9 mm left at the back");
}

TEST(CutBook, CutsAtOneSettingStandTogetherTrimsWhicheverTheEdge) {
    SheetPage sheet;
    const auto add = [&](contract::CutKind kind, double setting, bool along, bool dealer) {
        PlannedCut cut;
        cut.kind = kind;
        cut.setting = setting;
        cut.along = along;
        cut.dealer = dealer;
        cut.kerf = dealer ? 4 : 2.4;
        sheet.cuts.push_back(cut);
    };
    add(contract::CutKind::rip, 80, true, true);
    add(contract::CutKind::rip, 80, true, false); // another saw
    add(contract::CutKind::trim, 5.6, true, false);
    add(contract::CutKind::trim, 5.6, false, false);
    add(contract::CutKind::crosscut, 80, false, false);
    const std::vector<std::vector<std::size_t>> wanted{{0}, {1}, {2, 3}, {4}};
    EXPECT_EQ(settings_of(sheet), wanted);
}

TEST(CutBook, APlanThatNamesNoLineIsRefusedWithASentence) {
    Estimate estimate = small_job();
    estimate.cutting_plans[0].placements[0].line = "door";
    try {
        (void)cut_book(estimate);
        FAIL() << "expected a fault";
    } catch (const FaultError& error) {
        EXPECT_STREQ(error.what(),
                     "a cutting plan cannot be drawn: it names the line 'door', which is none; the "
                     "module that made it must follow the estimate's schema");
    }
}

/// The boxes of a role on a page.
std::vector<Box> boxes(const Page& page, const std::string& role) {
    std::vector<Box> found;
    for (const Mark& mark : page.marks) {
        if (const auto* box = std::get_if<BoxMark>(&mark); box != nullptr && box->role == role)
            found.push_back(box->box);
    }
    return found;
}

TEST(CutPages, PartsAreDrawnToOneScaleInsideTheirSheet) {
    const CutBook book = cut_book(small_job());
    const std::vector<Figure> figures = cut_figures(book, false);
    ASSERT_EQ(figures.size(), 2U); // what there is, and one sheet
    const Page& page = figures[1].pages.at(0);
    const Box sheet = boxes(page, "sheet").at(0);
    const double scale = sheet.width / 1000;
    EXPECT_NEAR(sheet.height / 500, scale, 1e-9);
    const std::vector<Box> parts = boxes(page, "part");
    ASSERT_EQ(parts.size(), 3U);
    for (std::size_t i = 0; i < parts.size(); ++i) {
        const PlacedPart& placed = book.sheets[0].placed[i];
        EXPECT_NEAR(parts[i].x - sheet.x, placed.x * scale, 1e-9);
        EXPECT_NEAR(parts[i].y - sheet.y, placed.y * scale, 1e-9);
        EXPECT_NEAR(parts[i].width, placed.length * scale, 1e-9);
        EXPECT_NEAR(parts[i].height, placed.width * scale, 1e-9);
        for (std::size_t j = 0; j < i; ++j) EXPECT_FALSE(overlap(parts[i], parts[j]));
    }
}

/// Everything on every page is inside the paper, by the same measure by which texts are set.
void expect_on_paper(const std::vector<Page>& pages) {
    for (const Page& page : pages) {
        for (const Mark& mark : page.marks) {
            const auto* text = std::get_if<TextMark>(&mark);
            if (text == nullptr) continue;
            const double width = text_width(text->text, text->size, text->bold);
            if (text->turned) {
                EXPECT_GE(text->y - width / 2, 0) << text->text;
                EXPECT_LE(text->y + width / 2, page.height) << text->text;
                continue;
            }
            const double left = text->anchor == Anchor::left     ? text->x
                                : text->anchor == Anchor::middle ? text->x - width / 2
                                                                 : text->x - width;
            EXPECT_GE(left, 0) << text->text;
            EXPECT_LE(left + width, page.width + 0.01) << text->text;
            EXPECT_LE(text->y, page.height) << text->text;
        }
    }
}

TEST(CutPages, NothingStandsOutsideThePaperHoweverLongNamesAndListsAre) {
    Estimate estimate = small_job();
    estimate.lines[0].title = std::string(300, 'W') + " and " + std::string(200, 'm');
    // 200 copies of a narrow part: numbers alone find room.
    std::vector<contract::Placement>& placements = estimate.cutting_plans[0].placements;
    placements.clear();
    for (int i = 0; i < 200; ++i)
        placements.push_back({.line = i % 2 == 0 ? "side" : "shelf",
                              .x = 10.0 + 4.8 * i,
                              .y = 10.0,
                              .length = 3.0,
                              .width = 480.0});
    const CutBook book = cut_book(estimate);
    expect_on_paper(cut_pages(book));
    expect_on_paper(label_pages(book));
    EXPECT_EQ(label_pages(book).size(), 15U); // 200 labels, 14 a page
}

TEST(CutPages, AJobWithoutPartsStillHasPages) {
    Estimate estimate = small_job();
    estimate.lines.clear();
    estimate.cutting_plans.clear();
    const CutBook book = cut_book(estimate);
    EXPECT_EQ(cut_pages(book).size(), 1U);
    EXPECT_EQ(label_pages(book).size(), 1U);
}

TEST(Flow, CarriesATableOverWithItsHeadAndBreaksWordsInsideTheirColumn) {
    Flow flow("A list", a4);
    std::vector<std::vector<Cell>> rows;
    for (int i = 0; i < 200; ++i)
        rows.push_back({std::to_string(i), "a sentence that is much too wide for its column"});
    flow.table({{"no.", 20}, {"what", 40}}, rows);
    const std::vector<Page> pages = flow.finish();
    EXPECT_GT(pages.size(), 4U);
    std::map<std::string, int> seen;
    for (const Page& page : pages) {
        int heads = 0;
        for (const Mark& mark : page.marks) {
            const auto* text = std::get_if<TextMark>(&mark);
            if (text == nullptr) continue;
            ++seen[text->text];
            heads += text->text == "no.";
            EXPECT_LE(text->y, page.height - 15) << text->text;
        }
        EXPECT_EQ(heads, 1);
    }
    for (int i = 0; i < 200; ++i) EXPECT_EQ(seen[std::to_string(i)], 1) << i;
    expect_on_paper(pages);
}

/// All texts of some pages, one after the other, without spaces.
std::string letters_of(const std::vector<Page>& pages) {
    std::string letters;
    for (const Page& page : pages) {
        for (const Mark& mark : page.marks) {
            if (const auto* text = std::get_if<TextMark>(&mark)) letters += text->text;
        }
    }
    std::erase(letters, ' ');
    return letters;
}

TEST(OrderPages, LoseNothingOfAnOrderHoweverLongItsWordsAre) {
    const Currency euro = currency("EUR");
    OrderHead head;
    head.title =
        "For " + std::string(60, 'W') + " and the rooms beside it, " + std::string(90, 'm');
    head.currency = euro;
    head.length_unit = "mm";
    head.priced_on = parse_date("2027-02-01");
    head.maker.name = "Somebody " + std::string(40, 'W');
    head.maker.contact = std::string(70, 'w') + "@example.org";
    Order order;
    order.supplier = "yard";
    order.name = "The yard " + std::string(80, 'M');
    order.currency = "EUR";
    order.collected = true;
    order.needed = head.priced_on;
    order.net = Money::zero(euro);
    order.total = order.net;
    OrderPosition position;
    position.number = 1;
    position.sku = "ARTICLE-WITH-A-VERY-LONG-NUMBER-0123456789";
    position.description = "Screw";
    position.count = 16000;
    position.unit_price = Decimal::parse("0.0088");
    position.amount = Money::parse("140.80", euro);
    order.positions.push_back(position);
    for (const std::vector<Page>& pages :
         {order_pages(head, order), shopping_pages(head, {order})}) {
        expect_on_paper(pages);
        const std::string letters = letters_of(pages);
        EXPECT_NE(letters.find(position.sku), std::string::npos);
        EXPECT_NE(letters.find(std::string(80, 'M')), std::string::npos);
    }
    const std::string letters = letters_of(order_pages(head, order));
    EXPECT_NE(letters.find(head.maker.contact), std::string::npos);
    EXPECT_NE(letters.find(std::string(90, 'm')), std::string::npos);
    // 16 000 x 0.0088 = 140.80: rounded to cents the price of one would be wrong by an eighth.
    EXPECT_NE(letters.find("0.0088"), std::string::npos);
}

TEST(OrderPages, CountEverySheetThatTheSupplierCuts) {
    OrderHead head;
    head.currency = currency("EUR");
    head.length_unit = "mm";
    Order order;
    order.collected = true;
    order.net = Money::zero(head.currency);
    order.total = order.net;
    order.sheets.resize(2);
    order.sheets[0].copies = 3;
    EXPECT_NE(letters_of(shopping_pages(head, {order})).find("cuts4ofthesheets"),
              std::string::npos);
}

TEST(OrderFiles, HaveNamesOfTheirOwn) {
    std::vector<Order> orders(3);
    orders[0].supplier = "stated/\u00d6";
    orders[1].supplier = "stated/\u00dc";
    orders[2].supplier = "Yard 7";
    EXPECT_EQ(file_names_of(orders), (std::vector<std::string>{"stated", "stated-2", "yard-7"}));
}

TEST(HandOver, TicksWhatIsDone) {
    Estimate estimate = small_job();
    EstimateTask task;
    task.title = "Glue up";
    task.done = true;
    estimate.schedule.tasks = {task};
    EXPECT_NE(letters_of(job_pack_pages(estimate, cut_book(estimate))).find("[x]Glueup"),
              std::string::npos);
}

// Coats were told by the name of a module at the front of their id.
TEST(HandOver, CoatsAreTheStepsOfThePhaseFinishWhoeverBringsThem) {
    Estimate estimate = small_job();
    for (const auto& [id, title, phase] :
         {std::tuple("waxworks/rub", "Rub wax in", contract::Phase::finish),
          std::tuple("blacken", "Blacken the iron", contract::Phase::finish),
          std::tuple("finish/unpack", "Unpack the tins", contract::Phase::prepare)}) {
        EstimateTask task;
        task.id = id;
        task.title = title;
        task.phase = phase;
        task.minutes = 30;
        estimate.schedule.tasks.push_back(task);
    }
    const std::string letters = letters_of(job_pack_pages(estimate, cut_book(estimate)));
    const std::string coats = letters.substr(letters.find("Followthetin"));
    EXPECT_NE(coats.find("Rubwaxin"), std::string::npos);
    EXPECT_NE(coats.find("Blackentheiron"), std::string::npos);
    EXPECT_EQ(coats.find("Unpackthetins"), std::string::npos);
}

TEST(HandOver, AWarningIsCalledOne) {
    Estimate estimate = small_job();
    estimate.findings = {{contract::Severity::warning, "spring", "kits", "", "It throws."},
                         {contract::Severity::caution, "dust", "paint", "", "It itches."}};
    const std::vector<Page> pages = job_pack_pages(estimate, cut_book(estimate));
    const std::string letters = letters_of(pages);
    EXPECT_LT(letters.find("Warning:Itthrows."), letters.find("Caution:Ititches."));
}

std::size_t times(const std::string& text, const std::string& word) {
    std::size_t count = 0;
    for (auto at = text.find(word); at != std::string::npos; at = text.find(word, at + 1)) ++count;
    return count;
}

// Forty cautions of one weight stood on page one, none at its step.
TEST(HandOver, PageOneHoldsFiveFindingsAndTheOthersStandAtTheirSteps) {
    Estimate estimate = small_job();
    EstimateTask task;
    task.id = "kits/hang";
    task.title = "Hang it";
    estimate.schedule.tasks = {task};
    for (int i = 0; i < 7; ++i)
        estimate.findings.push_back({contract::Severity::warning, "w", "kits", "",
                                     "Danger" + std::to_string(i) + ".", i < 3 ? "kits/hang" : ""});
    estimate.findings.push_back({contract::Severity::problem, "p", "", "", "Impossible."});
    estimate.findings.push_back({contract::Severity::note, "n", "", "", "Nice."});
    const std::vector<Page> pages = job_pack_pages(estimate, cut_book(estimate));
    const std::string first = letters_of({pages.at(0)});
    // A problem, then what stands at no step.
    EXPECT_NE(first.find("Problem:Impossible."), std::string::npos);
    EXPECT_EQ(times(first, "Warning:"), 4U);
    for (const char* text : {"Danger3.", "Danger4.", "Danger5.", "Danger6."})
        EXPECT_NE(first.find(text), std::string::npos) << text;
    EXPECT_NE(first.find("3moreofthisweight"), std::string::npos);
    const std::string all = letters_of(pages);
    ASSERT_NE(all.find("Hangit"), std::string::npos) << all;
    const std::string steps = all.substr(all.find("Hangit"));
    for (const char* text : {"[]Warning:Danger0.", "[]Warning:Danger1.", "[]Warning:Danger2."})
        EXPECT_NE(steps.find(text), std::string::npos) << text;
    EXPECT_GT(all.find("Note:Nice."), all.find("Danger2."));
}

TEST(HandOver, TheClientHasAPageOfItsOwn) {
    Estimate estimate = small_job();
    EXPECT_EQ(letters_of(job_pack_pages(estimate, cut_book(estimate))).find("Fortheclient"),
              std::string::npos);
    estimate.findings = {
        {contract::Severity::warning, "children", "kits", "", "Nochildren.", "", true},
        {contract::Severity::note, "care", "finish", "", "Wipeit.", "", true},
        {contract::Severity::warning, "saw", "kits", "", "Kickback."}};
    for (const Page& page : job_pack_pages(estimate, cut_book(estimate))) {
        const std::string letters = letters_of({page});
        if (letters.find("Fortheclient") == std::string::npos) continue;
        EXPECT_NE(letters.find("Nochildren."), std::string::npos);
        EXPECT_NE(letters.find("Wipeit."), std::string::npos);
        EXPECT_EQ(letters.find("Kickback."), std::string::npos);
        return;
    }
    ADD_FAILURE() << "no page for the client";
}

TEST(Svg, EscapesWhatXmlReserves) {
    const std::string svg = to_svg(cut_figures(cut_book(small_job()), true).at(0).pages.at(0));
    EXPECT_NE(svg.find("A cupboard &lt;with&gt; &quot;marks&quot; &amp; signs"), std::string::npos);
    EXPECT_EQ(svg.find("<with>"), std::string::npos);
}

TEST(Labels, OnASheetThatDoesNotHoldThemAreRefused) {
    LabelSheet sheet = label_sheet("a4-2x7");
    sheet.check();
    sheet.across = 3; // 3 x 99.1 mm and two gaps on 210 mm
    EXPECT_THROW(sheet.check(), FaultError);
    EXPECT_THROW((void)label_sheet("a4-1x1"), FaultError);
    for (const LabelSheet& known : label_sheets()) EXPECT_NO_THROW(known.check()) << known.name;
}

TEST(Paper, IsLetterWhereLengthsAreInInches) {
    // ISO 216: A4 is 210 x 297 mm; letter is 8 1/2 x 11 in.
    EXPECT_DOUBLE_EQ(paper_for("mm").height, 297);
    EXPECT_DOUBLE_EQ(paper_for("in").width, 8.5 * 25.4);
    EXPECT_DOUBLE_EQ(paper_for("in").height, 11 * 25.4);
}

} // namespace
} // namespace aumbry::print
