// Sizes and materials, and everything else that the job as a whole says: one section at a time,
// forms drawn from field records.
#include "tabs/parameters/parameters_frame.hpp"
#include "tabs/tabs.hpp"
#include "widgets/line_form.hpp"
#include "widgets/net.hpp"
#include "widgets/widgets.hpp"

#include "aumbry/plugin.hpp"
#include "aumbry/project.hpp"

#include <algorithm>
#include <array>

namespace aumbry::gui {

using contract::Field;

namespace {

enum class Section {
    sizes,
    materials,
    job,
    prices,
    workshop,
    people,
    tasks,
    owned,
    buying,
    modules
};
constexpr std::array<const char*, 10> section_titles{
    "Sizes",  "Materials", "The job",       "Prices and tax", "Workshop and vehicle",
    "People", "Tasks",     "What you have", "Where to buy",   "Modules"};

/// What a project says of itself.
std::span<const Field> job_fields() {
    static const std::vector<Field> fields = [] {
        std::vector<Field> list{
            text_field("title", "Title", "what the job is called on paper"),
            text_field("note", "Note", "anything worth remembering"),
            choice_field("length_unit", "Lengths in", {"mm", "in"}, "how lengths are shown"),
            date_field("priced_on", "Priced on", "the day whose prices hold, as 2027-02-01"),
            date_field("start", "Start", "the first day of work, as 2027-03-01"),
            date_field("orders_from", "Orders from",
                       "the day on which orders go out, where that is before the start"),
            date_field("wanted_by", "Wanted by", "the day on which the client would have it"),
        };
        list[2].fallback = "mm";
        return list;
    }();
    return fields;
}

void keep_references(State& state) {
    ParametersState& kept = state.parameters;
    if (kept.edition == state.edition && kept.knowledge == state.knowledge) return;
    kept.edition = state.edition;
    kept.knowledge = state.knowledge;
    kept.offered.clear();
    kept.references = state.knowledge == nullptr
                          ? References{}
                          : references_to_names(state.document, *state.knowledge);
}

/// One object of the document by its field records.
void draw_section(ParametersFrame& frame, const std::string& pointer, const std::string& name,
                  std::span<const Field> fields) {
    FormSubject subject;
    subject.pointer = pointer;
    subject.name = name;
    subject.written =
        pointer.empty() ? &frame.state.document : find_at(frame.state.document, pointer);
    subject.suggestions = [&](const Field& field) -> std::vector<std::string> {
        std::vector<std::string> ids;
        const auto members = [&](const char* section) {
            const Json* all = find_at(frame.state.document, section);
            if (all == nullptr || !all->is_object()) return;
            for (const auto& [id, value] : all->items()) ids.push_back(id);
        };
        if (fields.data() == supplier_wish_fields().data() &&
            (field.name == "exclude" || field.name == "prefer")) {
            if (frame.state.knowledge != nullptr) {
                for (const Supplier& supplier : frame.state.knowledge->catalog.suppliers())
                    ids.push_back(supplier.id);
            }
        }
        if (fields.data() == task_fields().data()) {
            if (field.name == "piece") members("/pieces");
            if (field.name == "who") members("/people");
            if (field.name == "after") members("/tasks");
        }
        return ids;
    };
    draw_form(frame.state, frame.intents, subject, fields);
}

/// Every member of a section of things with a title, and one more.
void draw_titled(ParametersFrame& frame, const std::string& section, const std::string& what,
                 std::span<const Field> fields) {
    State& state = frame.state;
    const Json* all = find_at(state.document, "/" + section);
    if (all != nullptr && all->is_object()) {
        for (const auto& [id, thing] : all->items()) {
            if (id.starts_with("x-")) continue;
            std::string title = written(member_of(&thing, "title"));
            if (title.empty()) title = id;
            const std::string pointer = pointer_to("/" + section, id);
            ImGui::PushID(id.c_str());
            if (fault_at(state.answer, pointer) != nullptr || section == "people")
                ImGui::SetNextItemOpen(true, ImGuiCond_FirstUseEver);
            const bool open = ImGui::CollapsingHeader((title + "   (" + id + ")###" + id).c_str());
            state.mark("open " + section + " " + id);
            if (open) {
                ImGui::Indent(state.theme.px(12));
                draw_section(frame, pointer, title, fields);
                if (frame.editable() && ImGui::SmallButton("Delete"))
                    frame.apply("Delete " + title, {{pointer, std::nullopt, ""}});
                ImGui::Unindent(state.theme.px(12));
            }
            ImGui::PopID();
        }
    }
    if (!frame.editable()) return;
    if (ImGui::Button(("Add " + what).c_str())) {
        const std::string id = new_id(state.document, section, "new " + what.substr(2));
        frame.apply("Add " + what, {{pointer_to("/" + section, id),
                                     Json{{"title", "New " + what.substr(2)}}, ""}});
    }
    state.mark("add " + what);
}

void draw_modules(ParametersFrame& frame) {
    State& state = frame.state;
    if (state.knowledge == nullptr) return;
    for (const contract::Description& module : state.knowledge->modules) {
        ink(state.theme, &Palette::text, module.title);
        ImGui::SameLine();
        ink(state.theme, &Palette::quiet, module.id + " " + module.version);
        if (!module.settings.empty())
            draw_section(frame, "/settings/" + module.id, module.title, module.settings);
        ImGui::Separator();
    }
    for (const RefusedModule& refused : state.knowledge->refused)
        ink_wrapped(state.theme, &Palette::problem,
                    "Not used: " + refused.file + ' ' + refused.reason);
    for (const std::string& fault : state.knowledge->catalog_faults)
        ink_wrapped(state.theme, &Palette::caution, "In a price list: " + fault);
}

void heading(ParametersFrame& frame, const char* title) {
    ImGui::PushFont(frame.theme().figure);
    ink(frame.theme(), &Palette::text, title);
    ImGui::PopFont();
    ImGui::Spacing();
}

void draw_content(ParametersFrame& frame, Section section) {
    switch (section) {
    case Section::sizes:
        return draw_sizes(frame);
    case Section::materials:
        return draw_materials(frame);
    case Section::job:
        draw_section(frame, "", "the job", job_fields());
        heading(frame, "You");
        draw_section(frame, "/maker", "you", party_fields());
        heading(frame, "The client");
        draw_section(frame, "/client", "the client", party_fields());
        heading(frame, "The quote");
        return draw_section(frame, "/quote", "the quote", quote_fields());
    case Section::prices:
        return draw_section(frame, "/pricing", "prices", pricing_fields());
    case Section::workshop:
        draw_section(frame, "/workshop", "the workshop", workshop_fields());
        heading(frame, "Vehicle");
        return draw_section(frame, "/vehicle", "the vehicle", vehicle_fields());
    case Section::people:
        return draw_titled(frame, "people", "a person", person_fields());
    case Section::tasks:
        return draw_titled(frame, "tasks", "a task", task_fields());
    case Section::owned:
        return draw_owned(frame);
    case Section::buying:
        return draw_section(frame, "/suppliers", "where to buy", supplier_wish_fields());
    case Section::modules:
        return draw_modules(frame);
    }
}

/// The sections by name: a list at the side, or one to unfold where there is little room.
void choose_section(ParametersFrame& frame, bool beside) {
    ParametersState& memory = frame.state.parameters;
    if (beside) {
        ImGui::BeginChild("sections", {frame.theme().px(190), 0});
    } else {
        ImGui::SetNextItemWidth(frame.theme().px(260));
        if (!ImGui::BeginCombo("##sections",
                               section_titles[static_cast<std::size_t>(memory.section)]))
            return;
    }
    for (std::size_t i = 0; i < section_titles.size(); ++i) {
        const bool here = memory.section == static_cast<int>(i);
        if (ImGui::Selectable(section_titles[i], here)) memory.section = static_cast<int>(i);
        frame.state.mark(std::string("section ") + section_titles[i]);
    }
    if (beside) {
        ImGui::EndChild();
    } else {
        ImGui::EndCombo();
    }
}

} // namespace

void draw_parameters(State& state, Intents& intents) {
    ParametersFrame frame{state, intents};
    keep_references(state);
    const bool beside = ImGui::GetContentRegionAvail().x > state.theme.px(820);
    choose_section(frame, beside);
    if (beside) ImGui::SameLine();
    ImGui::BeginGroup();
    const float help = state.theme.small->FontSize * 2.2F;
    if (ImGui::BeginChild("content", {0, -help})) {
        if (beside)
            heading(frame, section_titles[static_cast<std::size_t>(state.parameters.section)]);
        const float width = std::min(ImGui::GetContentRegionAvail().x,
                                     state.theme.px(state.parameters.section == 0 ? 1100 : 640));
        if (ImGui::BeginChild(section_titles[static_cast<std::size_t>(state.parameters.section)],
                              {width, 0}))
            draw_over_net(
                state, section_titles[static_cast<std::size_t>(state.parameters.section)],
                [&] { draw_content(frame, static_cast<Section>(state.parameters.section)); });
        ImGui::EndChild();
    }
    ImGui::EndChild();
    draw_form_help(state, 0);
    ImGui::EndGroup();
}

} // namespace aumbry::gui
