#include "aumbry/spare_sheets.hpp"

#include "line/run.hpp"

#include "aumbry/line_access.hpp"

#include <algorithm>

namespace aumbry {
namespace {

constexpr double slack = 1; // mm: sheets of one nominal size

struct Format {
    double length = 0;
    double width = 0;

    [[nodiscard]] bool holds(const Format& other) const {
        return length + slack >= other.length && width + slack >= other.width;
    }
};

class Spares {
  public:
    explicit Spares(const LineRun& run) : run_(run), bought_(run.bought), as_is_(run.problem) {
        as_is_.objective = Objective::cheapest;
        as_is_.demands.clear();
        for (const Choice& choice : bought_.choices) as_is_.demands.push_back(chosen(choice));
    }

    std::vector<EstimateSpare> all() {
        std::vector<EstimateSpare> list;
        std::vector<std::string> materials; // in the order of the demands
        for (const Choice& choice : bought_.choices) {
            const std::string material = material_of(demand_of(choice.demand));
            if (material.empty() ||
                std::find(materials.begin(), materials.end(), material) != materials.end())
                continue;
            materials.push_back(material);
            if (auto spare = spare_of(material)) list.push_back(std::move(*spare));
        }
        return list;
    }

  private:
    [[nodiscard]] const contract::Demand& demand_of(const std::string& id) const {
        return *std::find_if(run_.taken.demands.begin(), run_.taken.demands.end(),
                             [&](const contract::Demand& demand) { return demand.id == id; });
    }

    /// The choice as the only way of its demand.
    [[nodiscard]] contract::Demand chosen(const Choice& choice) const {
        contract::Demand demand = demand_of(choice.demand);
        if (!demand.amount) {
            std::erase_if(demand.ways,
                          [&](const contract::Way& way) { return way.id != choice.way; });
            return demand;
        }
        demand.amount.reset();
        contract::Way way;
        way.id = "as bought";
        way.uses = choice.uses;
        demand.ways = {std::move(way)};
        return demand;
    }

    /// The role whose sheets a demand is for; empty when it is for none.
    [[nodiscard]] std::string material_of(const contract::Demand& demand) const {
        if (demand.plan_type != "sheet" || demand.shares.empty()) return {};
        for (const ResolvedLine& line : run_.resolved.lines)
            if (line.line.id == demand.shares.front().line && line.line.material)
                return line.line.material->id;
        return {};
    }

    [[nodiscard]] std::optional<Format> format_of(const std::string& offer) const {
        const auto dated = run_.taken.offers.find(offer);
        if (dated == run_.taken.offers.end()) return std::nullopt;
        const Json& attributes = dated->second.offer.attributes;
        return Format{number(attributes, "length", 0), number(attributes, "width", 0)};
    }

    std::optional<EstimateSpare> spare_of(const std::string& material) {
        Format largest;
        contract::Demand spare;
        spare.id = "spare/" + material;
        spare.title = material;
        for (const Choice& choice : bought_.choices) {
            const contract::Demand& demand = demand_of(choice.demand);
            if (material_of(demand) != material) continue;
            for (const contract::Use& use : choice.uses)
                if (const auto format = format_of(use.offer);
                    format && format->length * format->width > largest.length * largest.width)
                    largest = *format;
            for (const contract::Way& way : demand.ways)
                for (const contract::Use& use : way.uses) add_way(spare, use);
        }
        std::erase_if(spare.ways,
                      [&](const contract::Way& way) { return !format_of(way.id)->holds(largest); });
        if (spare.ways.empty()) return std::nullopt;
        ProcureProblem problem = as_is_;
        problem.demands.push_back(spare);
        const Procurement with = procure(problem);
        const auto choice = std::find_if(with.choices.begin(), with.choices.end(),
                                         [&](const Choice& c) { return c.demand == spare.id; });
        if (choice == with.choices.end()) return std::nullopt;
        const auto sheet =
            std::find_if(problem.offers.begin(), problem.offers.end(),
                         [&](const OfferTerms& offer) { return offer.id == choice->way; });
        const auto title = run_.resolved.material_titles.find(material);
        EstimateSpare made;
        made.material = material;
        made.title = title == run_.resolved.material_titles.end() ? material : title->second;
        made.offer = sheet->id;
        made.supplier = sheet->supplier;
        for (const SupplierTerms& terms : problem.suppliers)
            if (terms.supplier.id == sheet->supplier) made.supplier_name = terms.supplier.name;
        made.description = sheet->description;
        made.more = with.cost - bought_.cost;
        return made;
    }

    /// One of what a way uses, named by its offer.
    void add_way(contract::Demand& spare, const contract::Use& use) const {
        if (!format_of(use.offer) ||
            std::any_of(spare.ways.begin(), spare.ways.end(),
                        [&](const contract::Way& way) { return way.id == use.offer; }))
            return;
        contract::Way way;
        way.id = use.offer;
        way.uses = {use};
        way.uses.front().count = 1;
        spare.ways.push_back(std::move(way));
    }

    const LineRun& run_;
    const Procurement& bought_;
    ProcureProblem as_is_;
};

} // namespace

Estimate estimate_with_spare_sheets(const Project& project, PluginHost& host,
                                    const Catalog& catalog, const EstimateOptions& options) {
    LineRun run = run_line(project, host, catalog, options);
    run.estimate.spare_sheets = Spares(run).all();
    return std::move(run.estimate);
}

} // namespace aumbry
