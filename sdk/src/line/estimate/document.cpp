#include "aumbry/estimate.hpp"

#include "documents/contract_members.hpp"
#include "line/estimate/members.hpp"

namespace aumbry {

[[nodiscard]] inline std::span<const std::string_view> names_of(Progress) {
    static constexpr std::array<std::string_view, 4> names{"planned", "ordered", "received", "cut"};
    return names;
}

AUMBRY_RECORD(Totals, "totals") {
    visit.must("goods", self.goods);
    visit.must("services", self.services);
    visit.must("delivery", self.delivery);
    visit.must("labour", self.labour);
    visit.must("contingency", self.contingency);
    visit.must("markup", self.markup);
    visit.must("tax", self.tax);
    visit.must("total", self.total);
}
AUMBRY_RECORD(Part, "part") {
    visit.must("id", self.id);
    visit.must("title", self.title);
    visit.must("totals", self.totals);
}
AUMBRY_RECORD(EstimateLine, "line") {
    visit.must("id", self.id);
    visit.must("kind", self.kind);
    visit.may("piece", self.piece);
    visit.must("title", self.title);
    visit.may("module", self.module);
    visit.may("material", self.material);
    visit.must("count", self.count);
    visit.may("fields", self.fields);
    visit.may("derived", self.derived);
    visit.must("mass", self.mass);
    visit.must("cost", self.cost);
    visit.must("state", self.state);
    visit.may("not_priced", self.not_priced);
}
AUMBRY_RECORD(EstimateQuantity, "quantity") {
    visit.must("module", self.module);
    visit.must("ref", self.ref);
    visit.must("title", self.title);
    visit.must("value", self.value);
    visit.may("unit", self.unit);
    visit.may("lines", self.lines);
}
AUMBRY_RECORD(LineShare, "line_share") {
    visit.must("line", self.line);
    visit.must("amount", self.amount);
}
AUMBRY_RECORD(EstimatePurchase, "purchase") {
    visit.must("supplier", self.supplier);
    visit.may("supplier_name", self.supplier_name);
    visit.must("offer", self.offer);
    visit.may("sku", self.sku);
    visit.may("class", self.catalog_class);
    visit.must("description", self.description);
    visit.must("count", self.count);
    visit.must("needed", self.needed);
    visit.must("measure", self.measure);
    visit.may("price_unit", self.price_unit);
    visit.must("listed_price", self.listed_price);
    visit.may("listed_currency", self.listed_currency);
    visit.must("unit_price", self.unit_price);
    visit.must("amount", self.amount);
    visit.must("tax_percent", self.tax_percent);
    visit.must("lines", self.lines);
    visit.may("demands", self.demands);
    visit.must("arrives", self.arrives);
    visit.may("order_by", self.order_by);
    visit.must("service", self.service);
    visit.must("owned", self.owned);
    visit.must("returnable", self.returnable);
    visit.must("decides_sizes", self.decides_sizes);
    visit.must("state", self.state);
    visit.must("tax", self.tax);
    visit.may("wanted", self.wanted);
    visit.may("price_row", self.price_row);
    visit.may("valid_to", self.valid_to);
}
AUMBRY_RECORD(EstimateSale, "sale") {
    visit.must("net", self.net);
    visit.must("taxes", self.taxes);
    visit.must("total", self.total);
}
AUMBRY_RECORD(EstimateOrder, "order") {
    visit.must("supplier", self.supplier);
    visit.must("name", self.name);
    visit.must("invented", self.invented);
    visit.must("goods", self.goods);
    visit.must("services", self.services);
    visit.must("cuts", self.cuts);
    visit.must("cut_count", self.cut_count);
    visit.must("delivery", self.delivery);
    visit.must("small_order", self.small_order);
    visit.must("taxes", self.taxes);
    visit.must("tax", self.tax);
    visit.must("total", self.total);
    visit.must("collected", self.collected);
    visit.must("mass", self.mass);
    visit.must("trips", self.trips);
    visit.must("arrives", self.arrives);
    visit.may("order_by", self.order_by);
    visit.may("second_of", self.second_of);
    visit.may("after", self.after);
    visit.must("goes_out", self.goes_out);
}
AUMBRY_RECORD(EstimateLeftover, "leftover") {
    visit.must("id", self.id);
    visit.must("class", self.catalog_class);
    visit.must("title", self.title);
    visit.must("count", self.count);
    visit.must("attributes", self.attributes);
    visit.must("from", self.from);
}
AUMBRY_RECORD(EstimateBound, "bound") {
    visit.must("demand", self.demand);
    visit.must("module", self.module);
    visit.must("material", self.material);
    visit.must("used", self.used);
    visit.must("lower_bound", self.lower_bound);
    visit.must("proven", self.proven);
    visit.must("yield", self.yield);
    visit.must("waste", self.waste);
}
AUMBRY_RECORD(EstimateTask, "task") {
    visit.must("id", self.id);
    visit.must("title", self.title);
    visit.may("pieces", self.pieces);
    visit.must("worker", self.worker);
    visit.must("minutes", self.minutes);
    visit.must("wait_minutes", self.wait_minutes);
    visit.must("people", self.people);
    visit.must("phase", self.phase);
    visit.must("start", self.start);
    visit.must("start_minute", self.start_minute);
    visit.must("finish", self.finish);
    visit.must("latest_finish", self.latest_finish);
    visit.must("slack_hours", self.slack_hours);
    visit.must("slack_days", self.slack_days);
    visit.must("critical", self.critical);
    visit.may("waits_for", self.waits_for);
    visit.may("needs", self.needs);
    visit.may("after", self.after);
    visit.may("lines", self.lines);
    visit.may("rack", self.rack);
    visit.may("operation", self.operation);
    visit.must("worked_minutes", self.worked_minutes);
    visit.must("done", self.done);
    visit.must("cost", self.cost);
}
AUMBRY_RECORD(EstimateHours, "hours") {
    visit.must("worker", self.worker);
    visit.must("title", self.title);
    visit.must("hours", self.hours);
    visit.must("charged", self.charged);
    visit.must("rate", self.rate);
    visit.must("amount", self.amount);
}
AUMBRY_RECORD(EstimateOperation, "operation") {
    visit.must("operation", self.operation);
    visit.must("hours", self.hours);
}
AUMBRY_RECORD(EstimateTime, "time") {
    visit.must("module", self.module);
    visit.must("setting", self.setting);
    visit.must("title", self.title);
    visit.may("help", self.help);
    visit.may("unit", self.unit);
    visit.must("minutes", self.minutes);
    visit.must("usual", self.usual);
}
AUMBRY_RECORD(EstimateSchedule, "schedule") {
    visit.must("tasks", self.tasks);
    visit.must("critical_path", self.critical_path);
    visit.must("hours", self.hours);
    visit.must("operations", self.operations);
    visit.must("times", self.times);
    visit.must("ready", self.ready);
    visit.may("wanted_by", self.wanted_by);
    visit.must("orders_from", self.orders_from);
    visit.may("accept_by", self.accept_by);
}
AUMBRY_RECORD(EstimateFinding, "finding") {
    visit.must("severity", self.severity);
    visit.must("code", self.code);
    visit.may("module", self.module);
    visit.may("line", self.line);
    visit.must("text", self.text);
    visit.may("step", self.step);
    visit.flag("client", self.client);
}
AUMBRY_RECORD(EstimateModule, "module") {
    visit.must("id", self.id);
    visit.must("title", self.title);
    visit.must("version", self.version);
    visit.must("contract", self.contract);
}
AUMBRY_RECORD(EstimateNextBest, "next_best") {
    visit.must("demand", self.demand);
    visit.must("suppliers", self.suppliers);
    visit.must("what", self.what);
    visit.must("more", self.more);
    visit.must("arrives", self.arrives);
}
AUMBRY_RECORD(EstimateCash, "cash") {
    visit.must("date", self.date);
    visit.must("what", self.what);
    visit.must("amount", self.amount);
    visit.must("so_far", self.so_far);
}
AUMBRY_RECORD(EstimateWeek, "week") {
    visit.must("from", self.from);
    visit.must("out", self.out);
    visit.must("in", self.in);
    visit.must("hours", self.hours);
}
AUMBRY_RECORD(EstimateSpare, "spare_sheet") {
    visit.must("material", self.material);
    visit.must("title", self.title);
    visit.must("offer", self.offer);
    visit.must("supplier", self.supplier);
    visit.must("supplier_name", self.supplier_name);
    visit.must("description", self.description);
    visit.must("more", self.more);
}
AUMBRY_RECORD(Estimate, "estimate") {
    int version = estimate_version;
    visit.must("aumbry_estimate", version);
    visit.must("title", self.title);
    visit.may("alternative", self.alternative);
    std::string code = self.currency.code;
    visit.must("currency", code);
    visit.must("length_unit", self.length_unit);
    visit.must("effort", self.effort);
    visit.must("priced_on", self.priced_on);
    visit.must("start", self.start);
    visit.must("inputs", self.inputs);
    visit.must("modules", self.modules);
    visit.must("totals", self.totals);
    visit.may("earned_an_hour", self.earned_an_hour);
    visit.must("deposit", self.deposit);
    visit.must("balance", self.balance);
    visit.must("sale", self.sale);
    visit.must("by_piece", self.by_piece);
    visit.must("by_module", self.by_module);
    visit.must("lines", self.lines);
    visit.must("quantities", self.quantities);
    visit.must("purchases", self.purchases);
    visit.must("orders", self.orders);
    visit.must("cutting_plans", self.cutting_plans);
    visit.must("board_plans", self.board_plans);
    contract::Plans further{.lifts = self.lift_plans, .others = self.further_plans};
    visit.must("further_plans", further);
    visit.must("bounds", self.bounds);
    visit.must("leftovers", self.leftovers);
    visit.must("schedule", self.schedule);
    visit.must("labour_stated", self.labour_stated);
    visit.must("purchase_proven", self.purchase_proven);
    visit.must("purchase_cost", self.purchase_cost);
    visit.must("purchase_bound", self.purchase_bound);
    visit.may("purchase_not_bounded", self.purchase_not_bounded);
    visit.must("next_best", self.next_best);
    visit.may("prices_hold", self.prices_hold);
    visit.may("prices_hold_offers", self.prices_hold_offers);
    visit.must("cash", self.cash);
    visit.must("weeks", self.weeks);
    visit.may("spare_sheets", self.spare_sheets);
    visit.must("mass", self.mass);
    visit.must("not_included", self.not_included);
    visit.must("not_counted", self.not_counted);
    visit.must("findings", self.findings);
    visit.must("workings", self.workings);
}

Json to_json(const Estimate& estimate) {
    return document::to_json(estimate);
}

Json estimate_schema() {
    return document::SchemaWriter().document<Estimate>("Aumbry estimate");
}

} // namespace aumbry
