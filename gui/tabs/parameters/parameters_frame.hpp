// One frame of the sizes and materials: what its sections share.
#pragma once

#include "app/state.hpp"

#include <string>
#include <vector>

namespace aumbry::gui {

/// One frame of the view.
struct ParametersFrame {
    State& state;
    Intents& intents;
    [[nodiscard]] const Theme& theme() const { return state.theme; }
    [[nodiscard]] bool editable() const { return state.read_only.empty(); }
    void apply(std::string label, std::vector<Change> changes) {
        intents.push_back(ApplyEdit{{std::move(label), std::move(changes)}});
    }
};

/// What a size or an attribute of a material ("carcase.thickness") comes to, as the estimate
/// printed it; empty when it does not say.
[[nodiscard]] std::string result_of(const State& state, const std::string& name);
/// The users of a name; lines can be gone to. After `most`, the rest is counted.
void draw_users(ParametersFrame& frame, const std::string& name, std::size_t max);

// The sections that are more than forms.
void draw_sizes(ParametersFrame& frame);
void draw_materials(ParametersFrame& frame);
/// The form of a material that is about to be added.
void draw_new_material(ParametersFrame& frame);
void draw_owned(ParametersFrame& frame);

} // namespace aumbry::gui
