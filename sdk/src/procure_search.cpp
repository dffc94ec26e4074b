#include "procure_search.hpp"

#include <algorithm>

namespace aumbry::procurement {

SearchResult search(const Model& model, const Pricer& pricer, const SearchTerms& terms) {
    SearchResult result;
    Assignment assignment(model, pricer);
    const auto allowed = [&] {
        return assignment.cost() != no_limit &&
               (!terms.most_suppliers ||
                assignment.orders() <= static_cast<std::size_t>(*terms.most_suppliers));
    };
    for (std::size_t d = 0; d < model.demands.size(); ++d) {
        std::size_t best = Assignment::none;
        std::int64_t least = no_limit;
        for (std::size_t w = 0; w < model.demands[d].ways.size(); ++w) {
            assignment.set(d, w);
            if (allowed() && assignment.cost() < least) {
                least = assignment.cost();
                best = w;
            }
        }
        assignment.set(d, best);
        if (best == Assignment::none) return result;
        ++result.steps;
    }
    for (bool better = true; better;) {
        better = false;
        for (std::size_t d = 0; d < model.demands.size(); ++d) {
            const std::size_t before = assignment.way(d);
            std::size_t best = before;
            std::int64_t least = assignment.cost();
            for (std::size_t w = 0; w < model.demands[d].ways.size(); ++w) {
                assignment.set(d, w);
                if (allowed() && assignment.cost() < least) {
                    least = assignment.cost();
                    best = w;
                }
            }
            assignment.set(d, best);
            better = better || best != before;
            ++result.steps;
        }
    }
    result.found = true;
    result.ways = assignment.ways();
    result.cost = assignment.cost();
    return result;
}

} // namespace aumbry::procurement
