#include "aumbry/fault.hpp"

#include <algorithm>
#include <utility>

namespace aumbry {

std::string Fault::sentence() const {
    std::string text;
    if (!place.file.empty()) {
        text += place.file;
        if (place.line > 0) {
            text += ':' + std::to_string(place.line);
            if (place.column > 0) text += ':' + std::to_string(place.column);
        }
        text += ": ";
    }
    if (!place.pointer.empty()) text += place.pointer + ": ";
    text += wrong;
    if (!right.empty()) text += "; " + right;
    return text;
}

FaultError::FaultError(Fault fault) : FaultError(std::vector<Fault>{std::move(fault)}) {}

FaultError::FaultError(std::vector<Fault> faults) : faults_(std::move(faults)) {
    for (const Fault& fault : faults_) {
        if (!text_.empty()) text_ += '\n';
        text_ += fault.sentence();
    }
}

void fail(std::string code, Place place, std::string wrong, std::string right) {
    throw FaultError(Fault{std::move(code), std::move(place), std::move(wrong), std::move(right)});
}

namespace {

/// No slip of a hand is larger; a longer name allows no more.
constexpr std::size_t max_slips = 20;

/// Letters added, left out, replaced, or two neighbours exchanged: the slips of a typing hand. More
/// than `limit` of them are not counted: the answer is limit + 1.
std::size_t edit_distance(const std::string& a, const std::string& b, std::size_t limit) {
    const std::size_t more = limit + 1;
    if (a.size() > b.size() + limit || b.size() > a.size() + limit) return more;
    // Three rows of the table; within each only what can stay below the limit.
    std::vector<std::size_t> before(b.size() + 1, more);
    std::vector<std::size_t> last(b.size() + 1, more);
    std::vector<std::size_t> row(b.size() + 1, more);
    for (std::size_t j = 0; j <= std::min(limit, b.size()); ++j) last[j] = j;
    for (std::size_t i = 1; i <= a.size(); ++i) {
        const std::size_t first = i > limit ? i - limit : 1;
        const std::size_t end = std::min(b.size(), i + limit);
        row[first - 1] = first == 1 && i <= limit ? i : more;
        for (std::size_t j = first; j <= end; ++j) {
            const std::size_t replaced = last[j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1);
            row[j] = std::min({replaced, last[j] + 1, row[j - 1] + 1, more});
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
                row[j] = std::min(row[j], before[j - 2] + 1);
        }
        if (end < b.size()) row[end + 1] = more;
        before.swap(last);
        last.swap(row);
    }
    return last[b.size()];
}

} // namespace

std::string nearest_name(const std::string& name, const std::vector<std::string>& candidates) {
    const std::size_t allowed = std::clamp<std::size_t>(name.size() / 3, 1, max_slips);
    std::string best;
    std::size_t best_distance = allowed + 1;
    for (const std::string& candidate : candidates) {
        if (best_distance == 0) break;
        const std::size_t distance = edit_distance(name, candidate, best_distance - 1);
        if (distance < best_distance) {
            best_distance = distance;
            best = candidate;
        }
    }
    return best;
}

} // namespace aumbry
