#include "sheet_goods/module/plan_json.hpp"

#include "aumbry/grid.hpp"
#include "aumbry/rounding.hpp"

#include <algorithm>

namespace aumbry::sheet_goods {

namespace {

double mm(Steps steps) {
    return round_to(to_mm(steps), 4);
}

/// One sheet on its way to JSON: blanks and cuts of the engine, those of compounds divided further.
class SheetWriter {
  public:
    SheetWriter(const CuttingPlan& plan, std::size_t index, const Shop& shop)
        : plan_(plan), sheet_(plan.plan.sheets[index]), dealer_(plan.by_dealer[index]), shop_(shop),
          kerf_(to_grid(plan.kerf)), blanks_(sheet_.blanks) {}

    Json write() {
        const Stock& stock = *plan_.stock[static_cast<std::size_t>(sheet_.format)];
        Json out = Json::object();
        for (std::size_t i = 0; i < sheet_.cuts.size(); ++i) write_cut(sheet_.cuts[i], dealer_[i]);
        for (std::size_t i = 0; i < sheet_.blanks.size(); ++i) {
            if (sheet_.blanks[i].part >= 0) write_part(i);
        }
        const Panel& first = *plan_.parts.front().members.front().panel;
        out["material"] = first.line->material ? first.line->material->id : std::string();
        out["supplier"] = stock.offer->supplier;
        out["sku"] = stock.offer->sku;
        out["offer"] = stock.offer->id;
        out["sheet"] = {{"length", round_to(stock.length, 4)}, {"width", round_to(stock.width, 4)}};
        out["grain"] = stock.grain == Grain::none           ? "none"
                       : stock.grain == Grain::along_length ? "length"
                                                            : "width";
        out["clean_up"] = round_to(stock.clean_up, 4);
        out["kerf"] = round_to(plan_.kerf, 4);
        out["copies"] = sheet_.copies;
        out["bound"] = {{"sheets", plan_.plan.sheet_count},
                        {"lower_bound", plan_.plan.lower_bound_sheets},
                        {"proven", plan_.plan.proven},
                        {"method", plan_.plan.bound_method}};
        out["placements"] = std::move(placements_);
        out["cuts"] = std::move(cuts_);
        out["blanks"] = blanks_json();
        out["offcuts"] = offcuts_json();
        return out;
    }

  private:
    void write_cut(const Cut& cut, bool by_dealer) {
        Json entry = {{"blank", cut.blank},
                      {"direction", cut.axis == Axis::length ? "length" : "width"},
                      {"position", mm(cut.position)},
                      {"by", by_dealer ? "dealer" : "workshop"},
                      {"first", cut.first}};
        if (cut.second >= 0) entry["second"] = cut.second;
        cuts_.push_back(std::move(entry));
    }

    /// A blank as large as a cut part: a part, or the parts of a match group still in one.
    void write_part(std::size_t index) {
        const Blank whole = blanks_[index];
        const CutPart& part = plan_.parts[static_cast<std::size_t>(whole.part)];
        if (!part.compound()) {
            place(index, part.members.front(), whole.rotated);
            return;
        }
        const bool along =
            part.along_length != whole.rotated; // the way the parts follow one another on the sheet
        std::size_t rest = index;
        for (std::size_t i = 0; i < part.members.size(); ++i) {
            const Member& member = part.members[i];
            const Size& cut = member.section.cut;
            std::size_t piece = rest;
            if (i + 1 < part.members.size()) {
                const auto [first, second] =
                    divide(rest, along ? Axis::length : Axis::width,
                           to_grid(part.along_length ? cut.length : cut.width));
                piece = first;
                rest = second;
            }
            const Steps across = to_grid(part.along_length ? cut.width : cut.length);
            const Steps have = along ? blanks_[piece].width : blanks_[piece].length;
            if (across < have)
                piece = divide(piece, along ? Axis::width : Axis::length, across).first;
            blanks_[piece].part = whole.part;
            place(piece, member, whole.rotated);
        }
    }

    struct Halves {
        std::size_t first, second;
    };

    /// A cut of the workshop; `second` is the first blank again when the kerf leaves nothing.
    Halves divide(std::size_t blank, Axis axis, Steps position) {
        Blank first = blanks_[blank];
        Blank second = first;
        first.part = second.part = -1;
        first.offcut = second.offcut = false;
        Cut cut;
        cut.blank = static_cast<int>(blank);
        cut.axis = axis;
        cut.position = position;
        if (axis == Axis::length) {
            second.x += position + kerf_;
            second.length -= position + kerf_;
            first.length = position;
        } else {
            second.y += position + kerf_;
            second.width -= position + kerf_;
            first.width = position;
        }
        blanks_[blank].part = -1;
        Halves halves{blanks_.size(), blanks_.size()};
        blanks_.push_back(first);
        cut.first = static_cast<int>(halves.first);
        if (second.length > 0 && second.width > 0) {
            second.offcut = true;
            halves.second = blanks_.size();
            blanks_.push_back(second);
            cut.second = static_cast<int>(halves.second);
        }
        write_cut(cut, false);
        return halves;
    }

    void place(std::size_t index, const Member& member, bool rotated) {
        Blank& blank = blanks_[index];
        blank.offcut = false;
        lines_.emplace_back(index, member.panel->line->id);
        Json entry = {{"line", member.panel->line->id},
                      {"x", mm(blank.x)},
                      {"y", mm(blank.y)},
                      {"length", mm(blank.length)},
                      {"width", mm(blank.width)},
                      {"rotated", rotated},
                      {"blank", index}};
        entry["finished"] = {{"length", round_to(member.section.finished.length, 4)},
                             {"width", round_to(member.section.finished.width, 4)}};
        entry["grain"] = member.panel->grain;
        entry["faces"] = member.panel->faces;
        if (member.section.number > 0) entry["section"] = member.section.number;
        Json edges = Json::object();
        static constexpr std::array<const char*, 5> names{"raw", "rounded", "banded", "lipped",
                                                          "scribed"};
        for (std::size_t side = 0; side < side_names.size(); ++side) {
            const Treatment treatment = member.section.edges[side].treatment;
            if (treatment != Treatment::raw)
                edges[side_names[side]] = names[static_cast<std::size_t>(treatment)];
        }
        if (!edges.empty()) entry["edges"] = std::move(edges);
        placements_.push_back(std::move(entry));
    }

    Json blanks_json() const {
        Json list = Json::array();
        for (std::size_t i = 0; i < blanks_.size(); ++i) {
            const Blank& blank = blanks_[i];
            Json entry = {{"x", mm(blank.x)},
                          {"y", mm(blank.y)},
                          {"length", mm(blank.length)},
                          {"width", mm(blank.width)}};
            const auto line = std::find_if(lines_.begin(), lines_.end(),
                                           [&](const auto& known) { return known.first == i; });
            if (line != lines_.end()) entry["line"] = line->second;
            if (blank.offcut && !was_cut(i)) entry["offcut"] = true;
            list.push_back(std::move(entry));
        }
        return list;
    }

    [[nodiscard]] bool was_cut(std::size_t blank) const {
        return std::any_of(cuts_.begin(), cuts_.end(), [&](const Json& cut) {
            return cut["blank"].get<std::size_t>() == blank;
        });
    }

    Json offcuts_json() const {
        std::vector<Blank> offcuts;
        for (std::size_t i = 0; i < blanks_.size(); ++i) {
            if (blanks_[i].offcut && !was_cut(i)) offcuts.push_back(blanks_[i]);
        }
        std::stable_sort(offcuts.begin(), offcuts.end(), [](const Blank& a, const Blank& b) {
            return a.length * a.width > b.length * b.width;
        });
        Json list = Json::array();
        for (const Blank& offcut : offcuts) {
            Json entry = {{"x", mm(offcut.x)},
                          {"y", mm(offcut.y)},
                          {"length", mm(offcut.length)},
                          {"width", mm(offcut.width)}};
            const double longer = std::max(mm(offcut.length), mm(offcut.width));
            const double shorter = std::min(mm(offcut.length), mm(offcut.width));
            if (longer >= shop_.least_offcut_length && shorter >= shop_.least_offcut_width)
                entry["keep"] = true;
            list.push_back(std::move(entry));
        }
        return list;
    }

    const CuttingPlan& plan_;
    const SheetPlan& sheet_;
    const std::vector<bool>& dealer_;
    const Shop& shop_;
    Steps kerf_;
    std::vector<Blank> blanks_;
    std::vector<std::pair<std::size_t, std::string>> lines_; ///< blanks that are parts
    Json placements_ = Json::array();
    Json cuts_ = Json::array();
};

} // namespace

Json plans_json(const CuttingPlan& plan, const Shop& shop) {
    Json plans = Json::array();
    for (std::size_t i = 0; i < plan.plan.sheets.size(); ++i)
        plans.push_back(SheetWriter(plan, i, shop).write());
    return plans;
}

} // namespace aumbry::sheet_goods
