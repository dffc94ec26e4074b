// A piece of the library, added to the job: which one, its sizes, its materials, and what it makes
// of the price while they change.
#include "session/bill_edits.hpp"
#include "tabs/library_price.hpp"
#include "tabs/tabs.hpp"
#include "widgets/drawing.hpp"
#include "widgets/offers.hpp"
#include "widgets/widgets.hpp"

#include "aumbry/plugin.hpp"
#include "aumbry/quantity.hpp"

#include <algorithm>
#include <imgui_stdlib.h>

namespace aumbry::gui {

namespace {

/// Whether a size that a piece states is a length: bare numbers are meant in the job's unit then.
bool is_length(const std::string& standard) {
    try {
        return parse_quantity(standard).dimension == dimension::length;
    } catch (const FaultError&) {
        return false;
    }
}

const PieceFile* piece_called(const State& state, const std::string& name) {
    for (const PieceFile& piece : state.knowledge->library.pieces) {
        if (piece.name == name) return &piece;
    }
    return nullptr;
}

void choose_piece(State& state, const PieceFile& piece) {
    LibraryState& memory = state.library;
    memory = {};
    memory.shown = true;
    memory.piece = piece.name;
    memory.title = piece.title;
    memory.id = free_piece_id(state.document, piece);
}

/// What the form says, as the command would be told it.
PieceToAdd piece_wanted(const LibraryState& memory) {
    PieceToAdd wanted{memory.id, memory.title, {}, {}};
    for (const auto& [name, size] : memory.sizes) {
        if (!size.empty()) wanted.sizes[name] = size;
    }
    for (const auto& [role, ours] : memory.roles) {
        if (!ours.empty()) wanted.roles[role] = ours;
    }
    return wanted;
}

/// Asks for the price of what the form says, once for each of its states.
void keep_price(State& state, Intents& intents) {
    LibraryState& memory = state.library;
    const PieceToAdd wanted = piece_wanted(memory);
    std::string now = memory.piece + '\n' + std::to_string(state.edition) + '\n' + wanted.title;
    for (const auto& [name, size] : wanted.sizes) now += '\n' + name + '=' + size;
    for (const auto& [role, ours] : wanted.roles) now += '\n' + role + ':' + ours;
    if (now == memory.tried) return;
    memory.tried = now;
    memory.number = ++state.trials;
    intents.push_back(TryPiece{memory.piece, wanted, memory.number});
}

/// Why a size cannot be so; null: it can, or it is not known yet.
const Fault* fault_of_size(const State& state, const std::string& name) {
    const TrialAnswer* answer = trial_of(state);
    if (answer == nullptr) return nullptr;
    for (const Fault& fault : answer->faults) {
        if (is_of_size(state, fault, name)) return &fault;
    }
    return nullptr;
}

std::string limits_of(const PieceSize& size) {
    if (!size.min.empty() && !size.max.empty()) return size.min + " to " + size.max;
    if (!size.min.empty()) return "at least " + size.min;
    return size.max.empty() ? "" : "at most " + size.max;
}

void list_of_pieces(State& state) {
    if (ImGui::Selectable("A piece of your own", state.library.own)) {
        state.library = {};
        state.library.shown = true;
        state.library.own = true;
    }
    state.mark("library own");
    ImGui::Dummy({0, state.theme.px(4)});
    for (const PieceFile& piece : state.knowledge->library.pieces) {
        const bool here = state.library.piece == piece.name;
        if (ImGui::Selectable((piece.title + "##" + piece.name).c_str(), here) && !here)
            choose_piece(state, piece);
        state.mark("library " + piece.name);
    }
    if (state.knowledge->library.pieces.empty())
        ink_wrapped(state.theme, &Palette::quiet,
                    "There are no pieces: put *.piece.json into a folder pieces of your catalogs.");
    for (const Fault& fault : state.knowledge->library.faults)
        ink_wrapped(state.theme, &Palette::caution, fault.sentence());
}

/// The same where there is no room for a list.
void combo_of_pieces(State& state) {
    const PieceFile* piece = piece_called(state, state.library.piece);
    const char* shown = state.library.own  ? "A piece of your own"
                        : piece == nullptr ? "Choose a piece"
                                           : piece->title.c_str();
    ImGui::SetNextItemWidth(-1);
    const bool open = ImGui::BeginCombo("##pieces", shown, ImGuiComboFlags_HeightLargest);
    state.mark("library pieces");
    if (!open) return;
    list_of_pieces(state);
    ImGui::EndCombo();
}

/// A row of the form: its label, and the cursor where the entry begins.
void row_of_form(const Theme& theme, const std::string& label) {
    ImGui::TableNextRow();
    ImGui::TableNextColumn();
    ImGui::AlignTextToFramePadding();
    ImGui::PushTextWrapPos(0);
    ink(theme, &Palette::quiet, label);
    ImGui::PopTextWrapPos();
    ImGui::TableNextColumn();
    ImGui::SetNextItemWidth(-1);
}

/// Beside an entry: what it is, or why it cannot be so.
void beside_entry(const Theme& theme, const std::string& help, const Fault* fault) {
    ImGui::TableNextColumn();
    ImGui::AlignTextToFramePadding();
    ImGui::PushFont(theme.small);
    if (fault != nullptr) {
        ink_wrapped(theme, &Palette::problem, "! " + plain(*fault));
    } else {
        ink_wrapped(theme, &Palette::quiet, help);
    }
    ImGui::PopFont();
}

void size_rows(State& state, const PieceFile& piece) {
    const std::string unit = unit_of_lengths(state);
    for (const PieceSize& size : sizes_of(piece, unit)) {
        ImGui::PushID(size.name.c_str());
        row_of_form(state.theme, size.label);
        std::string& text = state.library.sizes[size.name];
        input_with_offers(state, "##size", text, names_offered(state), {size.standard});
        state.mark("size " + size.name);
        if (ImGui::IsItemDeactivated())
            text = with_unit(text, is_length(size.standard) ? unit : "");
        std::string help = size.help;
        if (const std::string limits = limits_of(size); !limits.empty())
            help += (help.empty() ? "" : "; ") + limits;
        beside_entry(state.theme, help, fault_of_size(state, size.name));
        ImGui::PopID();
    }
}

/// "as the piece says", or a role of the job of the same class.
void material_rows(State& state, const PieceFile& piece) {
    const Json bill = bill_of(piece, unit_of_lengths(state));
    const Json* materials = find_at(bill, "/materials");
    if (materials == nullptr) return;
    const Json* ours = find_at(state.document, "/materials");
    for (const auto& [role, material] : materials->items()) {
        ImGui::PushID(role.c_str());
        const std::string title = written(member_of(&material, "title"));
        row_of_form(state.theme, title.empty() ? role : title);
        std::string& taken = state.library.roles[role];
        const bool there = ours != nullptr && ours->contains(role);
        const std::string own = there ? "the job's " + role : "as it comes";
        if (ImGui::BeginCombo("##role", taken.empty() ? own.c_str() : taken.c_str())) {
            if (ImGui::Selectable(own.c_str(), taken.empty())) taken.clear();
            if (ours != nullptr && ours->is_object()) {
                for (const auto& [id, each] : ours->items()) {
                    if (id == role || written(member_of(&each, "class")) !=
                                          written(member_of(&material, "class")))
                        continue;
                    const std::string named = written(member_of(&each, "title"));
                    if (ImGui::Selectable((named.empty() ? id : named + "##" + id).c_str(),
                                          taken == id))
                        taken = id;
                    state.mark("role " + id);
                }
            }
            ImGui::EndCombo();
        }
        state.mark("material " + role);
        beside_entry(state.theme,
                     there ? "shared with the pieces that have it already"
                           : "species, grade and thickness can be changed afterwards",
                     nullptr);
        ImGui::PopID();
    }
}

void form_of_library(State& state, const PieceFile& piece, bool titled) {
    const Theme& theme = state.theme;
    if (titled) {
        ImGui::PushFont(theme.figure);
        ink_wrapped(theme, &Palette::text, piece.title);
        ImGui::PopFont();
    }
    ink_wrapped(theme, &Palette::quiet, piece.help);
    ImGui::Spacing();
    if (!ImGui::BeginTable("sizes", 3, ImGuiTableFlags_SizingStretchProp)) return;
    ImGui::TableSetupColumn("label", 0, 1.2F);
    ImGui::TableSetupColumn("entry", 0, 1.2F);
    ImGui::TableSetupColumn("help", 0, 1.9F);
    row_of_form(theme, "Called");
    ImGui::InputTextWithHint("##title", piece.title.c_str(), &state.library.title);
    state.mark("piece title");
    beside_entry(theme, "what it is called on paper", nullptr);
    size_rows(state, piece);
    material_rows(state, piece);
    ImGui::EndTable();
    const Json bill = bill_of(piece, unit_of_lengths(state));
    for (const auto& [key, severity] : {std::pair{"warnings", contract::Severity::warning},
                                        std::pair{"cautions", contract::Severity::caution}}) {
        const Json* texts = member_of(&bill, key);
        if (texts == nullptr) continue;
        for (const Json& each : *texts) {
            severity_sign(theme, severity);
            ink_wrapped(theme, &Palette::text, written(&each));
        }
    }
}

/// An empty piece: lines are added to it one by one.
void form_of_own_piece(State& state, Intents& intents) {
    const Theme& theme = state.theme;
    ImGui::PushFont(theme.figure);
    ink_wrapped(theme, &Palette::text, "A piece of your own");
    ImGui::PopFont();
    ink_wrapped(theme, &Palette::quiet,
                "Begins empty: add its panels, boards, fittings and coats as lines, one by one. A "
                "piece of the library that is near it is quicker: all of it can be changed.");
    ImGui::Spacing();
    ImGui::SetNextItemWidth(std::min(theme.px(320), ImGui::GetContentRegionAvail().x));
    ImGui::InputTextWithHint("##own title", "what it is called, as Shoe bench",
                             &state.library.title);
    state.mark("piece title");
    ImGui::Spacing();
    const bool ready = !state.library.title.empty() && state.read_only.empty();
    if (!main_action(state, "Add the empty piece", ready)) return;
    LineEdit added = move_to_new_piece(state.document, {}, state.library.title);
    intents.push_back(ApplyEdit{std::move(added.edit)});
    state.bill.piece = added.lines.front();
    state.library = {};
}

void library_head(State& state) {
    section(state.theme, "Add a piece", "furniture of the library, in your sizes");
    const std::string label = "Close";
    ImGui::SameLine();
    const float width = ImGui::CalcTextSize(label.c_str()).x + 2 * ImGui::GetStyle().FramePadding.x;
    ImGui::SetCursorPosX(std::max(
        ImGui::GetCursorPosX(), ImGui::GetCursorPosX() + ImGui::GetContentRegionAvail().x - width));
    if (action(state, label)) state.library.shown = false;
}

} // namespace

void draw_library(State& state, Intents& intents) {
    const Theme& theme = state.theme;
    library_head(state);
    if (state.knowledge == nullptr) {
        nothing_here(theme, "The library is being read.");
        return;
    }
    if (!state.library.shown) return;
    const bool beside = ImGui::GetContentRegionAvail().x >= theme.px(900);
    if (beside) {
        if (ImGui::BeginChild("pieces", {theme.px(220), 0})) list_of_pieces(state);
        ImGui::EndChild();
        ImGui::SameLine(0, theme.px(20));
    } else {
        combo_of_pieces(state);
    }
    const PieceFile* piece = piece_called(state, state.library.piece);
    if (!beside && piece != nullptr) price_bar(state, intents, *piece);
    if (!state.library.shown) return;
    const float price_width = theme.px(270);
    if (ImGui::BeginChild("sizes of it", {beside ? -price_width - theme.px(20) : 0, 0})) {
        if (state.library.own) {
            form_of_own_piece(state, intents);
        } else if (piece == nullptr) {
            nothing_here(theme, "Choose a piece: it shows its sizes, and what it would cost in "
                                "this job while you change them.");
        } else {
            form_of_library(state, *piece, beside);
            const TrialAnswer* answer = trial_of(state);
            if (!beside && answer != nullptr) details_of_trial(state, *answer);
        }
    }
    ImGui::EndChild();
    if (piece == nullptr || !state.library.shown) return;
    if (beside) {
        ImGui::SameLine(0, theme.px(20));
        if (ImGui::BeginChild("price of it", {0, 0})) price_of_piece(state, intents, *piece);
        ImGui::EndChild();
    }
    if (state.library.shown) keep_price(state, intents);
}

} // namespace aumbry::gui
