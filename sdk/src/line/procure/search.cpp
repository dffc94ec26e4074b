#include "line/procure/search.hpp"

#include "line/procure/bound/bound.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <set>
#include <tuple>

namespace aumbry::procurement {

namespace {

constexpr double cost_not_found = 1e18;
constexpr int first_iterations = 240;
constexpr int later_iterations = 30;

/// Makes choices better, one demand or one supplier at a time.
class Improver {
  public:
    Improver(const Model& model, const Pricer& pricer, const Bound& bound, const SearchTerms& terms)
        : model_(model), pricer_(pricer), bound_(bound), max_(terms.max_suppliers),
          stop_(terms.stop) {}

    [[nodiscard]] bool better(const Assignment::Trial& trial, std::int64_t than) const {
        return trial.cost < than && (!max_ || trial.orders <= static_cast<std::size_t>(*max_));
    }

    [[nodiscard]] std::int64_t value(const Assignment& assignment) const {
        return better({assignment.cost(), assignment.orders()}, no_limit) ? assignment.cost()
                                                                          : no_limit;
    }

    /// Demand by demand the way that adds least; `none` stays where stock is used up.
    [[nodiscard]] Assignment greedy() const {
        Assignment assignment(model_, pricer_);
        for (std::size_t d = 0; d < model_.demands.size(); ++d) move(assignment, d, no_limit);
        return assignment;
    }

    /// Each demand by the way that the bound took most often, of suppliers that are open and within
    /// stock where such ways are left; by cost among equals.
    [[nodiscard]] Assignment near(const Bound::Result& result, const Domain& domain,
                                  bool by_cost) const {
        Assignment assignment(model_, pricer_);
        std::vector<std::size_t> order;
        for (std::size_t d = 0; d < model_.demands.size(); ++d) {
            order.clear();
            for (std::size_t w = 0; w < model_.demands[d].ways.size(); ++w)
                if (domain.ways[bound_.first_way(d) + w] != 0) order.push_back(w);
            const auto rank = [&](std::size_t w) {
                const auto& suppliers = model_.demands[d].ways[w].suppliers;
                const bool closed = std::any_of(suppliers.begin(), suppliers.end(),
                                                [&](std::size_t s) { return result.mode[s] == 0; });
                const std::size_t flat = bound_.first_way(d) + w;
                return std::tuple(closed, by_cost ? 0 : -result.frequency[flat],
                                  bound_.min_cost(flat));
            };
            std::stable_sort(order.begin(), order.end(),
                             [&](std::size_t a, std::size_t b) { return rank(a) < rank(b); });
            for (const std::size_t w : order) {
                stop_.step();
                assignment.set(d, w);
                if (assignment.cost() != no_limit) break;
                assignment.set(d, Assignment::none);
            }
        }
        return assignment;
    }

    void moves(Assignment& assignment) const {
        for (bool changed = true; changed;) {
            changed = false;
            for (std::size_t d = 0; d < model_.demands.size(); ++d)
                changed = move(assignment, d, value(assignment)) || changed;
        }
    }

    /// Moves, then a supplier less, a supplier more, until nothing helps.
    void improve(Assignment& assignment) const {
        moves(assignment);
        for (bool changed = true; changed;) {
            changed = false;
            for (std::size_t s = 1; s < model_.suppliers.size(); ++s) {
                Assignment other = assignment;
                if (!(assignment.used(s) ? without(other, s) : with(other, s))) continue;
                moves(other);
                if (value(other) < value(assignment)) {
                    assignment = std::move(other);
                    changed = true;
                }
            }
        }
    }

  private:
    bool move(Assignment& assignment, std::size_t d, std::int64_t from) const {
        std::size_t best = assignment.way(d);
        std::int64_t least = from;
        for (std::size_t w = 0; w < model_.demands[d].ways.size(); ++w) {
            if (w == assignment.way(d)) continue;
            stop_.step();
            const Assignment::Trial trial = assignment.trial(d, w);
            if (!better(trial, least)) continue;
            least = trial.cost;
            best = w;
        }
        const bool changed = best != assignment.way(d);
        assignment.set(d, best);
        return changed;
    }

    [[nodiscard]] bool goes_to(std::size_t d, std::size_t w, std::size_t supplier) const {
        const auto& suppliers = model_.demands[d].ways[w].suppliers;
        return std::binary_search(suppliers.begin(), suppliers.end(), supplier);
    }

    // False when some demand has no other way.
    bool without(Assignment& assignment, std::size_t supplier) const {
        for (std::size_t d = 0; d < model_.demands.size(); ++d) {
            if (assignment.way(d) == Assignment::none || !goes_to(d, assignment.way(d), supplier))
                continue;
            std::size_t best = Assignment::none;
            std::int64_t least = no_limit;
            for (std::size_t w = 0; w < model_.demands[d].ways.size(); ++w) {
                if (goes_to(d, w, supplier)) continue;
                stop_.step();
                const std::int64_t cost = assignment.trial(d, w).cost;
                if (cost >= least) continue;
                least = cost;
                best = w;
            }
            if (best == Assignment::none) return false;
            assignment.set(d, best);
        }
        return true;
    }

    // Everything goes to the supplier that it lists for less than what is chosen.
    bool with(Assignment& assignment, std::size_t supplier) const {
        bool any = false;
        for (std::size_t d = 0; d < model_.demands.size(); ++d) {
            if (assignment.way(d) == Assignment::none) continue;
            std::size_t best = assignment.way(d);
            double least = bound_.min_cost(bound_.first_way(d) + best);
            for (std::size_t w = 0; w < model_.demands[d].ways.size(); ++w) {
                if (!goes_to(d, w, supplier)) continue;
                const double cost = bound_.min_cost(bound_.first_way(d) + w);
                if (cost >= least) continue;
                least = cost;
                best = w;
            }
            any = any || best != assignment.way(d);
            assignment.set(d, best);
        }
        return any;
    }

    const Model& model_;
    const Pricer& pricer_;
    const Bound& bound_;
    std::optional<int> max_;
    const Stop& stop_;
};

struct Node {
    Domain domain;
    std::vector<double> lambda;
    Bound::Result result;
};

/// Branch and bound, the most promising node first; until something is found, the latest.
class Search {
  public:
    Search(const Model& model, const Pricer& pricer, const SearchTerms& terms)
        : model_(model), pricer_(pricer), terms_(terms), bound_(model, pricer, terms.max_suppliers),
          improver_(model, pricer, bound_, terms_) {}

    SearchResult run() {
        Assignment first = improver_.greedy();
        improver_.improve(first);
        keep(first);

        Node root;
        root.domain = bound_.full_domain();
        root.lambda = bound_.first_lambda();
        visit(std::move(root), first_iterations);
        while (!open_.empty() && work_ < terms_.max_work) {
            auto at = open_.begin();
            if (!result_.found)
                at = std::max_element(open_.begin(), open_.end(), [](const auto& a, const auto& b) {
                    return a.first.second < b.first.second;
                });
            if (at->first.first > target() - 1 + 1e-6) {
                open_.erase(at);
                continue;
            }
            Node node = std::move(at->second);
            open_.erase(at);
            branch(std::move(node));
        }
        std::erase_if(open_,
                      [&](const auto& entry) { return entry.first.first > target() - 1 + 1e-6; });
        const bool all_ways = std::all_of(model_.demands.begin(), model_.demands.end(),
                                          [](const Demand& d) { return d.all_ways; });
        result_.proven = open_.empty() && all_ways;
        double least = static_cast<double>(result_.cost);
        for (const auto& [key, node] : open_) least = std::min(least, std::ceil(key.first - 1e-6));
        result_.lower_bound = std::max<std::int64_t>(static_cast<std::int64_t>(least), 0);
        return std::move(result_);
    }

  private:
    [[nodiscard]] double target() const {
        return result_.found ? static_cast<double>(result_.cost) : cost_not_found;
    }

    void keep(const Assignment& assignment) {
        const std::int64_t cost = improver_.value(assignment);
        if (std::find(assignment.ways().begin(), assignment.ways().end(), Assignment::none) !=
                assignment.ways().end() ||
            cost == no_limit || (result_.found && cost >= result_.cost))
            return;
        result_.found = true;
        result_.cost = cost;
        result_.ways = assignment.ways();
    }

    // Bounds a node, looks for a good choice near it, and keeps it open when it can lead to a
    // better one.
    void visit(Node node, int iterations) {
        ++result_.steps;
        work_ += static_cast<std::int64_t>(bound_.way_count());
        if (!bound_.propagate(node.domain)) return;
        node.result = bound_.evaluate(node.domain, node.lambda, iterations, target(), terms_.stop);
        work_ += node.result.work;
        if (node.result.value > target() - 1 + 1e-6) return;
        look_near(node, iterations == first_iterations);
        if (!bound_.propagate(node.domain)) return;
        if (leaf(node.domain)) return;
        const double value = node.result.value;
        open_.emplace(std::pair(value, ++number_), std::move(node));
    }

    // Good choices near what the bound took: at length at the root, then at every node while they
    // are few, later at some.
    void look_near(const Node& node, bool at_length) {
        if (result_.found && result_.steps > 100 && result_.steps % 16 != 0) return;
        for (const bool by_cost : {false, true}) {
            Assignment near = improver_.near(node.result, node.domain, by_cost);
            if (!seen_.insert(near.ways()).second) continue;
            if (at_length)
                improver_.improve(near);
            else if (static_cast<double>(near.cost()) < target() * 1.01)
                improver_.moves(near);
            keep(near);
        }
    }

    // With one way left for each demand its exact cost is known.
    bool leaf(const Domain& domain) {
        Assignment only(model_, pricer_);
        for (std::size_t d = 0; d < model_.demands.size(); ++d) {
            std::size_t left = Assignment::none;
            for (std::size_t flat = bound_.first_way(d); flat < bound_.first_way(d + 1); ++flat) {
                if (domain.ways[flat] == 0) continue;
                if (left != Assignment::none) return false;
                left = flat - bound_.first_way(d);
            }
            only.set(d, left);
        }
        keep(only);
        return true;
    }

    void branch(Node node) {
        std::size_t supplier = 0;
        double most = 0.02;
        for (std::size_t s = 1; s < node.domain.modes.size(); ++s) {
            const std::uint32_t mask = node.domain.modes[s];
            if ((mask & (mask - 1)) == 0 || node.result.uncertainty[s] <= most) continue;
            most = node.result.uncertainty[s];
            supplier = s;
        }
        Node other = node;
        if (supplier != 0) {
            std::uint32_t& mask = node.domain.modes[supplier];
            std::uint32_t one = 1U << node.result.mode[supplier];
            if ((mask & one) == 0) one = mask & (~mask + 1);
            other.domain.modes[supplier] = mask & ~one;
            mask = one;
        } else {
            const std::size_t flat = undecided_way(node);
            const std::size_t demand = bound_.demand_of(flat);
            for (std::size_t f = bound_.first_way(demand); f < bound_.first_way(demand + 1); ++f)
                if (f != flat) node.domain.ways[f] = 0;
            other.domain.ways[flat] = 0;
        }
        visit(std::move(other), later_iterations);
        visit(std::move(node), later_iterations);
    }

    // Of the demand whose ways took turns most evenly, the way taken most often.
    [[nodiscard]] std::size_t undecided_way(const Node& node) const {
        std::size_t best = bound_.way_count();
        double min_often = 3;
        for (std::size_t d = 0; d < model_.demands.size(); ++d) {
            std::size_t left = 0;
            std::size_t favourite = bound_.way_count();
            for (std::size_t flat = bound_.first_way(d); flat < bound_.first_way(d + 1); ++flat) {
                if (node.domain.ways[flat] == 0) continue;
                ++left;
                if (favourite == bound_.way_count() ||
                    node.result.frequency[flat] > node.result.frequency[favourite])
                    favourite = flat;
            }
            if (left < 2) continue;
            const double often = std::abs(node.result.frequency[favourite] - 0.5);
            if (often < min_often) {
                min_often = often;
                best = favourite;
            }
        }
        return best;
    }

    const Model& model_;
    const Pricer& pricer_;
    SearchTerms terms_;
    Bound bound_;
    Improver improver_;
    std::map<std::pair<double, std::int64_t>, Node> open_; // by bound and age
    std::set<std::vector<std::size_t>> seen_;              // choices looked at
    std::int64_t number_ = 0;
    std::int64_t work_ = 0;
    SearchResult result_;
};

} // namespace

SearchResult search(const Model& model, const Pricer& pricer, const SearchTerms& terms) {
    return Search(model, pricer, terms).run();
}

} // namespace aumbry::procurement
