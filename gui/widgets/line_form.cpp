#include "widgets/line_form.hpp"

#include "session/names.hpp"
#include "widgets/offers.hpp"
#include "widgets/widgets.hpp"

#include "views/text_views.hpp"

#include "aumbry/short_form.hpp"

#include <algorithm>
#include <imgui_stdlib.h>

namespace aumbry::gui {

using contract::Field;
using contract::FieldType;

namespace {

/// Takes the new value of a field, or its absence.
using Put = std::function<void(std::optional<Json>)>;

/// What is drawn at one level of a form.
struct Level {
    State& state;
    Intents& intents;
    std::string pointer;   ///< of the object
    std::string reference; ///< what its values are called when asked for; empty: nothing
    const Json* written;
    const Json* values;
    const Json* derived;
    const Suggestions& suggestions;
    std::function<void(const Field&, std::optional<Json>)> put;
    std::vector<std::string> leave_out = {};
};

bool is_list(FieldType type) {
    return type == FieldType::lines || type == FieldType::texts;
}

bool has_computed_value(FieldType type) {
    return type == FieldType::quantity || type == FieldType::number || type == FieldType::count;
}

/// What a value comes to; empty when that is what was written.
std::string value_beside(const Level& level, const Field& field, const Json* written_value) {
    if (!has_computed_value(field.type) || level.state.estimate() == nullptr) return "";
    const Json* value = member_of(level.values, field.name);
    if (value == nullptr) value = member_of(level.derived, field.name);
    if (value == nullptr) return "";
    const std::string text = computed(field, *value, *level.state.estimate());
    return text == written(written_value) ? "" : text;
}

/// What an empty field says: what stands in for it.
std::string hint_of(const Level& level, const Field& field) {
    if (field.required) return "needed";
    if (field.fallback.is_null()) return field.unit.empty() ? "" : field.unit;
    if (level.state.estimate() == nullptr || field.fallback.is_object()) return "";
    const std::string text = field.type == FieldType::flag || field.fallback.is_array()
                                 ? written(&field.fallback)
                                 : computed(field, field.fallback, *level.state.estimate());
    return text.empty() ? "" : "else " + text;
}

/// The list beside a field; gives the text to put into it.
std::optional<std::string> suggestion_list(const Level& level, const Field& field,
                                           const std::string& text) {
    std::optional<std::string> taken;
    if (!ImGui::BeginPopup("suggestions")) return taken;
    std::vector<std::string> entries;
    if (is_list(field.type)) {
        if (const auto list = read_written(field, text)) {
            for (const Json& entry : *list) entries.push_back(written(&entry));
        }
    }
    const std::vector<std::string> offered = level.suggestions(field);
    for (const std::string& each : offered) {
        const auto present = std::find(entries.begin(), entries.end(), each);
        const bool chosen = is_list(field.type) ? present != entries.end() : each == text;
        const auto flags =
            is_list(field.type) ? ImGuiSelectableFlags_DontClosePopups : ImGuiSelectableFlags_None;
        const std::string label = is_list(field.type) ? (chosen ? "- " : "+ ") + each : each;
        if (ImGui::Selectable(label.c_str(), chosen, flags)) {
            if (is_list(field.type)) {
                if (chosen) {
                    entries.erase(present);
                } else {
                    entries.push_back(each);
                }
                std::string all;
                for (const std::string& entry : entries) all += (all.empty() ? "" : "; ") + entry;
                taken = all;
                entries = {};
                break;
            }
            taken = each;
        }
        level.state.mark("suggestion " + each);
    }
    ImGui::EndPopup();
    return taken;
}

/// What may be put into a field while it is typed into: what suits it, and names of sizes.
Offers offers_of(State& state, const Field& field, const std::vector<std::string>& offered) {
    if (is_list(field.type))
        return {Stem::entry,
                [offered](const std::string& so_far) { return offers_among(offered, so_far); }};
    if (!has_computed_value(field.type) || !offered.empty())
        return {Stem::whole,
                [offered](const std::string& so_far) { return offers_among(offered, so_far); }};
    return names_offered(state);
}

/// The field is asked about: its help is drawn beside it.
void ask_help(State& state, const Field& field) {
    state.help = &field;
    const ImVec2 min = ImGui::GetItemRectMin();
    const ImVec2 max = ImGui::GetItemRectMax();
    state.help_at = {min.x, min.y, max.x, max.y};
}

/// A field that is written as text.
void text_entry(const Level& level, const Field& field, const Json* value, const Put& put,
                bool wrong) {
    State& state = level.state;
    const std::vector<std::string> offered =
        level.suggestions ? level.suggestions(field) : std::vector<std::string>{};
    const float arrow = offered.empty() ? 0 : ImGui::GetFrameHeight() + state.theme.px(4);
    ImGui::SetNextItemWidth(ImGui::GetContentRegionAvail().x - arrow);
    if (wrong) ImGui::PushStyleColor(ImGuiCol_Border, vec(state.theme.palette.problem));
    const ImGuiID id = ImGui::GetID("##entry");
    std::string text = written(value);
    const std::string before = text;
    if (const auto typing = state.typing.find(id); typing != state.typing.end())
        text = typing->second;
    OfferedInput input{hint_of(level, field)};
    if (!state.read_only.empty()) input.flags = ImGuiInputTextFlags_ReadOnly;
    input_with_offers(state, "##entry", text, offers_of(state, field, offered), input);
    state.mark("field " + level.pointer + "/" + field.name);
    if (wrong) ImGui::PopStyleColor();
    if (ImGui::IsItemActive()) {
        ask_help(state, field);
        state.typing[id] = text;
    } else if (ImGui::IsItemDeactivated()) {
        state.typing.erase(id);
        if (text != before) put(read_written(field, text, unit_of_lengths(state)));
    }
    if (offered.empty()) return;
    ImGui::SameLine(0, state.theme.px(4));
    if (ImGui::ArrowButton("##offered", ImGuiDir_Down) && state.read_only.empty())
        ImGui::OpenPopup("suggestions");
    state.mark("list " + level.pointer + "/" + field.name);
    if (const auto taken = suggestion_list(level, field, before)) put(read_written(field, *taken));
}

void choice_entry(const Level& level, const Field& field, const Json* value, const Put& put) {
    ImGui::SetNextItemWidth(-1);
    const std::string now = written(value);
    const std::string shown = value == nullptr ? hint_of(level, field) : now;
    if (ImGui::BeginCombo("##choice", shown.c_str())) {
        if (!field.required && ImGui::Selectable("(not stated)", value == nullptr))
            put(std::nullopt);
        for (const std::string& each : field.choices) {
            if (ImGui::Selectable(each.c_str(), each == now)) put(Json(each));
            level.state.mark("choice " + each);
        }
        ImGui::EndCombo();
    }
    level.state.mark("field " + level.pointer + "/" + field.name);
    if (ImGui::IsItemHovered()) ask_help(level.state, field);
}

void flag_entry(const Level& level, const Field& field, const Json* value, const Put& put) {
    const Json* shown = value != nullptr ? value : &field.fallback;
    bool on = shown->is_boolean() && shown->get<bool>();
    if (ImGui::Checkbox("##flag", &on)) put(Json(on));
    level.state.mark("field " + level.pointer + "/" + field.name);
    if (ImGui::IsItemHovered()) ask_help(level.state, field);
    ImGui::SameLine();
    ink(level.state.theme, value == nullptr ? &Palette::quiet : &Palette::text,
        value == nullptr && field.fallback.is_null() ? "not stated" : (on ? "yes" : "no"));
}

void draw_fields(const Level& level, std::span<const Field> fields);

/// A record in its short form as one in { }, so that its members can be seen and edited.
std::optional<Json> long_form(const Field& field, const Json* value) {
    if (value == nullptr || !value->is_string() || !has_short_form(field)) return std::nullopt;
    try {
        return from_short_form(field, value->get<std::string>());
    } catch (const FaultError&) {
        return Json::object(); // its fault is told beside it
    }
}

/// In the short form again, where that says the same.
Json as_short_as_before(const Field& field, Json object) {
    const std::string text = short_form_of(field, object);
    return !text.empty() && from_short_form(field, text) == object ? Json(text) : std::move(object);
}

void record_entry(const Level& level, const Field& field, const Json* stated) {
    const Json none = Json::object();
    const std::optional<Json> expanded = long_form(field, stated);
    const Json* value = expanded ? &*expanded : stated;
    Level inner{level.state,
                level.intents,
                level.pointer + "/" + field.name,
                "",
                value,
                member_of(level.values, field.name),
                nullptr,
                level.suggestions,
                {}};
    inner.put = [&](const Field& each, std::optional<Json> changed) {
        Json object = value != nullptr && value->is_object() ? *value : none;
        const Change change = member_change("", &object, field.fields, each.name, changed);
        object = edited(std::move(object), {"", {change}});
        if (object.empty()) return level.put(field, std::nullopt);
        level.put(field, expanded ? as_short_as_before(field, std::move(object)) : object);
    };
    draw_fields(inner, field.fields);
}

/// "front: banded", what tells one entry of a list from another.
std::string entry_title(const Field& field, const Json& entry, std::size_t number) {
    std::string title = std::to_string(number + 1) + ".";
    for (const Field& each : field.fields) {
        if (each.type == FieldType::record || each.type == FieldType::records) continue;
        const std::string text = written(member_of(&entry, each.name));
        if (!text.empty()) return title + " " + text;
    }
    return title;
}

void records_entry(const Level& level, const Field& field, const Json* value) {
    const Json none = Json::array();
    const Json& list = value != nullptr && value->is_array() ? *value : none;
    const Json* values = member_of(level.values, field.name);
    const std::string pointer = level.pointer + "/" + field.name;
    for (std::size_t i = 0; i < list.size(); ++i) {
        ImGui::PushID(static_cast<int>(i));
        const bool open = ImGui::TreeNodeEx(
            "entry", ImGuiTreeNodeFlags_SpanAvailWidth | ImGuiTreeNodeFlags_AllowItemOverlap, "%s",
            entry_title(field, list[i], i).c_str());
        level.state.mark("entry " + pointer + "/" + std::to_string(i));
        if (open) {
            const auto with_entry = [&](std::optional<Json> entry) {
                Json changed = Json::array();
                for (std::size_t k = 0; k < list.size(); ++k) {
                    if (k != i) {
                        changed.push_back(list[k]);
                    } else if (entry) {
                        changed.push_back(*entry);
                    }
                }
                if (changed.empty()) return level.put(field, std::nullopt);
                level.put(field, std::move(changed));
            };
            Level inner{level.state,
                        level.intents,
                        pointer + "/" + std::to_string(i),
                        "",
                        &list[i],
                        values != nullptr && values->is_array() && i < values->size()
                            ? &(*values)[i]
                            : nullptr,
                        nullptr,
                        level.suggestions,
                        {}};
            inner.put = [&](const Field& each, std::optional<Json> changed) {
                Json object = list[i].is_object() ? list[i] : Json::object();
                const Change change = member_change("", &object, field.fields, each.name, changed);
                with_entry(edited(std::move(object), {"", {change}}));
            };
            draw_fields(inner, field.fields);
            if (ImGui::SmallButton("Remove")) with_entry(std::nullopt);
            level.state.mark("remove " + inner.pointer);
            ImGui::TreePop();
        }
        ImGui::PopID();
    }
    if (ImGui::SmallButton("Add")) {
        Json changed = list;
        changed.push_back(Json::object());
        level.put(field, std::move(changed));
    }
    level.state.mark("add entry " + pointer);
}

/// The label of a field on the left; the cursor is left where its entry begins.
void label_of(const Level& level, const Field& field) {
    const Theme& theme = level.state.theme;
    ImGui::TableNextRow();
    ImGui::TableNextColumn();
    ImGui::AlignTextToFramePadding();
    ImGui::PushTextWrapPos(0);
    ink(theme, &Palette::quiet, field.title + (field.required ? " *" : ""));
    ImGui::PopTextWrapPos();
    if (ImGui::IsItemHovered()) ask_help(level.state, field);
    ImGui::TableNextColumn();
}

void simple_field(const Level& level, const Field& field, const Json* value, const Fault* fault) {
    State& state = level.state;
    const Put put = [&](std::optional<Json> changed) { level.put(field, std::move(changed)); };
    label_of(level, field);
    if (field.type == FieldType::choice) {
        choice_entry(level, field, value, put);
    } else if (field.type == FieldType::flag) {
        flag_entry(level, field, value, put);
    } else {
        text_entry(level, field, value, put, fault != nullptr);
    }
    if (fault != nullptr) {
        ink_wrapped(state.theme, &Palette::problem, "! " + plain(*fault));
    } else if (const std::string beside = value_beside(level, field, value); !beside.empty()) {
        const std::string text = "= " + beside;
        ImGui::PushFont(state.theme.small);
        if (level.reference.empty()) {
            ink(state.theme, &Palette::quiet, text);
        } else if (link(state, text, level.reference + "." + field.name)) {
            level.intents.push_back(ExplainFigure{level.reference + "." + field.name});
        }
        ImGui::PopFont();
    }
}

/// A record or a list of records: a heading that opens.
void nested_field(const Level& level, const Field& field, const Json* value, const Fault* fault) {
    const std::string count = field.type == FieldType::records && value != nullptr
                                  ? " (" + std::to_string(value->size()) + ")"
                                  : "";
    if (value != nullptr) ImGui::SetNextItemOpen(true, ImGuiCond_FirstUseEver);
    const bool open =
        ImGui::TreeNodeEx("nested", ImGuiTreeNodeFlags_SpanAvailWidth, "%s%s%s",
                          field.title.c_str(), count.c_str(), field.required ? " *" : "");
    level.state.mark("open " + level.pointer + "/" + field.name);
    if (ImGui::IsItemHovered()) ask_help(level.state, field);
    if (fault != nullptr) ink_wrapped(level.state.theme, &Palette::problem, "! " + plain(*fault));
    if (!open) return;
    if (field.type == FieldType::record) {
        record_entry(level, field, value);
    } else {
        records_entry(level, field, value);
    }
    ImGui::TreePop();
}

bool is_nested(const Field& field) {
    return field.type == FieldType::record || field.type == FieldType::records;
}

void draw_fields(const Level& level, std::span<const Field> fields) {
    bool in_table = false;
    for (const Field& field : fields) {
        if (std::find(level.leave_out.begin(), level.leave_out.end(), field.name) !=
            level.leave_out.end())
            continue;
        if (is_nested(field) && in_table) {
            ImGui::EndTable();
            in_table = false;
        } else if (!is_nested(field) && !in_table) {
            in_table = ImGui::BeginTable("fields", 2, ImGuiTableFlags_SizingStretchProp);
            if (!in_table) return; // nothing of it is in sight
            ImGui::TableSetupColumn("label", ImGuiTableColumnFlags_WidthFixed,
                                    level.state.theme.px(118));
            ImGui::TableSetupColumn("entry", ImGuiTableColumnFlags_WidthStretch);
        }
        const Json* value = member_of(level.written, field.name);
        const Fault* fault = fault_at(level.state.answer, pointer_to(level.pointer, field.name));
        ImGui::PushID(field.name.c_str());
        if (is_nested(field)) {
            nested_field(level, field, value, fault);
        } else {
            simple_field(level, field, value, fault);
        }
        ImGui::PopID();
    }
    if (in_table) ImGui::EndTable();
}

} // namespace

void draw_form(State& state, Intents& intents, const FormSubject& subject,
               std::span<const Field> fields) {
    Level level{state,
                intents,
                subject.pointer,
                subject.reference,
                subject.written,
                subject.values,
                subject.derived,
                subject.suggestions,
                {},
                subject.leave_out};
    level.put = [&](const Field& field, std::optional<Json> value) {
        intents.push_back(ApplyEdit{{step_name(field, subject.name),
                                     {member_change(subject.pointer, subject.written, fields,
                                                    field.name, std::move(value))}}});
    };
    ImGui::PushID(subject.pointer.c_str());
    draw_fields(level, fields);
    ImGui::PopID();
}

namespace {

/// A card beside a field: to its right where there is room, else to its left.
void help_card(const State& state) {
    const Theme& theme = state.theme;
    const ImVec4 at = state.help_at;
    const float screen = ImGui::GetMainViewport()->Size.x;
    const float gap = theme.px(14);
    const float wanted = theme.px(300);
    const float label = theme.px(150); // what stands to the left of an entry
    const float right = screen - at.z - theme.px(34) - gap;
    const float left = at.x - label - gap;
    if (std::max(left, right) < theme.px(160)) return;
    const bool to_right = right >= wanted || right >= left;
    const float width = std::min(wanted, to_right ? right : left);
    ImGui::SetNextWindowPos({to_right ? at.z + theme.px(34) : at.x - label, at.y}, ImGuiCond_Always,
                            {to_right ? 0.0F : 1.0F, 0});
    ImGui::SetNextWindowSize({width, 0});
    ImGui::PushStyleVar(ImGuiStyleVar_WindowBorderSize, 1);
    ImGui::PushStyleColor(ImGuiCol_WindowBg, vec(theme.palette.ground));
    ImGui::Begin("##help", nullptr,
                 ImGuiWindowFlags_Tooltip | ImGuiWindowFlags_NoDecoration |
                     ImGuiWindowFlags_NoMove | ImGuiWindowFlags_NoSavedSettings |
                     ImGuiWindowFlags_NoInputs | ImGuiWindowFlags_NoFocusOnAppearing |
                     ImGuiWindowFlags_AlwaysAutoResize);
    ink(theme, &Palette::text, state.help->title);
    ImGui::PushFont(theme.small);
    ink_wrapped(theme, &Palette::quiet, views::field_text(*state.help));
    ImGui::PopFont();
    state.mark(
        "help " + state.help->name, ImGui::GetWindowPos(),
        {ImGui::GetWindowPos().x + width, ImGui::GetWindowPos().y + ImGui::GetWindowHeight()});
    ImGui::End();
    ImGui::PopStyleColor();
    ImGui::PopStyleVar();
}

} // namespace

void draw_form_help(const State& state, float height) {
    const Theme& theme = state.theme;
    if (ImGui::BeginChild("help", {0, height}, false, ImGuiWindowFlags_NoScrollbar)) {
        ImGui::PushFont(theme.small);
        ink_wrapped(theme, &Palette::quiet, "* is needed. Sizes may be formulas: 2 * gap + 18 mm.");
        ImGui::PopFont();
    }
    ImGui::EndChild();
    if (state.help != nullptr) help_card(state);
}

Change member_change(const std::string& pointer, const Json* object, std::span<const Field> fields,
                     const std::string& name, std::optional<Json> value) {
    Change change{pointer_to(pointer, name), std::move(value), ""};
    for (const Field& field : fields) {
        if (field.name == name) break;
        if (member_of(object, field.name) != nullptr) change.after = field.name;
    }
    return change;
}

std::string step_name(const Field& field, const std::string& of) {
    return field.title + " of " + of;
}

std::vector<std::string> lines_for(const State& state, const Field& field) {
    std::vector<std::string> ids;
    if (const Json* lines = find_at(state.document, "/lines"); lines && lines->is_object()) {
        for (const auto& [id, line] : lines->items()) {
            const std::string kind = written(member_of(&line, "kind"));
            if (field.kinds.empty() ||
                std::find(field.kinds.begin(), field.kinds.end(), kind) != field.kinds.end())
                ids.push_back(id);
        }
    }
    if (field.type != FieldType::lines) return ids;
    if (const Json* pieces = find_at(state.document, "/pieces"); pieces && pieces->is_object()) {
        for (const auto& [id, piece] : pieces->items()) ids.push_back(id + ".*");
    }
    return ids;
}

} // namespace aumbry::gui
