#include "sundries/module/sundries.hpp"

#include "sundries/engine/need.hpp"
#include "sundries/engine/offers.hpp"

#include "aumbry/rounding.hpp"

#include <algorithm>
#include <array>
#include <utility>

namespace aumbry::sundries {

using contract::Demand;
using contract::Line;
using contract::Severity;
using contract::TakeOffReply;
using contract::TakeOffRequest;

namespace {

/// What the line wants, as price lists would call it; empty when it does not say.
std::string wanted_text(const Line& line) {
    std::string wanted;
    for (const char* field : {"type", "product", "size", "colour", "sku"}) {
        if (const std::string value = text(line, field, ""); !value.empty())
            wanted += (wanted.empty() ? "" : ", ") + value;
    }
    return wanted;
}

bool names_offer(const Line& line, const contract::Offer& offer) {
    const std::string sku = text(line, "sku", "");
    return sku.empty() || offer.sku == sku || offer.id == sku;
}

/// Lines that one demand serves: of equal specification and unit, or one with a stated price.
struct Batch {
    std::vector<const Line*> lines;
    std::string unit;
};

std::vector<Batch> batches_of(const TakeOffRequest& request) {
    std::vector<Batch> batches;
    for (const Line& line : request.lines) {
        const std::string unit = read_need(line).unit;
        const auto same = std::find_if(batches.begin(), batches.end(), [&](const Batch& batch) {
            const Line& first = *batch.lines.front();
            return batch.unit == unit && find_value(first, "price") == nullptr &&
                   find_value(line, "price") == nullptr &&
                   wanted_text(first) == wanted_text(line) && !wanted_text(line).empty();
        });
        if (same == batches.end())
            batches.push_back({{&line}, unit});
        else
            same->lines.push_back(&line);
    }
    return batches;
}

std::string list_of(const std::vector<std::string>& names) {
    std::string list;
    for (std::size_t i = 0; i < names.size(); ++i)
        list += (i == 0 ? "" : i + 1 == names.size() ? " and " : ", ") + names[i];
    return list;
}

void add_working(TakeOffReply& reply, const Line& line, const Need& need) {
    contract::Working working;
    working.ref = line.id + ".quantity";
    working.title = "How much of " + display_name(line);
    working.formula = need.name.empty() ? "count" : "count x " + need.name;
    working.inputs.push_back({"count", std::to_string(need.count), line.id + ".count"});
    if (!need.name.empty())
        working.inputs.push_back(
            {need.name, amount_text(need.of_one, need.unit), line.id + '.' + need.name});
    if (need.waste > 0) {
        working.formula += " x (1 + waste)";
        working.inputs.push_back(
            {"waste", format_trimmed(need.waste, 3) + " %", line.id + ".waste"});
    }
    working.result = amount_text(need.quantity(), need.unit);
    working.source = "what the line states";
    reply.workings.push_back(std::move(working));
}

void add_step(TakeOffReply& reply, const Line& line, const std::string& demand) {
    const double minutes = number(line, "fitting", 0) * static_cast<double>(line.count);
    if (minutes <= 0) return;
    contract::Step step;
    step.id = "fit_" + line.id;
    step.title = "Fit " + display_name(line);
    step.lines = {line.id};
    step.phase = contract::phase_called(text(line, "phase"), contract::Phase::fit);
    step.operation = "fit";
    step.minutes = round_to(minutes, 4);
    step.needs = {demand};
    reply.steps.push_back(std::move(step));
}

/// Work of that phase waits for a service that it needs.
void add_wait(TakeOffReply& reply, const Line& line, const std::string& demand) {
    const auto phase = contract::phase_called(text(line, "phase", ""), contract::Phase::complete);
    if (text(line, "phase", "").empty() || phase == contract::Phase::prepare) return;
    contract::Step step;
    step.id = "there_" + line.id;
    step.title = display_name(line) + " is there";
    step.lines = {line.id};
    step.phase = static_cast<contract::Phase>(static_cast<int>(phase) - 1);
    step.needs = {demand};
    reply.steps.push_back(std::move(step));
}

void state_price(TakeOffReply& reply, Demand& demand, const Line& line, const std::string& unit) {
    contract::StatedPrice stated;
    stated.price = text(line, "price");
    stated.supplier = text(line, "quoted_by", "");
    stated.catalog_class = line.kind;
    if (find_value(line, "tax") != nullptr)
        stated.tax_rate = format_trimmed(number(line, "tax", 0), 4);
    stated.tax_included = flag(line, "tax_included");
    stated.lead_days = static_cast<std::int64_t>(number(line, "lead_days", 0));
    demand.amount->stated = stated;
    reply.findings.push_back(
        {Severity::note, "price-stated", line.id,
         "The price of " + display_name(line) + ", " + stated.price +
             (unit.empty() ? " each" : " per " + unit) + ", is stated in the project" +
             (stated.supplier.empty() ? "" : " as quoted by " + stated.supplier) +
             "; have it confirmed before ordering."});
}

void find_offers(TakeOffReply& reply, Demand& demand, const TakeOffRequest& request,
                 const Batch& batch) {
    const Line& first = *batch.lines.front();
    const std::string wanted = wanted_text(first);
    if (wanted.empty()) {
        for (const Line* line : batch.lines) {
            reply.findings.push_back(
                {Severity::problem, request.kind + "-not-specified", line->id,
                 display_name(*line) + " does not say what to buy: give it a type, a product or a "
                                       "supplier's number, or state a price."});
        }
        return;
    }
    std::size_t silent = 0;
    for (const contract::Offer& offer : request.offers) {
        if (offer.catalog_class != request.kind || !names_offer(first, offer)) continue;
        if (auto content = content_of(offer, batch.unit))
            demand.amount->offers.push_back(*content);
        else
            ++silent;
    }
    if (!demand.amount->offers.empty()) return;
    const std::string by = batch.unit.empty() ? std::string() : " by the " + batch.unit;
    const std::string reason = silent == 0 ? "Nobody offers '" + wanted + "'"
                                           : "Those who offer '" + wanted + "' do not sell it" +
                                                 (by.empty() ? " by count" : by) +
                                                 " or do not say how much one holds";
    for (const Line* line : batch.lines) {
        reply.findings.push_back(
            {Severity::problem, request.kind + "-not-offered", line->id,
             reason + ", so " + display_name(*line) +
                 " is not priced: add it to a price list or state its price."});
    }
}

} // namespace

contract::DeriveReply Sundries::derive(const contract::DeriveRequest& request, const Host&) const {
    contract::DeriveReply reply;
    for (const Line& line : request.lines) {
        const Need need = read_need(line);
        if (need.stated.size() > 1) {
            reply.findings.push_back({Severity::problem, "several-measures", line.id,
                                      display_name(line) + " states " + list_of(need.stated) +
                                          "; keep the one it is sold by, here " +
                                          need.stated.front() + " is used."});
        }
        if (line.kind != "item") continue;
        const double mass = number(line, "item_mass", number(line, "mass", 0));
        if (mass > 0) reply.lines.push_back({line.id, {{"mass", round_to(mass, 4)}}});
    }
    return reply;
}

TakeOffReply Sundries::take_off(const TakeOffRequest& request, const Host&) const {
    TakeOffReply reply;
    for (const Batch& batch : batches_of(request)) {
        const Line& first = *batch.lines.front();
        Demand demand;
        demand.id = first.id;
        demand.title = wanted_text(first).empty() ? display_name(first) : wanted_text(first);
        demand.amount.emplace();
        demand.amount->unit = batch.unit;
        demand.returnable = request.kind == "item";
        double total = 0;
        contract::QuantityRow row;
        for (const Line* line : batch.lines) {
            const Need need = read_need(*line);
            total += need.quantity();
            demand.shares.push_back({line->id, need.quantity()});
            row.lines.push_back(line->id);
            add_working(reply, *line, need);
            if (request.kind == "service")
                add_wait(reply, *line, demand.id);
            else
                add_step(reply, *line, demand.id);
        }
        demand.amount->quantity = round_to(total, 6);
        row.ref = demand.id + ".needed";
        row.title = demand.title;
        row.value = demand.amount->quantity;
        row.unit = batch.unit;
        if (find_value(first, "price") != nullptr)
            state_price(reply, demand, first, batch.unit);
        else
            find_offers(reply, demand, request, batch);
        reply.quantities.push_back(std::move(row));
        reply.demands.push_back(std::move(demand));
    }
    return reply;
}

} // namespace aumbry::sundries
