#include "aumbry/order.hpp"

#include "line/estimate/members.hpp"
#include "papers/order_sheets.hpp"
#include "values/plain_id.hpp"

#include "aumbry/csv.hpp"
#include "aumbry/line_access.hpp"
#include "aumbry/piece_letters.hpp"
#include "aumbry/rounding.hpp"

#include <algorithm>
#include <set>

namespace aumbry {

namespace {

/// What is known of a purchase: its titles of lines, each once, in the order of the bill.
std::vector<std::string> titles_of(const Estimate& estimate, const EstimatePurchase& purchase) {
    std::vector<std::string> titles;
    for (const LineShare& share : purchase.lines) {
        const auto line =
            std::find_if(estimate.lines.begin(), estimate.lines.end(),
                         [&](const EstimateLine& each) { return each.id == share.line; });
        const std::string& title = line == estimate.lines.end() ? share.line : line->title;
        if (std::find(titles.begin(), titles.end(), title) == titles.end()) titles.push_back(title);
    }
    return titles;
}

/// The latest day on which a supplier's goods may arrive without delaying anything: as much later
/// than now as ordering may wait.
std::optional<Date> needed_on(const Estimate& estimate, const EstimateOrder& order) {
    std::optional<Date> needed;
    for (const EstimatePurchase& purchase : estimate.purchases) {
        if (purchase.supplier != order.supplier || purchase.owned ||
            purchase.state != Progress::planned)
            continue;
        for (const std::string& demand : purchase.demands) {
            const auto found = estimate.latest_arrivals.find(demand);
            const Date latest =
                found == estimate.latest_arrivals.end() ? estimate.schedule.ready : found->second;
            needed = needed ? std::min(*needed, latest) : latest;
        }
    }
    return needed;
}

/// The plans of sheets that are still to be ordered: what is ordered already was cut by then.
std::vector<SheetToCut> sheets_to_order(const Estimate& estimate) {
    std::vector<SheetToCut> sheets;
    int number = 0;
    for (const contract::SheetPlan& plan : estimate.cutting_plans) {
        ++number;
        const bool planned =
            std::any_of(estimate.purchases.begin(), estimate.purchases.end(),
                        [&](const EstimatePurchase& each) {
                            return each.offer == plan.offer && each.state == Progress::planned &&
                                   std::find(each.demands.begin(), each.demands.end(),
                                             plan.demand) != each.demands.end();
                        });
        if (planned) sheets.push_back({'S' + std::to_string(number), plan});
    }
    return sheets;
}

} // namespace

std::vector<SupplierSheet>
sheets_cut_by(const std::string& supplier, const std::vector<SheetToCut>& sheets,
              const std::function<std::string(const std::string&)>& name) {
    std::vector<SupplierSheet> cut;
    for (const auto& [id, plan] : sheets) {
        if (plan.supplier != supplier) continue;
        SupplierSheet sheet;
        sheet.id = id;
        const std::vector<std::string> letters = piece_letters(plan);
        const auto letter_of = [&](std::optional<int> piece) {
            return piece ? letters.at(static_cast<std::size_t>(*piece)) : std::string();
        };
        const auto blank_at = [&](int index) -> const contract::Blank& {
            return plan.blanks.at(static_cast<std::size_t>(index));
        };
        std::set<int> handed_over{0};
        for (const contract::SheetCut& cut : plan.cuts) {
            if (cut.by != contract::CutBy::dealer) continue;
            const contract::Blank& blank = blank_at(cut.blank);
            SupplierCut made;
            made.number = static_cast<int>(sheet.cuts.size()) + 1;
            made.piece = letter_of(cut.blank);
            made.cut_off = letter_of(cut.first);
            made.left = letter_of(cut.second);
            // A cut that leaves pieces shorter than before runs across the sheet.
            made.across = cut.direction == contract::CutDirection::length;
            made.kerf = kerf_of(plan, cut);
            made.at = cut.position;
            made.length = blank.length;
            made.width = blank.width;
            made.kind = cut.kind.value_or((made.across ? blank.width : blank.length) >= cut.position
                                              ? contract::CutKind::rip
                                              : contract::CutKind::crosscut);
            const double room = (made.across ? blank.length : blank.width) - cut.position;
            const double middle = cut.position + std::min(kerf_of(plan, cut), room) / 2;
            made.x1 = made.across ? blank.x + middle : blank.x;
            made.x2 = made.across ? made.x1 : blank.x + blank.length;
            made.y1 = made.across ? blank.y : blank.y + middle;
            made.y2 = made.across ? blank.y + blank.width : made.y1;
            sheet.cuts.push_back(made);
            handed_over.erase(cut.blank);
            if (cut.first) handed_over.insert(*cut.first);
            if (cut.second) handed_over.insert(*cut.second);
        }
        if (sheet.cuts.empty()) continue;
        sheet.sku = plan.sku;
        sheet.description = name(plan.offer);
        sheet.length = plan.sheet.length;
        sheet.width = plan.sheet.width;
        sheet.clean_up = plan.clean_up;
        sheet.copies = plan.copies;
        for (const int index : handed_over) {
            const contract::Blank& blank = blank_at(index);
            sheet.pieces.push_back({letter_of(index), blank.x, blank.y, blank.length, blank.width});
        }
        std::sort(sheet.pieces.begin(), sheet.pieces.end(),
                  [](const SupplierPiece& a, const SupplierPiece& b) {
                      return std::pair(a.letter.size(), a.letter) <
                             std::pair(b.letter.size(), b.letter);
                  });
        cut.push_back(std::move(sheet));
    }
    return cut;
}

void add_position(Order& order, const PurchaseRow& purchase, std::vector<std::string> lines) {
    OrderPosition position;
    static_cast<PurchaseRow&>(position) = purchase;
    position.number = static_cast<int>(order.positions.size()) + 1;
    position.lines = std::move(lines);
    order.net += purchase.amount;
    order.positions.push_back(std::move(position));
}

void add_charges(Order& order, const Money& cuts, std::int64_t cuts_charged, const Money& delivery,
                 const Money& small_order, bool collected) {
    const auto charge = [&](const std::string& title, const Money& amount) {
        if (amount.is_zero()) return;
        order.charges.push_back({title, amount});
        order.net += amount;
    };
    std::int64_t made = 0;
    for (const SupplierSheet& sheet : order.sheets)
        made += sheet.copies * static_cast<std::int64_t>(sheet.cuts.size());
    made = std::max(made, cuts_charged); // boards are cut too, and are told in `wanted`
    charge(
        std::to_string(made) + (made == 1 ? " cut" : " cuts") + " by the supplier" +
            (made > cuts_charged ? ", " + std::to_string(cuts_charged) + " of them charged" : ""),
        cuts);
    order.collecting = Money::zero(order.net.currency());
    if (collected)
        order.collecting = delivery;
    else
        charge("Delivery", delivery);
    charge("Up to the minimum order", small_order);
}

std::vector<Order> orders_of(const Estimate& estimate) {
    const std::vector<SheetToCut> sheets = sheets_to_order(estimate);
    std::vector<Order> orders;
    for (const EstimateOrder& bought : estimate.orders) {
        Order order;
        order.supplier = bought.supplier;
        order.name = bought.name;
        order.invented = bought.invented;
        order.currency = estimate.currency.code;
        order.net = Money::zero(estimate.currency);
        for (const EstimatePurchase& purchase : estimate.purchases) {
            if (purchase.supplier != bought.supplier || purchase.owned ||
                purchase.state != Progress::planned)
                continue;
            add_position(order, purchase, titles_of(estimate, purchase));
        }
        order.sheets = sheets_cut_by(bought.supplier, sheets, [&](const std::string& offer) {
            for (const EstimatePurchase& purchase : estimate.purchases) {
                if (purchase.offer == offer) return purchase.description;
            }
            return offer;
        });
        add_charges(order, bought.cuts, bought.cut_count, bought.delivery, bought.small_order,
                    bought.collected);
        order.taxes = bought.taxes;
        order.tax = bought.tax;
        order.total = bought.total - order.collecting;
        order.collected = bought.collected;
        order.mass = bought.mass;
        order.trips = bought.trips;
        order.order_by = bought.order_by;
        order.in_hand = bought.arrives;
        order.needed = needed_on(estimate, bought);
        orders.push_back(std::move(order));
    }
    return orders;
}

AUMBRY_RECORD(OrderPosition, "order_position") {
    visit.must("number", self.number);
    visit.may("sku", self.sku);
    visit.must("description", self.description);
    visit.must("count", self.count);
    visit.must("measure", self.measure);
    visit.may("unit", self.price_unit);
    visit.must("unit_price", self.unit_price);
    visit.must("amount", self.amount);
    visit.must("tax_percent", self.tax_percent);
    visit.must("listed_price", self.listed_price);
    visit.may("listed_currency", self.listed_currency);
    visit.must("service", self.service);
    visit.must("returnable", self.returnable);
    visit.may("wanted", self.wanted);
    visit.may("lines", self.lines);
}
AUMBRY_RECORD(OrderCharge, "order_charge") {
    visit.must("title", self.title);
    visit.must("amount", self.amount);
}
AUMBRY_RECORD(SupplierCut, "supplier_cut") {
    visit.must("number", self.number);
    visit.must("piece", self.piece);
    visit.may("cut_off", self.cut_off);
    visit.may("left", self.left);
    visit.must("across", self.across);
    visit.must("at", self.at);
    visit.must("length", self.length);
    visit.must("width", self.width);
}

OrderHead head_of(const Estimate& estimate) {
    return {estimate.title, estimate.currency, estimate.length_unit, estimate.priced_on,
            estimate.papers.maker};
}

Json orders_json(const OrderHead& head, const std::vector<Order>& orders) {
    Json list = Json::array();
    for (const Order& order : orders) {
        Json sheets = Json::array();
        for (const SupplierSheet& sheet : order.sheets) {
            Json blanks = Json::array();
            for (const SupplierPiece& piece : sheet.pieces)
                blanks.push_back(
                    {{"letter", piece.letter}, {"length", piece.length}, {"width", piece.width}});
            sheets.push_back({{"id", sheet.id},
                              {"sku", sheet.sku},
                              {"description", sheet.description},
                              {"copies", sheet.copies},
                              {"sheet", {{"length", sheet.length}, {"width", sheet.width}}},
                              {"cuts", document::to_json(sheet.cuts)},
                              {"blanks", blanks}});
        }
        Json made = {{"supplier", order.supplier},
                     {"name", order.name},
                     {"invented", order.invented},
                     {"positions", document::to_json(order.positions)},
                     {"charges", document::to_json(order.charges)},
                     {"net", order.net.str()},
                     {"taxes", document::to_json(order.taxes)},
                     {"tax", order.tax.str()},
                     {"total", order.total.str()},
                     {"collecting", order.collecting.str()},
                     {"collected", order.collected},
                     {"mass", order.mass},
                     {"trips", order.trips},
                     {"in_hand", format_date(order.in_hand)}};
        if (order.order_by) made["order_by"] = format_date(*order.order_by);
        if (order.needed) made["needed"] = format_date(*order.needed);
        made["sheets_to_cut"] = std::move(sheets);
        list.push_back(std::move(made));
    }
    return {{"title", head.title}, {"currency", head.currency.code}, {"orders", list}};
}

std::string wanted_text(const PurchaseRow& purchase) {
    std::string text;
    for (const std::string& wanted : purchase.wanted) text += (text.empty() ? "" : "; ") + wanted;
    return text;
}

std::string order_csv(const Order& order) {
    std::string text = csv::write_record(std::vector<std::string>{
        "position", "sku", "description", "count", "measure", "unit", "unit_price", "amount",
        "currency", "tax_percent", "lines", "wanted"});
    for (const OrderPosition& position : order.positions) {
        std::string lines;
        for (const std::string& title : position.lines)
            lines += (lines.empty() ? "" : "; ") + title;
        text += csv::write_record(std::vector<std::string>{
            std::to_string(position.number), position.sku, position.description,
            std::to_string(position.count),
            position.measure > 0 ? format_trimmed(position.measure, 6) : "", position.price_unit,
            position.unit_price.str(), position.amount.str(), order.currency,
            position.tax_percent.str(), lines, wanted_text(position)});
    }
    const auto row = [&](const std::string& title, const Money& amount,
                         const std::string& percent) {
        text += csv::write_record(std::vector<std::string>{
            "", "", title, "", "", "", "", amount.str(), order.currency, percent, "", ""});
    };
    for (const OrderCharge& charge : order.charges) row(charge.title, charge.amount, "");
    for (const TaxAtRate& tax : order.taxes)
        row("tax " + tax.percent.str() + " % of " + tax.taxable.str(), tax.tax, tax.percent.str());
    row("total", order.total, "");
    return text;
}

std::string price_in_words(const Decimal& price, const Currency& currency) {
    const Money rounded = Money::round(price, currency);
    return price < Decimal(1) && rounded.decimal() != price ? price.str() : rounded.grouped();
}

std::vector<std::string> file_names_of(const std::vector<Order>& orders) {
    std::vector<std::string> names;
    for (const Order& order : orders) {
        const std::string base = plain_id(order.supplier, '-', "supplier");
        std::string name = base;
        for (int n = 2; std::find(names.begin(), names.end(), name) != names.end(); ++n)
            name = base + '-' + std::to_string(n);
        names.push_back(std::move(name));
    }
    return names;
}

} // namespace aumbry
