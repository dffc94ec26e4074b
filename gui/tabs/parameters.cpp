// Sizes and materials, and everything else that the job as a whole says: one section at a time,
// forms drawn from field records.
#include "session/offered.hpp"
#include "tabs/tabs.hpp"
#include "widgets/line_form.hpp"
#include "widgets/widgets.hpp"

#include "aumbry/plugin.hpp"
#include "aumbry/project.hpp"

#include <algorithm>
#include <array>
#include <imgui_stdlib.h>

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
        };
        list[2].fallback = "mm";
        return list;
    }();
    return fields;
}

/// What a size of one's own is: a formula of any dimension.
const Field& size_field() {
    static const Field field =
        quantity_field("size", "mm", "Size", "a size or count that formulas may use by its name");
    return field;
}

/// One frame of the view.
struct Frame {
    State& state;
    Intents& intents;
    [[nodiscard]] const Theme& theme() const { return state.theme; }
    [[nodiscard]] bool editable() const { return state.read_only.empty(); }
    void apply(std::string label, std::vector<Change> changes) {
        intents.push_back(ApplyEdit{{std::move(label), std::move(changes)}});
    }
};

void keep_uses(State& state) {
    ParametersState& kept = state.parameters;
    if (kept.edition == state.edition && kept.knowledge == state.knowledge) return;
    kept.edition = state.edition;
    kept.knowledge = state.knowledge;
    kept.offered.clear();
    kept.uses =
        state.knowledge == nullptr ? Uses{} : uses_of_names(state.document, *state.knowledge);
}

const std::vector<Use>& users_of(const State& state, const std::string& name) {
    static const std::vector<Use> nobody;
    const auto found = state.parameters.uses.find(name);
    return found == state.parameters.uses.end() ? nobody : found->second;
}

/// The users of a name; lines can be gone to.
void draw_users(Frame& frame, const std::string& name, std::size_t most) {
    const std::vector<Use>& users = users_of(frame.state, name);
    ImGui::PushFont(frame.theme().small);
    if (users.empty()) ink(frame.theme(), &Palette::quiet, "nothing");
    const float edge = ImGui::GetCursorScreenPos().x + ImGui::GetContentRegionAvail().x;
    for (std::size_t i = 0; i < users.size() && i < most; ++i) {
        const Use& user = users[i];
        const bool more = i + 1 == most && users.size() > most;
        const std::string text =
            more ? "and " + std::to_string(users.size() - i) + " more" : user.title;
        if (i > 0) {
            ImGui::SameLine();
            if (ImGui::GetCursorScreenPos().x + ImGui::CalcTextSize(text.c_str()).x > edge)
                ImGui::NewLine();
        }
        if (more || user.line.empty()) {
            ink(frame.theme(), &Palette::quiet, text);
        } else if (link(frame.state, text, "user " + name + " " + user.line)) {
            frame.intents.push_back(SelectLine{user.line, true});
        }
        if (more && ImGui::IsItemHovered()) {
            ImGui::BeginTooltip();
            for (std::size_t k = i; k < users.size(); ++k)
                ImGui::TextUnformatted(users[k].title.c_str());
            ImGui::EndTooltip();
        }
    }
    ImGui::PopFont();
}

// ---------------------------------------------------------------- sizes

/// What a size comes to, as the estimate printed it.
std::string result_of(const State& state, const std::string& name) {
    if (state.estimate() == nullptr) return "";
    const auto found = state.estimate()->workings.find(name);
    return found == state.estimate()->workings.end() ? "" : found->second.result;
}

void size_entry(Frame& frame, const std::string& name, const Json& value) {
    State& state = frame.state;
    const std::string pointer = pointer_to("/parameters", name);
    const Fault* fault = fault_at(state.answer, pointer);
    ImGui::SetNextItemWidth(-1);
    if (fault != nullptr) ImGui::PushStyleColor(ImGuiCol_Border, vec(state.theme.palette.problem));
    const ImGuiID id = ImGui::GetID("##size");
    const std::string before = written(&value);
    std::string text = before;
    if (const auto typing = state.typing.find(id); typing != state.typing.end())
        text = typing->second;
    ImGui::InputText("##size", &text,
                     frame.editable() ? ImGuiInputTextFlags_None : ImGuiInputTextFlags_ReadOnly);
    state.mark("size " + name);
    if (fault != nullptr) ImGui::PopStyleColor();
    if (ImGui::IsItemActive()) {
        state.typing[id] = text;
    } else if (ImGui::IsItemDeactivated()) {
        state.typing.erase(id);
        const std::optional<Json> taken = read_written(size_field(), text);
        if (text != before && taken) frame.apply("Size " + name, {{pointer, taken, ""}});
    }
    if (fault != nullptr) ink_wrapped(state.theme, &Palette::problem, "! " + plain(*fault));
}

void new_size(Frame& frame) {
    ParametersState& memory = frame.state.parameters;
    ImGui::TableNextRow();
    ImGui::TableNextColumn();
    ImGui::SetNextItemWidth(-1);
    ImGui::InputTextWithHint("##name", "A new size", &memory.new_name);
    frame.state.mark("new size name");
    ImGui::TableNextColumn();
    ImGui::SetNextItemWidth(-1);
    const bool entered = ImGui::InputTextWithHint(
        "##value", "18 mm, or a formula", &memory.new_value, ImGuiInputTextFlags_EnterReturnsTrue);
    frame.state.mark("new size value");
    ImGui::TableNextColumn();
    const bool ready = !memory.new_name.empty() && !memory.new_value.empty();
    ImGui::BeginDisabled(!ready);
    const bool pressed = ImGui::Button("Add");
    frame.state.mark("add size");
    ImGui::EndDisabled();
    if (!ready || !(entered || pressed)) return;
    const std::string name = new_id(frame.state.document, "parameters", memory.new_name);
    frame.apply("Add size " + name, {{pointer_to("/parameters", name),
                                      read_written(size_field(), memory.new_value), ""}});
    memory.new_name.clear();
    memory.new_value.clear();
}

void draw_sizes(Frame& frame) {
    State& state = frame.state;
    constexpr ImGuiTableFlags flags =
        ImGuiTableFlags_BordersInnerH | ImGuiTableFlags_SizingStretchProp;
    if (!ImGui::BeginTable("sizes", 5, flags)) return;
    ImGui::TableSetupColumn("Name", 0, 1.3F);
    ImGui::TableSetupColumn("As written", 0, 2.4F);
    ImGui::TableSetupColumn("Comes to", 0, 0.9F);
    ImGui::TableSetupColumn("Used by", 0, 2.6F);
    ImGui::TableSetupColumn("##away", ImGuiTableColumnFlags_WidthFixed, state.theme.px(64));
    ImGui::TableHeadersRow();
    const Json* sizes = find_at(state.document, "/parameters");
    if (sizes != nullptr && sizes->is_object()) {
        for (const auto& [name, value] : sizes->items()) {
            if (name.starts_with("x-")) continue;
            ImGui::PushID(name.c_str());
            ImGui::TableNextRow();
            ImGui::TableNextColumn();
            ImGui::AlignTextToFramePadding();
            ink(state.theme, &Palette::text, name);
            ImGui::TableNextColumn();
            size_entry(frame, name, value);
            ImGui::TableNextColumn();
            ImGui::AlignTextToFramePadding();
            if (const std::string result = result_of(state, name);
                !result.empty() && link(state, result, "result " + name))
                frame.intents.push_back(ExplainFigure{name});
            ImGui::TableNextColumn();
            ImGui::AlignTextToFramePadding();
            draw_users(frame, name, 5);
            ImGui::TableNextColumn();
            if (frame.editable() && ImGui::SmallButton("Delete"))
                frame.apply("Delete size " + name,
                            {{pointer_to("/parameters", name), std::nullopt, ""}});
            state.mark("delete size " + name);
            ImGui::PopID();
        }
    }
    if (frame.editable()) new_size(frame);
    ImGui::EndTable();
}

// ---------------------------------------------------------------- things with a class

/// The classes that a section's things may have; adds one.
void add_of_class(Frame& frame, const std::string& section, const std::string& what,
                  const std::vector<std::string>& classes) {
    if (!frame.editable() || frame.state.knowledge == nullptr) return;
    if (ImGui::Button(("Add " + what).c_str())) ImGui::OpenPopup("classes");
    frame.state.mark("add " + what);
    if (!ImGui::BeginPopup("classes")) return;
    for (const std::string& name : classes) {
        const contract::CatalogClass* of = frame.state.knowledge->catalog_class(name);
        if (of == nullptr) continue;
        if (ImGui::MenuItem((of->title + "##" + name).c_str())) {
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
void draw_of_class(Frame& frame, const std::string& section, const std::string& id,
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

void draw_things(Frame& frame, const std::string& section, const std::string& what,
                 std::span<const Field> common, const std::vector<std::string>& classes) {
    const Json* all = find_at(frame.state.document, "/" + section);
    if (all != nullptr && all->is_object()) {
        for (const auto& [id, thing] : all->items()) {
            if (!id.starts_with("x-")) draw_of_class(frame, section, id, thing, common);
        }
    }
    add_of_class(frame, section, what, classes);
}

void draw_materials(Frame& frame) {
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

void draw_owned(Frame& frame) {
    std::vector<std::string> classes;
    if (frame.state.knowledge != nullptr) {
        for (const contract::Description& module : frame.state.knowledge->modules) {
            for (const contract::CatalogClass& each : module.catalog_classes)
                classes.push_back(each.name);
        }
    }
    draw_things(frame, "owned", "a thing", common_owned_fields(), classes);
}

// ---------------------------------------------------------------- forms

/// One object of the document by its field records.
void draw_section(Frame& frame, const std::string& pointer, const std::string& name,
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
void draw_titled(Frame& frame, const std::string& section, const std::string& what,
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

void draw_modules(Frame& frame) {
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
        ink_wrapped(state.theme, &Palette::problem, "Not used: " + refused.reason);
    for (const std::string& fault : state.knowledge->catalog_faults)
        ink_wrapped(state.theme, &Palette::caution, "In a price list: " + fault);
}

void heading(Frame& frame, const char* title) {
    ImGui::PushFont(frame.theme().figure);
    ink(frame.theme(), &Palette::text, title);
    ImGui::PopFont();
    ImGui::Spacing();
}

void draw_content(Frame& frame, Section section) {
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
void choose_section(Frame& frame, bool beside) {
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
    Frame frame{state, intents};
    keep_uses(state);
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
            draw_content(frame, static_cast<Section>(state.parameters.section));
        ImGui::EndChild();
    }
    ImGui::EndChild();
    draw_form_help(state, 0);
    ImGui::EndGroup();
}

} // namespace aumbry::gui
