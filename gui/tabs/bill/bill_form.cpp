#include "tabs/bill/bill_form.hpp"

#include "session/offered.hpp"
#include "tabs/bill/bill_rows.hpp"
#include "widgets/keys.hpp"
#include "widgets/line_form.hpp"
#include "widgets/net.hpp"
#include "widgets/widgets.hpp"

#include "aumbry/project.hpp"

namespace aumbry::gui {

namespace {

/// What the price lists have for a field, looked up once for each edition of the document.
const std::vector<std::string>& offered_by_lists(State& state, const contract::LineKind& kind,
                                                 const std::string& id, const Json& line,
                                                 const contract::Field& field) {
    BillState& kept = state.bill;
    if (kept.edition != state.edition || kept.knowledge != state.knowledge) kept.offered.clear();
    kept.edition = state.edition;
    kept.knowledge = state.knowledge;
    const std::string key = id + '/' + field.name;
    const auto found = kept.offered.find(key);
    if (found != kept.offered.end()) return found->second;
    return kept.offered.emplace(key, offered_for_line(*state.knowledge, kind, line, field))
        .first->second;
}

std::vector<std::string> suggestions_for(State& state, const contract::LineKind* kind,
                                         const std::string& id, const Json& line,
                                         const contract::Field& field) {
    using contract::FieldType;
    std::vector<std::string> offered;
    if (field.type == FieldType::line || field.type == FieldType::lines)
        return lines_for(state, field);
    const auto members = [&](const char* section, const std::string& catalog_class) {
        const Json* all = find_at(state.document, section);
        if (all == nullptr || !all->is_object()) return;
        for (const auto& [id, entry] : all->items()) {
            if (catalog_class.empty() || written(member_of(&entry, "class")) == catalog_class)
                offered.push_back(id);
        }
    };
    if (&field == find_field(common_line_fields(), "piece")) members("/pieces", "");
    if (&field == find_field(common_line_fields(), "material") && kind != nullptr)
        members("/materials", kind->material_class);
    if (offered.empty() && kind != nullptr && !kind->offers.empty())
        return offered_by_lists(state, *kind, id, line, field);
    return offered;
}

/// What a line of an unknown kind holds, as it is.
void raw_values(const State& state, const Json& line) {
    if (!ImGui::BeginTable("raw", 2, ImGuiTableFlags_SizingStretchProp)) return;
    ImGui::TableSetupColumn("name", ImGuiTableColumnFlags_WidthFixed, state.theme.px(118));
    ImGui::TableSetupColumn("value", ImGuiTableColumnFlags_WidthStretch);
    for (const auto& [name, value] : line.items()) {
        if (find_field(common_line_fields(), name) != nullptr) continue;
        ImGui::TableNextRow();
        ImGui::TableNextColumn();
        ink(state.theme, &Palette::quiet, name);
        ImGui::TableNextColumn();
        ink_wrapped(state.theme, &Palette::text, written(&value));
    }
    ImGui::EndTable();
}

/// Title, what is known of the line, and what to watch out for.
void heading_of_line(State& state, Intents& intents, const std::string& id,
                     const std::string& title, const std::string& kind) {
    const Theme& theme = state.theme;
    const EstimateLine* now = line_of(state.estimate(), id);
    ImGui::PushFont(theme.figure);
    ink_wrapped(theme, &Palette::text, title);
    ImGui::PopFont();
    ImGui::PushFont(theme.small);
    ink_wrapped(theme, &Palette::quiet, kind + ", in formulas " + id);
    if (now != nullptr && now->not_priced.empty()) {
        if (link(state, "Why " + now->cost.grouped() + "?", "why line"))
            intents.push_back(ExplainFigure{"line." + id});
    } else if (now != nullptr) {
        ink_wrapped(theme, &Palette::problem, "Not priced: " + now->not_priced);
    }
    if (state.estimate() != nullptr) {
        for (const EstimateFinding& finding : state.estimate()->findings) {
            if (finding.line == id)
                ink_wrapped(theme, colour_of(finding.severity),
                            std::string(word_of(finding.severity)) + ": " + finding.text);
        }
    }
    ImGui::PopFont();
}

void form_of_line(State& state, Intents& intents, const std::string& id, const Json& line) {
    const std::string kind_name = written(member_of(&line, "kind"));
    const contract::LineKind* kind =
        state.knowledge == nullptr ? nullptr : state.knowledge->kind(kind_name);
    std::string title = written(member_of(&line, "title"));
    if (title.empty()) title = id;
    heading_of_line(state, intents, id, title, kind != nullptr ? kind->title : kind_name);

    FormSubject subject;
    subject.pointer = pointer_to("/lines", id);
    subject.name = title;
    subject.written = &line;
    if (const EstimateLine* now = line_of(state.estimate(), id)) {
        subject.values = &now->fields;
        subject.derived = &now->derived;
    }
    subject.reference = id;
    subject.suggestions = [&](const contract::Field& field) {
        return suggestions_for(state, kind, id, line, field);
    };
    subject.leave_out = {"kind"};
    if (kind != nullptr && kind->material_class.empty() && !line.contains("material"))
        subject.leave_out.push_back("material");
    draw_form(state, intents, subject, common_line_fields());
    ImGui::Separator();
    if (kind != nullptr) {
        draw_form(state, intents, subject, kind->fields);
        return;
    }
    if (state.knowledge != nullptr)
        ink_wrapped(state.theme, &Palette::problem,
                    "No module for lines of kind '" + kind_name +
                        "' is loaded: the line stays as it is and is outside the total.");
    raw_values(state, line);
}

void form_of_piece(State& state, Intents& intents, const std::string& id, const Json& piece) {
    const Theme& theme = state.theme;
    const std::string title = piece_title(state, id);
    ImGui::PushFont(theme.figure);
    ink_wrapped(theme, &Palette::text, title);
    ImGui::PopFont();
    ImGui::PushFont(theme.small);
    ink_wrapped(theme, &Palette::quiet, "Piece, in lists of lines " + id + ".*");
    if (link(state, "Why does it cost what it costs?", "why piece"))
        intents.push_back(ExplainFigure{"piece." + id});
    ImGui::PopFont();
    FormSubject subject;
    subject.pointer = pointer_to("/pieces", id);
    subject.name = title;
    subject.written = &piece;
    draw_form(state, intents, subject, piece_fields());
    const Json* lines = find_at(state.document, "/lines");
    bool used = false;
    if (lines != nullptr && lines->is_object()) {
        for (const Json& line : *lines) used = used || written(member_of(&line, "piece")) == id;
    }
    if (!used && state.read_only.empty()) {
        if (ImGui::Button("Delete this empty piece"))
            intents.push_back(ApplyEdit{{"Delete " + title, {{subject.pointer, {}, ""}}}});
        state.mark("delete piece");
    }
}

/// The form of the piece or line that is chosen.
void draw_form_of_choice(State& state, Intents& intents) {
    const Json* line = find_at(state.document, pointer_to("/lines", state.selected));
    const Json* piece = find_at(state.document, pointer_to("/pieces", state.bill.piece));
    if (!state.bill.piece.empty() && piece != nullptr) {
        form_of_piece(state, intents, state.bill.piece, *piece);
    } else if (!state.selected.empty() && line != nullptr) {
        form_of_line(state, intents, state.selected, *line);
    } else {
        nothing_here(state.theme, "Choose a line to see all of it.");
    }
}

} // namespace

void draw_bill_form(State& state, Intents& intents, ImVec2 size) {
    const float help = state.theme.small->FontSize * 3.4F;
    ImGui::BeginGroup();
    if (state.bill.to_form) ImGui::SetNextWindowFocus();
    ImGui::PushStyleColor(ImGuiCol_ChildBg, vec(state.theme.palette.sheet));
    const float height = size.y > 0 ? size.y - help : -help;
    if (ImGui::BeginChild("form", {size.x, height}, false,
                          ImGuiWindowFlags_AlwaysUseWindowPadding)) {
        if (state.bill.to_form) ImGui::SetKeyboardFocusHere();
        state.bill.to_form = false;
        if (ImGui::IsWindowFocused() && !ImGui::IsAnyItemActive() && pressed(ImGuiKey_Escape))
            state.bill.take_focus = true;
        draw_over_net(state, "The form", [&] { draw_form_of_choice(state, intents); });
    }
    ImGui::EndChild();
    draw_form_help(state, 0);
    ImGui::PopStyleColor();
    ImGui::EndGroup();
}

} // namespace aumbry::gui
