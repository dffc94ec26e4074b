#include "sheet_goods/engine/problem.hpp"

#include "aumbry/fault.hpp"

#include <algorithm>
#include <string>

namespace aumbry::sheet_goods {

namespace {

// Sizes stay in 30 bits so that sums and products of two stay in 32 and 64.
/// A few milliseconds of the search.
constexpr std::int64_t steps_between_questions = 100'000;
constexpr Steps largest_size = Steps{1} << 29;

std::string size_text(Steps length, Steps width) {
    return std::to_string(length) + " x " + std::to_string(width);
}

std::string called(const std::string& kind, const std::string& name, std::size_t index) {
    return kind + " " + (name.empty() ? std::to_string(index + 1) : "'" + name + "'");
}

unsigned ways_to_lie(const Part& part, Grain grain) {
    if (part.length == part.width) return lies_straight;
    switch (part.turn) {
    case Turn::fixed:
        return lies_straight;
    case Turn::free:
        return lies_straight | lies_turned;
    case Turn::with_grain:
        if (grain == Grain::none) return lies_straight | lies_turned;
        return grain == Grain::along_length ? lies_straight : lies_turned;
    case Turn::across_grain:
        if (grain == Grain::none) return lies_straight | lies_turned;
        return grain == Grain::along_length ? lies_turned : lies_straight;
    }
    return lies_straight;
}

class Checker {
  public:
    void fault(std::string code, std::string pointer, std::string wrong, std::string right) {
        if (faults_.size() < most_reported)
            faults_.push_back({std::move(code),
                               {"", std::move(pointer), 0, 0},
                               std::move(wrong),
                               std::move(right)});
    }
    void finish() {
        if (!faults_.empty()) throw FaultError(std::move(faults_));
    }
    [[nodiscard]] bool clean() const { return faults_.empty(); }

  private:
    static constexpr std::size_t most_reported = 20;
    std::vector<Fault> faults_;
};

void check_formats(const CuttingJob& order, Checker& check) {
    if (order.formats.empty())
        check.fault("no-format", "/formats", "there is no sheet to cut from",
                    "give at least one format");
    for (std::size_t i = 0; i < order.formats.size(); ++i) {
        const Format& format = order.formats[i];
        const std::string place = "/formats/" + std::to_string(i);
        const std::string name = called("sheet format", format.name, i);
        const CleanUp& clean = format.clean_up;
        if (format.length <= 0 || format.width <= 0 || format.length > largest_size ||
            format.width > largest_size) {
            check.fault("size-out-of-range", place,
                        name + " is " + size_text(format.length, format.width),
                        "length and width must lie between 1 and " + std::to_string(largest_size));
            continue;
        }
        if (std::min({clean.left, clean.right, clean.bottom, clean.top}) < 0 ||
            std::max({clean.left, clean.right, clean.bottom, clean.top}) > largest_size)
            check.fault("clean-up-out-of-range", place,
                        name + " has a clean-up that is negative or far too large",
                        "give the strip lost along each edge");
        else if (clean.left + clean.right >= format.length ||
                 clean.bottom + clean.top >= format.width)
            check.fault("nothing-left-after-clean-up", place,
                        name + " is " + size_text(format.length, format.width) +
                            " and smaller than its clean-up",
                        "leave it out or lessen the clean-up");
        if (format.cost < 0)
            check.fault("cost-out-of-range", place,
                        name + " has a cost of " + std::to_string(format.cost),
                        "a cost is 0 or more");
        if (format.limit && *format.limit < 0)
            check.fault("limit-negative", place, name + " has a limit below nothing",
                        "give 0 or more, or no limit");
    }
}

void check_parts(const CuttingJob& order, Checker& check) {
    std::int64_t total = 0;
    for (std::size_t i = 0; i < order.parts.size(); ++i) {
        const Part& part = order.parts[i];
        const std::string place = "/parts/" + std::to_string(i);
        const std::string name = called("part", part.name, i);
        if (part.length <= 0 || part.width <= 0 || part.length > largest_size ||
            part.width > largest_size) {
            check.fault("size-out-of-range", place,
                        name + " is " + size_text(part.length, part.width),
                        "length and width must lie between 1 and " + std::to_string(largest_size));
            continue;
        }
        if (part.count < 0) {
            check.fault("count-negative", place,
                        name + " has a count of " + std::to_string(part.count),
                        "a count is 0 or more");
            continue;
        }
        if (part.count > most_parts) {
            check.fault("too-many-parts", place,
                        name + " has a count of " + std::to_string(part.count),
                        "at most " + std::to_string(most_parts) + " parts are planned at once");
            continue;
        }
        total += part.count;
        if (part.count > 0 && order.kerf > std::min(part.length, part.width))
            check.fault("kerf-larger-than-part", place,
                        "the kerf of " + std::to_string(order.kerf) + " is larger than " + name +
                            " (" + size_text(part.length, part.width) + ")",
                        "check the unit of the kerf");
    }
    if (check.clean() && total > most_parts)
        check.fault("too-many-parts", "/parts", "the order has " + std::to_string(total) + " parts",
                    "at most " + std::to_string(most_parts) + " parts are planned at once");
}

/// Those of the ways to lie, as bits, in which the part fits the space.
unsigned ways_that_fit(const GridSize& part, unsigned lies, const GridSize& space) {
    unsigned ways = 0;
    if ((lies & lies_straight) != 0 && part[0] <= space[0] && part[1] <= space[1])
        ways |= lies_straight;
    if ((lies & lies_turned) != 0 && part[1] <= space[0] && part[0] <= space[1])
        ways |= lies_turned;
    return ways;
}

void find_ways_to_lie(const CuttingJob& order, const Problem& problem, PartKind& kind,
                      Checker& check) {
    const auto index = static_cast<std::size_t>(kind.part);
    const Part& part = order.parts[index];
    bool fits_somehow = false;
    bool fits_as_asked = false;
    for (const SheetKind& sheet : problem.sheets) {
        const Format& format = order.formats[static_cast<std::size_t>(sheet.format)];
        const unsigned ways = ways_that_fit(kind.size, ways_to_lie(part, format.grain), sheet.size);
        fits_somehow =
            fits_somehow || ways_that_fit(kind.size, lies_straight | lies_turned, sheet.size) != 0;
        fits_as_asked = fits_as_asked || ways != 0;
        kind.lies.push_back(ways);
    }
    const std::string place = "/parts/" + std::to_string(index);
    const std::string name =
        called("part", part.name, index) + " (" + size_text(part.length, part.width) + ")";
    if (!fits_somehow)
        check.fault("part-larger-than-sheet", place,
                    name + " is larger than every sheet less its clean-up",
                    "split it at a seam or add a larger format");
    else if (!fits_as_asked)
        check.fault("grain-fits-no-sheet", place,
                    name + " fits no sheet in the direction its grain asks for",
                    "let it turn or add a format that is long enough that way");
}

} // namespace

bool can_lie(const Part& part, const Format& on) {
    const GridSize room{static_cast<std::int32_t>(on.length - on.clean_up.left - on.clean_up.right),
                        static_cast<std::int32_t>(on.width - on.clean_up.bottom - on.clean_up.top)};
    return ways_that_fit(
               {static_cast<std::int32_t>(part.length), static_cast<std::int32_t>(part.width)},
               ways_to_lie(part, on.grain), room) != 0;
}

Problem prepare(const CuttingJob& order) {
    Checker check;
    if (order.kerf < 0)
        check.fault("kerf-negative", "/kerf", "the kerf is " + std::to_string(order.kerf),
                    "a kerf is 0 or more");
    if (order.kerf > largest_size)
        check.fault("kerf-out-of-range", "/kerf", "the kerf is far too large", "check its unit");
    check_formats(order, check);
    check_parts(order, check);
    check.finish();

    Problem problem;
    problem.kerf = order.kerf;
    problem.stop = order.stop.every(steps_between_questions);
    std::int64_t item_count = 0;
    for (const Part& part : order.parts) item_count += part.count;
    problem.sheet_price = item_count + 1;
    // Prices of that many sheets must add up within 62 bits.
    const std::int64_t largest_cost =
        (std::int64_t{1} << 62) / ((item_count + 2) * (item_count + 2)) - 1;
    for (std::size_t i = 0; i < order.formats.size(); ++i) {
        const Format& format = order.formats[i];
        if (format.cost > largest_cost)
            check.fault("cost-out-of-range", "/formats/" + std::to_string(i),
                        called("sheet format", format.name, i) + " has a cost of " +
                            std::to_string(format.cost),
                        "with so many parts a cost may be at most " + std::to_string(largest_cost));
        SheetKind sheet;
        sheet.format = static_cast<int>(i);
        sheet.size = {static_cast<std::int32_t>(format.length - format.clean_up.left -
                                                format.clean_up.right + order.kerf),
                      static_cast<std::int32_t>(format.width - format.clean_up.bottom -
                                                format.clean_up.top + order.kerf)};
        sheet.area = std::int64_t{sheet.size[0]} * sheet.size[1];
        if (!check.clean()) continue;
        sheet.price = format.cost * problem.sheet_price + 1;
        sheet.limit = std::min(format.limit.value_or(item_count), item_count);
        if (sheet.limit == 0) continue;
        problem.largest_sheet = std::max(problem.largest_sheet, sheet.area);
        problem.sheets.push_back(sheet);
    }
    for (std::size_t i = 0; i < order.parts.size(); ++i) {
        const Part& part = order.parts[i];
        if (part.count == 0) continue;
        PartKind kind;
        kind.part = static_cast<int>(i);
        kind.size = {static_cast<std::int32_t>(part.length + order.kerf),
                     static_cast<std::int32_t>(part.width + order.kerf)};
        kind.area = std::int64_t{kind.size[0]} * kind.size[1];
        kind.count = static_cast<int>(part.count);
        find_ways_to_lie(order, problem, kind, check);
        for (int c = 0; c < kind.count; ++c)
            problem.items.push_back(static_cast<int>(problem.parts.size()));
        problem.parts.push_back(std::move(kind));
    }
    check.finish();
    return problem;
}

} // namespace aumbry::sheet_goods
