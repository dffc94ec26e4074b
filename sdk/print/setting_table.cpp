#include "print/setting_table.hpp"

#include <algorithm>

namespace aumbry::print {

namespace {

template <class Value, class Same>
Value& found_or_added(std::vector<Value>& values, Value added, Same same) {
    const auto found = std::find_if(values.begin(), values.end(), same);
    return found != values.end() ? *found : values.emplace_back(std::move(added));
}

} // namespace

std::vector<SettingTable> setting_tables(const CutBook& book) {
    std::vector<SettingTable> tables;
    for (const SheetPage& sheet : book.sheets) {
        for (const PlannedCut& cut : sheet.cuts) {
            if (cut.table_row == 0) continue;
            SettingTable& table = found_or_added(
                tables, SettingTable{sheet.title, {}},
                [&](const SettingTable& known) { return known.title == sheet.title; });
            FenceSetting& setting = found_or_added(
                table.settings, FenceSetting{cut.table_row, cut.kind, cut.setting, {}},
                [&](const FenceSetting& known) { return known.number == cut.table_row; });
            found_or_added(setting.cuts, {sheet.id, {}}, [&](const auto& known) {
                return known.first == sheet.id;
            }).second.push_back(cut.number);
        }
    }
    for (SettingTable& table : tables)
        std::stable_sort(
            table.settings.begin(), table.settings.end(),
            [](const FenceSetting& a, const FenceSetting& b) { return a.number < b.number; });
    return tables;
}

std::string setting_in_words(const FenceSetting& setting, const std::string& unit) {
    return kind_in_words(setting.kind) + ' ' + bare_length(setting.setting, unit);
}

std::string cuts_in_words(const FenceSetting& setting) {
    std::string words;
    for (const auto& [sheet, numbers] : setting.cuts) {
        words += (words.empty() ? "" : "; ") + sheet + (numbers.size() == 1 ? " cut " : " cuts ");
        for (std::size_t i = 0; i < numbers.size();) {
            std::size_t end = i;
            while (end + 1 < numbers.size() && numbers[end + 1] == numbers[end] + 1) ++end;
            words += (i == 0 ? "" : ", ") + std::to_string(numbers[i]);
            if (end > i) words += (end == i + 1 ? ", " : " to ") + std::to_string(numbers[end]);
            i = end + 1;
        }
    }
    return words;
}

} // namespace aumbry::print
