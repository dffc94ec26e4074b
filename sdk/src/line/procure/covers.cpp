#include "line/procure/model.hpp"

#include <algorithm>
#include <numeric>

namespace aumbry::procurement {

namespace {

// Depth first over the offers from the largest content down: the smallest content used comes last
// and its count is the least that fills, so no count of a finished choice could be left out.
struct Enumeration {
    const std::vector<Content>& offers;
    const std::vector<std::size_t>& order;
    std::size_t most;
    bool complete = true;
    std::vector<std::int64_t> counts;
    std::vector<std::vector<std::int64_t>> found;

    void fill(std::size_t position, std::int64_t need) {
        if (position == order.size() || !complete) return;
        const std::size_t offer = order[position];
        const std::int64_t content = offers[offer].content;
        const std::int64_t enough = (need + content - 1) / content;
        // Many of this one first: few counts of large content are what people buy.
        for (std::int64_t count = std::min(enough, offers[offer].limit); count >= 0; --count) {
            counts[offer] = count;
            if (count == enough) {
                if (found.size() == most) {
                    complete = false;
                    break;
                }
                found.push_back(counts);
            } else {
                fill(position + 1, need - count * content);
                if (!complete) break;
            }
        }
        counts[offer] = 0;
    }
};

} // namespace

std::vector<std::vector<std::int64_t>> covers(const std::vector<Content>& offers, std::int64_t need,
                                              std::size_t most, bool& complete) {
    std::vector<std::size_t> order(offers.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
        return offers[a].content > offers[b].content;
    });
    Enumeration enumeration{offers, order, most, true, std::vector<std::int64_t>(offers.size(), 0),
                            {}};
    enumeration.fill(0, need);
    if (!enumeration.complete) {
        // Too many: each offer alone and each pair stand in for all, so that no offer goes unseen.
        complete = false;
        for (std::size_t a = 0; a < offers.size(); ++a) {
            for (std::size_t b = a; b < offers.size(); ++b) {
                std::vector<std::size_t> pair{a};
                if (b != a) pair.push_back(b);
                std::stable_sort(pair.begin(), pair.end(), [&](std::size_t x, std::size_t y) {
                    return offers[x].content > offers[y].content;
                });
                Enumeration part{offers, pair, 3, true, std::vector<std::int64_t>(offers.size(), 0),
                                 {}};
                part.fill(0, need);
                for (auto& counts : part.found) enumeration.found.push_back(std::move(counts));
            }
        }
        std::sort(enumeration.found.begin(), enumeration.found.end());
        enumeration.found.erase(std::unique(enumeration.found.begin(), enumeration.found.end()),
                                enumeration.found.end());
    }
    return enumeration.found;
}

} // namespace aumbry::procurement
