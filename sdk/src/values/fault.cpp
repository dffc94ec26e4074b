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

/// Letters added, left out, replaced, or two neighbours exchanged: the slips of a typing hand.
std::size_t edit_distance(const std::string& a, const std::string& b) {
    const std::size_t width = b.size() + 1;
    std::vector<std::size_t> distance((a.size() + 1) * width);
    const auto at = [&](std::size_t i, std::size_t j) -> std::size_t& {
        return distance[i * width + j];
    };
    for (std::size_t i = 0; i <= a.size(); ++i) at(i, 0) = i;
    for (std::size_t j = 0; j <= b.size(); ++j) at(0, j) = j;
    for (std::size_t i = 1; i <= a.size(); ++i) {
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const std::size_t replaced = at(i - 1, j - 1) + (a[i - 1] == b[j - 1] ? 0 : 1);
            at(i, j) = std::min({replaced, at(i - 1, j) + 1, at(i, j - 1) + 1});
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) {
                at(i, j) = std::min(at(i, j), at(i - 2, j - 2) + 1);
            }
        }
    }
    return at(a.size(), b.size());
}

} // namespace

std::string nearest_name(const std::string& name, const std::vector<std::string>& candidates) {
    const std::size_t allowed = std::max<std::size_t>(1, name.size() / 3);
    std::string best;
    std::size_t best_distance = allowed + 1;
    for (const std::string& candidate : candidates) {
        const std::size_t distance = edit_distance(name, candidate);
        if (distance < best_distance) {
            best_distance = distance;
            best = candidate;
        }
    }
    return best;
}

} // namespace aumbry
