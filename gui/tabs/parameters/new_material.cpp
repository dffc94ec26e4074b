// A material chosen out of what the price lists have: each choice leaves what goes with it.
#include "session/offered.hpp"
#include "tabs/parameters/parameters_frame.hpp"
#include "widgets/drawing.hpp"
#include "widgets/widgets.hpp"

#include "aumbry/fields.hpp"

#include <algorithm>
#include <imgui_stdlib.h>

namespace aumbry::gui {

using contract::Field;

namespace {

/// The attributes by which lines are matched with goods of a class; all of them when none is.
std::vector<const Field*> deciding_attributes(const Knowledge& knowledge,
                                              const contract::CatalogClass& of) {
    constexpr std::string_view of_material = "material.";
    std::vector<const Field*> found;
    for (const contract::Description& module : knowledge.modules) {
        for (const contract::LineKind& kind : module.line_kinds) {
            if (kind.material_class != of.name) continue;
            for (const contract::OfferQuery& query : kind.offers) {
                for (const contract::Match& match : query.match) {
                    if (!match.value.starts_with(of_material)) continue;
                    const Field* field =
                        find_field(of.attributes, match.value.substr(of_material.size()));
                    if (field != nullptr &&
                        std::find(found.begin(), found.end(), field) == found.end())
                        found.push_back(field);
                }
            }
        }
    }
    if (found.empty()) {
        for (const Field& field : of.attributes) found.push_back(&field);
    }
    return found;
}

void attribute_choice(ParametersFrame& frame, const contract::CatalogClass& of,
                      const Field& field) {
    State& state = frame.state;
    MaterialDraft& draft = state.new_material;
    const std::vector<std::string> offered =
        offered_values(*state.knowledge, of, draft.attributes, field);
    if (offered.empty()) return;
    ImGui::PushID(field.name.c_str());
    ImGui::TableNextRow();
    ImGui::TableNextColumn();
    ImGui::AlignTextToFramePadding();
    ink(frame.theme(), &Palette::quiet, field.title);
    ImGui::TableNextColumn();
    ImGui::SetNextItemWidth(-1);
    const std::string now = written(member_of(&draft.attributes, field.name));
    if (ImGui::BeginCombo("##choice", now.empty() ? "any" : now.c_str())) {
        if (ImGui::Selectable("any", now.empty())) draft.attributes.erase(field.name);
        state.mark("any " + field.name);
        for (const std::string& each : offered) {
            if (ImGui::Selectable(each.c_str(), each == now)) draft.attributes[field.name] = each;
            state.mark("offered " + each);
        }
        ImGui::EndCombo();
    }
    state.mark("choose " + field.name);
    ImGui::TableNextColumn();
    ImGui::AlignTextToFramePadding();
    ImGui::PushFont(frame.theme().small);
    ink_wrapped(frame.theme(), &Palette::quiet, field.help);
    ImGui::PopFont();
    ImGui::PopID();
}

/// The goods that the choices leave, and what they cost.
void goods_left(ParametersFrame& frame, const contract::CatalogClass& of) {
    constexpr std::size_t max_shown = 5;
    const Theme& theme = frame.theme();
    const std::vector<const PriceRow*> rows =
        goods_with(*frame.state.knowledge, of, frame.state.new_material.attributes);
    ink(theme, &Palette::text,
        rows.size() == 1
            ? "One article is that:"
            : std::to_string(rows.size()) + " articles are that" + (rows.empty() ? "." : ":"));
    frame.state.mark("goods left");
    ImGui::PushFont(theme.small);
    for (std::size_t i = 0; i < std::min(max_shown, rows.size()); ++i) {
        const PriceRow& row = *rows[i];
        const Supplier* seller = frame.state.knowledge->catalog.supplier(row.supplier);
        ink_wrapped(theme, &Palette::quiet,
                    std::string(row.description) + ", " + row.price.str() + ' ' +
                        (seller == nullptr
                             ? std::string(row.supplier)
                             : std::string(seller->currency.code) + ", " + seller->name));
    }
    if (rows.size() > max_shown)
        ink(theme, &Palette::quiet, "and " + std::to_string(rows.size() - max_shown) + " more");
    ImGui::PopFont();
}

} // namespace

void draw_new_material(ParametersFrame& frame) {
    State& state = frame.state;
    MaterialDraft& draft = state.new_material;
    const contract::CatalogClass* of = state.knowledge->catalog_class(draft.catalog_class);
    if (of == nullptr) {
        draft = {};
        return;
    }
    ImGui::Spacing();
    section(frame.theme(), "A new material: " + of->title, "out of what the price lists have");
    if (ImGui::BeginTable("new material", 3, ImGuiTableFlags_SizingStretchProp)) {
        ImGui::TableSetupColumn("label", 0, 1);
        ImGui::TableSetupColumn("entry", 0, 1.4F);
        ImGui::TableSetupColumn("help", 0, 1.6F);
        ImGui::TableNextRow();
        ImGui::TableNextColumn();
        ImGui::AlignTextToFramePadding();
        ink(frame.theme(), &Palette::quiet, "Called");
        ImGui::TableNextColumn();
        ImGui::SetNextItemWidth(-1);
        ImGui::InputTextWithHint("##title", "as Carcase", &draft.title);
        state.mark("material title");
        ImGui::TableNextColumn();
        ImGui::AlignTextToFramePadding();
        ImGui::PushFont(frame.theme().small);
        ink_wrapped(frame.theme(), &Palette::quiet, "what lines and formulas call it by");
        ImGui::PopFont();
        for (const Field* field : deciding_attributes(*state.knowledge, *of))
            attribute_choice(frame, *of, *field);
        ImGui::EndTable();
    }
    goods_left(frame, *of);
    ImGui::Spacing();
    if (main_action(state, "Add it")) {
        const std::string title = draft.title.empty() ? of->title : draft.title;
        Json material{{"class", of->name}, {"title", title}};
        material.update(draft.attributes);
        const std::string id = new_id(state.document, "materials", title);
        frame.apply("Add material " + title,
                    {{pointer_to("/materials", id), std::move(material), ""}});
        draft = {};
        return;
    }
    ImGui::SameLine();
    if (action(state, "Cancel")) draft = {};
}

} // namespace aumbry::gui
