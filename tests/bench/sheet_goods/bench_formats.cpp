// Several sheet formats in limited number: the share of the sheets used that becomes parts, against
// the published mean of each family (Gardeyn and Wauters 2022, on the instances of Hopper and
// Turton 2002; parts fixed).
#include "published.hpp"

#include <cstdio>
#include <fstream>
#include <map>

namespace {

using namespace aumbry::sheet_goods;
using nlohmann::json;

const std::map<std::string, double> published_mean{{"M1", 98.4}, {"M2", 97.2}, {"M3", 98.0}};

struct Family {
    int instances = 0, proven = 0, unplaced = 0;
    double utilisation = 0, bound = 0, seconds = 0;
};

} // namespace

int main(int argc, char** argv) {
    const bench::Arguments arguments = bench::read_arguments(
        argc, argv,
        "usage: bench_formats FILE --effort draft|normal|thorough [--out FILE]\n"
        "  parts keep the direction they are given in");
    std::ofstream out;
    if (!arguments.out.empty()) out.open(arguments.out);
    std::map<std::string, Family> families;
    std::printf("%-8s %8s %8s %8s %8s %8s %8s\n", "id", "sheets", "area", "bound", "used %",
                "proven", "seconds");
    for (const json& instance : bench::read_lines(arguments.file)) {
        CuttingJob order;
        order.effort = arguments.effort;
        for (const json& given : instance.at("formats")) {
            Format format;
            format.length = given.at("length").get<Steps>();
            format.width = given.at("width").get<Steps>();
            format.cost = format.length * format.width;
            if (given.contains("count")) format.limit = given.at("count").get<std::int64_t>();
            order.formats.push_back(format);
        }
        double area = 0;
        for (const json& size : instance.at("parts")) {
            Part part;
            part.length = size.at(0).get<Steps>();
            part.width = size.at(1).get<Steps>();
            part.turn = Turn::fixed;
            area += static_cast<double>(part.length * part.width);
            order.parts.push_back(part);
        }
        const double start = bench::seconds_of_work();
        const Plan plan = cut(order);
        const double seconds = bench::seconds_of_work() - start;
        const std::string id = instance.value("id", std::string("?"));
        Family& family = families[id.substr(0, 2)];
        const double utilisation = 100.0 * area / static_cast<double>(plan.cost);
        ++family.instances;
        family.proven += plan.proven ? 1 : 0;
        family.unplaced += plan.unplaced.empty() ? 0 : 1;
        family.utilisation += utilisation;
        family.bound += 100.0 * area / static_cast<double>(plan.lower_bound_cost);
        family.seconds += seconds;
        std::printf("%-8s %8lld %8lld %8lld %8.2f %8s %8.2f%s\n", id.c_str(),
                    static_cast<long long>(plan.sheet_count), static_cast<long long>(plan.cost),
                    static_cast<long long>(plan.lower_bound_cost), utilisation,
                    plan.proven ? "yes" : "no", seconds,
                    plan.unplaced.empty() ? "" : "  parts left over");
        if (!out.is_open()) continue;
        json formats = json::array();
        for (const SheetPlan& sheet : plan.sheets)
            for (std::int64_t copy = 0; copy < sheet.copies; ++copy)
                formats.push_back(sheet.format);
        out << json{{"id", id},
                    {"used", plan.cost},
                    {"lower_bound", plan.lower_bound_cost},
                    {"proven", plan.proven},
                    {"seconds", seconds},
                    {"formats", formats},
                    {"sheets", bench::sheets_of(plan)}}
                   .dump()
            << "\n";
    }
    std::printf("\n%-8s %8s %10s %10s %10s %8s %8s\n", "family", "count", "used %", "at best %",
                "published", "proven", "seconds");
    for (const auto& [name, family] : families) {
        const double count = family.instances;
        const auto published = published_mean.find(name);
        std::printf("%-8s %8d %10.2f %10.2f %10s %8d %8.2f\n", name.c_str(), family.instances,
                    family.utilisation / count, family.bound / count,
                    published == published_mean.end()
                        ? "-"
                        : std::to_string(published->second).substr(0, 4).c_str(),
                    family.proven, family.seconds);
    }
    return 0;
}
