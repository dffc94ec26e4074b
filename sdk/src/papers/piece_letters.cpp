#include "aumbry/piece_letters.hpp"

#include <optional>
#include <string_view>

namespace aumbry {
namespace {

constexpr std::string_view alphabet = "ABCDEFGHJKLMNPQRSTUVWXYZ";

std::string letter_at(std::size_t index) {
    const std::string last(1, alphabet[index % alphabet.size()]);
    return index < alphabet.size() ? last : letter_at(index / alphabet.size() - 1) + last;
}

} // namespace

std::vector<std::string> piece_letters(const contract::SheetPlan& plan) {
    std::vector<std::string> given(plan.blanks.size());
    if (plan.cuts.empty() || given.empty()) return given;
    std::vector<bool> needed(plan.blanks.size(), false);
    const auto at = [](int index) { return static_cast<std::size_t>(index); };
    // What a dealer leaves, though it is cut no more, is told apart when it is handed over.
    for (const contract::SheetCut& cut : plan.cuts) {
        needed.at(at(cut.blank)) = true;
        if (cut.by != contract::CutBy::dealer) continue;
        for (const std::optional<int>& left : {cut.first, cut.second}) {
            if (left) needed.at(at(*left)) = true;
        }
    }
    given.front() = letter_at(0);
    std::size_t next = 1;
    for (const contract::SheetCut& cut : plan.cuts) {
        const bool first = cut.first && needed.at(at(*cut.first));
        const bool second = cut.second && needed.at(at(*cut.second));
        if (second) given[at(*cut.second)] = given[at(cut.blank)];
        if (first) given[at(*cut.first)] = second ? letter_at(next++) : given[at(cut.blank)];
    }
    return given;
}

} // namespace aumbry
