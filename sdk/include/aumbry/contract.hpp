// The contract between host and module, as plain structs.
//
// Every exchange is one JSON document; these structs are its typed form, `to_json` and `read_...`
// lead from one to the other, and the JSON Schemas in sdk/schemas are written from the same member
// lists. Numbers are in one fixed unit a quantity: mm, m2, m3, L, kg, N, N·m, N/mm2, kg/m3, m2/L,
// deg, min. Money and prices are decimal strings. Receivers ignore keys that they do not know.
#pragma once

#include "aumbry/json.hpp"

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace aumbry::contract {

/// The version of this contract. 0.x may still change from minor to minor.
inline constexpr int major_version = 0;
inline constexpr int minor_version = 1;

// ---------------------------------------------------------------- describe

/// What a field of a line, an attribute of an offer or a setting holds.
enum class FieldType {
    text,     ///< a string
    choice,   ///< one of `choices`
    flag,     ///< true or false
    count,    ///< a whole number
    number,   ///< a number without unit
    quantity, ///< a number in `unit`; people write quantities or formulas
    money,    ///< a decimal string in the project's currency
    date,     ///< an ISO 8601 date
    line,     ///< the id of another line
    lines,    ///< ids of other lines; people may write `piece.*` for all lines of a piece
    texts,    ///< a list of strings
    record,   ///< an object of `fields`
    records   ///< a list of objects of `fields`
};

/// One field: enough to read it strictly, to draw a form for it, to document and to test it.
struct Field {
    std::string name;
    FieldType type = FieldType::text;
    std::string title; ///< short label for people
    std::string help;  ///< one sentence: what it is and what is usual
    std::string unit;  ///< for `quantity`: the contract unit of its value
    bool required = false;
    Json fallback;                    ///< value when absent, in contract form; null: none
    std::optional<double> minimum;    ///< least allowed value, in `unit`
    bool above_minimum = false;       ///< the value must be above `minimum`, not at it
    std::optional<double> maximum;    ///< greatest allowed value
    std::vector<std::string> choices; ///< for `choice`
    std::vector<std::string>
        kinds;                 ///< for `line` and `lines`: the kinds that may be named; empty: any
    std::vector<Field> fields; ///< for `record` and `records`
};

/// A value that a module derives from a line and later formulas may use as `line.name`. Always of
/// one item of the line.
struct DerivedValue {
    std::string name;
    std::string unit; ///< empty for a plain number
    std::string title;
    std::string help;
};

/// An attribute of an offer must equal what the line says at `value`: "material.species",
/// "fields.model", or a path into records ("fields.coats.product", any of them). A line that says
/// nothing does not constrain.
struct Match {
    std::string attribute;
    std::string value;
};

/// Which offers are passed along with the lines of a kind.
struct OfferQuery {
    std::string catalog_class;
    std::vector<Match> match;
};

/// A kind of line that the module prices.
struct LineKind {
    std::string kind;  ///< "panel"; a third party writes "module.kind"
    std::string title; ///< "Panel"
    std::string help;
    std::string material_class; ///< class of the `material` that a line names; empty: the kind
                                ///< takes no material
    std::vector<Field> fields;
    std::vector<DerivedValue> derived;
    std::vector<std::string>
        group_by; ///< "material", "fields.model": lines with equal values form one take-off group
    std::vector<OfferQuery> offers;
};

/// A class of things that suppliers offer; its attributes are columns of a price list and keys of a
/// material or owned item.
struct CatalogClass {
    std::string name;
    std::string title;
    std::string help;
    std::vector<Field> attributes;
};

/// Reply to `describe`.
struct Description {
    std::string id; ///< snake_case, unique among modules
    std::string title;
    std::string version;
    std::string contract; ///< "0.1"
    std::vector<LineKind> line_kinds;
    std::vector<CatalogClass> catalog_classes;
    std::vector<std::string> tables; ///< reference tables that the module reads, by name
    std::vector<Field>
        settings; ///< the module's own settings, in the project under `settings.<id>`
    std::vector<std::string> after; ///< modules whose results this one reads in follow
};

// ---------------------------------------------------------------- what is passed to a module

/// A material role of the project with its attributes in contract units.
struct Material {
    std::string id;
    std::string catalog_class;
    Json attributes = Json::object();
};

/// A line with every formula evaluated.
struct Line {
    std::string id;
    std::string kind;
    std::string piece;
    std::string title;
    std::int64_t count = 1;
    std::optional<Material> material;
    Json fields = Json::object(); ///< by field name, in contract units
    Json derived =
        Json::object(); ///< by name; filled from `take_off` on, and in `references` always
    std::vector<Line> references; ///< the lines that its `line` and `lines` fields name, without
                                  ///< references of their own
};

/// A price from a count on.
struct PriceBreak {
    std::int64_t from = 1; ///< purchase count (packs) from which the price holds
    std::string price;
};

/// Something that can be bought or is owned already. What one purchase count costs: `price` if
/// `price_unit` is "each" or "pack", else price times the measure that the module states in that
/// unit.
struct Offer {
    std::string id;       ///< "supplier/sku", or "owned/id"
    std::string supplier; ///< empty when owned
    std::string sku;
    std::string catalog_class;
    std::string description;
    Json attributes = Json::object(); ///< in contract units
    std::string price;      ///< for guidance in choosing ways; the core prices what is chosen
    std::string price_unit; ///< "each", "pack", "m", "m2", "m3", "bdft", "ft", "L", "kg", "h", ...
    double pack = 1;        ///< items in one purchase count
    std::int64_t min_quantity = 1;
    std::optional<std::int64_t> limit; ///< stock; the core enforces it over all demands
    bool owned = false;
};

/// What a module needs to know of a supplier that cuts.
struct CuttingService {
    std::string supplier;
    bool offered = false;
    std::string price_per_cut;
    std::int64_t free_cuts = 0; ///< a sheet
    double kerf = 0;            ///< mm
    double least_strip = 0;     ///< mm
    double accuracy = 0;        ///< mm, plus or minus
};

/// Settings that every call carries: the project's workshop and vehicle and the module's own
/// settings.
struct Settings {
    Json workshop = Json::object();
    Json vehicle = Json::object();
    Json module = Json::object();
    std::string effort = "normal";  ///< draft, normal, thorough
    std::string length_unit = "mm"; ///< for texts that people read: "mm" or "in"
};

struct DeriveRequest {
    std::vector<Line> lines;
    Settings settings;
    Json tables = Json::object(); ///< by name: the rows of the reference tables asked for
};

struct TakeOffRequest {
    std::string kind;
    std::string group; ///< readable key of the group: "carcase"
    std::vector<Line> lines;
    std::vector<Offer> offers; ///< by id; owned ones among them
    std::vector<CuttingService> cutting;
    Settings settings;
    Json tables = Json::object();
};

// ---------------------------------------------------------------- what a module answers

enum class Severity { note, caution, problem };

/// Something that the maker should know or do. The sentence says what to do.
struct Finding {
    Severity severity = Severity::note;
    std::string code; ///< stable, kebab-case
    std::string line; ///< id of the line, empty when it concerns none
    std::string text;
};

/// One input of a working.
struct Input {
    std::string name;
    std::string value; ///< as printed, with unit
    std::string
        source; ///< where it comes from: a reference to another working, a price row, a table
};

/// How a figure came about.
struct Working {
    std::string ref; ///< what is explained: "bed_side.mass", "carcase.sheets"
    std::string title;
    std::string formula; ///< "area x thickness x density"
    std::vector<Input> inputs;
    std::string result; ///< as printed, with unit
    std::string source; ///< rule or table the formula comes from
};

struct DerivedLine {
    std::string line;
    Json values = Json::object(); ///< every derived value of the kind that could be found, as
                                  ///< number in its unit
};

struct DeriveReply {
    std::vector<DerivedLine> lines;
    std::vector<Finding> findings;
    std::vector<Working> workings;
};

/// A figure of the bill of quantities: "18 mm birch BB/BB, 7.42 m2 in parts".
struct QuantityRow {
    std::string ref; ///< unique in the module
    std::string title;
    double value = 0;
    std::string unit;
    std::vector<std::string> lines;
};

/// An offer that can fill an amount.
struct AmountOffer {
    std::string offer;
    double content = 0; ///< in the amount's unit, of one purchase count
    double measure = 0; ///< of one purchase count in the offer's price unit, when that is neither
                        ///< "each" nor "pack"
    double mass = 0;    ///< kg of one purchase count, for delivery by mass; 0: not known
};

/// A price that the project itself states, for what stands on nobody's list: somebody's word or a
/// quote.
struct StatedPrice {
    std::string price;    ///< of one unit of the amount, in the project's currency, without tax
    std::string supplier; ///< who named it, for the order; may be empty
    std::string catalog_class;  ///< of what is bought: "item", "service"
    std::int64_t lead_days = 0; ///< days until it is in hand
};

struct Amount {
    double quantity = 0;
    std::string unit;
    std::vector<AmountOffer> offers;
    std::optional<StatedPrice> stated; ///< holds instead of any offer; `offers` is empty then
};

/// Something bought in a way: a count of an offer.
struct Use {
    std::string offer;
    std::int64_t count = 0;
    double measure =
        0; ///< of one count in the offer's price unit, when that is neither "each" nor "pack"
    double mass = 0; ///< kg of one count, for delivery by mass; 0: not known
};

/// Cuts that a supplier's cutting service makes, for the core to price.
struct DealerCuts {
    std::string supplier;
    std::int64_t cuts = 0; ///< beyond those free with the sheets
};

/// One way to meet a plan demand: what to buy and how it is cut. Carries no money.
struct Way {
    std::string id;
    std::string title;
    std::vector<Use> uses;
    std::vector<DealerCuts> dealer_cuts;
    double yield = 0;             ///< share of what is bought that ends in parts, 0 to 1
    double waste = 0;             ///< in the unit of the module's quantity (m2, m3, m)
    std::int64_t used = 0;        ///< sheets or boards used
    std::int64_t lower_bound = 0; ///< no plan with these formats needs fewer
    bool proven = false;          ///< used equals the bound, or search was complete
    Json plans = Json::array();   ///< cutting plans as in the estimate document
};

/// The share of a demand that a line causes; weights of any unit.
struct Share {
    std::string line;
    double weight = 0;
};

/// What is needed and by which lines: an amount, or a choice of ways (1 to 12).
struct Demand {
    std::string id; ///< unique in the module
    std::string title;
    std::vector<Share> shares; ///< the lines that it serves
    std::optional<Amount> amount;
    std::vector<Way> ways;
    std::string plan_type; ///< "sheet" or "board" when ways carry cutting plans
    bool decides_sizes =
        false; ///< measured size decides parts: should be in hand before those are cut
    bool returnable = true;
};

/// Where in the making of a piece a step stands. Steps of one piece follow this order unless
/// `after` says otherwise.
enum class Phase { prepare, cut, machine, assemble, finish, install, complete };

/// A working step.
struct Step {
    std::string id; ///< unique in the module
    std::string title;
    std::vector<std::string> lines; ///< lines worked on; they decide the pieces
    Phase phase = Phase::cut;
    double minutes = 0;      ///< hands-on time of each person
    double wait_minutes = 0; ///< unattended time after it, through the night: glue, drying
    std::int64_t people = 1;
    std::vector<std::string> after; ///< ids of steps of this module
    std::vector<std::string> needs; ///< ids of demands of this module that must be in hand
};

struct TakeOffReply {
    std::vector<QuantityRow> quantities;
    std::vector<Demand> demands;
    std::vector<Step> steps;
    std::vector<Finding> findings;
    std::vector<Working> workings;
};

// ---------------------------------------------------------------- follow

/// What the core chose for a demand.
struct Chosen {
    std::string module;
    std::string demand;
    std::string way; ///< id of the way, empty for an amount
    std::vector<Use> uses;
    double content = 0; ///< of an amount: what all uses together hold, in the amount's unit
    std::vector<Share> shares;
    Json plans = Json::array();
};

struct FollowRequest {
    std::vector<Line> lines;    ///< the module's own lines, derived values filled in
    std::vector<Chosen> chosen; ///< for its own demands and those of the modules it comes after
    std::map<std::string, std::vector<QuantityRow>>
        quantities; ///< by module: its own and those it comes after
    Settings settings;
    Json tables = Json::object();
};

struct FollowReply {
    std::vector<QuantityRow> quantities;
    std::vector<Step> steps;
    std::vector<Finding> findings;
    std::vector<Working> workings;
};

// ---------------------------------------------------------------- to and from JSON

/// The JSON form; empty strings, lists and absent optionals are left out.
[[nodiscard]] Json to_json(const Description&);
[[nodiscard]] Json to_json(const DeriveRequest&);
[[nodiscard]] Json to_json(const DeriveReply&);
[[nodiscard]] Json to_json(const TakeOffRequest&);
[[nodiscard]] Json to_json(const TakeOffReply&);
[[nodiscard]] Json to_json(const FollowRequest&);
[[nodiscard]] Json to_json(const FollowReply&);
[[nodiscard]] Json to_json(const Field&);
[[nodiscard]] Json to_json(const Finding&);
[[nodiscard]] Json to_json(const Working&);

/// Reads a document; `origin` names it in faults. Unknown keys are ignored.
/// @throws FaultError with every fault: "missing-key", "wrong-type", "unknown-choice".
[[nodiscard]] Description read_description(const Json&, const std::string& origin);
[[nodiscard]] DeriveRequest read_derive_request(const Json&, const std::string& origin);
[[nodiscard]] DeriveReply read_derive_reply(const Json&, const std::string& origin);
[[nodiscard]] TakeOffRequest read_take_off_request(const Json&, const std::string& origin);
[[nodiscard]] TakeOffReply read_take_off_reply(const Json&, const std::string& origin);
[[nodiscard]] FollowRequest read_follow_request(const Json&, const std::string& origin);
[[nodiscard]] FollowReply read_follow_reply(const Json&, const std::string& origin);

/// JSON Schema (draft-07) of a contract document: "description", "derive_request", "derive_reply",
/// "take_off_request", "take_off_reply", "follow_request", "follow_reply".
[[nodiscard]] Json schema(std::string_view document);

} // namespace aumbry::contract
