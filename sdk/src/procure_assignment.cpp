#include "procure_search.hpp"

#include <algorithm>

namespace aumbry::procurement {

namespace {

// Suppliers of a way, owned stock included when it draws on it.
std::vector<std::size_t> touched(const Model& model, const Way& way) {
    std::vector<std::size_t> suppliers = way.suppliers;
    if (std::any_of(way.uses.begin(), way.uses.end(),
                    [&](const Use& use) { return model.offers[use.offer].supplier == owned; }))
        suppliers.insert(suppliers.begin(), owned);
    return suppliers;
}

} // namespace

Assignment::Assignment(const Model& model, const Pricer& pricer)
    : model_(&model), pricer_(&pricer), ways_(model.demands.size(), none),
      demands_of_(model.suppliers.size()), uses_(model.suppliers.size(), 0),
      costs_(model.suppliers.size(), 0) {
    for (std::size_t d = 0; d < model.demands.size(); ++d) {
        std::vector<bool> seen(model.suppliers.size(), false);
        for (const Way& way : model.demands[d].ways)
            for (const std::size_t s : touched(model, way)) seen[s] = true;
        for (std::size_t s = 0; s < seen.size(); ++s)
            if (seen[s]) demands_of_[s].push_back(d);
    }
}

std::int64_t Assignment::cost() const {
    std::int64_t sum = 0;
    for (const std::int64_t cost : costs_) {
        if (cost == no_limit) return no_limit;
        sum += cost;
    }
    return sum;
}

std::size_t Assignment::orders() const {
    return static_cast<std::size_t>(
        std::count_if(uses_.begin() + 1, uses_.end(), [](int uses) { return uses > 0; }));
}

Ask Assignment::ask(std::size_t supplier) const {
    Ask ask;
    for (const std::size_t d : demands_of_[supplier]) {
        if (ways_[d] == none) continue;
        const Way& way = model_->demands[d].ways[ways_[d]];
        for (const Use& use : way.uses)
            if (model_->offers[use.offer].supplier == supplier) ask.uses.push_back(use);
        for (const Cuts& cuts : way.cuts)
            if (cuts.supplier == supplier) ask.cuts += cuts.count;
    }
    return ask;
}

void Assignment::reprice(std::size_t supplier) {
    costs_[supplier] = uses_[supplier] > 0 ? pricer_->cost(supplier, ask(supplier)) : 0;
}

Assignment::Trial Assignment::trial(std::size_t demand, std::size_t way) {
    const std::size_t before = ways_[demand];
    saved_ = costs_;
    set(demand, way);
    const Trial result{cost(), orders()};
    place(demand, before);
    costs_.swap(saved_);
    return result;
}

// Puts a way in place and counts, without prices.
std::vector<std::size_t> Assignment::place(std::size_t demand, std::size_t way) {
    std::vector<std::size_t> changed;
    if (ways_[demand] != none) {
        for (const std::size_t s : touched(*model_, model_->demands[demand].ways[ways_[demand]])) {
            --uses_[s];
            changed.push_back(s);
        }
    }
    ways_[demand] = way;
    if (way != none) {
        for (const std::size_t s : touched(*model_, model_->demands[demand].ways[way])) {
            ++uses_[s];
            if (std::find(changed.begin(), changed.end(), s) == changed.end()) changed.push_back(s);
        }
    }
    return changed;
}

void Assignment::set(std::size_t demand, std::size_t way) {
    if (ways_[demand] == way) return;
    for (const std::size_t s : place(demand, way)) reprice(s);
}

} // namespace aumbry::procurement
