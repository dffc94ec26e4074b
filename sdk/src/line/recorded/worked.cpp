#include "line/recorded/worked.hpp"

#include "aumbry/rounding.hpp"

#include <algorithm>

namespace aumbry {

std::map<std::string, WorkedOn> worked_by_step(const std::vector<Worked>& worked) {
    std::map<std::string, WorkedOn> steps;
    for (const Worked& each : worked) {
        const auto [at, first] = steps.try_emplace(each.step);
        WorkedOn& on = at->second;
        if (first) on.who = each.who;
        on.minutes = round_to(on.minutes + each.minutes, 4);
        on.done = on.done || each.done;
    }
    return steps;
}

double minutes_left(double minutes, std::int64_t people, const WorkedOn& worked) {
    if (worked.done) return 0;
    if (worked.minutes <= 0) return minutes;
    return round_to(std::max(0.0, minutes - worked.minutes / static_cast<double>(people)), 4);
}

} // namespace aumbry
