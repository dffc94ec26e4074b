// What the Lagrangian bound works on: the procurement problem taken apart by supplier.
#pragma once

#include "line/procure/price.hpp"

#include <limits>

namespace aumbry::procurement {

inline constexpr double infinite = std::numeric_limits<double>::infinity();
/// Slack for the rounding errors of sums, in minor units or kg.
inline constexpr double tiny = 1e-6;

inline double as_double(std::int64_t value) {
    return static_cast<double>(value);
}

/// How a supplier's order is charged.
struct OrderMode {
    enum class Kind { closed, no_goods, open };
    Kind kind = Kind::open;
    bool allows_oversize = true;
    double fixed = 0;        ///< charge of the mode, in minor units
    double max_mass = 1e300; ///< kg, of the band
    /// sum a_c >= `min`, over the goods: a_c is the listed value, or minus the mass.
    struct Constraint {
        bool by_mass = false;
        double min = 0;
        double max_mu = 0; ///< what missing one unit costs at most
        bool hard = false; ///< the mode is impossible when it cannot be met
    };
    std::vector<Constraint> constraints = {};
    bool delivers = true; ///< takes what does not fit the vehicle
};

/// What is still open at a point of the search.
struct Domain {
    std::vector<std::uint8_t> ways;   ///< by flat way index
    std::vector<std::uint32_t> modes; ///< by supplier: bit set of its modes
};

inline constexpr std::size_t no_multiplier = static_cast<std::size_t>(-1);

/// What a way brings to one of its suppliers. It carries a share of the lambda of its demand;
/// between the parts of one way further multipliers shift it from one to the next.
struct Part {
    std::size_t flat = 0;
    double share = 1;
    std::size_t from_next = no_multiplier;   ///< what the next part gives to this one
    std::size_t to_previous = no_multiplier; ///< what this one gives to the part before
};

/// Ways of different demands together, as they meet at one supplier.
struct Combination {
    double cost = 0;
    double listed = 0; ///< goods, in the supplier's minor units, at most
    double mass = 0;   ///< kg, at least
    bool goods = false;
    bool oversize = false;
    bool must_be_delivered = false;
    std::vector<Part> parts; ///< one a demand
};

/// Demands of which each may be met here or elsewhere; one combination of them is taken, or none.
/// Either all combinations are listed, or, where all of them buy one and the same offer, what each
/// takes of it (`items`) and what any total of it comes to (`totals`).
struct DemandGroup {
    std::vector<std::size_t> demands;
    std::vector<Combination> combinations;
    struct Item {
        Part part;
        std::int64_t count = 0;
        double cost = 0; ///< beside the common offer
    };
    std::vector<std::vector<Item>> items; ///< by entry of `demands`
    /// By count, without parts; empty when there is not as much.
    std::vector<std::optional<Combination>> totals;
};

struct RelaxedModel {
    const Model* model = nullptr;
    std::optional<int> max_suppliers;
    std::vector<std::size_t> first_way; ///< by demand its first way; then one past the last
    struct WayCost {
        std::size_t demand = 0;
        double min_cost = 0;
    };
    std::vector<WayCost> ways;
    std::vector<std::vector<Part>> parts;           ///< by way, by entry of its suppliers
    std::size_t multiplier_count = 0;               ///< demands first, then between parts
    std::vector<std::vector<std::size_t>> own_ways; ///< by demand: ways without a supplier
    std::vector<std::vector<DemandGroup>> groups;   ///< by supplier
    std::vector<std::vector<OrderMode>> modes;      ///< by supplier; 0 is closed
    struct Stock {
        std::int64_t limit = 0;
        std::vector<std::size_t> demands;
        std::vector<std::pair<std::size_t, std::int64_t>> counts; ///< way, count; rising
    };
    std::vector<Stock> stocks; ///< offers that several demands compete for

    [[nodiscard]] const Way& way(std::size_t flat) const {
        const std::size_t demand = ways[flat].demand;
        return model->demands[demand].ways[flat - first_way[demand]];
    }
    [[nodiscard]] double lambda_of(const Part& part, const std::vector<double>& lambda) const {
        double of = part.share * lambda[ways[part.flat].demand];
        if (part.from_next != no_multiplier) of += lambda[part.from_next];
        if (part.to_previous != no_multiplier) of -= lambda[part.to_previous];
        return of;
    }
};

/// What an amount without tax adds to the cost.
[[nodiscard]] double tax_factor(const Model& model, Decimal percent);
/// Project money without tax for one minor unit as the seller lists it.
[[nodiscard]] double listed_factor(const Model& model, const Seller& seller, Decimal tax_percent);

/// Every way at its minimum cost, and the stock that several demands compete for.
void read_ways(RelaxedModel& relaxed, const Pricer& pricer);
/// By supplier the groups of demands. After read_ways.
void read_groups(RelaxedModel& relaxed, const Pricer& pricer);
/// By supplier how its order may be charged. After read_groups.
void read_modes(RelaxedModel& relaxed, const Pricer& pricer);

} // namespace aumbry::procurement
