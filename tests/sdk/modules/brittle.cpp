// A module whose lines say in their field `trouble` what is to go wrong with them. Every rod is
// bought at a stated price and worked once.
#include "aumbry/plugin.hpp"

#include <string>

namespace {

using namespace aumbry;

bool any(const std::vector<contract::Line>& lines, const char* trouble) {
    for (const contract::Line& line : lines) {
        if (text(line, "trouble", "none") == trouble) return true;
    }
    return false;
}

[[noreturn]] void fall(const contract::Line& line, const char* where) {
    fail("brittle", {}, std::string(where) + " of " + line.id + " broke");
}

class Brittle final : public Module {
  public:
    contract::Description describe() const override {
        const contract::LineKind rod{
            .kind = "brittle.rod",
            .title = "Rod",
            .fields = {with_default(text_field("trouble", "Trouble", "what goes wrong"), "none"),
                       with_default(text_field("group", "Group",
                                               "lines of one are taken off "
                                               "together"),
                                    "a")},
            .derived = {{.name = "mass", .unit = "kg"}},
            .group_by = {"fields.group"}};
        return {.id = "brittle", .title = "Brittle", .version = "1", .line_kinds = {rod}};
    }

    contract::DeriveReply derive(const contract::DeriveRequest& request,
                                 const Host&) const override {
        contract::DeriveReply reply;
        for (const contract::Line& line : request.lines) {
            const std::string trouble = text(line, "trouble", "none");
            if (trouble == "derive throws") fall(line, "derive");
            if (trouble == "derive cancels") throw Cancelled{};
            if (trouble == "derive refuses") {
                reply.refused.push_back({line.id, "the rod is too long"});
                continue;
            }
            Json values = {{"mass", 2.0}};
            if (trouble == "undeclared value") values["colour"] = 1;
            if (trouble == "huge mass") values["mass"] = 1e18;
            reply.lines.push_back({line.id, values});
        }
        return reply;
    }

    contract::TakeOffReply take_off(const contract::TakeOffRequest& request,
                                    const Host&) const override {
        contract::TakeOffReply reply;
        if (any(request.lines, "pair throws") && request.lines.size() > 1)
            fall(request.lines.front(), "a pair");
        for (const contract::Line& line : request.lines) {
            const std::string trouble = text(line, "trouble", "none");
            if (trouble == "take_off throws") fall(line, "take_off");
            if (trouble == "take_off refuses")
                reply.refused.push_back({line.id, "no saw cuts it\x1b[31m"});
            add(reply, line, trouble);
        }
        return reply;
    }

    contract::FollowReply follow(const contract::FollowRequest& request,
                                 const Host&) const override {
        if (any(request.lines, "follow throws")) fall(request.lines.front(), "follow");
        contract::FollowReply reply;
        for (const contract::Line& line : request.lines) {
            contract::Step step{.id = line.id + ".polish", .title = "Polish", .lines = {line.id}};
            const std::string trouble = text(line, "trouble", "none");
            step.after = {line.id + ".work"};
            if (trouble == "follow after nothing") step.after = {"dream"};
            if (trouble == "follow repeats a step") step.id = line.id + ".work";
            if (trouble == "counts not all") reply.not_counted = {"drawing", "sharpening"};
            if (trouble == "counts twice not") reply.not_counted = {"drawing", "drawing"};
            if (trouble == "counts not nothing") reply.not_counted = {" "};
            reply.steps.push_back(step);
        }
        return reply;
    }

  private:
    static void add(contract::TakeOffReply& reply, const contract::Line& line,
                    const std::string& trouble) {
        contract::Demand demand{
            .id = line.id,
            .title = "Rod " + line.id,
            .shares = {{.line = line.id, .weight = 1}},
            .amount = contract::Amount{
                .quantity = 1,
                .unit = "each",
                .stated = contract::StatedPrice{.price = "10", .catalog_class = "item"}}};
        contract::Step step{.id = line.id + ".work",
                            .title = "Work",
                            .lines = {line.id},
                            .minutes = 1,
                            .needs = {line.id}};
        contract::QuantityRow row{.ref = line.id + ".count", .title = "Rods", .value = 1};
        if (trouble == "price is no decimal") demand.amount->stated->price = "12,50";
        if (trouble == "price below zero") demand.amount->stated->price = "-1";
        if (trouble == "late") demand.amount->stated->lead_days = 4000000000;
        if (trouble == "early") demand.amount->stated->lead_days = -1;
        if (trouble == "unknown unit") demand.amount->unit = "cubits";
        if (trouble == "huge amount") demand.amount->quantity = 1e12;
        if (trouble == "huge share") demand.shares[0].weight = 1e12;
        if (trouble == "endless work") step.minutes = 1e12;
        if (trouble == "crowd") step.people = 1'000'000'000'000;
        if (trouble == "after nothing") step.after = {"dream"};
        if (trouble == "needs nothing") step.needs = {"gold"};
        if (trouble == "waits for itself") step.after = {step.id};
        if (trouble == "row in cubits") row.unit = "cubits";
        if (trouble == "same demand") demand.id = "rod";
        if (trouble == "same demand") step.needs = {"rod"};
        if (trouble == "same step") step.id = "work";
        if (trouble == "same row") row.ref = "rods";
        reply.demands.push_back(demand);
        reply.steps.push_back(step);
        reply.quantities.push_back(row);
        if (trouble == "loud text")
            reply.findings.push_back({.code = "loud", .text = "red \x1b[31m and \x07 bell"});
    }
};

} // namespace

AUMBRY_MODULE(Brittle)
