// Materials and what you have: things of a class of the price lists.
#include "session/offered.hpp"
#include "tabs/parameters/parameters_frame.hpp"
#include "widgets/line_form.hpp"
#include "widgets/widgets.hpp"

#include "aumbry/plugin.hpp"
#include "aumbry/project.hpp"

#include <algorithm>

namespace aumbry::gui {

using contract::Field;

namespace {

/// The classes that a section's things may have; adds one.
void add_of_class(ParametersFrame& frame, const std::string& section, const std::string& what,
                  const std::vector<std::string>& classes) {
    if (!frame.editable() || frame.state.knowledge == nullptr) return;
    if (section == "materials" && !frame.state.new_material.catalog_class.empty())
        return draw_new_material(frame);
    if (ImGui::Button(("Add " + what).c_str())) ImGui::OpenPopup("classes");
    frame.state.mark("add " + what);
    if (!ImGui::BeginPopup("classes")) return;
    for (const std::string& name : classes) {
        const contract::CatalogClass* of = frame.state.knowledge->catalog_class(name);
        if (of == nullptr) continue;
        const bool taken = ImGui::MenuItem((of->title + "##" + name).c_str());
        if (taken && section == "materials") {
            frame.state.new_material = {name, "", Json::object()};
        } else if (taken) {
            const std::string id = new_id(frame.state.document, section, of->title);
            frame.apply("Add " + of->title, {{pointer_to("/" + section, id),
                                              Json{{"class", name}, {"title", of->title}}, ""}});
        }
        frame.state.mark("class " + name);
    }
    ImGui::EndPopup();
}

/// Values of a material's attributes, as the estimate printed them.
Json values_of_role(const State& state, const std::string& role, const contract::CatalogClass& of) {
    Json values = Json::object();
    for (const Field& field : of.attributes) {
        if (const std::string result = result_of(state, role + "." + field.name); !result.empty())
            values[field.name] = result;
    }
    return values;
}

/// One thing with a class: its title and the attributes that the class has.
void draw_of_class(ParametersFrame& frame, const std::string& section, const std::string& id,
                   const Json& thing, std::span<const Field> common) {
    State& state = frame.state;
    const contract::CatalogClass* of =
        state.knowledge == nullptr
            ? nullptr
            : state.knowledge->catalog_class(written(member_of(&thing, "class")));
    std::string title = written(member_of(&thing, "title"));
    if (title.empty()) title = id;
    const std::string kind = of != nullptr ? of->title : written(member_of(&thing, "class"));
    ImGui::PushID(id.c_str());
    const std::string pointer = pointer_to("/" + section, id);
    const Fault* fault = fault_at(state.answer, pointer);
    if (section == "materials" || fault != nullptr)
        ImGui::SetNextItemOpen(true, ImGuiCond_FirstUseEver);
    const bool open =
        ImGui::CollapsingHeader((title + "   (" + id + ", " + kind + ")###" + id).c_str());
    state.mark("open " + section + " " + id);
    if (open) {
        ImGui::Indent(state.theme.px(12));
        if (section == "materials") {
            ink(state.theme, &Palette::quiet, "Used by ");
            ImGui::SameLine(0, state.theme.px(2));
            draw_users(frame, id, 9);
        }
        if (fault != nullptr && fault->place.pointer == pointer)
            ink_wrapped(state.theme, &Palette::problem, "! " + plain(*fault));
        FormSubject subject;
        subject.pointer = pointer;
        subject.name = title;
        subject.written = &thing;
        subject.leave_out = {"class"};
        draw_form(state, frame.intents, subject, common);
        if (of != nullptr) {
            const Json values = values_of_role(state, id, *of);
            subject.values = &values;
            subject.reference = section == "materials" ? id : "";
            subject.suggestions = [&](const Field& field) {
                const std::string key = section + "/" + id + "/" + field.name;
                const auto kept = state.parameters.offered.find(key);
                if (kept != state.parameters.offered.end()) return kept->second;
                return state.parameters.offered
                    .emplace(key, offered_values(*state.knowledge, *of, thing, field))
                    .first->second;
            };
            // What is not stated is out of sight until asked for.
            std::set<std::string>& unfolded = state.parameters.unfolded;
            const bool all = unfolded.contains(pointer);
            std::size_t hidden = 0;
            for (const Field& field : of->attributes) {
                if (all || thing.contains(field.name)) continue;
                subject.leave_out.push_back(field.name);
                ++hidden;
            }
            draw_form(state, frame.intents, subject, of->attributes);
            if (all || hidden > 0) {
                if (link(state, all ? "Only what is stated" : "More that can be stated",
                         "unfold " + id) &&
                    !unfolded.erase(pointer))
                    unfolded.insert(pointer);
                ImGui::SameLine();
            }
        } else if (state.knowledge != nullptr) {
            ink_wrapped(state.theme, &Palette::problem,
                        "No module knows the class '" + kind + "': it stays as it is.");
        }
        if (frame.editable() && ImGui::SmallButton("Delete"))
            frame.apply("Delete " + title, {{pointer, std::nullopt, ""}});
        state.mark("delete " + section + " " + id);
        ImGui::Unindent(state.theme.px(12));
    }
    ImGui::PopID();
}

void draw_things(ParametersFrame& frame, const std::string& section, const std::string& what,
                 std::span<const Field> common, const std::vector<std::string>& classes) {
    // At the head, where a long list does not hide it.
    add_of_class(frame, section, what, classes);
    ImGui::Spacing();
    const Json* all = find_at(frame.state.document, "/" + section);
    if (all != nullptr && all->is_object()) {
        for (const auto& [id, thing] : all->items()) {
            if (!id.starts_with("x-")) draw_of_class(frame, section, id, thing, common);
        }
    }
}

} // namespace

void draw_materials(ParametersFrame& frame) {
    static const std::vector<Field> common{
        text_field("title", "Title", "what the material is called on paper")};
    std::vector<std::string> classes;
    if (frame.state.knowledge != nullptr) {
        for (const contract::Description& module : frame.state.knowledge->modules) {
            for (const contract::LineKind& kind : module.line_kinds) {
                const std::string& name = kind.material_class;
                if (!name.empty() &&
                    std::find(classes.begin(), classes.end(), name) == classes.end())
                    classes.push_back(name);
            }
        }
    }
    draw_things(frame, "materials", "a material", common, classes);
}

void draw_owned(ParametersFrame& frame) {
    std::vector<std::string> classes;
    if (frame.state.knowledge != nullptr) {
        for (const contract::Description& module : frame.state.knowledge->modules) {
            for (const contract::CatalogClass& each : module.catalog_classes)
                classes.push_back(each.name);
        }
    }
    draw_things(frame, "owned", "a thing", common_owned_fields(), classes);
}

} // namespace aumbry::gui
