#include "tabs/import_form.hpp"

#include "widgets/drawing.hpp"
#include "widgets/widgets.hpp"

#include <algorithm>
#include <imgui_stdlib.h>

namespace aumbry::gui {

namespace {

/// A list to choose from; true when something else was chosen.
bool choose(const State& state, const char* name, float width, std::size_t& chosen,
            const std::vector<std::string>& choices) {
    ImGui::SetNextItemWidth(width);
    const std::string shown = chosen < choices.size() ? choices[chosen] : "";
    bool changed = false;
    const bool open = ImGui::BeginCombo((std::string("##") + name).c_str(), shown.c_str(),
                                        ImGuiComboFlags_HeightLargest);
    state.mark(name);
    if (!open) return false;
    for (std::size_t i = 0; i < choices.size(); ++i) {
        if (ImGui::Selectable((choices[i] + "##" + std::to_string(i)).c_str(), i == chosen)) {
            changed = i != chosen;
            chosen = i;
        }
        state.mark(std::string(name) + ": " + choices[i]);
    }
    ImGui::EndCombo();
    return changed;
}

/// A text that is taken over when it has been typed; true then. It shows `now` until somebody
/// types.
bool type(const State& state, ListImport& import, const std::string& name, float width,
          const std::string& now, std::string& taken) {
    const auto known = import.typed.find(name);
    std::string text = known == import.typed.end() ? now : known->second;
    ImGui::SetNextItemWidth(width);
    const bool changed = ImGui::InputText(("##" + name).c_str(), &text);
    state.mark(name);
    if (changed) import.typed[name] = text;
    if (!ImGui::IsItemDeactivatedAfterEdit()) return false;
    taken = text;
    import.typed.erase(name);
    return true;
}

void label(const Theme& theme, const char* text) {
    ImGui::AlignTextToFramePadding();
    ink(theme, &Palette::quiet, text);
    ImGui::SameLine();
}

/// Spreadsheet, supplier, name of the list.
void ends(State& state, Intents& intents, ListImport& import,
          const std::vector<contract::CatalogClass>& classes) {
    const Theme& theme = state.theme;
    const std::shared_ptr<ListImport> kept = state.lists.importing;
    if (action(state, "Spreadsheet...")) {
        intents.push_back(AskForFile{"A dealer's list, saved as CSV", "", "", false,
                                     [kept, classes](const std::filesystem::path& file) {
                                         choose_spreadsheet(*kept, file, classes);
                                     }});
    }
    ImGui::SameLine();
    ImGui::AlignTextToFramePadding();
    ink(theme, import.spreadsheet.empty() ? &Palette::quiet : &Palette::text,
        import.spreadsheet.empty() ? "none chosen" : import.spreadsheet.filename().string());
    ImGui::SameLine(0, theme.px(24));
    label(theme, "for");
    std::vector<std::string> names{"choose a supplier"};
    std::vector<std::filesystem::path> folders{{}};
    std::size_t chosen = 0;
    for (const Supplier& supplier : state.knowledge->catalog.suppliers()) {
        for (const std::filesystem::path& folder : state.catalog_folders) {
            const std::filesystem::path one = folder / "suppliers" / supplier.id;
            std::error_code error;
            if (!std::filesystem::exists(one, error)) continue;
            if (one == import.supplier) chosen = names.size();
            names.push_back(supplier.name);
            folders.push_back(one);
        }
    }
    if (choose(state, "supplier of the import", theme.px(220), chosen, names)) {
        import.supplier = folders[chosen];
        import.stale = true;
    }
    ImGui::SameLine(0, theme.px(24));
    label(theme, "becomes the list");
    import.stale |= type(state, import, "name of the list", theme.px(180), import.mapping.list,
                         import.mapping.list);
}

/// How the spreadsheet is written.
void conventions(State& state, ListImport& import,
                 const std::vector<contract::CatalogClass>& classes) {
    const Theme& theme = state.theme;
    Mapping& mapping = import.mapping;
    label(theme, "Names of columns in row");
    std::vector<std::string> rows;
    for (std::size_t row = 1; row <= std::max<std::size_t>(1, import.head.rows.size()); ++row)
        rows.push_back(std::to_string(row));
    std::size_t row = static_cast<std::size_t>(mapping.header_row - 1);
    if (choose(state, "header row", theme.px(60), row, rows)) {
        mapping.header_row = static_cast<int>(row) + 1;
        read_head(import);
        import.stale = true;
    }
    ImGui::SameLine(0, theme.px(18));
    label(theme, "set apart by");
    const std::vector<std::string> signs{"", ",", ";", "\t"};
    std::size_t sign = static_cast<std::size_t>(
        std::find(signs.begin(), signs.end(), mapping.separator) - signs.begin());
    if (choose(state, "separator", theme.px(120), sign,
               {"as found", "comma", "semicolon", "tab"})) {
        mapping.separator = signs[sign];
        read_head(import);
        import.stale = true;
    }
    ImGui::SameLine(0, theme.px(18));
    label(theme, "decimal");
    std::size_t decimal = mapping.decimal_comma ? 1 : 0;
    if (choose(state, "decimal sign", theme.px(90), decimal, {"point", "comma"})) {
        mapping.decimal_comma = decimal == 1;
        mapping.decimal_stated = true;
        mapping.grouping.clear();
        import.stale = true;
    }
    ImGui::SameLine(0, theme.px(18));
    label(theme, "thousands");
    const std::string other = mapping.decimal_comma ? "." : ",";
    const std::vector<std::string> groupings{"", other, " ", "'"};
    std::size_t grouping = static_cast<std::size_t>(
        std::find(groupings.begin(), groupings.end(), mapping.grouping) - groupings.begin());
    if (choose(state, "thousands", theme.px(110), grouping,
               {"together", mapping.decimal_comma ? "point" : "comma", "blank", "apostrophe"})) {
        mapping.grouping = groupings[grouping];
        import.stale = true;
    }
    ImGui::SameLine(0, theme.px(18));
    label(theme, "dates");
    std::size_t order = static_cast<std::size_t>(mapping.date_order);
    if (choose(state, "dates", theme.px(150), order,
               {"year month day", "day month year", "month day year"})) {
        mapping.date_order = static_cast<DateOrder>(order);
        import.stale = true;
    }
    label(theme, "What it lists");
    std::vector<std::string> titles;
    std::size_t chosen = classes.size();
    for (const contract::CatalogClass& one : classes) {
        if (one.name == mapping.constants["class"]) chosen = titles.size();
        titles.push_back(one.title.empty() ? one.name : one.title);
    }
    if (choose(state, "class", theme.px(190), chosen, titles)) {
        mapping.constants["class"] = classes[chosen].name;
        import.stale = true;
    }
    ImGui::SameLine(0, theme.px(18));
    label(theme, "rows are headings where this is empty:");
    std::vector<std::string> columns{"no column"};
    for (const std::string& column : columns_of(import))
        if (!column.empty()) columns.push_back(column);
    std::size_t needed = 0;
    if (!mapping.row_needs.empty())
        needed = static_cast<std::size_t>(
            std::find(columns.begin(), columns.end(), mapping.row_needs.front()) - columns.begin());
    if (choose(state, "needed column", theme.px(190), needed, columns)) {
        mapping.row_needs.clear();
        if (needed > 0) mapping.row_needs.push_back(columns[needed]);
        import.stale = true;
    }
}

/// The first rows, and over each column what it is.
void sheet(State& state, ListImport& import, const std::vector<ListField>& fields) {
    const Theme& theme = state.theme;
    const std::vector<std::string> columns = columns_of(import);
    const int count = static_cast<int>(std::min<std::size_t>(columns.size() + 1, 60));
    if (count < 2) return;
    const float height = theme.px(230);
    if (!ImGui::BeginTable("sheet", count,
                           ImGuiTableFlags_ScrollX | ImGuiTableFlags_ScrollY |
                               ImGuiTableFlags_BordersInner | ImGuiTableFlags_SizingFixedFit,
                           {0, height}))
        return;
    ImGui::TableSetupScrollFreeze(1, 1);
    ImGui::TableNextRow();
    ImGui::TableNextColumn();
    std::vector<std::string> names{"not used"};
    for (const ListField& field : fields) names.push_back(field.name);
    for (std::size_t i = 0; i + 1 < static_cast<std::size_t>(count); ++i) {
        ImGui::TableNextColumn();
        if (columns[i].empty()) {
            ink(theme, &Palette::quiet, "no name");
            continue;
        }
        const std::string field = field_of(import.mapping, columns[i]);
        std::size_t chosen = 0;
        for (std::size_t f = 0; f < fields.size(); ++f)
            if (fields[f].name == field) chosen = f + 1;
        if (choose(state, ("column " + columns[i]).c_str(), theme.px(150), chosen, names)) {
            set_field(import.mapping, columns[i], chosen == 0 ? "" : fields[chosen - 1].name);
            import.stale = true;
        }
    }
    for (std::size_t row = 0; row < import.head.rows.size(); ++row) {
        const auto& cells = import.head.rows[row];
        const auto header = static_cast<std::size_t>(import.mapping.header_row - 1);
        ImGui::TableNextRow();
        if (row == header)
            ImGui::TableSetBgColor(ImGuiTableBgTarget_RowBg0, packed(theme.palette.chosen));
        ImGui::TableNextColumn();
        ink_right(theme, &Palette::quiet, std::to_string(row + 1));
        for (std::size_t i = 0; i + 1 < static_cast<std::size_t>(count); ++i) {
            ImGui::TableNextColumn();
            if (i < cells.size())
                ink(theme, row < header ? &Palette::quiet : &Palette::text,
                    shortened(cells[i], theme.px(320)));
        }
    }
    ImGui::EndTable();
}

/// Every field: where it comes from, and how its texts are read.
void field_table(State& state, ListImport& import, const std::vector<ListField>& fields) {
    const Theme& theme = state.theme;
    Mapping& mapping = import.mapping;
    if (!ImGui::BeginTable("fields", 6,
                           ImGuiTableFlags_SizingStretchProp | ImGuiTableFlags_BordersInnerH))
        return;
    ImGui::TableSetupColumn("Field", 0, 1.4F);
    ImGui::TableSetupColumn("Comes from", 0, 2);
    ImGui::TableSetupColumn("Else, in all rows", 0, 1.5F);
    ImGui::TableSetupColumn("Bare numbers are", 0, 1);
    ImGui::TableSetupColumn("Taken out", 0, 1.2F);
    ImGui::TableSetupColumn("Their word = ours", 0, 2.6F);
    headings({"Field", "Comes from", "Else, in all rows", "Bare numbers are", "Taken out",
              "Their word = ours"},
             {});
    for (const ListField& field : fields) {
        if (field.name == "class") continue; // chosen above
        const std::string origin = origin_of(mapping, field.name);
        ImGui::TableNextRow();
        ImGui::TableNextColumn();
        ImGui::AlignTextToFramePadding();
        ink(theme, &Palette::text, field.name);
        if (ImGui::IsItemHovered() && !field.help.empty())
            ImGui::SetTooltip("%s", field.help.c_str());
        ImGui::TableNextColumn();
        ImGui::AlignTextToFramePadding();
        if (origin.empty() && field.required) {
            ink(theme, &Palette::problem, "nothing gives it yet");
        } else {
            ink(theme, &Palette::quiet, origin.empty() ? "left empty" : origin);
        }
        std::string taken;
        ImGui::TableNextColumn();
        const auto constant = mapping.constants.find(field.name);
        if (type(state, import, "constant " + field.name, -1,
                 constant == mapping.constants.end() ? "" : constant->second, taken)) {
            mapping.constants.erase(field.name);
            if (!taken.empty()) mapping.constants[field.name] = taken;
            import.stale = true;
        }
        ImGui::TableNextColumn();
        if (field.has_unit) {
            const auto unit = mapping.units.find(field.name);
            if (type(state, import, "unit " + field.name, -1,
                     unit == mapping.units.end() ? "" : unit->second, taken)) {
                mapping.units.erase(field.name);
                if (!taken.empty()) mapping.units[field.name] = taken;
                import.stale = true;
            }
        }
        ImGui::TableNextColumn();
        const auto out = mapping.remove.find(field.name);
        if (type(state, import, "taken out " + field.name, -1,
                 out == mapping.remove.end() ? "" : texts_as_text(out->second), taken)) {
            mapping.remove.erase(field.name);
            if (const auto texts = texts_of_text(taken); !texts.empty())
                mapping.remove[field.name] = texts;
            import.stale = true;
        }
        ImGui::TableNextColumn();
        const auto words = mapping.words.find(field.name);
        if (type(state, import, "words " + field.name, -1,
                 words == mapping.words.end() ? "" : words_as_text(words->second), taken)) {
            mapping.words.erase(field.name);
            if (const auto all = words_of_text(taken); !all.empty())
                mapping.words[field.name] = all;
            import.stale = true;
        }
    }
    ImGui::EndTable();
}

/// Patterns, one a row; an empty one ends the table.
void pattern_table(State& state, ListImport& import) {
    const Theme& theme = state.theme;
    Mapping& mapping = import.mapping;
    std::vector<std::string> columns;
    for (const std::string& column : columns_of(import))
        if (!column.empty()) columns.push_back(column);
    ink_wrapped(theme, &Palette::quiet,
                "A pattern takes a description apart: {thickness} {grade} {length}x{width} finds "
                "four fields in 18 mm BB/BB 2440 x 1220. {} is text that is not kept, [ ] may be "
                "absent. The first that fits is taken.");
    bool emptied = false;
    for (std::size_t c = 0; c < mapping.patterns.size(); ++c) {
        ColumnPatterns& one = mapping.patterns[c];
        for (std::size_t i = 0; i <= one.texts.size(); ++i) {
            const std::string id = std::to_string(c) + '.' + std::to_string(i);
            label(theme, i == 0 ? ("In " + one.column).c_str() : "or");
            std::string taken;
            if (!type(state, import, "pattern " + id, theme.px(520),
                      i < one.texts.size() ? one.texts[i] : "", taken))
                continue;
            if (i < one.texts.size())
                one.texts.erase(one.texts.begin() + static_cast<std::ptrdiff_t>(i));
            if (!taken.empty())
                one.texts.insert(one.texts.begin() +
                                     static_cast<std::ptrdiff_t>(std::min(i, one.texts.size())),
                                 taken);
            emptied = emptied || one.texts.empty();
            import.stale = true;
        }
    }
    if (emptied)
        std::erase_if(mapping.patterns,
                      [](const ColumnPatterns& one) { return one.texts.empty(); });
    label(theme, "Take apart");
    std::vector<std::string> names{"a column"};
    for (const std::string& column : columns) {
        if (std::none_of(mapping.patterns.begin(), mapping.patterns.end(),
                         [&](const ColumnPatterns& one) { return one.column == column; }))
            names.push_back(column);
    }
    std::size_t chosen = 0;
    if (choose(state, "take apart", theme.px(190), chosen, names)) {
        mapping.patterns.push_back({names[chosen], {"{}"}, {}});
        import.stale = true;
    }
}

std::string counts(const Import& import, bool whole) {
    std::string text = whole ? "All rows: " : "The first rows: ";
    text += std::to_string(import.rows) + " good, " + std::to_string(import.passed_over) +
            " passed over, " + std::to_string(import.faults.size()) +
            (import.faults.size() == 1 ? " fault" : " faults");
    if (!whole || !import.replaces) return text;
    return text + "; against the list that is there " + std::to_string(import.added.size()) +
           " new, " + std::to_string(import.gone.size()) + " gone, " +
           std::to_string(import.dearer.size()) + " dearer, " +
           std::to_string(import.cheaper.size()) + " cheaper";
}

/// The rows as they would be, and those that are refused.
void outcome(State& state, const ListImport& import) {
    const Theme& theme = state.theme;
    const ImportOutcome& found = import.outcome;
    section(theme, "What comes of it",
            found.import ? counts(*found.import, found.whole) : std::string());
    for (const Fault& fault : import.outcome.faults)
        ink_wrapped(theme, &Palette::problem, plain(fault));
    if (!found.import) return;
    for (const std::string& note : found.import->notes) ink_wrapped(theme, &Palette::caution, note);
    if (!found.import->faults.empty()) {
        std::vector<const csv::RowFault*> faults;
        for (std::size_t i = 0; i < std::min(found.import->faults.size(), rows_of_look); ++i)
            faults.push_back(&found.import->faults[i]);
        fault_table(state, "refused", faults, false);
        ImGui::Spacing();
    }
    if (found.rows.size() < 2) return;
    const int columns = static_cast<int>(found.rows.front().size());
    if (!ImGui::BeginTable("new list", columns,
                           ImGuiTableFlags_ScrollX | ImGuiTableFlags_ScrollY |
                               ImGuiTableFlags_BordersInner | ImGuiTableFlags_SizingFixedFit,
                           {0, theme.px(230)}))
        return;
    ImGui::TableSetupScrollFreeze(1, 1);
    for (const std::string& name : found.rows.front()) ImGui::TableSetupColumn(name.c_str());
    ImGui::TableHeadersRow();
    for (std::size_t row = 1; row < found.rows.size(); ++row) {
        ImGui::TableNextRow();
        for (const std::string& cell : found.rows[row]) {
            ImGui::TableNextColumn();
            ink(theme, &Palette::text, shortened(cell, theme.px(320)));
        }
        state.mark("new row " + std::to_string(row));
    }
    ImGui::EndTable();
}

void actions(State& state, Intents& intents, ListImport& import,
             const std::vector<contract::CatalogClass>& classes) {
    const std::shared_ptr<ListImport> kept = state.lists.importing;
    const auto guarded = [kept](const std::function<void()>& run) {
        try {
            run();
        } catch (const FaultError& error) {
            kept->outcome.faults = error.faults();
        }
    };
    if (action(state, "Open a mapping...")) {
        intents.push_back(AskForFile{"A saved mapping", ".mapping.json", "", false,
                                     [kept, classes, guarded](const std::filesystem::path& file) {
                                         guarded([&] { open_mapping(*kept, file, classes); });
                                     }});
    }
    ImGui::SameLine();
    if (action(state, "Save the mapping...", !import.spreadsheet.empty())) {
        intents.push_back(AskForFile{"Save the mapping", ".mapping.json",
                                     import.spreadsheet.stem().string() + ".mapping.json", true,
                                     [kept, guarded](const std::filesystem::path& file) {
                                         guarded([&] {
                                             save_mapping(*kept, file);
                                             kept->told = "Saved as " + file.filename().string();
                                         });
                                     }});
    }
    ImGui::SameLine();
    const bool tried = import.outcome.import.has_value() && !import.stale && !import.busy();
    if (!tried || !import.outcome.whole) {
        if (action(state, "Check all rows", tried)) {
            import.check_all = true;
            import.stale = true;
        }
    } else if (action(state, "Write the list", import.outcome.import->rows > 0)) {
        guarded([&] {
            write_import(*import.outcome.import);
            const Import& done = *import.outcome.import;
            state.lists.told = "Written: " + std::to_string(done.rows) +
                               (done.rows == 1 ? " row" : " rows") + " into " +
                               done.target.filename().string();
            leave_import(state.lists);
            intents.push_back(ReadListsAnew{});
        });
    }
    ImGui::SameLine();
    if (action(state, "Cancel")) leave_import(state.lists);
    if (kept->busy()) {
        ImGui::SameLine();
        ink(state.theme, &Palette::quiet, "reading...");
    } else if (!kept->told.empty()) {
        ImGui::SameLine();
        ink(state.theme, &Palette::fine, kept->told);
    }
}

} // namespace

void draw_import(State& state, Intents& intents) {
    const std::shared_ptr<ListImport> kept = state.lists.importing; // it may be left meanwhile
    ListImport& import = *kept;
    const Theme& theme = state.theme;
    const std::vector<contract::CatalogClass> classes = state.knowledge->catalog_classes();
    keep_up(import, classes, state.wake);
    actions(state, intents, import, classes);
    ImGui::Spacing();
    ends(state, intents, import, classes);
    for (const Fault& fault : import.faults) ink_wrapped(theme, &Palette::problem, plain(fault));
    if (import.spreadsheet.empty()) {
        nothing_here(theme, "Choose a spreadsheet, saved as CSV, and the supplier whose list it "
                            "is. Nothing is written before you say so.");
        return;
    }
    conventions(state, import, classes);
    const std::vector<ListField> fields = fields_of(classes, import.mapping.constants["class"]);
    ImGui::Spacing();
    sheet(state, import, fields);
    ImGui::Spacing();
    if (import.supplier.empty()) {
        ink(theme, &Palette::quiet, "Choose the supplier to see what would come of it.");
    } else {
        outcome(state, import);
    }
    ImGui::Spacing();
    section(theme, "Fields", "where each comes from, and how its texts are read");
    field_table(state, import, fields);
    ImGui::Spacing();
    section(theme, "Patterns");
    pattern_table(state, import);
}

} // namespace aumbry::gui
