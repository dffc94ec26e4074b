#include "sheet_plan_check.hpp"

#include <algorithm>
#include <cmath>
#include <set>

namespace aumbry::sheet_goods::module_testing {

namespace {

constexpr double tolerance = 1e-3; // mm; lengths are rounded to four decimals on both sides

struct Box {
    double x, y, length, width;
};

Box box_of(const Json& json) {
    return {json["x"], json["y"], json["length"], json["width"]};
}

bool same(double a, double b) {
    return std::abs(a - b) < tolerance;
}
bool same(const Box& a, const Box& b) {
    return same(a.x, b.x) && same(a.y, b.y) && same(a.length, b.length) && same(a.width, b.width);
}

class PlanCheck {
  public:
    PlanCheck(const Json& plan, const std::vector<contract::Line>& lines, const PlanRules& rules)
        : plan_(plan), lines_(lines), rules_(rules) {}

    std::vector<std::string> run(std::map<std::string, std::int64_t>& counted) {
        inside();
        apart();
        cuts();
        grain();
        for (const Json& part : plan_["placements"])
            counted[part["line"].get<std::string>()] += plan_["copies"].get<std::int64_t>();
        return faults_;
    }

  private:
    void inside() {
        for (const char* kind : {"placements", "offcuts"}) {
            // What is left over may keep an edge of the sheet.
            const double off =
                kind == std::string("placements") ? plan_["clean_up"].get<double>() : 0;
            for (const Json& json : plan_[kind]) {
                const Box box = box_of(json);
                if (box.x < off - tolerance || box.y < off - tolerance ||
                    box.x + box.length > plan_["sheet"]["length"].get<double>() - off + tolerance ||
                    box.y + box.width > plan_["sheet"]["width"].get<double>() - off + tolerance)
                    faults_.push_back(std::string("one of ") + kind +
                                      " lies outside the sheet less its clean-up");
            }
        }
    }
    void apart() {
        double kerf = plan_["kerf"];
        for (const Json& cut : plan_["cuts"]) kerf = std::min(kerf, cut["kerf"].get<double>());
        const Json& parts = plan_["placements"];
        for (std::size_t i = 0; i < parts.size(); ++i) {
            for (std::size_t j = i + 1; j < parts.size(); ++j) {
                const Box a = box_of(parts[i]);
                const Box b = box_of(parts[j]);
                const double gap = std::max({b.x - a.x - a.length, a.x - b.x - b.length,
                                             b.y - a.y - a.width, a.y - b.y - b.width});
                if (gap < kerf - tolerance)
                    faults_.push_back("two parts are nearer than the kerf: " +
                                      parts[i]["line"].get<std::string>() + ", " +
                                      parts[j]["line"].get<std::string>());
            }
        }
    }
    void cuts() {
        const Json& blanks = plan_["blanks"];
        std::set<std::size_t> there{0};
        if (!same(box_of(blanks[0]), {0, 0, plan_["sheet"]["length"].get<double>(),
                                      plan_["sheet"]["width"].get<double>()}))
            faults_.emplace_back("the first blank is not the sheet as it is delivered");
        bool workshop = false;
        for (const Json& cut : plan_["cuts"]) {
            const auto divided = cut["blank"].get<std::size_t>();
            if (there.erase(divided) == 0)
                faults_.emplace_back("a cut divides a blank that is not there");
            const bool dealer = cut["by"] == "dealer";
            if (!dealer && !workshop) after_dealer(there, divided);
            if (dealer && workshop) faults_.emplace_back("the dealer cuts after the workshop");
            workshop = workshop || !dealer;
            const Box whole = box_of(blanks[divided]);
            Box first = whole;
            Box second = whole;
            const double at = cut["position"];
            const double kerf = cut["kerf"];
            if (cut["direction"] == "length") {
                first.length = at;
                second.x += at + kerf;
                second.length -= at + kerf;
            } else {
                first.width = at;
                second.y += at + kerf;
                second.width -= at + kerf;
            }
            if (cut.contains("first")) {
                if (!same(box_of(blanks[cut["first"].get<std::size_t>()]), first))
                    faults_.emplace_back("the first blank of a cut is not what the cut leaves");
                there.insert(cut["first"].get<std::size_t>());
            }
            if (cut.contains("second")) {
                if (!same(box_of(blanks[cut["second"].get<std::size_t>()]), second))
                    faults_.emplace_back("the second blank of a cut is not what the cut leaves");
                there.insert(cut["second"].get<std::size_t>());
            }
        }
        if (!workshop) after_dealer(there, blanks.size());
        for (const Json& part : plan_["placements"]) {
            const auto blank = part["blank"].get<std::size_t>();
            if (there.erase(blank) == 0)
                faults_.emplace_back(
                    "a part is no blank that the cuts leave, or two parts are one");
            else if (!same(box_of(blanks[blank]), box_of(part)))
                faults_.emplace_back("a part is not as large as its blank");
        }
    }
    /// What the workshop gets must lie in the vehicle.
    void after_dealer(const std::set<std::size_t>& there, std::size_t divided) {
        if (rules_.vehicle_length == 0 || plan_["supplier"] == "") return;
        std::set<std::size_t> all = there;
        if (divided < plan_["blanks"].size()) all.insert(divided);
        for (const std::size_t blank : all) {
            const Box box = box_of(plan_["blanks"][blank]);
            const bool lies = box.length <= rules_.vehicle_length + tolerance &&
                              box.width <= rules_.vehicle_width + tolerance;
            const bool turned = box.width <= rules_.vehicle_length + tolerance &&
                                box.length <= rules_.vehicle_width + tolerance;
            if (!lies && !turned)
                faults_.emplace_back("a blank that the dealer leaves does not lie in the vehicle");
        }
    }
    void grain() {
        if (plan_["grain"] == "none") return;
        for (const Json& part : plan_["placements"]) {
            const auto line =
                std::find_if(lines_.begin(), lines_.end(),
                             [&](const contract::Line& l) { return l.id == part["line"]; });
            const std::string wanted = line->fields["grain"];
            if (wanted == "any") continue;
            const bool part_length_along_sheet_length = !part["rotated"].get<bool>();
            const bool grain_along_part_length =
                part_length_along_sheet_length == (plan_["grain"] == "length");
            const Box box = box_of(part);
            if (!same(box.length, box.width) && grain_along_part_length != (wanted == "length"))
                faults_.push_back("the grain of " + line->id + " runs the wrong way");
        }
    }

    const Json& plan_;
    const std::vector<contract::Line>& lines_;
    PlanRules rules_;
    std::vector<std::string> faults_;
};

} // namespace

Json plans_of(const contract::Way& way) {
    return contract::to_json(way.plans);
}

std::vector<std::string> faults_of_plans(const contract::Way& way,
                                         const std::vector<contract::Line>& lines,
                                         const std::map<std::string, std::int64_t>& expected,
                                         const PlanRules& rules) {
    std::vector<std::string> faults;
    std::map<std::string, std::int64_t> counted;
    for (const Json& plan : plans_of(way)) {
        const auto found = PlanCheck(plan, lines, rules).run(counted);
        faults.insert(faults.end(), found.begin(), found.end());
    }
    if (counted != expected) faults.emplace_back("lines are not cut as often as they count");
    return faults;
}

} // namespace aumbry::sheet_goods::module_testing
