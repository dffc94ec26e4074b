#include "aumbry/recorded.hpp"

#include "documents/contract_members.hpp"
#include "documents/document.hpp"

#include <array>

namespace aumbry {

namespace {

struct Kept {
    std::vector<contract::Share> shares;
    contract::Way way;
};
AUMBRY_RECORD(Kept, "kept_plan") {
    visit.must("shares", self.shares);
    visit.must("way", self.way);
}

} // namespace

std::string_view word_of(Progress progress) {
    static constexpr std::array<std::string_view, 4> words{"planned", "ordered", "received", "cut"};
    return words[static_cast<std::size_t>(progress)];
}

BoughtPlan read_bought_plan(const Json& entry) {
    Kept kept = document::read_document<Kept>(entry, "");
    BoughtPlan plan;
    plan.shares = std::move(kept.shares);
    plan.way = std::move(kept.way);
    return plan;
}

Json bought_plan_json(const std::vector<contract::Share>& shares, const contract::Way& way) {
    return document::to_json(Kept{shares, way});
}

} // namespace aumbry
