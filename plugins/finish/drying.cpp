#include "finish/drying.hpp"

#include <cmath>

namespace aumbry::finish {

std::vector<Pass> passes(const DryingPlan& plan) {
    std::vector<Pass> list;
    const int faces = plan.can_stand ? 1 : 2;
    // One face of a lying part takes half of the area at a time.
    const double area = plan.area_m2 / faces;
    const int batches =
        plan.rack_m2 > 0 ? std::max(1, static_cast<int>(std::ceil(area / plan.rack_m2 - 1e-9))) : 1;
    for (std::size_t coat = 0; coat < plan.coats.size(); ++coat) {
        for (int face = 1; face <= faces; ++face) {
            for (int batch = 1; batch <= batches; ++batch) {
                Pass pass;
                pass.coat = static_cast<int>(coat) + 1;
                pass.face = faces == 1 ? 0 : face;
                pass.batch = batches == 1 ? 0 : batch;
                pass.minutes = area / batches * plan.minutes_per_m2;
                // A rack is full until its load is dry.
                pass.wait_minutes = plan.coats[coat].recoat_minutes;
                list.push_back(pass);
            }
        }
    }
    if (!list.empty())
        list.back().wait_minutes = std::max(plan.cure_minutes, list.back().wait_minutes);
    return list;
}

std::int64_t coats_a_day(double working_minutes, double apply_minutes, double recoat_minutes) {
    if (apply_minutes > working_minutes) return 0;
    const double cycle = apply_minutes + recoat_minutes;
    if (cycle <= 0) return 0;
    return 1 + static_cast<std::int64_t>(std::floor((working_minutes - apply_minutes) / cycle));
}

} // namespace aumbry::finish
