// What a module answers: values derived from lines, demands and the ways to meet them, steps,
// findings and workings.
#pragma once

#include "aumbry/contract/plans.hpp"
#include "aumbry/json.hpp"

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace aumbry::contract {

/// How grave a finding is, from the least to the most; the gravest are shown first. `caution` and
/// `warning` mean what the signal words of ANSI Z535 and ISO 3864-2 mean: a warning is kept for
/// what could kill or maim, so that it is read. Of several dangers in one sentence the gravest
/// counts.
enum class Severity {
    note,    ///< good to know
    caution, ///< could hurt a little (their CAUTION), spoil something or cost more (their NOTICE)
    problem, ///< the piece or the estimate does not hold as it stands
    warning  ///< could kill or maim somebody (their WARNING)
};

/// Something that the maker should know or do. The sentence says what to do.
struct Finding {
    Severity severity = Severity::note;
    std::string code = {}; ///< stable, kebab-case
    std::string line = {}; ///< id of the line, empty when it concerns none
    std::string text = {};
    /// Id of a step of the module, at which it matters; empty when it matters at none.
    std::string step = {};
    bool client = false; ///< said to the client too, on the page that is handed over with the piece
};

/// One input of a working.
struct Input {
    std::string name = {};
    std::string value = {}; ///< as printed, with unit
    /// Where it comes from: a reference to another working, a price row, a table.
    std::string source = {};
};

/// How a figure came about.
struct Working {
    std::string ref = {}; ///< what is explained: "bed_side.mass", "carcase.sheets"
    std::string title = {};
    std::string formula = {}; ///< "area x thickness x density"
    std::vector<Input> inputs = {};
    std::string result = {}; ///< as printed, with unit
    std::string source = {}; ///< rule or table the formula comes from
};

struct DerivedLine {
    std::string line = {};
    /// Every derived value of the kind that could be found, as number in its unit.
    Json values = Json::object();
};

/// A line that the module cannot answer for, and one sentence that says why: "the island is too
/// big; make it of two parts". It is shown as not priced; the other lines stand.
struct RefusedLine {
    std::string line = {};
    std::string text = {};
};

struct DeriveReply {
    std::vector<DerivedLine> lines = {};
    /// Lines that cannot be derived; they are not taken off. Better than a fault, after which the
    /// host asks again with fewer and fewer lines to find the one that is to blame.
    std::vector<RefusedLine> refused = {};
    std::vector<Finding> findings = {};
    std::vector<Working> workings = {};
};

/// A figure of the bill of quantities: "18 mm birch BB/BB, 7.42 m2 in parts".
struct QuantityRow {
    std::string ref = {}; ///< unique in the module, over all groups and follow
    std::string title = {};
    double value = 0;
    std::string unit = {};
    std::vector<std::string> lines = {};
};

/// An offer that can fill an amount. The core buys whole counts of it: tins, packs, sheets. What is
/// cut or poured to order is one count that holds just what is needed: content = the quantity, and
/// measure = the quantity in the price unit (`exactly` in plugin.hpp). A count of 1 m for 4.6 m
/// would buy, and charge, five metres.
struct AmountOffer {
    std::string offer = {};
    double content = 0; ///< in the amount's unit, of one purchase count; above zero
    /// Of one purchase count in the offer's price unit, when that is neither "each" nor "pack"; an
    /// offer without it is left out then.
    double measure = 0;
    double mass = 0; ///< kg of one purchase count, for delivery by mass; 0: not known
};

/// A price that the project itself states, for what stands on nobody's list: somebody's word or a
/// quote.
struct StatedPrice {
    std::string price = {}; ///< of one unit of the amount, in the project's currency, without tax
    std::string supplier = {};      ///< who named it, for the order; may be empty
    std::string catalog_class = {}; ///< of what is bought: "item", "service"
    std::int64_t lead_days = 0;     ///< days until it is in hand
    /// Per cent of tax on it; empty: what the core takes for a price without a word on tax.
    std::string tax_rate = {};
    bool tax_included = false; ///< `price` has that tax in it
};

struct Amount {
    double quantity = 0;
    std::string unit = {};
    std::vector<AmountOffer> offers = {};
    std::optional<StatedPrice> stated = {}; ///< holds instead of any offer; `offers` is empty then
};

/// Something bought in a way: a count of an offer.
struct Use {
    std::string offer = {};
    std::int64_t count = 0;
    /// Of one count in the offer's price unit, when that is neither "each" nor "pack".
    double measure = 0;
    double mass = 0; ///< kg of one count, for delivery by mass; 0: not known
    /// It does not lie in the vehicle as it is handed over, or the project wants it brought: an
    /// order with it cannot be collected.
    bool must_be_delivered = false;
    /// Which of the demand's lines need it, where not all do: boards of another thickness.
    std::vector<std::string> lines = {};
    std::string wanted = {}; ///< for the order: which of it is asked for, where the list leaves
                             ///< that open: "2 boards, each at least 150 mm wide and 2400 mm long"
};

/// Cuts that a supplier's cutting service makes, for the core to price.
struct DealerCuts {
    std::string supplier = {};
    std::int64_t cuts = 0; ///< beyond those free with the sheets
};

/// One way to meet a plan demand: what to buy and how it is cut. Carries no money.
struct Way {
    std::string id = {};
    std::string title = {};
    std::vector<Use> uses = {};
    std::vector<DealerCuts> dealer_cuts = {};
    double yield = 0;             ///< share of what is bought that ends in parts, 0 to 1
    double waste = 0;             ///< in the unit of the module's quantity (m2, m3, m)
    std::int64_t used = 0;        ///< sheets or boards used
    std::int64_t lower_bound = 0; ///< no plan with these formats needs fewer
    bool proven = false;          ///< used equals the bound, or search was complete
    Plans plans = {};             ///< how what is bought is cut
};

/// The share of a demand that a line causes; weights of any unit.
struct Share {
    std::string line = {};
    double weight = 0;
};

/// What is needed and by which lines: an amount, or a choice of ways (1 to 12).
struct Demand {
    /// Unique in the module, over all groups, which it never sees together: begin it with a line's
    /// id or the group's name.
    std::string id = {};
    std::string title = {};
    std::vector<Share> shares = {}; ///< the lines that it serves
    std::optional<Amount> amount = {};
    std::vector<Way> ways = {};
    std::string plan_type = {}; ///< "sheet", "board", "lift" or another: of the plans of its ways
    /// Measured size decides parts: should be in hand before those are cut.
    bool decides_sizes = false;
    bool returnable = true;
    /// Id of a step of this module, in its take-off or in follow, that tells what is right to buy:
    /// a thing is weighed or measured by it. It is best ordered once the step is done.
    std::string order_after = {};
};

/// What a step does to the parts that it touches, in the order in which a part goes through it.
enum class Phase {
    prepare,   ///< measure, set out, check
    cut,       ///< to size
    join,      ///< sections of one part: a seam
    edge,      ///< band, round over
    machine,   ///< grooves, holes, joints
    sand,      ///< bare wood
    prefinish, ///< coat parts before they are put together
    assemble,  ///< put together, glue up
    fasten,    ///< screws and plugs into what is put together
    finish,    ///< coat what is put together
    fit,       ///< hardware onto finished parts
    carry_in,  ///< to where the piece stands
    scribe,    ///< to wall, floor and ceiling
    install,   ///< fix to the building
    hang,      ///< what moves onto what is fixed
    load,      ///< springs, and what else is under force from then on
    complete   ///< lay the mattress, clear up, hand over
};

/// Their names in documents, in that order: "prepare", ..., "carry_in", ..., "complete".
[[nodiscard]] std::span<const std::string_view> phase_words();
/// The phase of that name; `otherwise` when there is none.
[[nodiscard]] Phase phase_called(std::string_view name, Phase otherwise);

/// A working step. It waits for goods only when `needs` names their demands: a step that serves a
/// line does not wait for the line's purchases by itself. It comes after all steps of earlier
/// phases that touch a part which it touches: one of its `lines`, a part that such a line names, or
/// all of a piece where it names no part. From `carry_in` on every step touches its pieces whole.
struct Step {
    std::string id = {}; ///< unique in the module, over all groups
    std::string title = {};
    std::vector<std::string> lines = {}; ///< lines worked on; they decide the pieces
    Phase phase = Phase::cut;
    double minutes = 0;      ///< hands-on time of each person
    double wait_minutes = 0; ///< unattended time after it, through the night: glue, drying
    std::int64_t people = 1;
    /// Ids of steps of this module: in a take-off those taken off, in follow those as well.
    std::vector<std::string> after = {};
    std::vector<std::string> needs = {}; ///< ids of demands of this module that must be in hand
    double rack = 0; ///< m2 that lie on the drying rack from its begin until its waiting is over
    /// Ids of demands of this module whose goods can be measured once it is done.
    std::vector<std::string> measures = {};
    std::string operation = {}; ///< what kind of work it is, as the table of times names it
};

struct TakeOffReply {
    /// Lines of the group that cannot be taken off; the group is asked again without them.
    std::vector<RefusedLine> refused = {};
    std::vector<QuantityRow> quantities = {};
    std::vector<Demand> demands = {};
    std::vector<Step> steps = {};
    std::vector<Finding> findings = {};
    std::vector<Working> workings = {};
};

/// Ways to meet a demand that cost little under the costs of a plan request, the cheapest first; at
/// most 12, and none when the offers cannot meet it.
struct PlanReply {
    std::vector<Way> ways = {};
    /// No way at all of meeting the demand with the offers of the request costs less under its
    /// costs: whole counts of offers at `Offer::cost`, and cuts at `cost_per_cut`. 0 says nothing;
    /// 1e10 and more, that there is no way.
    double lower_bound = 0;
};

struct FollowReply {
    std::vector<QuantityRow> quantities = {};
    std::vector<Step> steps = {};
    std::vector<Finding> findings = {};
    std::vector<Working> workings = {};
    /// What belongs to the lines' work and is in no step and no demand, in the maker's words:
    /// "drawing and design". Listed under the total.
    std::vector<std::string> not_counted = {};
};

/// The JSON form; empty strings, lists and absent optionals are left out.
[[nodiscard]] Json to_json(const Finding&);
[[nodiscard]] Json to_json(const Working&);
[[nodiscard]] Json to_json(const DeriveReply&);
[[nodiscard]] Json to_json(const TakeOffReply&);
[[nodiscard]] Json to_json(const PlanReply&);
[[nodiscard]] Json to_json(const FollowReply&);

/// Reads a document; `origin` names it in faults. Unknown keys are ignored.
/// @throws FaultError with every fault: "missing-key", "wrong-type", "unknown-choice".
[[nodiscard]] DeriveReply read_derive_reply(const Json&, const std::string& origin);
[[nodiscard]] TakeOffReply read_take_off_reply(const Json&, const std::string& origin);
[[nodiscard]] PlanReply read_plan_reply(const Json&, const std::string& origin);
[[nodiscard]] FollowReply read_follow_reply(const Json&, const std::string& origin);

} // namespace aumbry::contract
