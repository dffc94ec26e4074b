// "What if": one thing of the job otherwise, as an alternative beside it.
#include "session/offered.hpp"
#include "tabs/tabs.hpp"
#include "widgets/drawing.hpp"
#include "widgets/offers.hpp"
#include "widgets/widgets.hpp"

#include "aumbry/fields.hpp"
#include "aumbry/plugin.hpp"
#include "aumbry/project.hpp"

namespace aumbry::gui {

using contract::Field;

namespace {

std::string titled(const Json& thing, const std::string& id) {
    const std::string title = written(member_of(&thing, "title"));
    return title.empty() ? id : title;
}

/// What may be otherwise: every material and every size of the job, by its place.
void choose_what(State& state) {
    WhatIfDraft& draft = state.what_if;
    const Json* now = draft.what.empty() ? nullptr : find_at(state.document, draft.what);
    const std::string name = draft.what.substr(draft.what.rfind('/') + 1);
    ImGui::SetNextItemWidth(state.theme.px(230));
    const std::string shown = now == nullptr ? "a material or size" : titled(*now, name);
    if (!ImGui::BeginCombo("##what", shown.c_str(), ImGuiComboFlags_HeightLargest)) {
        state.mark("what if what");
        return;
    }
    for (const auto& [section, heading] :
         {std::pair{"/materials", "Materials"}, std::pair{"/parameters", "Sizes"}}) {
        const Json* all = find_at(state.document, section);
        if (all == nullptr || !all->is_object() || all->empty()) continue;
        ink(state.theme, &Palette::quiet, heading);
        for (const auto& [id, thing] : all->items()) {
            if (id.starts_with("x-")) continue;
            const std::string pointer = pointer_to(section, id);
            if (ImGui::Selectable((titled(thing, id) + "##" + pointer).c_str(),
                                  pointer == draft.what))
                draft = {pointer, "", ""};
            state.mark("what if " + id);
        }
    }
    ImGui::EndCombo();
    state.mark("what if what");
}

/// A material's attribute, and another value that the price lists have for it.
void choose_otherwise(State& state, const Json& material, const contract::CatalogClass& of) {
    WhatIfDraft& draft = state.what_if;
    const Field* field = find_field(of.attributes, draft.attribute);
    ImGui::SetNextItemWidth(state.theme.px(140));
    if (ImGui::BeginCombo("##attribute", field == nullptr ? "its..." : field->title.c_str())) {
        for (const Field& each : of.attributes) {
            if (!material.contains(each.name)) continue;
            if (ImGui::Selectable(each.title.c_str(), &each == field)) {
                draft.attribute = each.name;
                draft.value.clear();
            }
            state.mark("what if its " + each.name);
        }
        ImGui::EndCombo();
    }
    state.mark("what if attribute");
    if (field == nullptr) return;
    const std::string now = written(member_of(&material, field->name));
    ImGui::SameLine();
    ink(state.theme, &Palette::quiet, "were not " + now + " but");
    ImGui::SameLine();
    ImGui::SetNextItemWidth(state.theme.px(140));
    if (ImGui::BeginCombo("##value", draft.value.c_str())) {
        for (const std::string& each : offered_values(*state.knowledge, of, material, *field)) {
            if (each == now) continue;
            if (ImGui::Selectable(each.c_str(), each == draft.value)) draft.value = each;
            state.mark("what if value " + each);
        }
        ImGui::EndCombo();
    }
    state.mark("what if value");
}

void try_it(State& state, Intents& intents, const std::string& title) {
    WhatIfDraft& draft = state.what_if;
    static const Field size = quantity_field("size", "mm", "Size", "");
    const bool of_material = !draft.attribute.empty();
    const std::string pointer = of_material ? pointer_to(draft.what, draft.attribute) : draft.what;
    const std::optional<Json> value =
        of_material ? std::optional<Json>(draft.value) : read_written(size, draft.value);
    intents.push_back(MakeAlternative{title, {"What if " + title, {{pointer, value, ""}}}});
    draft = {};
}

} // namespace

void draw_what_if(State& state, Intents& intents) {
    WhatIfDraft& draft = state.what_if;
    ImGui::AlignTextToFramePadding();
    ink(state.theme, &Palette::text, "What if");
    ImGui::SameLine();
    choose_what(state);
    const Json* thing = draft.what.empty() ? nullptr : find_at(state.document, draft.what);
    if (thing == nullptr || state.knowledge == nullptr) return;
    const std::string name = titled(*thing, draft.what.substr(draft.what.rfind('/') + 1));
    ImGui::SameLine();
    if (thing->is_object()) {
        const auto* of = state.knowledge->catalog_class(written(member_of(thing, "class")));
        if (of == nullptr) return;
        choose_otherwise(state, *thing, *of);
    } else {
        ink(state.theme, &Palette::quiet, "were not " + written(thing) + " but");
        ImGui::SameLine();
        ImGui::SetNextItemWidth(state.theme.px(140));
        input_with_offers(state, "##size", draft.value, names_offered(state));
        state.mark("what if size");
        if (ImGui::IsItemDeactivated() && written(thing).ends_with(unit_of_lengths(state)))
            draft.value = with_unit(draft.value, unit_of_lengths(state));
    }
    ImGui::SameLine();
    const bool ready = !draft.value.empty() && state.read_only.empty();
    if (main_action(state, "Try it", ready)) try_it(state, intents, name + ": " + draft.value);
}

} // namespace aumbry::gui
