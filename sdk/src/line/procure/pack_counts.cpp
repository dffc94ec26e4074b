#include "line/procure/model.hpp"

#include <algorithm>
#include <numeric>

namespace aumbry::procurement {

namespace {

// Depth first over the offers from the largest content down: the smallest content used comes last
// and its count is the least that fills, so no count of a finished choice could be left out.
//
// No count is tried from which the offers behind could not fill the rest, so every count tried ends
// in a choice: the work is bounded by what may be found, whatever the contents and limits are.
class Enumeration {
  public:
    Enumeration(const std::vector<Content>& offers, std::vector<std::size_t> order,
                std::size_t max_found)
        : offers_(offers), order_(std::move(order)), max_found_(max_found),
          counts_(offers.size(), 0), behind_(order_.size() + 1, 0) {
        std::stable_sort(order_.begin(), order_.end(), [&](std::size_t a, std::size_t b) {
            return offers[a].content > offers[b].content;
        });
        for (std::size_t at = order_.size(); at-- > 0;) {
            const auto& [content, limit] = offers_[order_[at]];
            const std::int64_t all = limit > no_limit / content ? no_limit : content * limit;
            behind_[at] = std::min(behind_[at + 1] + all, no_limit);
        }
    }

    void fill(std::int64_t need) { fill(0, need); }

    bool complete = true;
    std::vector<std::vector<std::int64_t>> found;

  private:
    void fill(std::size_t position, std::int64_t need) {
        if (position == order_.size() || !complete) return;
        const std::size_t offer = order_[position];
        const std::int64_t content = offers_[offer].content;
        const std::int64_t enough = counts_for(need, content);
        const std::int64_t rest = need - behind_[position + 1];
        const std::int64_t lowest = rest > 0 ? counts_for(rest, content) : 0;
        // Many of this one first: few counts of large content are what people buy.
        for (std::int64_t count = std::min(enough, offers_[offer].limit); count >= lowest;
             --count) {
            counts_[offer] = count;
            if (count == enough) {
                if (found.size() == max_found_) {
                    complete = false;
                    break;
                }
                found.push_back(counts_);
            } else {
                fill(position + 1, need - count * content);
                if (!complete) break;
            }
        }
        counts_[offer] = 0;
    }

    static std::int64_t counts_for(std::int64_t need, std::int64_t content) {
        return (need - 1) / content + 1;
    }

    const std::vector<Content>& offers_;
    std::vector<std::size_t> order_;
    std::size_t max_found_;
    std::vector<std::int64_t> counts_;
    std::vector<std::int64_t> behind_; // by position: what it and the offers behind it can fill
};

} // namespace

std::vector<std::vector<std::int64_t>> minimal_pack_counts(const std::vector<Content>& offers,
                                                           std::int64_t need, std::size_t most,
                                                           bool& complete) {
    std::vector<std::size_t> all(offers.size());
    std::iota(all.begin(), all.end(), std::size_t{0});
    Enumeration enumeration(offers, all, most);
    enumeration.fill(need);
    if (!enumeration.complete) {
        // Too many: each offer alone and each pair stand in for all, so that no offer goes unseen.
        complete = false;
        for (std::size_t a = 0; a < offers.size(); ++a) {
            for (std::size_t b = a; b < offers.size(); ++b) {
                std::vector<std::size_t> pair{a};
                if (b != a) pair.push_back(b);
                Enumeration part(offers, pair, 3);
                part.fill(need);
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
