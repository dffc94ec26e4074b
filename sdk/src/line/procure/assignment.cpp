#include "line/procure/search.hpp"

#include <algorithm>

namespace aumbry::procurement {

Assignment::Assignment(const Model& model, const Pricer& pricer)
    : model_(&model), pricer_(&pricer), ways_(model.demands.size(), none),
      needed_(pricer.slot_count(), 0), cuts_(model.suppliers.size(), 0),
      uses_(model.suppliers.size(), 0), costs_(model.suppliers.size(), 0) {}

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
    ask.cuts = cuts_[supplier];
    for (std::size_t offer = 0; offer < model_->offers.size(); ++offer) {
        if (model_->offers[offer].supplier != supplier) continue;
        for (std::size_t q = 0; q < model_->offers[offer].quantities.size(); ++q)
            if (const std::int64_t count = needed_[pricer_->slot(offer, q)]; count > 0)
                ask.uses.push_back({offer, q, count});
    }
    return ask;
}

// Adds the way in place to what is needed, or takes it out, and notes whose order changes.
void Assignment::count(std::size_t demand, int sign) {
    if (ways_[demand] == none) return;
    const Way& way = model_->demands[demand].ways[ways_[demand]];
    for (const Use& use : way.uses) {
        needed_[pricer_->slot(use.offer, use.quantity)] += sign * use.count;
        if (model_->offers[use.offer].supplier == owned) changed_.push_back(owned);
    }
    for (const Cuts& cuts : way.cuts) cuts_[cuts.supplier] += sign * cuts.count;
    for (const std::size_t s : way.suppliers) {
        uses_[s] += sign;
        changed_.push_back(s);
    }
}

void Assignment::reprice(std::size_t supplier) {
    costs_[supplier] = pricer_->cost(supplier, needed_, cuts_[supplier]);
}

void Assignment::set(std::size_t demand, std::size_t way) {
    if (ways_[demand] == way) return;
    changed_.clear();
    count(demand, -1);
    ways_[demand] = way;
    count(demand, 1);
    std::sort(changed_.begin(), changed_.end());
    changed_.erase(std::unique(changed_.begin(), changed_.end()), changed_.end());
    for (const std::size_t s : changed_) reprice(s);
}

Assignment::Trial Assignment::trial(std::size_t demand, std::size_t way) {
    const std::size_t before = ways_[demand];
    saved_ = costs_;
    set(demand, way);
    const Trial result{cost(), orders()};
    count(demand, -1);
    ways_[demand] = before;
    count(demand, 1);
    costs_.swap(saved_);
    return result;
}

} // namespace aumbry::procurement
