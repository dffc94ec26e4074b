#include "modules/reply_check.hpp"

#include "modules/plan_check.hpp"

#include "aumbry/plugin_host.hpp"

#include <algorithm>
#include <cmath>
#include <set>
#include <unordered_map>

namespace aumbry {

using contract::Description;

namespace {

/// Checks what a reply names against what its request gave.
class ReplyCheck {
  public:
    ReplyCheck(const Description& module, const char* method) : module_(module), method_(method) {}

    void lines_are(const std::vector<contract::Line>& lines) {
        for (const contract::Line& line : lines) lines_.insert(line.id);
    }
    void own_line(const std::string& id, const char* where) const {
        if (!lines_.contains(id))
            refuse(std::string(where) + " names the line '" + id +
                   "', which is not one of its own");
    }
    void findings(const std::vector<contract::Finding>& findings) const {
        for (const contract::Finding& finding : findings) {
            if (!finding.line.empty()) own_line(finding.line, "a finding");
            if (finding.code.empty() || finding.text.empty())
                refuse("a finding has no code or no text");
        }
    }
    void quantities(const std::vector<contract::QuantityRow>& rows) const {
        for (const contract::QuantityRow& row : rows) {
            finite(row.value, "quantity '" + row.ref + "'");
            for (const std::string& line : row.lines) own_line(line, "a quantity");
        }
    }
    void steps(const std::vector<contract::Step>& steps) const {
        for (const contract::Step& step : steps) {
            for (const std::string& line : step.lines) own_line(line, "a step");
            finite(step.minutes, "step '" + step.id + "'");
            finite(step.wait_minutes, "step '" + step.id + "'");
            if (step.minutes < 0 || step.wait_minutes < 0 || step.people < 1)
                refuse("step '" + step.id + "' has negative time or no people");
        }
    }
    void finite(double value, const std::string& what) const {
        if (!std::isfinite(value)) refuse(what + " is not a finite number");
    }
    [[noreturn]] void refuse(const std::string& reason) const {
        throw ModuleError(module_.id,
                          std::string("the reply to ") + method_ + " is refused: " + reason);
    }

  private:
    const Description& module_;
    const char* method_;
    std::set<std::string, std::less<>> lines_;
};

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
    for (const contract::DerivedLine& line : reply.lines) {
        check.own_line(line.line, "a derived value");
        if (!line.values.is_object())
            check.refuse("the values of line '" + line.line + "' are no object");
        const auto kind = kind_of_line.find(line.line);
        if (kind == kind_of_line.end())
            check.refuse("line '" + line.line + "' is of a kind that the module does not price");
        const auto& declared = kind->second->derived;
        for (const auto& [name, value] : line.values.items()) {
            const bool known =
                std::any_of(declared.begin(), declared.end(),
                            [&](const contract::DerivedValue& d) { return d.name == name; });
            if (!known)
                check.refuse("the derived value '" + name + "' of line '" + line.line +
                             "' is not declared");
            if (!value.is_number())
                check.refuse("the derived value '" + name + "' of line '" + line.line +
                             "' is no number");
            check.finite(value.get<double>(), "the derived value '" + name + "'");
        }
    }
    check.findings(reply.findings);
}

void check_reply(const Description& module, const contract::TakeOffRequest& request,
                 const contract::TakeOffReply& reply) {
    ReplyCheck check(module, "take_off");
    check.lines_are(request.lines);
    std::set<std::string, std::less<>> offers;
    for (const contract::Offer& offer : request.offers) offers.insert(offer.id);
    const auto known_offer = [&](const std::string& id) {
        if (!offers.contains(id))
            check.refuse("a demand names the offer '" + id + "', which it was not given");
    };
    std::set<std::string> ids;
    for (const contract::Demand& demand : reply.demands) {
        if (demand.id.empty()) check.refuse("a demand has no id");
        if (!ids.insert(demand.id).second)
            check.refuse("two demands are called '" + demand.id + "'");
        if (demand.shares.empty()) check.refuse("demand '" + demand.id + "' serves no line");
        for (const contract::Share& share : demand.shares) {
            check.own_line(share.line, "a demand");
            check.finite(share.weight, "a share of demand '" + demand.id + "'");
            if (share.weight < 0) check.refuse("a share of demand '" + demand.id + "' is negative");
        }
        if (demand.amount && !demand.ways.empty())
            check.refuse("demand '" + demand.id + "' is both an amount and a choice of ways");
        if (demand.ways.size() > 12)
            check.refuse("demand '" + demand.id + "' has more than 12 ways");
        if (demand.amount) {
            check.finite(demand.amount->quantity, "demand '" + demand.id + "'");
            if (demand.amount->quantity < 0) check.refuse("demand '" + demand.id + "' is negative");
            if (demand.amount->stated && !demand.amount->offers.empty())
                check.refuse("demand '" + demand.id + "' has both a stated price and offers");
            for (const contract::AmountOffer& offer : demand.amount->offers) {
                known_offer(offer.offer);
                if (!std::isfinite(offer.content) || offer.content <= 0)
                    check.refuse("the content of offer '" + offer.offer + "' is not above zero");
                if (!std::isfinite(offer.measure) || offer.measure < 0)
                    check.refuse("the measure of offer '" + offer.offer +
                                 "' is negative or not finite");
            }
        }
        std::set<std::string> way_ids;
        for (const contract::Way& way : demand.ways) {
            if (way.id.empty()) check.refuse("a way of demand '" + demand.id + "' has no id");
            if (!way_ids.insert(way.id).second)
                check.refuse("two ways of demand '" + demand.id + "' are called '" + way.id + "'");
            for (const contract::Use& use : way.uses) {
                known_offer(use.offer);
                if (use.count < 0 || !std::isfinite(use.measure) || use.measure < 0)
                    check.refuse("way '" + way.id + "' buys a negative count or measure");
            }
            for (const contract::DealerCuts& cuts : way.dealer_cuts) {
                if (cuts.cuts < 0)
                    check.refuse("way '" + way.id + "' has a negative number of dealer's cuts");
            }
        }
    }
    check.findings(reply.findings);
    check.quantities(reply.quantities);
    check.steps(reply.steps);
    for (const contract::Demand& demand : reply.demands) {
        if (const std::string wrong = fault_of_plans(demand, request); !wrong.empty())
            check.refuse(wrong);
    }
}

void check_reply(const Description& module, const contract::FollowRequest& request,
                 const contract::FollowReply& reply) {
    ReplyCheck check(module, "follow");
    check.lines_are(request.lines);
    check.findings(reply.findings);
    check.quantities(reply.quantities);
    check.steps(reply.steps);
}

} // namespace aumbry
