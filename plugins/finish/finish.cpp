#include "finish/finish.hpp"

#include "finish/cautions.hpp"
#include "finish/coverage.hpp"
#include "finish/drying.hpp"

#include "aumbry/rounding.hpp"

#include <algorithm>
#include <map>
#include <set>

namespace aumbry::finish {

using contract::Line;
using contract::Severity;

namespace {

/// What a first coat takes on a bare surface, as a multiple of a later one (common practice).
double absorption_of(const std::string& substrate) {
    if (substrate == "sealed") return 1;
    if (substrate == "hardwood") return 1.15;
    if (substrate == "softwood") return 1.3;
    if (substrate == "MDF") return 1.4;
    return 1.2;
}

std::string litres(double value) {
    return format_trimmed(value, 3) + " L";
}
std::string square_metres(double value) {
    return format_trimmed(value, 3) + " m2";
}

/// What a coat of a product needs to know, from the line first, then from the first offer that says
/// it.
struct Product {
    double spread_rate = 0;
    std::string rate_source;
    double recoat = 0;
    double cure = 0;
    std::string product_class;
    double shelf_life = 0;
};

Product product_of(const Json& coat, const std::vector<contract::Offer>& offers) {
    Product product;
    const std::string name = text(coat, "product");
    const double film = number(coat, "film", 0);
    if (coat.contains("spread_rate")) {
        product.spread_rate = number(coat, "spread_rate", 0);
        product.rate_source = "stated in the line";
    } else if (coat.contains("volume_solids") && film > 0) {
        product.spread_rate =
            spread_rate_m2_per_litre(number(coat, "volume_solids", 0), film * 1000);
        product.rate_source = "volume solids and film of the line, ISO 3233-3";
    }
    product.recoat = number(coat, "recoat", 0);
    product.cure = number(coat, "cure", 0);
    for (const contract::Offer& offer : offers) {
        if (offer.catalog_class != "coating" || text(offer.attributes, "product") != name) continue;
        if (product.spread_rate <= 0) {
            if (offer.attributes.contains("spread_rate")) {
                product.spread_rate = number(offer.attributes, "spread_rate", 0);
                product.rate_source = "price list, " + offer.id;
            } else if (offer.attributes.contains("volume_solids") && film > 0) {
                product.spread_rate = spread_rate_m2_per_litre(
                    number(offer.attributes, "volume_solids", 0), film * 1000);
                product.rate_source =
                    "volume solids of " + offer.id + " and film of the line, ISO 3233-3";
            }
        }
        if (product.recoat <= 0) product.recoat = number(offer.attributes, "recoat", 0);
        if (product.cure <= 0) product.cure = number(offer.attributes, "cure", 0);
        if (product.product_class.empty())
            product.product_class = text(offer.attributes, "product_class");
        if (product.shelf_life <= 0) product.shelf_life = number(offer.attributes, "shelf_life", 0);
    }
    return product;
}

int faces_of(const Line& line) {
    const std::string faces = text(line, "faces", "both");
    return faces == "both" ? 2 : faces == "one" ? 1 : 0;
}

/// The area that a line's system covers, with its working.
double area_of(const Line& line, contract::Working* working) {
    double area = 0;
    const Json* parts = find_value(line, "parts");
    if (parts != nullptr) {
        for (const Json& id : *parts) {
            const Line* part = reference(line, id.get<std::string>());
            if (part == nullptr) continue;
            const Surface surface{
                number(part->derived, "area", 0), number(part->derived, "edge_length", 0),
                number(part->derived, "thickness", 0), faces_of(line), flag(line, "edges", true)};
            const double of_part = coated_area(surface) * static_cast<double>(part->count);
            area += of_part;
            if (working != nullptr)
                working->inputs.push_back(
                    {display_name(*part) + " (" + std::to_string(part->count) + ")",
                     square_metres(of_part), "line." + part->id});
        }
    }
    const double further = number(line, "area", 0);
    const double glued = number(line, "glued", 0);
    if (working != nullptr && further > 0)
        working->inputs.push_back({"further area", square_metres(further), ""});
    if (working != nullptr && glued > 0)
        working->inputs.push_back({"glued away", "-" + square_metres(glued), ""});
    return round_to(std::max(0.0, area + further - glued), 6);
}

/// Litres of one product over all lines, and what came together.
struct Need {
    double quantity = 0;
    std::map<std::string, double> by_line;
    contract::Working working;
};

class TakeOff {
  public:
    explicit TakeOff(const contract::TakeOffRequest& request) : request_(request) {}

    contract::TakeOffReply run() {
        for (const Line& line : request_.lines) take(line);
        for (auto& [product, need] : litres_) demand_product(product, need);
        for (auto& [grit, need] : abrasives_) demand_abrasive(grit, need);
        for (auto& [code, finding] : cautions_) reply_.findings.push_back(finding);
        const double temperature = number(request_.settings.workshop, "temperature", 20);
        if (temperature < 15) {
            reply_.findings.push_back({Severity::caution, "cold-workshop", "",
                                       "At " + format_trimmed(temperature, 1) +
                                           " degrees coats dry slower than stated for 20: allow "
                                           "more time or heat the room."});
        }
        return std::move(reply_);
    }

  private:
    void problem(const Line& line, const char* code, const std::string& sentence) {
        reply_.findings.push_back({Severity::problem, code, line.id, sentence});
    }

    void take(const Line& line) {
        const double area = number(line, "derived.area", 0);
        if (area <= 0) {
            problem(line, "no-area",
                    display_name(line) + " has no area to coat: name parts or write an area.");
            return;
        }
        const Json* coats = find_value(line, "coats");
        if (coats == nullptr || coats->empty()) {
            problem(line, "no-coats",
                    display_name(line) + " has no coats: write at least one, with its product.");
            return;
        }
        DryingPlan drying;
        drying.area_m2 = area;
        drying.minutes_per_m2 = number(request_.settings.module, "minutes_per_m2", 5);
        drying.rack_m2 = number(request_.settings.workshop, "rack", 0);
        drying.can_stand = flag(line, "can_stand", true) || faces_of(line) < 2;
        std::vector<std::string> products;
        std::vector<bool> sanded;
        bool first = true;
        for (const Json& coat : *coats) {
            const std::string name = text(coat, "product");
            const Product product = product_of(coat, request_.offers);
            if (product.spread_rate <= 0) {
                problem(line, "no-spread-rate",
                        display_name(line) + ": nothing says how far '" + name +
                            "' spreads; write a spread rate, or volume solids and film.");
                return;
            }
            const bool sands = !text(coat, "grit").empty();
            for (const contract::Finding& caution :
                 cautions_for(product.product_class, flag(line, "sprayed"), sands))
                cautions_.emplace(caution.code, caution);
            const auto times = static_cast<int>(number(coat, "coats", 1));
            for (int i = 0; i < times; ++i) {
                Coat layer{product.spread_rate, number(coat, "loss", 10), 1,
                           number(coat, "thinning", 0)};
                if (first)
                    layer.absorption = number(coat, "absorption",
                                              absorption_of(text(line, "substrate", "plywood")));
                add(line, name, area, layer, product, drying.coats.size() + 1);
                drying.coats.push_back({product.recoat});
                products.push_back(name);
                sanded.push_back(sands);
                if (sands) add_abrasive(line, text(coat, "grit"), area);
                first = false;
            }
            drying.cure_minutes = product.cure;
        }
        steps(line, drying, products, sanded);
    }

    void add(const Line& line, const std::string& name, double area, const Coat& layer,
             const Product& product, std::size_t number_of_coat) {
        const double needed = round_to(litres_for(area, layer), 6);
        Need& need = litres_[name];
        need.quantity += needed;
        need.by_line[line.id] += needed;
        std::string how =
            square_metres(area) + " / " + format_trimmed(layer.spread_rate, 3) + " m2/L";
        if (layer.absorption != 1)
            how += " x " + format_trimmed(layer.absorption, 2) + " (first coat)";
        if (layer.loss != 0) how += " + " + format_trimmed(layer.loss, 1) + " % loss";
        need.working.inputs.push_back(
            {display_name(line) + ", coat " + std::to_string(number_of_coat),
             litres(needed) + " = " + how, line.id + ".area"});
        need.working.source = "spread rate: " + product.rate_source +
                              "; loss and first-coat absorption: common practice";
        if (layer.thinning > 0) thinner_[name] += needed * layer.thinning / 100;
    }

    void add_abrasive(const Line& line, const std::string& grit, double area) {
        Need& need = abrasives_[grit];
        need.quantity += area;
        need.by_line[line.id] += area;
    }

    static std::vector<contract::Share> shares_of(const Need& need) {
        std::vector<contract::Share> shares;
        for (const auto& [line, weight] : need.by_line)
            shares.push_back({line, round_to(weight, 6)});
        return shares;
    }
    static std::vector<std::string> lines_of(const Need& need) {
        std::vector<std::string> lines;
        for (const auto& [line, weight] : need.by_line) lines.push_back(line);
        return lines;
    }
    static std::string id_of(const std::string& name) {
        std::string id;
        for (const char c : name)
            id += (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') ? c
                  : c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a')
                                         : '_';
        return id;
    }

    void demand_product(const std::string& name, Need& need) {
        const std::string id = id_of(name);
        need.quantity = round_to(need.quantity, 4);
        contract::Demand demand;
        demand.id = id;
        demand.title = name;
        demand.shares = shares_of(need);
        demand.returnable = false;
        contract::Amount amount;
        amount.quantity = need.quantity;
        amount.unit = "L";
        for (const contract::Offer& offer : request_.offers) {
            if (offer.catalog_class != "coating" || text(offer.attributes, "product") != name)
                continue;
            const double content = number(offer.attributes, "volume", 0) *
                                   (offer.price_unit == "each" ? offer.pack : 1);
            if (content > 0) {
                // A price by the litre is for the tin's content: prices by tin and by litre meet in
                // one unit.
                amount.offers.push_back(
                    {offer.id, content, offer.price_unit == "L" ? content : 0, 0});
            } else if (offer.price_unit == "L") {
                amount.offers.push_back({offer.id, offer.pack, offer.pack, 0});
            } else {
                reply_.findings.push_back(
                    {Severity::caution, "no-content", "",
                     "The list does not say how much " + offer.id + " holds; it is left out."});
            }
        }
        if (amount.offers.empty()) {
            for (const auto& [line, weight] : need.by_line) {
                reply_.findings.push_back(
                    {Severity::problem, "no-offer", line,
                     "No supplier offers '" + name +
                         "': add it to a price list or name another product."});
            }
        }
        demand.amount = std::move(amount);
        reply_.demands.push_back(std::move(demand));

        need.working.ref = id + ".litres";
        need.working.title = name + " needed";
        need.working.formula =
            "sum over coats of area x first-coat factor / spread rate x (1 + loss)";
        need.working.result = litres(need.quantity);
        reply_.workings.push_back(need.working);
        reply_.quantities.push_back({id + ".litres", name, need.quantity, "L", lines_of(need)});
        if (const auto thinner = thinner_.find(name); thinner != thinner_.end()) {
            reply_.quantities.push_back({id + ".thinner", "thinner for " + name,
                                         round_to(thinner->second, 3), "L", lines_of(need)});
            reply_.findings.push_back(
                {Severity::note, "thinner", lines_of(need).front(),
                 litres(round_to(thinner->second, 3)) + " of thinner goes into '" + name +
                     "': have it at hand, the maker's own or water as the label says."});
        }
    }

    void demand_abrasive(const std::string& grit, const Need& need) {
        contract::Demand demand;
        demand.id = "abrasive_" + id_of(grit);
        demand.title = "abrasive, grit " + grit;
        demand.shares = shares_of(need);
        contract::Amount amount;
        amount.quantity = round_to(need.quantity, 4);
        amount.unit = "m2";
        const double usual = number(request_.settings.module, "abrasive_covers", 2);
        for (const contract::Offer& offer : request_.offers) {
            if (offer.catalog_class != "abrasive" || text(offer.attributes, "grit") != grit)
                continue;
            amount.offers.push_back(
                {offer.id, number(offer.attributes, "covers", usual) * offer.pack, 0, 0});
        }
        if (amount.offers.empty()) {
            reply_.findings.push_back(
                {Severity::caution, "no-abrasive", need.by_line.begin()->first,
                 "No supplier offers abrasive of grit " + grit + ": have it at hand."});
            return;
        }
        demand.amount = std::move(amount);
        reply_.demands.push_back(std::move(demand));
        reply_.quantities.push_back({demand.id + ".area", "sanding between coats, grit " + grit,
                                     round_to(need.quantity, 3), "m2", lines_of(need)});
    }

    void steps(const Line& line, const DryingPlan& drying, const std::vector<std::string>& products,
               const std::vector<bool>& sanded) {
        const double setting_up = number(request_.settings.module, "setting_up", 15);
        const double sanding = number(request_.settings.module, "sanding_minutes_per_m2", 3);
        std::string previous;
        const std::vector<Pass> list = passes(drying);
        std::vector<std::string> step_lines{line.id};
        int index = 0;
        for (const Pass& pass : list) {
            contract::Step step;
            step.id = line.id + "_coat_" + std::to_string(++index);
            step.title = display_name(line) + ": coat " + std::to_string(pass.coat) + " of " +
                         std::to_string(drying.coats.size());
            if (pass.face > 0) step.title += ", face " + std::to_string(pass.face);
            if (pass.batch > 0) step.title += ", load " + std::to_string(pass.batch);
            step.lines = step_lines;
            step.phase = contract::Phase::finish;
            const auto coat = static_cast<std::size_t>(pass.coat - 1);
            const bool sand_first = coat > 0 && sanded[coat - 1];
            step.minutes = round_to(
                pass.minutes + setting_up +
                    (sand_first ? pass.minutes / std::max(drying.minutes_per_m2, 1e-9) * sanding
                                : 0),
                2);
            step.wait_minutes = round_to(pass.wait_minutes, 2);
            if (!previous.empty()) step.after = {previous};
            step.needs = {id_of(products[coat])};
            previous = step.id;
            reply_.steps.push_back(std::move(step));
        }
        const double working_minutes = number(request_.settings.workshop, "hours_a_day", 8) * 60;
        const double recoat = drying.coats.front().recoat_minutes;
        const double apply = list.front().minutes + setting_up;
        const std::int64_t a_day = coats_a_day(working_minutes, apply, recoat);
        reply_.findings.push_back(
            {Severity::note, "coats-a-day", line.id,
             display_name(line) + ": " + std::to_string(list.size()) +
                 (list.size() == 1 ? " go" : " goes") + " with the brush, " +
                 (a_day > 0 ? "at most " + std::to_string(a_day) + " a day"
                            : "each longer than a working day") +
                 (recoat > 0 ? " at " + format_trimmed(recoat / 60, 1) + " h between coats."
                             : "; no drying time is stated, so check the label.")});
        if (drying.cure_minutes > 0) {
            reply_.findings.push_back({Severity::note, "cure", line.id,
                                       "Let " + display_name(line) + " cure for " +
                                           format_trimmed(drying.cure_minutes / 60, 1) +
                                           " h before a mattress or anything else lies on it."});
        }
    }

    const contract::TakeOffRequest& request_;
    contract::TakeOffReply reply_;
    std::map<std::string, Need> litres_;
    std::map<std::string, Need> abrasives_;
    std::map<std::string, double> thinner_;
    std::map<std::string, contract::Finding> cautions_;
};

} // namespace

contract::DeriveReply FinishModule::derive(const contract::DeriveRequest& request,
                                           const Host&) const {
    contract::DeriveReply reply;
    for (const Line& line : request.lines) {
        contract::Working working;
        working.ref = line.id + ".area";
        working.title = "area coated";
        working.formula = "sum over parts of (faces x face area + edges x thickness) x count + "
                          "further area - glued away";
        const double area = area_of(line, &working);
        working.result = square_metres(area);
        working.source = "derived sizes of the parts";
        reply.lines.push_back({line.id, Json{{"area", area}}});
        reply.workings.push_back(std::move(working));
    }
    return reply;
}

contract::TakeOffReply FinishModule::take_off(const contract::TakeOffRequest& request,
                                              const Host&) const {
    return TakeOff(request).run();
}

contract::FollowReply FinishModule::follow(const contract::FollowRequest& request,
                                           const Host&) const {
    contract::FollowReply reply;
    const auto own = request.quantities.find("finish");
    if (own == request.quantities.end()) return reply;
    for (const contract::Chosen& chosen : request.chosen) {
        if (chosen.module != "finish") continue;
        const auto needed = std::find_if(
            own->second.begin(), own->second.end(),
            [&](const contract::QuantityRow& row) { return row.ref == chosen.demand + ".litres"; });
        if (needed == own->second.end()) continue;
        const double left = round_to(chosen.content - needed->value, 3);
        if (left <= 0) continue;
        reply.quantities.push_back(
            {chosen.demand + ".left", needed->title + ", left over", left, "L", needed->lines});
        reply.findings.push_back(
            {Severity::note, "left-over", "",
             litres(left) + " of '" + needed->title +
                 "' is left over: close the tin well, date it, and mind its shelf life."});
    }
    return reply;
}

} // namespace aumbry::finish
