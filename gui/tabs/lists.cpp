#include "tabs/import_form.hpp"
#include "tabs/tabs.hpp"
#include "widgets/drawing.hpp"
#include "widgets/widgets.hpp"

#include <algorithm>
#include <chrono>

namespace aumbry::gui {

namespace {

std::string amount(const Money& money) {
    return money.currency().code + ' ' + money.grouped();
}

std::string delivery_in_words(const Supplier& supplier) {
    const DeliveryConditions& terms = supplier.delivery;
    std::string text;
    if (terms.flat) {
        text = (terms.flat->is_zero() ? "delivers free" : "delivers for " + amount(*terms.flat));
    } else if (!terms.by_mass.empty()) {
        text = "delivers by mass, from " + amount(terms.by_mass.front().cost);
    } else {
        text = "does not deliver";
    }
    if (terms.free_from) text += ", free from " + amount(*terms.free_from);
    if (terms.oversize) text += ", long goods " + amount(terms.oversize->extra) + " more";
    if (terms.collect) text += "; may be collected";
    return text;
}

/// What a maker asks before ordering there, in one sentence.
std::string terms_in_words(const Supplier& supplier) {
    std::string text = delivery_in_words(supplier);
    if (supplier.minimum_order)
        text += "; orders of " + amount(*supplier.minimum_order) + " and more";
    if (supplier.cutting.offered) text += "; cuts sheets";
    if (supplier.dispatch_days > 0)
        text += "; sends after " + std::to_string(supplier.dispatch_days) +
                (supplier.dispatch_days == 1 ? " working day" : " working days");
    text += supplier.tax_included ? "; prices with " : "; prices without ";
    return text + supplier.tax_percent.str() + " % tax";
}

/// The supplier whose folder a list is in: "suppliers/north/boards.csv" is of "north".
bool is_of(const csv::RowFault& fault, const std::string& supplier) {
    return fault.fault.place.file.find("suppliers/" + supplier + '/') != std::string::npos;
}

/// Counts by supplier, kept as long as the catalog is the same.
void count(State& state) {
    ListsState& lists = state.lists;
    if (lists.counted == state.knowledge) return;
    lists.counted = state.knowledge;
    lists.counts.clear();
    const Catalog& catalog = state.knowledge->catalog;
    std::string_view last_sku;
    for (const PriceRow& row : catalog.rows()) {
        ListCounts& counts = lists.counts[std::string(row.supplier)];
        ++counts.rows;
        if (row.sku != last_sku) ++counts.skus;
        last_sku = row.sku;
    }
    for (const Supplier& supplier : catalog.suppliers()) {
        lists.counts[supplier.id].faults = static_cast<std::size_t>(
            std::count_if(catalog.faults().begin(), catalog.faults().end(),
                          [&](const csv::RowFault& fault) { return is_of(fault, supplier.id); }));
    }
}

void suppliers(State& state) {
    const Theme& theme = state.theme;
    if (!ImGui::BeginTable("suppliers", 6,
                           ImGuiTableFlags_SizingStretchProp | ImGuiTableFlags_BordersInnerH))
        return;
    ImGui::TableSetupColumn("Supplier", 0, 2.2F);
    ImGui::TableSetupColumn("Currency", 0, 0.8F);
    ImGui::TableSetupColumn("Articles", 0, 0.8F);
    ImGui::TableSetupColumn("Rows", 0, 0.7F);
    ImGui::TableSetupColumn("Faults", 0, 0.7F);
    ImGui::TableSetupColumn("Terms", 0, 5);
    headings({"Supplier", "Currency", "Articles", "Rows", "Faults", "Terms"}, {2, 3, 4});
    for (const Supplier& supplier : state.knowledge->catalog.suppliers()) {
        const ListCounts counts = state.lists.counts[supplier.id];
        ImGui::TableNextRow();
        ImGui::TableNextColumn();
        const bool chosen = state.lists.supplier == supplier.id;
        if (link(state, supplier.name, "supplier " + supplier.id))
            state.lists.supplier = chosen ? "" : supplier.id;
        if (chosen) ImGui::TableSetBgColor(ImGuiTableBgTarget_RowBg0, packed(theme.palette.chosen));
        if (supplier.invented) {
            ImGui::SameLine();
            ink(theme, &Palette::quiet, "invented");
        }
        ImGui::TableNextColumn();
        ink(theme, &Palette::text, supplier.currency.code);
        ImGui::TableNextColumn();
        ink_right(theme, &Palette::text, std::to_string(counts.skus));
        ImGui::TableNextColumn();
        ink_right(theme, &Palette::text, std::to_string(counts.rows));
        ImGui::TableNextColumn();
        ink_right(theme, counts.faults > 0 ? &Palette::caution : &Palette::quiet,
                  std::to_string(counts.faults));
        ImGui::TableNextColumn();
        ink_wrapped(theme, &Palette::quiet, terms_in_words(supplier));
    }
    ImGui::EndTable();
}

void faults(State& state) {
    const Theme& theme = state.theme;
    std::vector<const csv::RowFault*> shown;
    for (const csv::RowFault& fault : state.knowledge->catalog.faults()) {
        if (state.lists.supplier.empty() || is_of(fault, state.lists.supplier))
            shown.push_back(&fault);
    }
    section(theme, "Faults of the lists",
            shown.empty() ? "none" : "these rows are left out, the rest is used");
    if (!shown.empty()) fault_table(state, "faults", shown, true);
    for (const std::string& note : state.knowledge->catalog.notes())
        ink_wrapped(theme, &Palette::quiet, note);
}

} // namespace

void fault_table(const State& state, const char* id, const std::vector<const csv::RowFault*>& all,
                 bool with_list) {
    const Theme& theme = state.theme;
    const int columns = with_list ? 5 : 4;
    if (!ImGui::BeginTable(id, columns,
                           ImGuiTableFlags_SizingStretchProp | ImGuiTableFlags_BordersInnerH))
        return;
    if (with_list) ImGui::TableSetupColumn("List", 0, 2);
    ImGui::TableSetupColumn("Row", 0, 0.5F);
    ImGui::TableSetupColumn("Column", 0, 1.2F);
    ImGui::TableSetupColumn("Value", 0, 1.8F);
    ImGui::TableSetupColumn("What is wrong", 0, 5);
    if (with_list) {
        headings({"List", "Row", "Column", "Value", "What is wrong"}, {1});
    } else {
        headings({"Row", "Column", "Value", "What is wrong"}, {0});
    }
    for (std::size_t i = 0; i < all.size(); ++i) {
        const csv::RowFault& fault = *all[i];
        ImGui::TableNextRow();
        if (with_list) {
            ImGui::TableNextColumn();
            ink_wrapped(theme, &Palette::text, fault.fault.place.file);
        }
        ImGui::TableNextColumn();
        ink_right(theme, &Palette::text, fault.row > 0 ? std::to_string(fault.row) : "");
        ImGui::TableNextColumn();
        ink_wrapped(theme, &Palette::text, fault.column);
        ImGui::TableNextColumn();
        ink_wrapped(theme, &Palette::text, fault.value);
        ImGui::TableNextColumn();
        ink_wrapped(theme, &Palette::caution, plain(fault.fault));
        state.mark(std::string(id) + ' ' + std::to_string(i));
    }
    ImGui::EndTable();
}

void leave_import(ListsState& lists) {
    if (lists.importing == nullptr) return;
    lists.ending.push_back(std::move(lists.importing->thread));
    lists.importing.reset();
}

void draw_lists(State& state, Intents& intents) {
    const Theme& theme = state.theme;
    if (state.knowledge == nullptr) {
        nothing_here(theme, "Price lists are being read.");
        return;
    }
    count(state);
    std::erase_if(state.lists.ending, [](const std::future<void>& look) {
        return !look.valid() || look.wait_for(std::chrono::seconds(0)) == std::future_status::ready;
    });
    if (state.lists.importing) {
        draw_import(state, intents);
        return;
    }
    if (action(state, "Import a dealer's list")) {
        state.lists.importing = std::make_shared<ListImport>();
        for (const std::filesystem::path& folder : state.catalog_folders) {
            std::error_code error;
            if (!state.lists.supplier.empty() &&
                std::filesystem::exists(folder / "suppliers" / state.lists.supplier, error))
                state.lists.importing->supplier = folder / "suppliers" / state.lists.supplier;
        }
    }
    ImGui::SameLine();
    if (action(state, "Read the lists anew")) intents.push_back(ReadListsAnew{});
    if (!state.lists.told.empty()) {
        ImGui::SameLine();
        ink(theme, &Palette::fine, state.lists.told);
    }
    ImGui::Spacing();
    if (state.knowledge->catalog.suppliers().empty()) {
        nothing_here(theme, "No supplier is known here: put one into a folder suppliers/ above the "
                            "project, with its terms in supplier.json.");
        return;
    }
    suppliers(state);
    ImGui::Spacing();
    faults(state);
}

} // namespace aumbry::gui
