#include "widgets/offers.hpp"

#include "session/names.hpp"
#include "session/text.hpp"
#include "widgets/keys.hpp"
#include "widgets/widgets.hpp"

#include <algorithm>
#include <cctype>
#include <imgui_internal.h>
#include <imgui_stdlib.h>

namespace aumbry::gui {

namespace {

/// More are counted: a longer name finds them.
constexpr std::size_t max_offered = 8;

bool is_of_name(char c) {
    return std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '_' || c == '.';
}

/// Where the part of a text that the cursor stands in begins and ends.
struct Span {
    std::size_t begin = 0;
    std::size_t end = 0;
};

Span part_of(Stem stem, const std::string& text, std::size_t cursor) {
    cursor = std::min(cursor, text.size());
    if (stem == Stem::whole) return {0, text.size()};
    if (stem == Stem::name) {
        std::size_t end = cursor;
        while (end < text.size() && is_of_name(text[end])) ++end;
        return {cursor - name_before(text, cursor).size(), end};
    }
    const std::size_t before = text.rfind(';', cursor == 0 ? 0 : cursor - 1);
    std::size_t begin = before == std::string::npos || before >= cursor ? 0 : before + 1;
    while (begin < text.size() && text[begin] == ' ') ++begin;
    return {begin, std::max(begin, std::min(text.find(';', cursor), text.size()))};
}

/// What a field does while it is typed into.
struct Typing {
    OffersState* memory;
    Stem stem;
    bool to_end;
};

int follow_typing(ImGuiInputTextCallbackData* data) {
    const Typing& typing = *static_cast<const Typing*>(data->UserData);
    OffersState& memory = *typing.memory;
    if (typing.to_end) {
        data->ClearSelection();
        data->CursorPos = data->BufTextLen;
    }
    if (memory.taken >= 0) {
        const std::string& put_in = memory.texts[static_cast<std::size_t>(memory.taken)];
        const Span part = part_of(typing.stem, data->Buf, static_cast<std::size_t>(memory.cursor));
        const int begin = static_cast<int>(part.begin);
        data->DeleteChars(begin, static_cast<int>(part.end - part.begin));
        data->InsertChars(begin, put_in.c_str());
        data->CursorPos = begin + static_cast<int>(put_in.size());
        data->ClearSelection();
        memory.taken = -1;
        memory.chosen = -1;
        // What leads on ("bed_side.") offers what comes next; anything else is done.
        memory.closed = !put_in.ends_with('.');
        memory.text = data->Buf;
    } else if (memory.text != data->Buf) {
        memory.closed = false;
        memory.chosen = -1;
        memory.text = data->Buf;
    }
    memory.cursor = data->CursorPos;
    return 0;
}

/// Keys and clicks that the offers of the last frame take from the field.
void take_input(OffersState& memory) {
    ImGuiIO& io = ImGui::GetIO();
    const int count = static_cast<int>(memory.texts.size());
    if (count == 0) return;
    for (int i = 0; i < count; ++i) {
        const ImVec4& box = memory.boxes[static_cast<std::size_t>(i)];
        if (!io.MouseClicked[0] || io.MousePos.x < box.x || io.MousePos.x >= box.z ||
            io.MousePos.y < box.y || io.MousePos.y >= box.w)
            continue;
        memory.taken = i;
        // The field keeps the keyboard, and does not take the mouse for choosing text.
        io.MouseClicked[0] = false;
        if (ImGuiInputTextState* field = ImGui::GetInputTextState(memory.field))
            field->SelectedAllMouseLock = true;
    }
    if (pressed(ImGuiKey_DownArrow)) memory.chosen = std::min(memory.chosen + 1, count - 1);
    if (pressed(ImGuiKey_UpArrow)) memory.chosen = std::max(memory.chosen - 1, -1);
    if (memory.chosen >= 0 && swallow_press(ImGuiKey_Enter)) memory.taken = memory.chosen;
    if (swallow_press(ImGuiKey_Escape)) {
        memory.closed = true;
        memory.chosen = -1;
    }
}

void show_offers(State& state, const std::vector<Offer>& found, ImVec2 min, ImVec2 max) {
    OffersState& memory = state.offers;
    const Theme& theme = state.theme;
    const std::size_t shown = std::min(found.size(), max_offered);
    ImGui::PushFont(theme.small);
    const float row = theme.small->FontSize + theme.px(8);
    const std::string more =
        found.size() > shown ? "and " + std::to_string(found.size() - shown) + " more" : "";
    float names = ImGui::CalcTextSize(more.c_str()).x;
    float words = 0;
    for (std::size_t i = 0; i < shown; ++i) {
        names = std::max(names, ImGui::CalcTextSize(found[i].text.c_str()).x);
        words = std::max(words, ImGui::CalcTextSize(found[i].says.c_str()).x);
    }
    const float gap = theme.px(10);
    const ImVec2 screen = ImGui::GetMainViewport()->Size;
    const ImVec2 size{std::min(names + words + 3 * gap, screen.x),
                      row * static_cast<float>(shown + (more.empty() ? 0 : 1))};
    ImVec2 corner{std::max(0.0F, std::min(min.x, screen.x - size.x)), max.y + theme.px(2)};
    if (corner.y + size.y > screen.y) corner.y = std::max(0.0F, min.y - size.y - theme.px(2));
    ImGui::SetNextWindowPos(corner);
    ImGui::SetNextWindowSize(size);
    ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, {0, 0});
    ImGui::PushStyleVar(ImGuiStyleVar_WindowBorderSize, 1);
    ImGui::PushStyleVar(ImGuiStyleVar_WindowMinSize, {1, 1});
    ImGui::PushStyleColor(ImGuiCol_WindowBg, vec(theme.palette.field));
    ImGui::PushStyleColor(ImGuiCol_Border, vec(theme.palette.link));
    ImGui::Begin("##offers", nullptr,
                 ImGuiWindowFlags_Tooltip | ImGuiWindowFlags_NoDecoration |
                     ImGuiWindowFlags_NoMove | ImGuiWindowFlags_NoSavedSettings |
                     ImGuiWindowFlags_NoFocusOnAppearing | ImGuiWindowFlags_NoNav);
    ImDrawList& list = *ImGui::GetWindowDrawList();
    for (std::size_t i = 0; i < shown; ++i) {
        const ImVec2 from{corner.x, corner.y + row * static_cast<float>(i)};
        const ImVec2 to{from.x + size.x, from.y + row};
        const ImVec2 mouse = ImGui::GetIO().MousePos;
        const bool under =
            mouse.x >= from.x && mouse.x < to.x && mouse.y >= from.y && mouse.y < to.y;
        if (memory.chosen == static_cast<int>(i) || under)
            list.AddRectFilled(from, to, packed(theme.palette.chosen));
        list.AddText({from.x + gap, from.y + theme.px(4)}, packed(theme.palette.text),
                     found[i].text.c_str());
        const float width = ImGui::CalcTextSize(found[i].says.c_str()).x;
        list.AddText({to.x - gap - width, from.y + theme.px(4)}, packed(theme.palette.quiet),
                     found[i].says.c_str());
        memory.texts.push_back(found[i].text);
        memory.boxes.push_back({from.x, from.y, to.x, to.y});
        state.mark("offer " + found[i].text, from, to);
    }
    if (!more.empty())
        list.AddText({corner.x + gap, corner.y + row * static_cast<float>(shown) + theme.px(4)},
                     packed(theme.palette.quiet), more.c_str());
    ImGui::End();
    ImGui::PopStyleColor(2);
    ImGui::PopStyleVar(3);
    ImGui::PopFont();
    // The arrow keys are ours while something is offered, not the keyboard's way to another field.
    ImGui::GetCurrentContext()->ActiveIdUsingNavDirMask |=
        (1U << ImGuiDir_Up) | (1U << ImGuiDir_Down);
}

} // namespace

bool input_with_offers(State& state, const char* label, std::string& text, const Offers& offers,
                       const OfferedInput& input) {
    OffersState& memory = state.offers;
    const ImGuiID id = ImGui::GetID(label);
    const bool ours = memory.field == id;
    if (ours && ImGui::GetActiveID() == id) take_input(memory);
    if (ours) {
        const int taken = memory.taken;
        if (taken < 0) {
            memory.texts.clear();
            memory.boxes.clear();
        }
    }
    OffersState none;
    none.text = text;
    Typing typing{ours ? &memory : &none, offers.stem, input.cursor_to_end};
    const bool entered = ImGui::InputTextWithHint(label, input.hint.c_str(), &text,
                                                  input.flags | ImGuiInputTextFlags_CallbackAlways,
                                                  follow_typing, &typing);
    const ImVec2 min = ImGui::GetItemRectMin();
    const ImVec2 max = ImGui::GetItemRectMax();
    if (ours) {
        memory.texts.clear();
        memory.boxes.clear();
        memory.taken = -1;
    }
    if (!ImGui::IsItemActive()) {
        if (ours) memory = {};
        return entered;
    }
    if (!ours) {
        memory = {};
        memory.field = id;
        memory.text = text;
        memory.cursor = static_cast<int>(text.size());
        memory.closed = !input.typed; // until something is
        return entered;
    }
    if (memory.closed || !offers.find || (input.flags & ImGuiInputTextFlags_ReadOnly) != 0)
        return entered;
    const Span part = part_of(offers.stem, text, static_cast<std::size_t>(memory.cursor));
    const std::string written = trimmed(text.substr(part.begin, part.end - part.begin));
    if (written.empty()) return entered;
    std::vector<Offer> found = offers.find(written);
    // What is written in full needs no offer of itself.
    std::erase_if(found, [&](const Offer& offer) { return offer.text == written; });
    if (!found.empty()) show_offers(state, found, min, max);
    return entered;
}

Offers names_offered(const State& state) {
    return {Stem::name, [&state](const std::string& so_far) {
                std::vector<Offer> offers;
                if (state.knowledge == nullptr) return offers;
                for (Name& name :
                     names_for(so_far, state.document, *state.knowledge, state.estimate()))
                    offers.push_back({std::move(name.text), std::move(name.says)});
                return offers;
            }};
}

std::string_view name_before(std::string_view formula, std::size_t end) {
    end = std::min(end, formula.size());
    std::size_t begin = end;
    while (begin > 0 && is_of_name(formula[begin - 1])) --begin;
    const std::string_view name = formula.substr(begin, end - begin);
    if (name.empty() || std::isalpha(static_cast<unsigned char>(name.front())) == 0) return {};
    // "18 m" is on its way to a unit.
    std::size_t before = begin;
    while (before > 0 && formula[before - 1] == ' ') --before;
    if (before > 0 && std::isdigit(static_cast<unsigned char>(formula[before - 1])) != 0) return {};
    return name;
}

std::vector<Offer> offers_among(const std::vector<std::string>& texts, const std::string& written) {
    std::vector<Offer> first;
    std::vector<Offer> rest;
    const std::string wanted = lower(written);
    for (const std::string& each : texts) {
        const std::size_t at = lower(each).find(wanted);
        if (at != std::string::npos) (at == 0 ? first : rest).push_back({each, ""});
    }
    first.insert(first.end(), rest.begin(), rest.end());
    return first;
}

} // namespace aumbry::gui
