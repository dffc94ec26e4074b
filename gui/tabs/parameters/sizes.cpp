// Sizes of one's own: names that formulas may use.
#include "tabs/parameters/parameters_frame.hpp"
#include "widgets/offers.hpp"
#include "widgets/widgets.hpp"

#include "aumbry/plugin.hpp"

#include <imgui_stdlib.h>

namespace aumbry::gui {

using contract::Field;

namespace {

/// What a size of one's own is: a formula of any dimension.
const Field& size_field() {
    static const Field field =
        quantity_field("size", "mm", "Size", "a size or count that formulas may use by its name");
    return field;
}

const std::vector<Reference>& users_of(const State& state, const std::string& name) {
    static const std::vector<Reference> nobody;
    const auto found = state.parameters.references.find(name);
    return found == state.parameters.references.end() ? nobody : found->second;
}

void size_entry(ParametersFrame& frame, const std::string& name, const Json& value) {
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
    OfferedInput input;
    if (!frame.editable()) input.flags = ImGuiInputTextFlags_ReadOnly;
    input_with_offers(state, "##size", text, names_offered(state), input);
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

void new_size(ParametersFrame& frame) {
    ParametersState& memory = frame.state.parameters;
    ImGui::TableNextRow();
    ImGui::TableNextColumn();
    ImGui::SetNextItemWidth(-1);
    ImGui::InputTextWithHint("##name", "A new size", &memory.new_name);
    frame.state.mark("new size name");
    ImGui::TableNextColumn();
    ImGui::SetNextItemWidth(-1);
    OfferedInput input{"18 mm, or a formula"};
    input.flags = ImGuiInputTextFlags_EnterReturnsTrue;
    const bool entered = input_with_offers(frame.state, "##value", memory.new_value,
                                           names_offered(frame.state), input);
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

} // namespace

std::string result_of(const State& state, const std::string& name) {
    if (state.estimate() == nullptr) return "";
    const auto found = state.estimate()->workings.find(name);
    return found == state.estimate()->workings.end() ? "" : found->second.result;
}

void draw_users(ParametersFrame& frame, const std::string& name, std::size_t max) {
    const std::vector<Reference>& users = users_of(frame.state, name);
    ImGui::PushFont(frame.theme().small);
    if (users.empty()) ink(frame.theme(), &Palette::quiet, "nothing");
    const float edge = ImGui::GetCursorScreenPos().x + ImGui::GetContentRegionAvail().x;
    for (std::size_t i = 0; i < users.size() && i < max; ++i) {
        const Reference& user = users[i];
        const bool more = i + 1 == max && users.size() > max;
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

void draw_sizes(ParametersFrame& frame) {
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

} // namespace aumbry::gui
