#include "aumbry/fault.hpp"

#include <algorithm>
#include <numeric>
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

std::size_t edit_distance(const std::string& a, const std::string& b) {
    std::vector<std::size_t> row(b.size() + 1);
    std::iota(row.begin(), row.end(), std::size_t{0});
    for (std::size_t i = 1; i <= a.size(); ++i) {
        std::size_t diagonal = row[0];
        row[0] = i;
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const std::size_t replaced = diagonal + (a[i - 1] == b[j - 1] ? 0 : 1);
            diagonal = row[j];
            row[j] = std::min({replaced, row[j] + 1, row[j - 1] + 1});
        }
    }
    return row[b.size()];
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
