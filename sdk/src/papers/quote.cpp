#include "aumbry/quote.hpp"

#include "aumbry/pricing.hpp"

#include "line/estimate/members.hpp"

#include "aumbry/fields.hpp"
#include "aumbry/project.hpp"

#include <algorithm>

namespace aumbry {

namespace {

/// The nearest multiple of a step, half away from zero.
Money to_multiple(const Money& amount, const std::optional<Money>& step) {
    if (!step || step->is_zero() || step->is_negative()) return amount;
    const std::int64_t unit = step->minor();
    const std::int64_t size = amount.is_negative() ? -amount.minor() : amount.minor();
    const std::int64_t rounded = (size + unit / 2) / unit * unit;
    return Money(amount.is_negative() ? -rounded : rounded, amount.currency());
}

std::vector<std::string> titles_of(const Estimate& estimate, const std::string& piece) {
    std::vector<std::string> titles;
    for (const EstimateLine& line : estimate.lines) {
        if (line.piece != piece || !line.not_priced.empty()) continue;
        if (std::find(titles.begin(), titles.end(), line.title) == titles.end())
            titles.push_back(line.title);
    }
    return titles;
}

} // namespace

Quote quote_of(const Estimate& estimate) {
    Quote quote;
    quote.title = estimate.title;
    quote.number = estimate.papers.quote_number;
    quote.alternative = estimate.alternative;
    quote.currency = estimate.currency.code;
    quote.on = estimate.priced_on;
    if (estimate.pricing.valid_days)
        quote.valid_until = estimate.priced_on + std::chrono::days(*estimate.pricing.valid_days);
    if (estimate.prices_hold && (!quote.valid_until || *estimate.prices_hold < *quote.valid_until))
        quote.valid_until = estimate.prices_hold;
    // Accepted later, the promised date could not be kept.
    const std::optional<Date>& accept_by = estimate.schedule.accept_by;
    if (accept_by && (!quote.valid_until || *accept_by < *quote.valid_until))
        quote.valid_until = accept_by;
    quote.ready = estimate.schedule.ready;
    quote.maker = estimate.papers.maker;
    quote.client = estimate.papers.client;
    quote.invented = std::any_of(estimate.orders.begin(), estimate.orders.end(),
                                 [](const EstimateOrder& order) { return order.invented; });

    // One rate of tax is charged on everything, so that the price without tax goes over the pieces
    // as the total does.
    std::vector<Decimal> weights;
    std::vector<const Part*> parts;
    for (const Part& part : estimate.by_piece) {
        if (part.totals.total.is_zero()) continue;
        parts.push_back(&part);
        weights.push_back(part.totals.total.decimal());
    }
    quote.net = Money::zero(estimate.currency);
    if (!parts.empty()) {
        const std::vector<Money> prices = split(estimate.sale.net, weights);
        for (std::size_t i = 0; i < parts.size(); ++i) {
            const Money price = to_multiple(prices[i], estimate.pricing.rounded_to);
            quote.parts.push_back(
                {parts[i]->id, parts[i]->id.empty() ? "For all of it together" : parts[i]->title,
                 price, titles_of(estimate, parts[i]->id)});
            quote.net += price;
        }
    }
    const Decimal rate = estimate.pricing.terms.tax_charged_percent;
    for (const TaxAtRate& tax : tax_by_rate({{quote.net, rate}})) {
        if (!tax.percent.is_zero()) quote.taxes.push_back({tax.percent, tax.taxable, tax.tax});
    }
    quote.total = quote.net;
    for (const TaxAtRate& tax : quote.taxes) quote.total += tax.tax;

    Money left = quote.total;
    const auto stage = [&](const std::string& title, const Decimal& percent) {
        quote.stages.push_back({title, quote.total.percent(percent)});
        left -= quote.stages.back().amount;
    };
    for (const PaymentStage& each : estimate.papers.stages) stage(each.title, each.percent);
    if (quote.stages.empty() && estimate.pricing.terms.deposit_percent)
        stage("with the order", *estimate.pricing.terms.deposit_percent);
    if (!left.is_zero()) quote.stages.push_back({"when the job is done", left});

    quote.included = estimate.papers.included;
    quote.not_included = estimate.papers.not_included;
    quote.not_included.insert(quote.not_included.end(), estimate.not_included.begin(),
                              estimate.not_included.end());
    quote.terms = estimate.papers.terms;
    return quote;
}

AUMBRY_RECORD(Party, "party") {
    visit.may("name", self.name);
    visit.may("address", self.address);
    visit.may("contact", self.contact);
    visit.may("tax_number", self.tax_number);
}
AUMBRY_RECORD(QuotePart, "quote_part") {
    visit.must("id", self.id);
    visit.must("title", self.title);
    visit.must("price", self.price);
    visit.may("included", self.included);
}
AUMBRY_RECORD(QuoteStage, "quote_stage") {
    visit.must("title", self.title);
    visit.must("amount", self.amount);
}
AUMBRY_RECORD(Quote, "quote") {
    int version = quote_version;
    visit.must("aumbry_quote", version);
    visit.must("title", self.title);
    visit.may("number", self.number);
    visit.may("alternative", self.alternative);
    visit.must("currency", self.currency);
    visit.must("on", self.on);
    visit.may("valid_until", self.valid_until);
    visit.must("ready", self.ready);
    visit.may("maker", self.maker);
    visit.may("client", self.client);
    visit.must("invented", self.invented);
    visit.must("parts", self.parts);
    visit.must("net", self.net);
    visit.must("taxes", self.taxes);
    visit.must("total", self.total);
    visit.must("stages", self.stages);
    visit.may("included", self.included);
    visit.may("not_included", self.not_included);
    visit.may("terms", self.terms);
}
AUMBRY_RECORD(QuoteDifference, "quote_difference") {
    visit.must("title", self.title);
    visit.may("before", self.before);
    visit.may("after", self.after);
    visit.must("difference", self.difference);
}

Json to_json(const Quote& quote) {
    return document::to_json(quote);
}

Quote read_quote(const std::string& text, const std::string& file) {
    const Json json = parse_json(text, file);
    const auto version = json.is_object() ? json.find("aumbry_quote") : json.end();
    if (!json.is_object() || version == json.end() || !version->is_number_integer())
        fail("no-quote", {file, "", 0, 0}, "this is no quote: it does not say \"aumbry_quote\"",
             "write one with aumbry quote --json");
    if (version->get<std::int64_t>() != quote_version)
        fail("newer-version", {file, "/aumbry_quote", 0, 0},
             "the quote is of version " + version->dump() + ", this program reads version " +
                 std::to_string(quote_version),
             "update Aumbry");
    Currency money;
    if (const auto code = json.find("currency"); code != json.end() && code->is_string()) try {
            money = currency(code->get<std::string>());
        } catch (const FaultError& error) {
            FaultList placed(file);
            for (const Fault& fault : error.faults()) placed.add_at(fault, "/currency");
            throw FaultError(placed.faults());
        }
    return document::read_document<Quote>(json, file, money);
}

QuoteChange change_of(const Quote& accepted, const Quote& now) {
    if (accepted.currency != now.currency)
        fail("currency-clash", {},
             "the accepted quote is in " + accepted.currency + ", the project is in " +
                 now.currency,
             "compare quotes of one currency");
    QuoteChange change;
    change.accepted = accepted;
    change.now = now;
    const auto find = [](const Quote& quote, const std::string& id) {
        const auto found = std::find_if(quote.parts.begin(), quote.parts.end(),
                                        [&](const QuotePart& part) { return part.id == id; });
        return found == quote.parts.end() ? nullptr : &*found;
    };
    for (const QuotePart& part : accepted.parts) {
        const QuotePart* after = find(now, part.id);
        QuoteDifference difference{part.title, part.price, std::nullopt, -part.price};
        if (after != nullptr) {
            difference.after = after->price;
            difference.difference = after->price - part.price;
        }
        change.parts.push_back(std::move(difference));
    }
    for (const QuotePart& part : now.parts) {
        if (find(accepted, part.id) == nullptr)
            change.parts.push_back({part.title, std::nullopt, part.price, part.price});
    }
    change.net = now.net - accepted.net;
    change.total = now.total - accepted.total;
    change.tax = change.total - change.net;
    change.days = static_cast<int>((now.ready - accepted.ready).count());
    return change;
}

Json to_json(const QuoteChange& change) {
    return {{"accepted", to_json(change.accepted)},
            {"now", to_json(change.now)},
            {"parts", document::to_json(change.parts)},
            {"net", change.net.str()},
            {"tax", change.tax.str()},
            {"total", change.total.str()},
            {"days", change.days}};
}

} // namespace aumbry
