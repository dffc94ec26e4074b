#include "hardware_kits/module/kit_table.hpp"

#include "aumbry/fault.hpp"
#include "aumbry/plugin.hpp"
#include "aumbry/quantity.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <optional>
#include <utility>

namespace aumbry::hardware_kits {
namespace {

/// Reads one row; every fault names the kit.
class SheetReader {
  public:
    explicit SheetReader(const Json& row) : row_(row) { sheet_.kit.name = text(row, "model"); }

    KitSheet read() {
        sheet_.title = text(row_, "title", sheet_.kit.name);
        sheet_.maker = text(row_, "maker");
        sheet_.source = text(row_, "source");
        sheet_.mark = text(row_, "mark");
        sheet_.note = text(row_, "note");
        sheet_.fold_up = flag(row_, "fold_up");
        sheet_.mass = quantity(row_, "mass", "kg", 0);
        const std::string hand = text(row_, "hand", "either");
        sheet_.kit.hand = hand == "left"    ? Hand::left
                          : hand == "right" ? Hand::right
                                            : Hand::either;
        for (const Json& item : list(row_, "contents"))
            sheet_.kit.contents.push_back(
                {text(item, "item"), whole(item, "count"), whole(item, "spares")});
        for (const Json& thing : list(row_, "bought_besides"))
            sheet_.kit.bought_besides.push_back(thing.get<std::string>());
        if (const Json* fits = object(row_, "fits")) read_fit(*fits);
        if (const Json* plan = object(row_, "plan")) read_plan(*plan);
        for (const Json& step : list(row_, "steps")) read_step(step);
        for (const Json& mounting : list(row_, "mountings"))
            sheet_.mountings.push_back(
                {text(mounting, "name"),
                 {quantity(mounting, "fixed_x", "mm"), quantity(mounting, "fixed_y", "mm")},
                 quantity(mounting, "moving_along", "mm"),
                 quantity(mounting, "moving_across", "mm")});
        return std::move(sheet_);
    }

  private:
    [[noreturn]] void refuse(const std::string& what, const std::string& right) const {
        fail("kit-sheet", {}, fmt::format("the data sheet of kit '{}' {}", sheet_.kit.name, what),
             right);
    }

    static const Json& list(const Json& object, const char* key) {
        static const Json none = Json::array();
        const auto found = object.find(key);
        return found != object.end() && found->is_array() ? *found : none;
    }
    static const Json* object(const Json& in, const char* key) {
        const auto found = in.find(key);
        return found != in.end() && found->is_object() ? &*found : nullptr;
    }

    double value(const Json& in, const char* key, const char* unit) const {
        if (in.is_number()) return in.get<double>();
        if (!in.is_string()) refuse(fmt::format("has no '{}'", key), "complete it");
        return in_unit(parse_quantity(in.get<std::string>()), unit);
    }
    double quantity(const Json& in, const char* key, const char* unit) const {
        const auto found = in.find(key);
        if (found == in.end()) refuse(fmt::format("has no '{}'", key), "complete it");
        return value(*found, key, unit);
    }
    double quantity(const Json& in, const char* key, const char* unit, double fallback) const {
        return in.contains(key) ? quantity(in, key, unit) : fallback;
    }
    static int whole(const Json& in, const char* key) {
        return static_cast<int>(number(in, key, 0));
    }

    std::optional<Range> range(const Json& fits, const char* key, const char* unit) const {
        const Json& ends = list(fits, key);
        if (ends.empty()) return std::nullopt;
        if (ends.size() != 2)
            refuse(fmt::format("gives '{}' without two ends", key), "write least and most");
        return Range{value(ends[0], key, unit), value(ends[1], key, unit)};
    }

    void read_fit(const Json& fits) {
        KitFit& fit = sheet_.kit.fit;
        fit.mattress_width = range(fits, "mattress_width", "mm");
        fit.mattress_length = range(fits, "mattress_length", "mm");
        fit.mattress_thickness = range(fits, "mattress_thickness", "mm");
        fit.moving_mass = range(fits, "moving_mass", "kg");
        fit.material_thickness = range(fits, "material_thickness", "mm");
    }

    Follows follows(const Json& size) const {
        static constexpr std::array<std::pair<const char*, Follows>, 4> names{
            {{"", Follows::nothing},
             {"mattress_width", Follows::mattress_width},
             {"mattress_length", Follows::mattress_length},
             {"mattress_thickness", Follows::mattress_thickness}}};
        const std::string name = text(size, "follows");
        const auto* found = std::find_if(names.begin(), names.end(),
                                         [&](const auto& entry) { return name == entry.first; });
        if (found == names.end())
            refuse(fmt::format("lets a size follow '{}'", name),
                   "write mattress_width, mattress_length or mattress_thickness");
        return found->second;
    }

    void read_plan(const Json& plan) {
        sheet_.plan.name = sheet_.kit.name;
        const Json* nominal = object(plan, "nominal");
        if (nominal == nullptr) refuse("has a plan without nominal mattress", "complete it");
        sheet_.plan.nominal = {quantity(*nominal, "width", "mm"),
                               quantity(*nominal, "length", "mm"),
                               quantity(*nominal, "thickness", "mm")};
        for (const Json& size : list(plan, "sizes")) {
            const std::string name = text(size, "name");
            sheet_.plan.sizes.push_back(
                {name, quantity(size, "size", "mm"), follows(size), flag(size, "fixed_by_kit")});
            const std::string role = text(size, "role");
            if (role.empty()) continue;
            if (std::find(plan_roles().begin(), plan_roles().end(), role) == plan_roles().end())
                refuse(fmt::format("gives a size the role '{}'", role),
                       fmt::format("use one of {}", fmt::join(plan_roles(), ", ")));
            sheet_.roles.push_back({role, name});
        }
        for (const Json& chain : list(plan, "chains")) {
            PlanChain made{text(chain, "whole"), {}};
            for (const Json& part : list(chain, "parts"))
                made.parts.push_back(part.get<std::string>());
            sheet_.plan.chains.push_back(std::move(made));
        }
    }

    void read_step(const Json& in) {
        KitStep made;
        made.step.id = text(in, "id");
        made.step.title = text(in, "title", made.step.id);
        made.step.minutes = quantity(in, "time", "min", 0);
        made.step.lifted_mass = quantity(in, "lifts", "kg", 0);
        made.step.anchors_frame = flag(in, "anchors_frame");
        made.step.loads_springs = flag(in, "loads_springs");
        made.lifts_panel = flag(in, "lifts_panel");
        const std::string phase = text(in, "phase", "assemble");
        const auto words = contract::phase_words();
        if (std::find(words.begin(), words.end(), phase) == words.end())
            refuse(fmt::format("has a step in the phase '{}'", phase),
                   fmt::format("write one of {}", fmt::join(words, ", ")));
        made.phase = contract::phase_called(phase, contract::Phase::assemble);
        // What lifts and loads says so itself.
        if (made.step.loads_springs)
            made.phase = contract::Phase::load;
        else if (made.lifts_panel)
            made.phase = contract::Phase::hang;
        // The kit maker's order holds.
        if (!sheet_.steps.empty()) made.phase = std::max(made.phase, sheet_.steps.back().phase);
        sheet_.steps.push_back(std::move(made));
    }

    const Json& row_;
    KitSheet sheet_;
};

} // namespace

const std::vector<std::string>& plan_roles() {
    static const std::vector<std::string> roles{"panel_length", "panel_width",  "frame_length",
                                                "frame_width",  "frame_depth",  "frame_height",
                                                "pivot_height", "pivot_setback"};
    return roles;
}

KitSheet find_kit(const Json& tables, const std::string& model) {
    std::vector<std::string> models;
    if (const auto rows = tables.find("kits"); rows != tables.end() && rows->is_array())
        for (const Json& row : *rows) {
            if (text(row, "model") == model) return SheetReader(row).read();
            models.push_back(text(row, "model"));
        }
    const std::string nearest = nearest_name(model, models);
    fail("kit-unknown", {}, fmt::format("no data sheet is known of kit '{}'", model),
         !nearest.empty() ? fmt::format("did you mean '{}'?", nearest)
         : models.empty() ? "add it to the reference table 'kits'"
                          : fmt::format("add it to the reference table 'kits', which holds {}",
                                        fmt::join(models, ", ")));
}

} // namespace aumbry::hardware_kits
