#include "published.hpp"

#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <fstream>

namespace aumbry::sheet_goods::bench {

Arguments read_arguments(int argc, char** argv, const std::string& usage) {
    Arguments arguments;
    const auto wrong = [&]() {
        std::fprintf(stderr, "%s\n", usage.c_str());
        std::exit(2);
    };
    for (int i = 1; i < argc; ++i) {
        const std::string word = argv[i];
        const auto value = [&]() -> std::string {
            if (i + 1 >= argc) wrong();
            return argv[++i];
        };
        if (word == "--fixed") {
            arguments.fixed = true;
        } else if (word == "--effort") {
            const std::string effort = value();
            if (effort == "draft")
                arguments.effort = Effort::draft;
            else if (effort == "normal")
                arguments.effort = Effort::normal;
            else if (effort == "thorough")
                arguments.effort = Effort::thorough;
            else
                wrong();
        } else if (word == "--out") {
            arguments.out = value();
        } else if (word == "--only") {
            if (value() != "subset") wrong();
            arguments.subset = true;
        } else if (arguments.file.empty() && word.rfind("--", 0) != 0) {
            arguments.file = word;
        } else {
            wrong();
        }
    }
    if (arguments.file.empty()) wrong();
    return arguments;
}

std::vector<nlohmann::json> read_lines(const std::string& file) {
    std::ifstream in(file);
    if (!in) {
        std::fprintf(stderr, "%s: cannot be read\n", file.c_str());
        std::exit(1);
    }
    std::vector<nlohmann::json> lines;
    std::string line;
    int number = 0;
    while (std::getline(in, line)) {
        ++number;
        if (line.empty()) continue;
        nlohmann::json object = nlohmann::json::parse(line, nullptr, false);
        if (!object.is_object()) {
            std::fprintf(stderr, "%s:%d: is not a JSON object\n", file.c_str(), number);
            std::exit(1);
        }
        lines.push_back(std::move(object));
    }
    return lines;
}

nlohmann::json sheets_of(const Plan& plan) {
    nlohmann::json sheets = nlohmann::json::array();
    for (const SheetPlan& sheet : plan.sheets) {
        nlohmann::json placements = nlohmann::json::array();
        for (const Placement& p : sheet.placements)
            placements.push_back({{"part", p.part},
                                  {"x", p.x},
                                  {"y", p.y},
                                  {"length", p.length},
                                  {"width", p.width},
                                  {"rotated", p.rotated}});
        for (std::int64_t copy = 0; copy < sheet.copies; ++copy) sheets.push_back(placements);
    }
    return sheets;
}

double seconds_of_work() {
    return static_cast<double>(std::clock()) / CLOCKS_PER_SEC;
}

} // namespace aumbry::sheet_goods::bench
