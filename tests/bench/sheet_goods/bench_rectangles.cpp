// Sheets needed for published two-dimensional bin-packing instances, against the lower bound, the
// best known count and a general-purpose rectangle packer run beside it.
#include "published.hpp"

#include <stb/stb_rect_pack.h>

#include <algorithm>
#include <cstdio>
#include <fstream>
#include <map>

namespace {

using namespace aumbry::sheet_goods;
using nlohmann::json;

struct Row {
    std::int64_t instances = 0, used = 0, bound = 0, best_known = 0, proven = 0, baseline = 0;
    double seconds = 0, longest = 0;

    void add(const Row& other) {
        instances += other.instances;
        used += other.used;
        bound += other.bound;
        best_known += other.best_known;
        proven += other.proven;
        baseline += other.baseline;
        seconds += other.seconds;
        longest = std::max(longest, other.longest);
    }
};

void print(const std::string& name, const Row& row) {
    std::printf("%-8s %5lld %7lld %7lld %7lld %7lld %9.2f %8.3f %8.3f %8lld\n", name.c_str(),
                static_cast<long long>(row.instances), static_cast<long long>(row.used),
                static_cast<long long>(row.bound), static_cast<long long>(row.best_known),
                static_cast<long long>(row.proven), row.seconds,
                row.seconds / static_cast<double>(row.instances), row.longest,
                static_cast<long long>(row.baseline));
}

/// Sheets that stb_rect_pack uses, one sheet filled after another with what is left. It neither
/// turns parts nor keeps to edge-to-edge cuts, so its sheets could not all be cut on a saw.
std::int64_t baseline_sheets(const json& instance) {
    const int length = instance.at("sheet").at(0).get<int>();
    const int width = instance.at("sheet").at(1).get<int>();
    std::vector<stbrp_rect> left;
    for (const json& part : instance.at("parts")) {
        stbrp_rect rect{};
        rect.w = part.at(0).get<int>();
        rect.h = part.at(1).get<int>();
        left.push_back(rect);
    }
    std::vector<stbrp_node> nodes(static_cast<std::size_t>(length));
    std::int64_t sheets = 0;
    while (!left.empty()) {
        stbrp_context context;
        stbrp_init_target(&context, length, width, nodes.data(), static_cast<int>(nodes.size()));
        stbrp_pack_rects(&context, left.data(), static_cast<int>(left.size()));
        const auto packed = std::remove_if(left.begin(), left.end(),
                                           [](const stbrp_rect& r) { return r.was_packed != 0; });
        if (packed == left.end()) break;
        left.erase(packed, left.end());
        ++sheets;
    }
    return sheets;
}

CuttingJob order_of(const json& instance, const bench::Arguments& arguments) {
    CuttingJob order;
    Format sheet;
    sheet.length = instance.at("sheet").at(0).get<Steps>();
    sheet.width = instance.at("sheet").at(1).get<Steps>();
    sheet.cost = 1;
    order.formats.push_back(sheet);
    for (const json& size : instance.at("parts")) {
        Part part;
        part.length = size.at(0).get<Steps>();
        part.width = size.at(1).get<Steps>();
        part.turn = arguments.fixed ? Turn::fixed : Turn::free;
        order.parts.push_back(part);
    }
    order.kerf = instance.value("kerf", Steps{0});
    order.effort = arguments.effort;
    return order;
}

} // namespace

int main(int argc, char** argv) {
    const bench::Arguments arguments = bench::read_arguments(
        argc, argv,
        "usage: bench_rectangles FILE [--fixed] --effort draft|normal|thorough [--out FILE] "
        "[--only subset]\n"
        "  --only subset: of each class and size the instance 5, or the first when there is none");
    const std::vector<json> instances = bench::read_lines(arguments.file);
    std::ofstream out;
    if (!arguments.out.empty()) out.open(arguments.out);

    std::printf("%-8s %5s %7s %7s %7s %7s %9s %8s %8s %8s\n", "class", "count", "used", "bound",
                "known", "proven", "seconds", "mean", "longest", "stb*");
    std::map<int, Row> rows;
    for (const json& instance : instances) {
        if (arguments.subset && instance.value("instance", 5) != 5) continue;
        const CuttingJob order = order_of(instance, arguments);
        const double start = bench::seconds_of_work();
        const Plan plan = cut(order);
        const double seconds = bench::seconds_of_work() - start;
        Row row;
        row.instances = 1;
        row.used = plan.sheet_count;
        row.bound = plan.lower_bound_sheets;
        row.best_known = instance.value(
            arguments.fixed ? "best_known_fixed_guillotine" : "best_known_turnable_guillotine", 0);
        row.proven = plan.proven ? 1 : 0;
        row.seconds = row.longest = seconds;
        row.baseline = baseline_sheets(instance);
        rows[instance.value("class", 0)].add(row);
        if (!out.is_open()) continue;
        json result;
        for (const char* key : {"class", "n", "instance", "id"})
            if (instance.contains(key)) result[key] = instance[key];
        result["used"] = plan.sheet_count;
        result["lower_bound"] = plan.lower_bound_sheets;
        result["proven"] = plan.proven;
        result["seconds"] = seconds;
        result["sheets"] = bench::sheets_of(plan);
        out << result.dump() << "\n" << std::flush;
    }
    Row total;
    for (const auto& [number, row] : rows) {
        print(std::to_string(number), row);
        total.add(row);
    }
    if (total.instances > 0) print("total", total);
    std::printf("proven: %.1f %%\n", total.instances > 0
                                         ? 100.0 * static_cast<double>(total.proven) /
                                               static_cast<double>(total.instances)
                                         : 0.0);
    std::printf("* stb_rect_pack, filling one sheet after another: it neither turns parts nor "
                "keeps to edge-to-edge cuts.\n");
    return 0;
}
