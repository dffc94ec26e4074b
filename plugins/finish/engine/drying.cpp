#include "finish/engine/drying.hpp"

#include "aumbry/fault.hpp"
#include "aumbry/quantity.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <locale>
#include <map>
#include <sstream>

namespace aumbry::finish {
namespace {

constexpr double nearly = 1e-9; // hours: a rounding error moves no round to the next day

void check(const DryingOrder& order) {
    if (order.coats.empty())
        fail("no-coats", {}, "there are no coats to dry", "list at least one coat");
    if (!(order.area >= 0))
        fail("area-out-of-range", {}, "the coated area is below zero", "give zero or more");
    if (order.sides != 1 && order.sides != 2)
        fail("sides-out-of-range", {}, fmt::format("parts are to dry on {} sides", order.sides),
             "give 1 when parts can stand, 2 when each side dries by itself");
    if (!(order.rack >= 0))
        fail("rack-out-of-range", {}, "the rack space is below zero", "give zero or more");
    if (!(order.hours_a_day > 0 && order.hours_a_day <= 24))
        fail("hours-out-of-range", {},
             fmt::format("a working day has {:g} hours", order.hours_a_day),
             "give hours above 0 and up to 24");
    if (!(order.cure_hours >= 0))
        fail("time-out-of-range", {}, "the cure time is below zero", "give zero or more");
    for (const CoatTimes& coat : order.coats)
        if (!(coat.work_minutes_per_m2 >= 0 && coat.abrasive_minutes_per_m2 >= 0 &&
              coat.recoat_hours >= 0))
            fail("time-out-of-range", {}, "coat '" + coat.name + "' has a time below zero",
                 "give zero or more");
}

} // namespace

DryingPlan plan_drying(const DryingOrder& order) {
    check(order);
    DryingPlan plan;
    plan.cure_hours = order.cure_hours;
    // What lies on the racks at once: one side of the parts when each side dries by itself.
    const double laid = order.area / order.sides;
    if (order.rack > 0)
        plan.batches = std::max<std::int64_t>(
            1, static_cast<std::int64_t>(std::ceil(laid / order.rack - nearly)));
    const double area_a_round = laid / static_cast<double>(plan.batches);

    double now = 0; // hours since the first day's beginning, round the clock
    for (std::int64_t batch = 0; batch < plan.batches; ++batch)
        for (std::size_t c = 0; c < order.coats.size(); ++c)
            for (int side = 0; side < order.sides; ++side) {
                const CoatTimes& coat = order.coats[c];
                const double work =
                    area_a_round * (coat.work_minutes_per_m2 + coat.abrasive_minutes_per_m2) / 60.0;
                auto day = static_cast<std::int64_t>(std::floor(now / 24.0 + nearly));
                double start = std::max(0.0, now - 24.0 * static_cast<double>(day));
                const bool fits = start + work <= order.hours_a_day + nearly;
                const bool longer_than_a_day = work > order.hours_a_day;
                if (start > nearly && (longer_than_a_day || !fits)) {
                    ++day;
                    start = 0;
                }
                plan.rounds.push_back({c, side, batch, day, start, work, area_a_round});
                plan.work_hours += work;
                // A round longer than a day goes on in the next days' working hours.
                double rest = start + work;
                std::int64_t end_day = day;
                while (rest > order.hours_a_day + nearly) {
                    rest -= order.hours_a_day;
                    ++end_day;
                }
                now = 24.0 * static_cast<double>(end_day) + rest + coat.recoat_hours;
                plan.days = end_day + 1;
            }
    for (std::size_t from = 0; from < plan.rounds.size();) {
        std::size_t to = from;
        while (to < plan.rounds.size() && plan.rounds[to].day == plan.rounds[from].day) ++to;
        plan.max_rounds_a_day =
            std::max(plan.max_rounds_a_day, static_cast<std::int64_t>(to - from));
        from = to;
    }
    return plan;
}

double drying_factor(double celsius, double humidity) {
    return std::pow(2.0, std::max(0.0, 20 - celsius) / 10) *
           std::pow(2.0, std::max(0.0, humidity - 50) / 30);
}

std::optional<DryingPoint> drying_point(std::string_view written) {
    const std::size_t colon = written.find(':');
    if (colon == std::string_view::npos) return std::nullopt;
    std::istringstream where{std::string(written.substr(0, colon))};
    where.imbue(std::locale::classic());
    DryingPoint point;
    std::string unit;
    if (!(where >> point.celsius >> unit) || (unit != "degC" && unit != "°C")) return std::nullopt;
    if (where >> point.humidity) {
        if (!(where >> unit) || unit != "%" || point.humidity < 0 || point.humidity > 100)
            return std::nullopt;
    } else {
        point.humidity = DryingPoint{}.humidity;
    }
    where.clear();
    if (where >> unit && unit != "%") return std::nullopt; // more than that
    try {
        point.minutes = in_unit(parse_quantity(written.substr(colon + 1)), "min");
    } catch (const FaultError&) {
        return std::nullopt;
    }
    return point.minutes > 0 ? std::optional(point) : std::nullopt;
}

namespace {

/// Of values by place, that at one: in proportion between two, else the nearest times what `factor`
/// says of the way there.
template <class Factor>
double between(const std::map<double, double>& values, double at, const Factor& factor) {
    const auto above = values.lower_bound(at);
    if (above == values.end()) {
        const auto& [place, value] = *values.rbegin();
        return value * factor(at) / factor(place);
    }
    if (above->first == at) return above->second;
    if (above == values.begin()) return above->second * factor(at) / factor(above->first);
    const auto below = std::prev(above);
    const double share = (at - below->first) / (above->first - below->first);
    return below->second + share * (above->second - below->second);
}

} // namespace

double drying_minutes(const std::vector<DryingPoint>& points, double celsius, double humidity) {
    if (points.empty())
        fail("no-drying-point", {}, "nothing says how long a coat dries", "give a point at least");
    std::map<double, std::map<double, double>> by_temperature;
    for (const DryingPoint& point : points)
        by_temperature[point.celsius][point.humidity] = point.minutes;
    std::map<double, double> at_humidity;
    for (const auto& [degrees, by_humidity] : by_temperature)
        at_humidity[degrees] =
            between(by_humidity, humidity, [](double h) { return drying_factor(20, h); });
    return between(at_humidity, celsius, [](double c) { return drying_factor(c, 50); });
}

std::string temperature_note(double celsius) {
    if (celsius < 15)
        return fmt::format("At {:g} °C finishes dry slower than the times stated for 20 °C; see "
                           "the product's data sheet for "
                           "its lowest working temperature.",
                           celsius);
    if (celsius > 25)
        return fmt::format("At {:g} °C finishes dry faster than the times stated for 20 °C and may "
                           "set before they level; see "
                           "the product's data sheet.",
                           celsius);
    return {};
}

} // namespace aumbry::finish
