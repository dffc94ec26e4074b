#include "modules/reply_check.hpp"

#include "modules/plan_check.hpp"
#include "values/excerpt.hpp"

#include "aumbry/money.hpp"
#include "aumbry/plugin_host.hpp"
#include "aumbry/quantity.hpp"
#include "aumbry/rounding.hpp"

#include <algorithm>
#include <cmath>
#include <set>
#include <unordered_map>

namespace aumbry {

using contract::Description;

namespace {

// Nothing that is made is larger. A number beyond these is a slip of unit or a broken module; below
// them no sum over a job comes near the end of its type.
constexpr double max_magnitude = 1e9; // a quantity, content, measure, mass or weight
constexpr std::int64_t max_counts = 1'000'000'000;
constexpr double max_minutes = 5e6; // what the schedule counts with: nine years and a half
constexpr std::int64_t max_people = 1000;
constexpr std::int64_t max_lead_days = 3650;
constexpr std::size_t max_ways = 12;

/// Whether an amount or a quantity can be stated in a unit. What is sold by the piece is counted.
bool is_unit(const std::string& unit) {
    if (unit.empty() || unit == "each" || unit == "pack" || unit == "piece") return true;
    try {
        (void)dimension_of_unit(unit);
        return true;
    } catch (const FaultError&) {
        return false;
    }
}

/// Checks what a reply says against what its request gave.
class ReplyCheck {
  public:
    ReplyCheck(const Description& module, const char* method) : module_(module), method_(method) {}

    void lines_are(const std::vector<contract::Line>& lines) {
        for (const contract::Line& line : lines) lines_.insert(line.id);
    }
    void offers_are(const std::vector<contract::Offer>& offers) {
        for (const contract::Offer& offer : offers) offers_.insert(offer.id);
    }

    void own_line(const std::string& id, const char* where) const {
        if (lines_.contains(id)) return;
        std::string reason = where;
        reason += " names the line " + in_quotes(id) + ", which is not one of its own";
        refuse(reason);
    }
    void findings(const std::vector<contract::Finding>& findings) const {
        for (const contract::Finding& finding : findings) {
            if (!finding.line.empty()) own_line(finding.line, "a finding");
            if (finding.code.empty() || finding.text.empty())
                refuse("a finding has no code or no text");
        }
    }
    void quantities(const std::vector<contract::QuantityRow>& rows) const {
        std::set<std::string> refs;
        for (const contract::QuantityRow& row : rows) {
            const std::string name = "quantity " + in_quotes(row.ref);
            if (!refs.insert(row.ref).second)
                refuse("two quantities are called " + in_quotes(row.ref));
            within(row.value, -max_magnitude, max_magnitude, name);
            known_unit(row.unit, name);
            for (const std::string& line : row.lines) own_line(line, "a quantity");
        }
    }
    void steps(const std::vector<contract::Step>& steps) const {
        std::set<std::string> ids;
        for (const contract::Step& step : steps) {
            const std::string name = "step " + in_quotes(step.id);
            if (step.id.empty()) refuse("a step has no id");
            if (!ids.insert(step.id).second) refuse("two steps are called " + in_quotes(step.id));
            for (const std::string& line : step.lines) own_line(line, "a step");
            if (step.minutes < 0 || step.wait_minutes < 0 || step.people < 1)
                refuse(name + " has negative time or no people");
            within(step.minutes, 0, max_minutes, "the minutes of " + name);
            within(step.wait_minutes, 0, max_minutes, "the waiting minutes of " + name);
            count(step.people, max_people, "the people of " + name);
        }
    }
    void workings(const std::vector<contract::Working>& workings) const {
        std::set<std::string> refs;
        for (const contract::Working& working : workings) {
            if (working.ref.empty()) refuse("a working has no ref");
            if (!refs.insert(working.ref).second)
                refuse("two workings explain " + in_quotes(working.ref));
        }
    }
    void not_counted(const std::vector<std::string>& works) const {
        std::set<std::string> named;
        for (const std::string& work : works) {
            if (work.find_first_not_of(" \t") == std::string::npos)
                refuse("what is not counted has no text");
            if (work.find_first_of("\r\n") != std::string::npos)
                refuse("what is not counted, " + in_quotes(work) + ", is more than one line");
            if (!named.insert(work).second)
                refuse(in_quotes(work) + " stands twice among what is not counted");
        }
    }
    void demand(const contract::Demand& demand) const {
        const std::string name = "demand " + in_quotes(demand.id);
        if (demand.id.empty()) refuse("a demand has no id");
        if (demand.shares.empty()) refuse(name + " serves no line");
        for (const contract::Share& share : demand.shares) {
            own_line(share.line, "a demand");
            if (share.weight < 0) refuse("a share of " + name + " is negative");
            within(share.weight, 0, max_magnitude, "a share of " + name);
        }
        if (demand.amount && !demand.ways.empty())
            refuse(name + " is both an amount and a choice of ways");
        if (demand.amount) amount(*demand.amount, name);
        ways(demand.ways, name);
    }
    void ways(const std::vector<contract::Way>& ways, const std::string& name) const {
        if (ways.size() > max_ways)
            refuse(name + " has more than " + std::to_string(max_ways) + " ways");
        std::set<std::string> ids;
        for (const contract::Way& each : ways) {
            if (each.id.empty()) refuse("a way of " + name + " has no id");
            if (!ids.insert(each.id).second)
                refuse("two ways of " + name + " are called " + in_quotes(each.id));
            way(each);
        }
    }

    void within(double value, double least, double most, const std::string& what) const {
        if (!std::isfinite(value)) refuse(what + " is not a finite number");
        if (value >= least && value <= most) return;
        refuse(what + " is " + format_trimmed(value, 3) +
               (value < least ? ", less than " + format_trimmed(least, 3)
                              : ", more than " + format_trimmed(most, 3)));
    }
    [[noreturn]] void refuse(const std::string& reason) const {
        throw ModuleError(module_.id, std::string("gave a reply to ") + method_ +
                                          " that cannot be used: " + reason);
    }

  private:
    void count(std::int64_t value, std::int64_t most, const std::string& what) const {
        if (value <= most) return;
        refuse(what + " are " + std::to_string(value) + ", more than " + std::to_string(most));
    }
    void known_unit(const std::string& unit, const std::string& what) const {
        if (!is_unit(unit))
            refuse(what + " has the unit " + in_quotes(unit) + ", which nobody knows");
    }
    void known_offer(const std::string& id) const {
        if (!offers_.contains(id))
            refuse("a demand names the offer " + in_quotes(id) + ", which it was not given");
    }
    void amount(const contract::Amount& amount, const std::string& name) const {
        if (amount.quantity < 0) refuse(name + " is negative");
        within(amount.quantity, 0, max_magnitude, name);
        known_unit(amount.unit, name);
        if (amount.stated && !amount.offers.empty())
            refuse(name + " has both a stated price and offers");
        if (amount.stated) stated_price(*amount.stated, name);
        std::set<std::string> named;
        for (const contract::AmountOffer& offer : amount.offers) {
            known_offer(offer.offer);
            const std::string of_offer = " of offer " + in_quotes(offer.offer);
            if (!named.insert(offer.offer).second)
                refuse(name + " names the offer " + in_quotes(offer.offer) + " twice");
            if (!std::isfinite(offer.content) || offer.content <= 0)
                refuse("the content" + of_offer + " is not above zero");
            if (!std::isfinite(offer.measure) || offer.measure < 0)
                refuse("the measure" + of_offer + " is negative or not finite");
            within(offer.content, 0, max_magnitude, "the content" + of_offer);
            within(offer.measure, 0, max_magnitude, "the measure" + of_offer);
            within(offer.mass, 0, max_magnitude, "the mass" + of_offer);
            // Procurement counts in millionths of the unit.
            if (amount.quantity / std::max(offer.content, 1e-6) > static_cast<double>(max_counts))
                refuse(name + " would take more than a thousand million of offer " +
                       in_quotes(offer.offer) + "; state content and quantity in one unit");
        }
    }
    void stated_price(const contract::StatedPrice& stated, const std::string& name) const {
        const std::string what = "the stated price of " + name;
        Decimal price;
        try {
            price = Decimal::parse(stated.price);
        } catch (const FaultError& error) {
            refuse(what + " is no decimal: " + error.faults().front().wrong);
        }
        within(price.to_double(), 0, highest_price, what);
        if (!stated.tax_rate.empty()) {
            try {
                within(Decimal::parse(stated.tax_rate).to_double(), 0, 100, "the tax of " + what);
            } catch (const FaultError& error) {
                refuse("the tax of " + what + " is no decimal: " + error.faults().front().wrong);
            }
        }
        if (stated.lead_days < 0) refuse(what + " has negative days until it is in hand");
        count(stated.lead_days, max_lead_days, "the lead days of " + what);
    }
    void way(const contract::Way& way) const {
        const std::string name = "way " + in_quotes(way.id);
        for (const contract::Use& use : way.uses) {
            known_offer(use.offer);
            if (use.count < 0 || !std::isfinite(use.measure) || use.measure < 0)
                refuse(name + " buys a negative count or measure");
            count(use.count, max_counts, "the counts of offer " + in_quotes(use.offer));
            within(use.measure, 0, max_magnitude, "a measure of " + name);
            within(use.mass, 0, max_magnitude, "a mass of " + name);
            for (const std::string& line : use.lines) own_line(line, "a way");
        }
        for (const contract::DealerCuts& cuts : way.dealer_cuts) {
            if (cuts.cuts < 0) refuse(name + " has a negative number of dealer's cuts");
            count(cuts.cuts, max_counts, "the dealer's cuts of " + name);
        }
        within(way.yield, 0, 1, "the yield of " + name);
        within(way.waste, 0, max_magnitude, "the waste of " + name);
        if (way.used < 0 || way.lower_bound < 0)
            refuse(name + " uses a negative number of sheets or boards");
        count(way.used, max_counts, "the sheets or boards of " + name);
        count(way.lower_bound, max_counts, "the fewest sheets or boards of " + name);
    }

    const Description& module_;
    const char* method_;
    std::set<std::string, std::less<>> lines_;
    std::set<std::string, std::less<>> offers_;
};

/// Lines refused by name: each its own, once, with a reason.
std::set<std::string> check_refused(const ReplyCheck& check,
                                    const std::vector<contract::RefusedLine>& refused) {
    std::set<std::string> lines;
    for (const contract::RefusedLine& each : refused) {
        check.own_line(each.line, "a refusal");
        if (each.text.empty())
            check.refuse("the line " + in_quotes(each.line) + " is refused without a reason");
        if (!lines.insert(each.line).second)
            check.refuse("the line " + in_quotes(each.line) + " is refused twice");
    }
    return lines;
}

void check_derived(const ReplyCheck& check, const contract::DerivedLine& line,
                   const contract::LineKind& kind) {
    for (const auto& [name, value] : line.values.items()) {
        const std::string what =
            "the derived value " + in_quotes(name) + " of line " + in_quotes(line.line);
        const bool known = std::any_of(
            kind.derived.begin(), kind.derived.end(),
            [&, &wanted = name](const contract::DerivedValue& d) { return d.name == wanted; });
        if (!known) check.refuse(what + " is not declared");
        if (!value.is_number()) check.refuse(what + " is no number");
        check.within(value.get<double>(), -1e15, 1e15, what);
    }
}

} // namespace

void check_reply(const Description& module, const contract::DeriveRequest& request,
                 const contract::DeriveReply& reply) {
    ReplyCheck check(module, "derive");
    check.lines_are(request.lines);
    std::unordered_map<std::string, const contract::LineKind*> kind_of_line;
    for (const contract::Line& line : request.lines) {
        for (const contract::LineKind& kind : module.line_kinds) {
            if (kind.kind == line.kind) kind_of_line[line.id] = &kind;
        }
    }
    std::set<std::string> derived = check_refused(check, reply.refused);
    for (const contract::DerivedLine& line : reply.lines) {
        check.own_line(line.line, "a derived value");
        if (!derived.insert(line.line).second)
            check.refuse("line " + in_quotes(line.line) +
                         " is derived twice, or derived and refused");
        if (!line.values.is_object())
            check.refuse("the values of line " + in_quotes(line.line) + " are no object");
        const auto kind = kind_of_line.find(line.line);
        if (kind == kind_of_line.end())
            check.refuse("line " + in_quotes(line.line) +
                         " is of a kind that the module does not price");
        check_derived(check, line, *kind->second);
    }
    check.findings(reply.findings);
    check.workings(reply.workings);
}

void check_reply(const Description& module, const contract::TakeOffRequest& request,
                 const contract::TakeOffReply& reply) {
    ReplyCheck check(module, "take_off");
    check.lines_are(request.lines);
    check.offers_are(request.offers);
    // The group is asked again without them, so nothing else of the reply counts.
    if (!check_refused(check, reply.refused).empty()) return;
    std::set<std::string> ids;
    for (const contract::Demand& demand : reply.demands) {
        if (!demand.id.empty() && !ids.insert(demand.id).second)
            check.refuse("two demands are called " + in_quotes(demand.id));
        check.demand(demand);
    }
    check.findings(reply.findings);
    check.quantities(reply.quantities);
    check.steps(reply.steps);
    for (const contract::Demand& demand : reply.demands) {
        if (const std::string wrong = fault_of_plans(demand, request); !wrong.empty())
            check.refuse(wrong);
    }
    check.workings(reply.workings);
}

void check_reply(const Description& module, const contract::PlanRequest& request,
                 const contract::PlanReply& reply) {
    ReplyCheck check(module, "plan");
    check.lines_are(request.group.lines);
    check.offers_are(request.group.offers);
    check.ways(reply.ways, "demand " + in_quotes(request.demand));
    check.within(reply.lower_bound, 0, 1e15, "the lower bound"); // high where there is no way
    contract::Demand demand;
    demand.id = request.demand;
    demand.ways = reply.ways;
    // Of one type, whichever it is.
    if (!reply.ways.empty()) demand.plan_type = type_of_plans(reply.ways.front().plans);
    if (const std::string wrong = fault_of_plans(demand, request.group); !wrong.empty())
        check.refuse(wrong);
}

void check_reply(const Description& module, const contract::FollowRequest& request,
                 const contract::FollowReply& reply) {
    ReplyCheck check(module, "follow");
    check.lines_are(request.lines);
    check.findings(reply.findings);
    check.quantities(reply.quantities);
    check.steps(reply.steps);
    check.workings(reply.workings);
    check.not_counted(reply.not_counted);
}

} // namespace aumbry
