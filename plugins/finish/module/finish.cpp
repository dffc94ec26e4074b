#include "finish/module/finish.hpp"

#include "finish/engine/cautions.hpp"
#include "finish/engine/coats.hpp"
#include "finish/engine/consumables.hpp"
#include "finish/engine/coverage.hpp"
#include "finish/engine/drying.hpp"

#include "aumbry/fault.hpp"
#include "aumbry/rounding.hpp"

#include <algorithm>
#include <map>
#include <set>

namespace aumbry::finish {

using contract::Line;
using contract::Severity;

namespace {

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
    std::vector<DryingPoint> points; ///< of its data sheet, instead of `recoat`
    std::string no_point;            ///< what stands among them and is none
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
        product.spread_rate = spread_rate(number(coat, "volume_solids", 0), film * 1000);
        product.rate_source = "volume solids and film of the line, ISO 3233-3";
    }
    product.recoat = number(coat, "recoat", 0);
    const auto read_points = [&](const Json& from) {
        for (const std::string& written : from.value("recoat_points", std::vector<std::string>{})) {
            if (const auto point = drying_point(written))
                product.points.push_back(*point);
            else
                product.no_point = written;
        }
    };
    read_points(coat);
    const bool stated = product.recoat > 0 || !product.points.empty(); // in the line, which wins
    product.cure = number(coat, "cure", 0);
    for (const contract::Offer& offer : offers) {
        if (offer.catalog_class != "coating" || text(offer.attributes, "product") != name) continue;
        if (product.spread_rate <= 0) {
            if (offer.attributes.contains("spread_rate")) {
                product.spread_rate = number(offer.attributes, "spread_rate", 0);
                product.rate_source = "price list, " + offer.id;
            } else if (offer.attributes.contains("volume_solids") && film > 0) {
                product.spread_rate =
                    spread_rate(number(offer.attributes, "volume_solids", 0), film * 1000);
                product.rate_source =
                    "volume solids of " + offer.id + " and film of the line, ISO 3233-3";
            }
        }
        if (!stated && product.points.empty()) read_points(offer.attributes);
        if (product.recoat <= 0) product.recoat = number(offer.attributes, "recoat", 0);
        if (product.cure <= 0) product.cure = number(offer.attributes, "cure", 0);
        if (product.product_class.empty())
            product.product_class = text(offer.attributes, "product_class");
        if (product.shelf_life <= 0) product.shelf_life = number(offer.attributes, "shelf_life", 0);
    }
    return product;
}

/// Faces of a part that carry the system. Of what shows, a panel says how many faces do; all of a
/// solid part does.
int faces_of(const Line& line, const Line& part) {
    const std::string faces = text(line, "faces", "both");
    if (faces == "what shows")
        return part.kind == "panel" ? static_cast<int>(number(part, "faces", 1)) : 2;
    return faces == "both" ? 2 : faces == "one" ? 1 : 0;
}

bool coats_both_faces(const Line& line) {
    const std::string faces = text(line, "faces", "both");
    return faces == "both" || faces == "what shows";
}

/// The area that a line's system covers, with its working.
double area_of(const Line& line, contract::Working* working) {
    double area = 0;
    const Json* parts = find_value(line, "parts");
    if (parts != nullptr) {
        for (const Json& id : *parts) {
            const Line* part = reference(line, id.get<std::string>());
            if (part == nullptr) continue;
            const double edges = flag(line, "edges", true)
                                     ? number(part->derived, "edge_length", 0) *
                                           number(part->derived, "thickness", 0) * 1e-6
                                     : 0;
            const double of_part =
                (faces_of(line, *part) * number(part->derived, "area", 0) + edges) *
                static_cast<double>(part->count);
            area += of_part;
            if (working != nullptr)
                working->inputs.push_back(
                    {display_name(*part) + " (" + std::to_string(part->count) + ")",
                     square_metres(of_part), "line." + part->id});
        }
    }
    const double further = number(line, "further_area", 0);
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
        for (auto& [type, need] : consumed_) demand_consumable(type, need);
        for (auto& [code, finding] : cautions_) reply_.findings.push_back(finding);
        const std::string cold =
            temperature_note(number(request_.settings.workshop, "temperature", 20));
        if (!cold.empty())
            reply_.findings.push_back({Severity::caution, "workshop-temperature", "", cold});
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
                    display_name(line) +
                        " has no area to coat: name parts or give a further area.");
            return;
        }
        const Json* coats = find_value(line, "coats");
        if (coats == nullptr || coats->empty()) {
            problem(line, "no-coats",
                    display_name(line) + " has no coats: write at least one, with its product.");
            return;
        }
        std::vector<Coat> system;
        std::vector<Product> products; // of each coat
        DryingOrder drying;
        drying.area = area;
        drying.sides = flag(line, "can_stand", true) || !coats_both_faces(line) ? 1 : 2;
        // What is put together stands on the floor.
        if (text(line, "coated", "assembled") == "flat")
            drying.rack = number(request_.settings.workshop, "rack", 0);
        drying.hours_a_day = number(request_.settings.workshop, "hours_a_day", 8);
        drying.temperature = number(request_.settings.workshop, "temperature", 20);
        const double humidity = number(request_.settings.workshop, "humidity", 50);
        const double slower = drying_factor(drying.temperature, humidity);
        const double rub_down = number(request_.settings.module, "sanding_minutes_per_m2", 3);
        double first_coat = substrate_named(text(line, "substrate", "plywood")).first_coat_factor;
        std::string rubbed;             // grit of the rubbing down before the next coat
        std::vector<std::string> grits; // before each coat
        for (const Json& record : *coats) {
            const Product product = product_of(record, request_.offers);
            const std::string grit = text(record, "grit");
            Coat coat;
            coat.product = text(record, "product");
            coat.spread_rate = product.spread_rate;
            coat.thinning = number(record, "thinning", 0) / 100;
            coat.loss = number(record, "loss", 10) / 100;
            coat.application = flag(line, "sprayed") ? Application::spray : Application::brush;
            if (product.spread_rate <= 0) {
                problem(line, "no-spread-rate",
                        display_name(line) + ": nothing says how far '" + coat.product +
                            "' spreads; write a spread rate, or volume solids and film.");
                return;
            }
            if (!product.no_point.empty())
                reply_.findings.push_back({Severity::caution, "no-drying-point", line.id,
                                           display_name(line) + ": '" + product.no_point +
                                               "' among the drying times of '" + coat.product +
                                               "' is left out; write '10 degC 50 %: 8 h'."});
            if (system.empty()) first_coat = number(record, "absorption", first_coat);
            mind(line, product, coat.application, !grit.empty());
            const bool between = text(record, "sanding", "after each") == "between coats";
            const auto times = static_cast<int>(number(record, "coats", 1));
            for (int i = 0; i < times; ++i) {
                CoatTimes round;
                round.name = coat.product;
                round.work_minutes_per_m2 = number(request_.settings.module, "minutes_per_m2", 5);
                round.abrasive_minutes_per_m2 = rubbed.empty() ? 0 : rub_down;
                round.recoat_hours =
                    product.points.empty()
                        ? product.recoat / 60 * slower
                        : drying_minutes(product.points, drying.temperature, humidity) / 60;
                drying.coats.push_back(round);
                system.push_back(coat);
                products.push_back(product);
                // What is rubbed down is what a further coat goes on: as much is bought as is
                // timed.
                if (!rubbed.empty()) add_abrasive(line, rubbed, area);
                grits.push_back(rubbed);
                rubbed = between && i + 1 == times ? "" : grit;
            }
        }
        if (system.empty()) {
            problem(line, "no-coats",
                    display_name(line) + " has no coats: write at least one, with its product.");
            return;
        }
        drying.cure_hours = products.back().cure / 60 * slower;
        try {
            const SystemUse use = system_use(system, {{display_name(line), area, first_coat}});
            for (const CoatUse& coat : use.coats)
                add(line, system[coat.coat], coat, products[coat.coat]);
            sand_bare(line, area);
            steps(line, drying, system, grits);
            consume(line, area * static_cast<double>(system.size()));
        } catch (const FaultError& error) {
            problem(line, error.faults().front().code.c_str(),
                    display_name(line) + ": " + error.faults().front().sentence() + ".");
        }
    }

    void mind(const Line& line, const Product& product, Application application, bool rubbed_down) {
        if (product.product_class.empty()) return;
        const std::string substrate = text(line, "substrate", "plywood");
        const bool coated_before = substrate == "sealed" || substrate == "weathered wood";
        const ProductClass product_class = product_class_named(product.product_class);
        for (const Caution& caution :
             cautions(product_class, application, rubbed_down, coated_before))
            cautions_.emplace(caution.code, contract::Finding{caution.severity, caution.code, "",
                                                              caution.text, coat_step(line, 1)});
        const Caution kept = care(product_class);
        cautions_.emplace(kept.code,
                          contract::Finding{kept.severity, kept.code, "", kept.text, "", true});
    }

    static std::string coat_step(const Line& line, std::size_t round) {
        return line.id + "_coat_" + std::to_string(round);
    }

    /// Rollers, rags and tape by the area coated, for what the settings count.
    void consume(const Line& line, double coated) {
        for (const auto& [type, setting, usual] : consumables()) {
            const double covers = number(request_.settings.module, setting, usual);
            if (covers <= 0) continue;
            Need& need = consumed_[type];
            need.quantity += coated / covers;
            need.by_line[line.id] += coated;
        }
    }

    void demand_consumable(const std::string& type, const Need& need) {
        const std::string id = "consumable_" + id_of(type);
        const double count = round_to(need.quantity, 2);
        reply_.quantities.push_back({id, type + " for coating", count, "", lines_of(need)});
        reply_.workings.push_back({id,
                                   type + " for coating",
                                   "area of all coats / area that one serves",
                                   {},
                                   format_trimmed(count, 2),
                                   "settings of finish (common practice)"});
        contract::Demand demand;
        demand.id = id;
        demand.title = type + " for coating";
        demand.shares = shares_of(need);
        contract::Amount amount;
        amount.quantity = count;
        for (const contract::Offer& offer : request_.offers)
            if (offer.catalog_class == "consumable" && text(offer.attributes, "type") == type)
                amount.offers.push_back({offer.id, offer.pack, 0, 0});
        // What nobody offers is small stuff that lies in every workshop.
        if (amount.offers.empty()) return;
        demand.amount = std::move(amount);
        reply_.demands.push_back(std::move(demand));
    }

    [[nodiscard]] bool is_offered(const std::string& grit) const {
        return std::any_of(
            request_.offers.begin(), request_.offers.end(), [&](const contract::Offer& offer) {
                return offer.catalog_class == "abrasive" && text(offer.attributes, "grit") == grit;
            });
    }

    void add(const Line& line, const Coat& coat, const CoatUse& use, const Product& product) {
        const double needed = round_to(use.litres, 6);
        Need& need = litres_[coat.product];
        need.quantity += needed;
        need.by_line[line.id] += needed;
        std::string how = square_metres(use.area) + " / " + format_trimmed(use.rate, 3) + " m2/L";
        if (use.weighted_area != use.area) {
            how += " x " + format_trimmed(use.weighted_area / use.area, 2) + " (first coat)";
        }
        if (use.loss > 0) how += " / " + format_trimmed(1 - use.loss, 3) + " (loss)";
        need.working.inputs.push_back(
            {display_name(line) + ", coat " + std::to_string(use.coat + 1),
             litres(needed) + " = " + how, line.id + ".area"});
        need.working.source =
            "spread rate: " + product.rate_source + "; loss and first-coat factor: common practice";
        if (use.thinner_litres > 0) thinner_[coat.product] += use.thinner_litres;
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

    static std::string abrasive_id(const std::string& grit) { return "abrasive_" + id_of(grit); }

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
        demand.id = abrasive_id(grit);
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

    /// Bare wood is sanded before the first coat; what is sealed has been.
    void sand_bare(const Line& line, double area) {
        const std::vector<std::string> grits =
            bare_grits(substrate_named(text(line, "substrate", "plywood")).name);
        const double round = number(request_.settings.module, "bare_sanding_minutes_per_m2", 3);
        const double minutes = round_to(area * round * static_cast<double>(grits.size()), 2);
        if (minutes <= 0) return;
        contract::Step step;
        step.id = line.id + "_sand";
        step.title = display_name(line) + ": sand what is bare, grit";
        for (const std::string& grit : grits)
            step.title += (&grit == &grits.front() ? " " : ", ") + grit;
        reply_.quantities.push_back(
            {line.id + ".bare_sanding",
             display_name(line) + ", bare sanding in " + std::to_string(grits.size()) + " rounds",
             round_to(area * static_cast<double>(grits.size()), 3),
             "m2",
             {line.id}});
        step.lines = {line.id};
        step.phase = contract::Phase::sand;
        step.operation = "sand";
        step.minutes = minutes;
        reply_.steps.push_back(std::move(step));
    }

    void steps(const Line& line, const DryingOrder& drying, const std::vector<Coat>& system,
               const std::vector<std::string>& grits) {
        const double setting_up = number(request_.settings.module, "setting_up", 15);
        const bool flat = text(line, "coated", "assembled") == "flat";
        const DryingPlan plan = plan_drying(drying);
        std::string previous;
        for (std::size_t index = 0; index < plan.rounds.size(); ++index) {
            const Round& round = plan.rounds[index];
            contract::Step step;
            step.id = coat_step(line, index + 1);
            step.title = display_name(line) + ": coat " + std::to_string(round.coat + 1) + " of " +
                         std::to_string(system.size());
            if (drying.sides > 1) step.title += ", side " + std::to_string(round.side + 1);
            if (plan.batches > 1) step.title += ", batch " + std::to_string(round.batch + 1);
            step.lines = {line.id};
            step.phase = flat ? contract::Phase::prefinish : contract::Phase::finish;
            step.operation = "coat";
            if (flat && drying.rack > 0) step.rack = round_to(round.area, 4);
            step.minutes = round_to(round.work_hours * 60 + setting_up, 2);
            const bool last = index + 1 == plan.rounds.size();
            const double wait =
                last ? std::max(plan.cure_hours, drying.coats[round.coat].recoat_hours)
                     : drying.coats[round.coat].recoat_hours;
            step.wait_minutes = round_to(wait * 60, 2);
            // A batch is done before the next takes its place on the rack.
            if (index > 0) step.after = {previous};
            step.needs = {id_of(system[round.coat].product)};
            if (const std::string& grit = grits[round.coat]; !grit.empty() && is_offered(grit))
                step.needs.push_back(abrasive_id(grit));
            previous = step.id;
            reply_.steps.push_back(std::move(step));
        }
        reply_.findings.push_back(
            {Severity::note, "coats-a-day", line.id,
             display_name(line) + ": " + std::to_string(plan.rounds.size()) +
                 (plan.rounds.size() == 1 ? " round" : " rounds") + " over " +
                 std::to_string(plan.days) + (plan.days == 1 ? " working day" : " working days") +
                 ", at most " + std::to_string(plan.max_rounds_a_day) + " a day" +
                 (plan.batches > 1 ? ", in " + std::to_string(plan.batches) + " loads of the rack."
                                   : "."),
             coat_step(line, 1)});
        if (plan.cure_hours > 0) {
            reply_.findings.push_back({Severity::note, "cure", line.id,
                                       "Let " + display_name(line) + " cure for " +
                                           format_trimmed(plan.cure_hours, 1) +
                                           " h before anything lies on it.",
                                       previous});
        }
    }

    const contract::TakeOffRequest& request_;
    contract::TakeOffReply reply_;
    std::map<std::string, Need> litres_;
    std::map<std::string, Need> abrasives_;
    std::map<std::string, Need> consumed_;
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
    if (!request.lines.empty())
        reply.not_counted = {"a trial of the finish on a sample", "touching up after fitting"};
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
