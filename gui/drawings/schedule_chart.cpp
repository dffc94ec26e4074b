#include "drawings/schedule_chart.hpp"

#include "widgets/drawing.hpp"
#include "widgets/widgets.hpp"

#include "aumbry/resolve.hpp"
#include "aumbry/rounding.hpp"

#include "views/text_views.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>

namespace aumbry::gui {

namespace {

constexpr const char* month_names[] = {"January",   "February", "March",    "April",
                                       "May",       "June",     "July",     "August",
                                       "September", "October",  "November", "December"};

/// Where days and rows stand on the screen.
struct Sheet {
    Date first{};
    Date last{};
    float day = 26;
    float row = 24;
    ImVec2 origin; ///< of the first day and row, scrolled
    ImVec2 min;    ///< of what is in sight
    ImVec2 max;
    float head = 60;   ///< height of the days above the rows
    float names = 250; ///< room for names after the last day

    [[nodiscard]] float x(Date date) const {
        return origin.x + static_cast<float>((date - first).count()) * day;
    }
    [[nodiscard]] int days() const { return static_cast<int>((last - first).count()) + 1; }
    [[nodiscard]] bool in_sight(float y) const { return y + row >= min.y && y <= max.y; }
};

struct Row {
    const EstimateOrder* order = nullptr;
    const EstimateTask* task = nullptr;
    std::string heading;
};

std::vector<Row> rows_of(const Estimate& estimate) {
    std::vector<Row> rows;
    std::vector<const EstimateOrder*> orders;
    for (const EstimateOrder& order : estimate.orders) orders.push_back(&order);
    std::stable_sort(orders.begin(), orders.end(), [](const auto* a, const auto* b) {
        return a->order_by.value_or(Date::max()) < b->order_by.value_or(Date::max());
    });
    if (!orders.empty()) rows.push_back({nullptr, nullptr, "Comes in"});
    for (const EstimateOrder* order : orders) rows.push_back({order, nullptr, ""});
    const std::vector<const EstimateTask*> tasks = tasks_by_date(estimate);
    if (!tasks.empty()) rows.push_back({nullptr, nullptr, "Work"});
    for (const EstimateTask* task : tasks) rows.push_back({nullptr, task, ""});
    return rows;
}

void range_of(const Estimate& estimate, Sheet& sheet) {
    sheet.first = estimate.start;
    sheet.last = std::max(estimate.schedule.ready, estimate.start);
    for (const EstimateOrder& order : estimate.orders) {
        sheet.first = std::min({sheet.first, order.arrives, order.order_by.value_or(sheet.first)});
        sheet.last = std::max({sheet.last, order.arrives, order.order_by.value_or(sheet.last)});
    }
    for (const EstimateTask& task : estimate.schedule.tasks) {
        sheet.first = std::min(sheet.first, task.start);
        sheet.last = std::max({sheet.last, task.finish, task.latest_finish});
    }
    // Whole weeks, so that a week looks like a week.
    sheet.first -= std::chrono::days(weekday(sheet.first) - 1);
    sheet.last += std::chrono::days(7 - weekday(sheet.last));
}

void days_off(ImDrawList& list, const Theme& theme, const Sheet& sheet,
              const WorkCalendar& calendar) {
    for (Date date = sheet.first; date <= sheet.last; date += std::chrono::days(1)) {
        const float x = sheet.x(date);
        if (!calendar.is_working(date))
            list.AddRectFilled({x, sheet.min.y}, {x + sheet.day, sheet.max.y},
                               packed(theme.palette.waste));
        const bool week = weekday(date) == 1;
        list.AddLine({x, sheet.min.y}, {x, sheet.max.y},
                     packed(theme.palette.rule, week ? 1.0F : 0.45F), week ? theme.px(1.5F) : 1);
    }
}

/// Month, week and day, as on a calendar that hangs on a wall; it stays while rows scroll.
void days_above(ImDrawList& list, const Theme& theme, const Sheet& sheet,
                const WorkCalendar& calendar) {
    const ImVec2 max{sheet.max.x, sheet.min.y + sheet.head};
    list.AddRectFilled(sheet.min, max, packed(theme.palette.sheet));
    ImFont* small = theme.small;
    const ImU32 text = packed(theme.palette.text);
    const ImU32 quiet = packed(theme.palette.quiet);
    const float letters = max.y - theme.text->FontSize - small->FontSize - theme.px(6);
    const bool every_day = sheet.day >= theme.px(17);
    for (Date date = sheet.first; date <= sheet.last; date += std::chrono::days(1)) {
        const float x = sheet.x(date);
        const std::chrono::year_month_day ymd{date};
        const unsigned day = static_cast<unsigned>(ymd.day());
        if (weekday(date) == 1) {
            const std::string week = "week " + std::to_string(iso_week(date).week);
            list.AddText(small, small->FontSize,
                         {x + theme.px(3), sheet.min.y + small->FontSize + theme.px(3)}, quiet,
                         week.c_str());
        }
        if (!calendar.is_working(date))
            list.AddRectFilled({x, letters}, {x + sheet.day, max.y}, packed(theme.palette.waste));
        if (!every_day && weekday(date) != 1) continue;
        const ImVec2 cell{x + sheet.day, letters + small->FontSize};
        const std::string letter(1, weekday_name(weekday(date)).front());
        centred(list, small, {x, letters}, cell, quiet, letter);
        centred(list, theme.text, {x, cell.y}, {x + sheet.day, max.y},
                calendar.is_working(date) ? text : quiet, std::to_string(day));
    }
    // The month's name stays in sight as long as any of its days is.
    for (Date date = sheet.first; date <= sheet.last;) {
        const std::chrono::year_month_day ymd{date};
        const Date next{
            std::chrono::sys_days{(ymd.year() / ymd.month() / 1) + std::chrono::months(1)}};
        const float right =
            std::min(sheet.x(std::min(next, sheet.last + std::chrono::days(1))), sheet.max.x);
        const float left = std::max(sheet.x(date), sheet.min.x);
        const std::string name = std::string(month_names[static_cast<unsigned>(ymd.month()) - 1]) +
                                 ' ' + std::to_string(static_cast<int>(ymd.year()));
        const float width =
            theme.text->CalcTextSizeA(theme.text->FontSize, FLT_MAX, 0, name.c_str()).x;
        if (right - left > width + theme.px(6)) {
            list.AddText(theme.text, theme.text->FontSize,
                         {left + theme.px(3), sheet.min.y + 2 * small->FontSize + theme.px(5)},
                         text, name.c_str());
        }
        date = next;
    }
    list.AddLine({sheet.min.x, max.y}, max, quiet, theme.px(1.5F));
}

void order_by_mark(ImDrawList& list, const Theme& theme, ImVec2 middle, float size) {
    list.AddTriangleFilled({middle.x - size, middle.y - size}, {middle.x + size, middle.y - size},
                           {middle.x, middle.y + size}, packed(theme.palette.caution));
}

void arrival_mark(ImDrawList& list, const Theme& theme, ImVec2 middle, float size) {
    list.AddRectFilled({middle.x - size, middle.y - size}, {middle.x + size, middle.y + size},
                       packed(theme.palette.link));
}

/// Writes beside a bar: after it, on the calendar itself.
float note(ImDrawList& list, const Theme& theme, ImVec2 at, Colour Palette::*colour,
           const std::string& text, bool strong = false) {
    ImFont* font = theme.small;
    list.AddText(font, font->FontSize, at, packed(theme.palette.*colour), text.c_str());
    if (strong) // written twice, as a pencil does
        list.AddText(font, font->FontSize, {at.x + 0.6F, at.y}, packed(theme.palette.*colour),
                     text.c_str());
    return at.x + font->CalcTextSizeA(font->FontSize, FLT_MAX, 0, text.c_str()).x + theme.px(8);
}

bool mouse_in(ImVec2 min, ImVec2 max) {
    return ImGui::IsWindowHovered() && ImGui::IsMouseHoveringRect(min, max);
}

void comes_in(State& state, ImDrawList& list, const Sheet& sheet, const EstimateOrder& order,
              float y) {
    const Theme& theme = state.theme;
    const float middle = y + sheet.row / 2;
    const float size = theme.px(6);
    // Both on one day stand beside each other.
    const float aside = order.order_by == order.arrives ? theme.px(8) : 0;
    const float arrives = sheet.x(order.arrives) + sheet.day / 2 + aside;
    float right = arrives;
    float left = arrives;
    if (order.order_by) {
        const float by = sheet.x(*order.order_by) + sheet.day / 2 - aside;
        right = std::max(right, by);
        left = std::min(left, by);
        broken_line(list, {left, middle}, {right, middle}, packed(theme.palette.quiet), theme.px(1),
                    theme.px(3));
        order_by_mark(list, theme, {by, middle}, size);
    }
    arrival_mark(list, theme, {arrives, middle}, size * 0.85F);
    const float text = middle - theme.small->FontSize / 2;
    float x = note(list, theme, {right + theme.px(12), text}, &Palette::text, order.name);
    if (order.order_by)
        x = note(list, theme, {x, text}, &Palette::caution,
                 "order by " + format_date(*order.order_by).substr(5));
    told_in_text(order.name + (order.order_by ? "  order by " + format_date(*order.order_by) : "") +
                 "  in hand " + format_date(order.arrives));
    const ImVec2 min{left - size, y};
    const ImVec2 max{x, y + sheet.row};
    state.mark("calendar order " + order.supplier, min, max);
    if (!mouse_in(min, max)) return;
    ImGui::SetMouseCursor(ImGuiMouseCursor_Hand);
    std::string words = order.name + "\n" + (order.collected ? "can be collected " : "arrives ") +
                        views::day(order.arrives) + ", ordered on " +
                        (order.after.empty() ? "the first day" : views::day(order.goes_out));
    if (order.order_by)
        words += "\norder by " + views::day(*order.order_by) + " at the latest: then nothing waits";
    ImGui::SetTooltip("%s", words.c_str());
    if (ImGui::IsMouseClicked(0)) {
        state.dates.orders = true;
        state.dates.order = order.supplier;
    }
}

std::string words_of(const EstimateTask& task) {
    std::string words = task.title + "\n" + views::day(task.start) + ", " + hour_of(task);
    if (task.finish != task.start) words += " to " + views::day(task.finish);
    words += "\n" + format_number(task.minutes / 60, 1) + " h of work, " + task.worker;
    if (task.people > 1) words += ", " + std::to_string(task.people) + " people at once";
    if (task.wait_minutes > 0)
        words += "\nthen waits " + format_number(task.wait_minutes / 60, 0) + " h";
    words += task.critical ? "\ncritical: a day later here is a day later at the end"
                           : "\nmay begin " + slack_in_words(task) + " later";
    if (task.rack > 0) words += "\n" + format_number(task.rack, 1) + " m2 of the drying rack";
    if (!task.waits_for.empty()) words += "\nafter " + task.waits_for;
    return words;
}

void work(State& state, Intents& intents, ImDrawList& list, const Sheet& sheet,
          const EstimateTask& task, float y) {
    const Theme& theme = state.theme;
    const Palette& palette = theme.palette;
    const float pad = theme.px(4);
    const ImVec2 min{sheet.x(task.start) + 1, y + pad};
    const ImVec2 max{sheet.x(task.finish) + sheet.day - 1, y + sheet.row - pad};
    // Hands on first, then what only waits: the days after the first, or the later half of a day.
    float worked = max.x;
    if (task.wait_minutes > 0)
        worked = task.finish > task.start ? min.x + sheet.day - 2 : (min.x + max.x) / 2;
    list.AddRectFilled(min, max, packed(palette.wood, 0.35F));
    list.AddRectFilled(min, {worked, max.y}, packed(palette.wood));
    if (task.done) hatch(list, min, max, packed(palette.quiet), theme.px(5));
    list.AddRect(min, max, packed(task.critical ? palette.text : palette.wood_edge), 0, 0,
                 theme.px(task.critical ? 2.5F : 1));
    const float middle = y + sheet.row / 2;
    float right = max.x;
    if (!task.critical && task.latest_finish > task.finish) {
        right = sheet.x(task.latest_finish) + sheet.day - 1;
        list.AddLine({max.x, middle}, {right, middle}, packed(palette.quiet), theme.px(1));
        list.AddLine({right, middle - pad}, {right, middle + pad}, packed(palette.quiet),
                     theme.px(1));
    }
    const float text = middle - theme.small->FontSize / 2;
    float x = note(list, theme, {right + theme.px(8), text}, &Palette::text, task.title);
    if (task.done)
        x = note(list, theme, {x, text}, &Palette::quiet, "done");
    else if (task.critical)
        x = note(list, theme, {x, text}, &Palette::text, "critical", true);
    told_in_text(task.title + "  " + format_date(task.start) + " to " + format_date(task.finish) +
                 (task.critical ? "  critical" : ""));
    const ImVec2 end{x, y + sheet.row};
    state.mark("calendar task " + task.id, {min.x, y}, end);
    if (!mouse_in({min.x, y}, end)) return;
    ImGui::SetMouseCursor(ImGuiMouseCursor_Hand);
    ImGui::SetTooltip("%s", words_of(task).c_str());
    if (ImGui::IsMouseClicked(0)) intents.push_back(ExplainFigure{"task." + task.id});
}

/// A day that everything runs from or to; its word stands above the days.
void day_line(ImDrawList& list, const Theme& theme, const Sheet& sheet, Date date,
              const std::string& word) {
    const float x = sheet.x(date);
    list.AddLine({x, sheet.min.y}, {x, sheet.max.y}, packed(theme.palette.link), theme.px(2));
    list.AddText(theme.small, theme.small->FontSize, {x + theme.px(5), sheet.min.y},
                 packed(theme.palette.link), word.c_str());
}

} // namespace

void draw_schedule_chart(State& state, Intents& intents) {
    const Theme& theme = state.theme;
    const Estimate& estimate = *state.estimate();
    if (!ImGui::BeginChild("calendar", {0, 0}, false, ImGuiWindowFlags_HorizontalScrollbar)) {
        ImGui::EndChild();
        return;
    }
    Sheet sheet;
    range_of(estimate, sheet);
    const ImVec2 window = ImGui::GetWindowPos();
    const ImVec2 room = ImGui::GetContentRegionAvail();
    sheet.names = theme.px(250);
    sheet.row = theme.px(25);
    sheet.head = theme.small->FontSize * 3 + theme.text->FontSize * 2 + theme.px(18);
    sheet.day = theme.px(state.dates.day);
    if (state.dates.day <= 0) {
        sheet.day = std::clamp((room.x - sheet.names) / static_cast<float>(sheet.days()),
                               theme.px(12), theme.px(44));
    }
    sheet.min = window;
    sheet.max = {window.x + ImGui::GetWindowWidth(), window.y + ImGui::GetWindowHeight()};
    const std::vector<Row> rows = rows_of(estimate);
    const ImVec2 corner = ImGui::GetCursorScreenPos();
    sheet.origin = {corner.x, corner.y + sheet.head};
    ImGui::Dummy({static_cast<float>(sheet.days()) * sheet.day + sheet.names,
                  sheet.head + static_cast<float>(rows.size() + 1) * sheet.row});

    const WorkCalendar calendar = workshop_calendar(state.document);
    ImDrawList& list = *ImGui::GetWindowDrawList();
    days_off(list, theme, sheet, calendar);
    list.PushClipRect({sheet.min.x, sheet.min.y + sheet.head}, sheet.max, true);
    float y = sheet.origin.y;
    for (const Row& row : rows) {
        if (sheet.in_sight(y)) {
            if (row.order != nullptr) {
                comes_in(state, list, sheet, *row.order, y);
            } else if (row.task != nullptr) {
                work(state, intents, list, sheet, *row.task, y);
            } else {
                list.AddText(theme.text, theme.text->FontSize,
                             {std::max(corner.x, sheet.min.x) + theme.px(3), y + theme.px(3)},
                             packed(theme.palette.text), row.heading.c_str());
            }
        }
        y += sheet.row;
    }
    list.PopClipRect();
    days_above(list, theme, sheet, calendar);
    day_line(list, theme, sheet, estimate.start, "work begins");
    day_line(list, theme, sheet, estimate.schedule.ready + std::chrono::days(1),
             "ready " + format_date(estimate.schedule.ready));
    ImGui::EndChild();
}

void draw_schedule_legend(const Theme& theme) {
    ImDrawList& list = *ImGui::GetWindowDrawList();
    ImGui::PushFont(theme.small);
    const float height = ImGui::GetTextLineHeight();
    const float width = theme.px(24);
    const auto entry = [&](const char* word, auto&& draw) {
        ImGui::SameLine(0, theme.px(14));
        const ImVec2 corner = ImGui::GetCursorScreenPos();
        draw(ImVec2{corner.x, corner.y + theme.px(2)},
             ImVec2{corner.x + width, corner.y + height - theme.px(1)});
        ImGui::Dummy({width, height});
        ImGui::SameLine(0, theme.px(5));
        ink(theme, &Palette::quiet, word);
    };
    const auto middle = [](ImVec2 a, ImVec2 b) { return ImVec2{(a.x + b.x) / 2, (a.y + b.y) / 2}; };
    entry("order by",
          [&](ImVec2 a, ImVec2 b) { order_by_mark(list, theme, middle(a, b), theme.px(6)); });
    entry("in hand if ordered at once",
          [&](ImVec2 a, ImVec2 b) { arrival_mark(list, theme, middle(a, b), theme.px(5)); });
    entry("work", [&](ImVec2 a, ImVec2 b) {
        list.AddRectFilled(a, b, packed(theme.palette.wood));
        list.AddRect(a, b, packed(theme.palette.wood_edge));
    });
    entry("waits, dries", [&](ImVec2 a, ImVec2 b) {
        list.AddRectFilled(a, b, packed(theme.palette.wood, 0.35F));
        list.AddRect(a, b, packed(theme.palette.wood_edge));
    });
    entry("critical", [&](ImVec2 a, ImVec2 b) {
        list.AddRectFilled(a, b, packed(theme.palette.wood));
        list.AddRect(a, b, packed(theme.palette.text), 0, 0, theme.px(2.5F));
    });
    entry("slack", [&](ImVec2 a, ImVec2 b) {
        const float y = (a.y + b.y) / 2;
        list.AddLine({a.x, y}, {b.x, y}, packed(theme.palette.quiet), theme.px(1));
        list.AddLine({b.x, a.y}, {b.x, b.y}, packed(theme.palette.quiet), theme.px(1));
    });
    entry("day off", [&](ImVec2 a, ImVec2 b) {
        list.AddRectFilled(a, b, packed(theme.palette.waste));
        list.AddRect(a, b, packed(theme.palette.rule));
    });
    ImGui::PopFont();
}

} // namespace aumbry::gui
