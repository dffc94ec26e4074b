// The members of every record of the contract, for document.hpp.
#pragma once

#include "aumbry/contract.hpp"

#include "documents/document.hpp"

#include <array>

namespace aumbry::contract {

using std::string_view;

// Names of enumerators, in their order.
inline constexpr std::array<string_view, 13> field_type_names{
    "text", "choice", "flag",  "count", "number", "quantity", "money",
    "date", "line",   "lines", "texts", "record", "records"};
inline constexpr std::array<string_view, 4> severity_names{"note", "caution", "problem", "warning"};
inline constexpr std::array<string_view, 17> phase_names{
    "prepare", "cut", "join",     "edge",   "machine", "sand", "prefinish", "assemble", "fasten",
    "finish",  "fit", "carry_in", "scribe", "install", "hang", "load",      "complete"};
inline constexpr std::array<string_view, 2> charge_names{"goods", "service"};
inline constexpr std::array<string_view, 2> carriage_names{"vehicle", "delivered"};
constexpr std::span<const string_view> names_of(Carriage) {
    return carriage_names;
}
constexpr std::span<const string_view> names_of(Charge) {
    return charge_names;
}
constexpr std::span<const string_view> names_of(FieldType) {
    return field_type_names;
}
constexpr std::span<const string_view> names_of(Severity) {
    return severity_names;
}
constexpr std::span<const string_view> names_of(Phase) {
    return phase_names;
}

AUMBRY_RECORD(Field, "field") {
    visit.must("name", self.name);
    visit.must("type", self.type);
    visit.may("title", self.title);
    visit.may("help", self.help);
    visit.may("unit", self.unit);
    visit.may("required", self.required);
    visit.may("fallback", self.fallback);
    visit.may("minimum", self.minimum);
    visit.may("above_minimum", self.above_minimum);
    visit.may("maximum", self.maximum);
    visit.may("choices", self.choices);
    visit.may("kinds", self.kinds);
    visit.may("fields", self.fields);
}
AUMBRY_RECORD(DerivedValue, "derived_value") {
    visit.must("name", self.name);
    visit.may("unit", self.unit);
    visit.may("title", self.title);
    visit.may("help", self.help);
}
AUMBRY_RECORD(Match, "match") {
    visit.must("attribute", self.attribute);
    visit.must("value", self.value);
}
AUMBRY_RECORD(OfferQuery, "offer_query") {
    visit.must("class", self.catalog_class);
    visit.may("match", self.match);
}
AUMBRY_RECORD(LineKind, "line_kind") {
    visit.must("kind", self.kind);
    visit.must("title", self.title);
    visit.may("help", self.help);
    visit.may("material_class", self.material_class);
    visit.may("fields", self.fields);
    visit.may("derived", self.derived);
    visit.may("group_by", self.group_by);
    visit.may("offers", self.offers);
}
AUMBRY_RECORD(CatalogClass, "catalog_class") {
    visit.must("name", self.name);
    visit.must("title", self.title);
    visit.may("help", self.help);
    visit.may("charge", self.charge);
    visit.may("attributes", self.attributes);
}
AUMBRY_RECORD(Description, "description") {
    visit.must("id", self.id);
    visit.must("title", self.title);
    visit.must("version", self.version);
    visit.must("contract", self.contract);
    visit.must("line_kinds", self.line_kinds);
    visit.may("catalog_classes", self.catalog_classes);
    visit.may("tables", self.tables);
    visit.may("settings", self.settings);
    visit.may("after", self.after);
}
AUMBRY_RECORD(Material, "material") {
    visit.must("id", self.id);
    visit.must("class", self.catalog_class);
    visit.may("attributes", self.attributes);
    visit.may("carriage", self.carriage);
}
AUMBRY_RECORD(Line, "line") {
    visit.must("id", self.id);
    visit.must("kind", self.kind);
    visit.may("piece", self.piece);
    visit.may("title", self.title);
    visit.may("count", self.count);
    visit.may("material", self.material);
    visit.may("fields", self.fields);
    visit.may("derived", self.derived);
    visit.may("references", self.references);
}
AUMBRY_RECORD(Offer, "offer") {
    visit.must("id", self.id);
    visit.may("supplier", self.supplier);
    visit.may("sku", self.sku);
    visit.must("class", self.catalog_class);
    visit.may("description", self.description);
    visit.may("attributes", self.attributes);
    visit.may("price", self.price);
    visit.may("cost", self.cost);
    visit.may("price_unit", self.price_unit);
    visit.may("pack", self.pack);
    visit.may("min_quantity", self.min_quantity);
    visit.may("limit", self.limit);
    visit.may("owned", self.owned);
    visit.may("carriage", self.carriage);
}
AUMBRY_RECORD(CuttingService, "cutting_service") {
    visit.must("supplier", self.supplier);
    visit.may("offered", self.offered);
    visit.may("price_per_cut", self.price_per_cut);
    visit.may("cost_per_cut", self.cost_per_cut);
    visit.may("free_cuts", self.free_cuts);
    visit.may("kerf", self.kerf);
    visit.may("least_strip", self.least_strip);
    visit.may("accuracy", self.accuracy);
    visit.may("max_levels", self.max_levels);
}
AUMBRY_RECORD(Settings, "settings") {
    visit.may("workshop", self.workshop);
    visit.may("vehicle", self.vehicle);
    visit.may("module", self.module);
    visit.may("effort", self.effort);
    visit.may("length_unit", self.length_unit);
}
AUMBRY_RECORD(DeriveRequest, "derive_request") {
    visit.must("lines", self.lines);
    visit.may("settings", self.settings);
    visit.may("tables", self.tables);
}
AUMBRY_RECORD(TakeOffRequest, "take_off_request") {
    visit.must("kind", self.kind);
    visit.may("group", self.group);
    visit.must("lines", self.lines);
    visit.may("offers", self.offers);
    visit.may("cutting", self.cutting);
    visit.may("settings", self.settings);
    visit.may("tables", self.tables);
}
AUMBRY_RECORD(Finding, "finding") {
    visit.must("severity", self.severity);
    visit.must("code", self.code);
    visit.may("line", self.line);
    visit.must("text", self.text);
    visit.may("step", self.step);
    visit.flag("client", self.client);
}
AUMBRY_RECORD(Input, "input") {
    visit.must("name", self.name);
    visit.must("value", self.value);
    visit.may("source", self.source);
}
AUMBRY_RECORD(Working, "working") {
    visit.must("ref", self.ref);
    visit.may("title", self.title);
    visit.may("formula", self.formula);
    visit.may("inputs", self.inputs);
    visit.must("result", self.result);
    visit.may("source", self.source);
}
AUMBRY_RECORD(DerivedLine, "derived_line") {
    visit.must("line", self.line);
    visit.may("values", self.values);
}
AUMBRY_RECORD(RefusedLine, "refused_line") {
    visit.must("line", self.line);
    visit.must("text", self.text);
}
AUMBRY_RECORD(DeriveReply, "derive_reply") {
    visit.must("lines", self.lines);
    visit.may("refused", self.refused);
    visit.may("findings", self.findings);
    visit.may("workings", self.workings);
}
AUMBRY_RECORD(QuantityRow, "quantity_row") {
    visit.must("ref", self.ref);
    visit.must("title", self.title);
    visit.must("value", self.value);
    visit.may("unit", self.unit);
    visit.may("lines", self.lines);
}
AUMBRY_RECORD(AmountOffer, "amount_offer") {
    visit.must("offer", self.offer);
    visit.must("content", self.content);
    visit.may("measure", self.measure);
    visit.may("mass", self.mass);
}
AUMBRY_RECORD(StatedPrice, "stated_price") {
    visit.must("price", self.price);
    visit.may("supplier", self.supplier);
    visit.may("catalog_class", self.catalog_class);
    visit.may("lead_days", self.lead_days);
    visit.may("tax_rate", self.tax_rate);
    visit.may("tax_included", self.tax_included);
}
AUMBRY_RECORD(Amount, "amount") {
    visit.must("quantity", self.quantity);
    visit.may("unit", self.unit);
    visit.may("offers", self.offers);
    visit.may("stated", self.stated);
}
AUMBRY_RECORD(Use, "use") {
    visit.must("offer", self.offer);
    visit.must("count", self.count);
    visit.may("measure", self.measure);
    visit.may("mass", self.mass);
    visit.flag("must_be_delivered", self.must_be_delivered);
    visit.may("lines", self.lines);
    visit.may("wanted", self.wanted);
}
AUMBRY_RECORD(DealerCuts, "dealer_cuts") {
    visit.must("supplier", self.supplier);
    visit.must("cuts", self.cuts);
}
// Plans are written, read and described in contract_plans.cpp: they are many records, and no other
// source needs to compile them.
#define AUMBRY_PLAN(type)                                                                          \
    void write_form(Json& out, const type& plan);                                                  \
    void read_form(const Json& in, type& out, const std::string& pointer,                          \
                   document::ReadFaults& faults);                                                  \
    [[nodiscard]] Json schema_form(document::SchemaWriter& writer, const type*)
AUMBRY_PLAN(SheetPlan);
AUMBRY_PLAN(BoardPlan);
AUMBRY_PLAN(LiftPlan);
AUMBRY_PLAN(Plans);
#undef AUMBRY_PLAN

AUMBRY_RECORD(Way, "way") {
    visit.must("id", self.id);
    visit.may("title", self.title);
    visit.must("uses", self.uses);
    visit.may("dealer_cuts", self.dealer_cuts);
    visit.may("yield", self.yield);
    visit.may("waste", self.waste);
    visit.may("used", self.used);
    visit.may("lower_bound", self.lower_bound);
    visit.may("proven", self.proven);
    visit.may("plans", self.plans);
}
AUMBRY_RECORD(Share, "share") {
    visit.must("line", self.line);
    visit.may("weight", self.weight);
}
AUMBRY_RECORD(Demand, "demand") {
    visit.must("id", self.id);
    visit.may("title", self.title);
    visit.must("shares", self.shares);
    visit.may("amount", self.amount);
    visit.may("ways", self.ways);
    visit.may("plan_type", self.plan_type);
    visit.may("decides_sizes", self.decides_sizes);
    visit.may("returnable", self.returnable);
    visit.may("order_after", self.order_after);
}
AUMBRY_RECORD(Step, "step") {
    visit.must("id", self.id);
    visit.must("title", self.title);
    visit.may("lines", self.lines);
    visit.may("phase", self.phase);
    visit.may("minutes", self.minutes);
    visit.may("wait_minutes", self.wait_minutes);
    visit.may("people", self.people);
    visit.may("after", self.after);
    visit.may("needs", self.needs);
    visit.may("rack", self.rack);
    visit.may("measures", self.measures);
    visit.may("operation", self.operation);
}
AUMBRY_RECORD(TakeOffReply, "take_off_reply") {
    visit.may("refused", self.refused);
    visit.may("quantities", self.quantities);
    visit.may("demands", self.demands);
    visit.may("steps", self.steps);
    visit.may("findings", self.findings);
    visit.may("workings", self.workings);
}
AUMBRY_RECORD(PlanRequest, "plan_request") {
    visit.must("demand", self.demand);
    visit.must("group", self.group);
    visit.may("known", self.known);
    visit.may("only_bound", self.only_bound);
}
AUMBRY_RECORD(PlanReply, "plan_reply") {
    visit.may("ways", self.ways);
    visit.may("lower_bound", self.lower_bound);
}
AUMBRY_RECORD(Chosen, "chosen") {
    visit.must("module", self.module);
    visit.must("demand", self.demand);
    visit.may("way", self.way);
    visit.must("uses", self.uses);
    visit.may("content", self.content);
    visit.may("shares", self.shares);
    visit.may("plans", self.plans);
}
AUMBRY_RECORD(FollowRequest, "follow_request") {
    visit.must("lines", self.lines);
    visit.may("chosen", self.chosen);
    visit.may("quantities", self.quantities);
    visit.may("settings", self.settings);
    visit.may("tables", self.tables);
}
AUMBRY_RECORD(FollowReply, "follow_reply") {
    visit.may("quantities", self.quantities);
    visit.may("steps", self.steps);
    visit.may("findings", self.findings);
    visit.may("workings", self.workings);
    visit.may("not_counted", self.not_counted);
}

} // namespace aumbry::contract
