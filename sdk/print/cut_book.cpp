#include "print/cut_book.hpp"

#include "aumbry/fault.hpp"
#include "aumbry/quantity.hpp"
#include "aumbry/rounding.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

namespace aumbry::print {
namespace {

constexpr double same = 0.0005; ///< mm; plans are rounded to four decimals

[[noreturn]] void bad_plan(const std::string& wrong) {
    fail("bad-plan", {}, "a cutting plan cannot be drawn: " + wrong,
         "the module that made it must follow the estimate's schema");
}

double number_at(const Json& object, const char* key, double otherwise) {
    const auto found = object.find(key);
    return found != object.end() && found->is_number() ? found->get<double>() : otherwise;
}

double number_at(const Json& object, const char* key) {
    const auto found = object.find(key);
    if (found == object.end() || !found->is_number())
        bad_plan(std::string("it has no number '") + key + "'");
    return found->get<double>();
}

std::string text_at(const Json& object, const char* key, const std::string& otherwise = {}) {
    const auto found = object.find(key);
    return found != object.end() && found->is_string() ? found->get<std::string>() : otherwise;
}

bool flag_at(const Json& object, const char* key) {
    const auto found = object.find(key);
    return found != object.end() && found->is_boolean() && found->get<bool>();
}

const Json& member(const Json& object, const char* key) {
    static const Json nothing = Json::array();
    const auto found = object.find(key);
    return found != object.end() ? *found : nothing;
}

std::int64_t copies_of(const Json& plan) {
    return std::max<std::int64_t>(1, static_cast<std::int64_t>(number_at(plan, "copies", 1)));
}

/// What a line of parts looks like: panels and solid parts, and whatever a plan names.
bool is_part(const EstimateLine& line) {
    return !line.material.empty() && line.derived.is_object() && line.derived.contains("length") &&
           line.derived.contains("width") && line.derived.contains("thickness");
}

/// Builds the book: parts are numbered first, then plans are read in their order.
class Binder {
  public:
    explicit Binder(const Estimate& estimate) : estimate_(estimate) {}

    CutBook bind() {
        book_.job = estimate_.title;
        book_.alternative = estimate_.alternative;
        book_.length_unit = estimate_.length_unit;
        book_.made_on = format_date(estimate_.priced_on);
        number_parts();
        for (const Json& plan : estimate_.cutting_plans)
            sheets_of_demand_[text_at(plan, "demand")] += copies_of(plan);
        for (const Json& plan : estimate_.cutting_plans) add_sheet(plan);
        for (const Json& plan : estimate_.board_plans) add_board(plan);
        add_unplanned();
        count_parts();
        for (const EstimateFinding& finding : estimate_.findings) {
            if (finding.module == "sheet_goods" || finding.module == "solid_stock") {
                if (finding.severity != contract::Severity::note)
                    book_.cautions.push_back(finding.text);
            }
        }
        return std::move(book_);
    }

  private:
    using Key = std::pair<std::string, std::int64_t>; ///< line and section

    void number_parts() {
        std::map<std::string, std::set<std::int64_t>> sections; // by line, of those in plans
        const auto see = [&](const Json& list) {
            for (const Json& entry : list)
                sections[text_at(entry, "line")].insert(
                    static_cast<std::int64_t>(number_at(entry, "section", 0)));
        };
        for (const Json& plan : estimate_.cutting_plans) see(member(plan, "placements"));
        for (const Json& plan : estimate_.board_plans) {
            see(member(plan, "placements"));
            see(member(plan, "pieces"));
        }
        int number = 0;
        for (const EstimateLine& line : estimate_.lines) {
            const auto planned = sections.find(line.id);
            if (planned == sections.end() && (!is_part(line) || !line.not_priced.empty())) continue;
            ++number;
            const std::set<std::int64_t> of =
                planned == sections.end() ? std::set<std::int64_t>{0} : planned->second;
            for (const std::int64_t section : of) {
                index_[Key(line.id, section)] = book_.parts.size();
                book_.parts.push_back(
                    part_of(line, std::to_string(number) +
                                      (section > 0 ? '.' + std::to_string(section) : "")));
            }
        }
    }

    CutPart part_of(const EstimateLine& line, const std::string& number) const {
        CutPart part;
        part.number = number;
        part.line = line.id;
        part.title = line.title.empty() ? line.id : line.title;
        const auto piece = std::find_if(estimate_.by_piece.begin(), estimate_.by_piece.end(),
                                        [&](const Part& p) { return p.id == line.piece; });
        if (!line.piece.empty())
            part.piece = piece == estimate_.by_piece.end() ? line.piece : piece->title;
        part.material = line.material;
        if (line.derived.is_object()) {
            part.length = number_at(line.derived, "length", 0);
            part.width = number_at(line.derived, "width", 0);
            part.thickness = number_at(line.derived, "thickness", 0);
        }
        if (line.fields.is_object()) {
            set_grain(part, text_at(line.fields, "grain"));
            add_taper(part, line.fields, "length_back", part.length, "front", "back");
            add_taper(part, line.fields, "width_right", part.width, "left", "right");
            part.faces = static_cast<std::int64_t>(number_at(line.fields, "faces", -1));
            const Json& edges = member(line.fields, "edges");
            if (edges.is_object()) {
                for (const auto& [edge, how] : edges.items()) {
                    const std::string treatment =
                        how.is_object() ? text_at(how, "treatment") : std::string();
                    if (!treatment.empty() && treatment != "raw")
                        part.edges.emplace_back(edge, treatment);
                }
            }
        }
        return part;
    }

    /// A part that follows a wall out of square has two lengths or two widths: both are said.
    void add_taper(CutPart& part, const Json& fields, const char* field, double size,
                   const char* near, const char* far) const {
        const double other = number_at(fields, field, size);
        if (size <= 0 || std::abs(other - size) < 0.05) return;
        part.taper += std::string(part.taper.empty() ? "" : ", ") + near + ' ' +
                      bare_length(size, book_.length_unit) + ", " + far + ' ' +
                      bare_length(other, book_.length_unit);
    }

    static void set_grain(CutPart& part, const std::string& grain) {
        part.grain_fixed = grain == "length" || grain == "width";
        part.grain = grain == "length"  ? "along its length"
                     : grain == "width" ? "across its length"
                     : grain == "any"   ? "either way"
                                        : "";
    }

    /// Enters what a placement knows better than the line: a section's own size, its edges.
    std::size_t part_at(const Json& entry) {
        const Key key(text_at(entry, "line"),
                      static_cast<std::int64_t>(number_at(entry, "section", 0)));
        const auto found = index_.find(key);
        if (found == index_.end()) bad_plan("it names the line '" + key.first + "', which is none");
        CutPart& part = book_.parts[found->second];
        if (const Json& finished = member(entry, "finished"); finished.is_object()) {
            part.length = number_at(finished, "length", part.length);
            part.width = number_at(finished, "width", part.width);
        }
        if (entry.contains("grain")) set_grain(part, text_at(entry, "grain"));
        part.faces =
            static_cast<std::int64_t>(number_at(entry, "faces", static_cast<double>(part.faces)));
        if (key.second > 0) {
            part.edges.clear();
            const Json& edges = member(entry, "edges");
            if (edges.is_object()) {
                for (const auto& [edge, how] : edges.items()) {
                    if (how.is_string()) part.edges.emplace_back(edge, how.get<std::string>());
                }
            }
        }
        return found->second;
    }

    PlacedPart placed(const Json& entry) {
        PlacedPart out;
        out.part = part_at(entry);
        out.x = number_at(entry, "x");
        out.y = number_at(entry, "y");
        out.length = number_at(entry, "length");
        out.width = number_at(entry, "width");
        out.rotated = flag_at(entry, "rotated");
        CutPart& part = book_.parts[out.part];
        part.cut_length = out.rotated ? out.width : out.length;
        part.cut_width = out.rotated ? out.length : out.width;
        return out;
    }

    /// Where a sheet or board comes from: the purchase that its offer became.
    std::string source_of(const Json& plan) const {
        const std::string offer = text_at(plan, "offer");
        const auto bought =
            std::find_if(estimate_.purchases.begin(), estimate_.purchases.end(),
                         [&](const EstimatePurchase& p) { return p.offer == offer; });
        if (bought == estimate_.purchases.end()) return text_at(plan, "sku", offer);
        if (bought->owned) return "own stock: " + bought->description;
        return bought->supplier_name + ", " + bought->sku;
    }

    const EstimateBound* bound_of(const std::string& demand) const {
        const auto found =
            std::find_if(estimate_.bounds.begin(), estimate_.bounds.end(),
                         [&](const EstimateBound& bound) { return bound.demand == demand; });
        return found == estimate_.bounds.end() ? nullptr : &*found;
    }

    /// How much becomes parts, and whether a better plan can exist.
    static std::string quality_of(const EstimateBound& bound, const std::string& one,
                                  const std::string& many) {
        const std::string all =
            bound.used == 1 ? "1 " + one : "all " + std::to_string(bound.used) + ' ' + many;
        std::string words = percent(bound.yield) + " of " + all + " becomes parts. ";
        if (!bound.proven) {
            words += "Not proven to be the best: at least " + std::to_string(bound.lower_bound) +
                     " are needed, " + std::to_string(bound.used) + " are used.";
        } else if (bound.used > bound.lower_bound) {
            words += "Proven: no other choice of these " + many + " costs less.";
        } else {
            words += "Proven: fewer " + many + " cannot do.";
        }
        return words;
    }

    static std::string from_which(std::int64_t first, std::int64_t copies, std::int64_t all) {
        if (all == 1) return "the only sheet";
        const std::string of = " of " + std::to_string(all);
        if (copies == 1) return "sheet " + std::to_string(first) + of;
        return "sheets " + std::to_string(first) + (copies == 2 ? " and " : " to ") +
               std::to_string(first + copies - 1) + of;
    }

    void add_sheet(const Json& plan) {
        SheetPlan sheet;
        const std::string demand = text_at(plan, "demand");
        sheet.id = 'S' + std::to_string(book_.sheets.size() + 1);
        const EstimateBound* bound = bound_of(demand);
        sheet.title = bound != nullptr ? bound->material : text_at(plan, "material");
        sheet.source = source_of(plan);
        sheet.copies = copies_of(plan);
        std::int64_t& before = sheets_seen_[demand];
        sheet.from_which = from_which(before + 1, sheet.copies, sheets_of_demand_[demand]);
        before += sheet.copies;
        const Json& size = member(plan, "sheet");
        if (!size.is_object()) bad_plan("it has no 'sheet' with length and width");
        sheet.length = number_at(size, "length");
        sheet.width = number_at(size, "width");
        if (sheet.length <= 0 || sheet.width <= 0) bad_plan("its sheet has no area");
        sheet.clean_up = number_at(plan, "clean_up", 0);
        sheet.kerf = number_at(plan, "kerf", 0);
        sheet.grain = text_at(plan, "grain", "none");
        if (bound != nullptr) sheet.quality = quality_of(*bound, "sheet", "sheets");
        double used = 0;
        for (const Json& entry : member(plan, "placements")) {
            sheet.placed.push_back(placed(entry));
            used += sheet.placed.back().length * sheet.placed.back().width;
        }
        sheet.yield = round_to(used / (sheet.length * sheet.width), 4);
        for (const Json& entry : member(plan, "offcuts")) {
            sheet.offcuts.push_back({number_at(entry, "x"), number_at(entry, "y"),
                                     number_at(entry, "length"), number_at(entry, "width"),
                                     flag_at(entry, "keep")});
        }
        add_cuts(sheet, plan);
        for (std::int64_t copy = 1; copy <= sheet.copies; ++copy) {
            const std::string from = sheet.copies == 1
                                         ? sheet.id
                                         : sheet.id + ", sheet " + std::to_string(copy) + " of " +
                                               std::to_string(sheet.copies);
            for (const PlacedPart& part : sheet.placed) label(part.part, from);
        }
        book_.sheets.push_back(std::move(sheet));
    }

    /// What a blank is at the end: a part by its number, an offcut, or a size still to be divided.
    std::string blank_in_words(const SheetPlan& sheet, const Json& blank) const {
        const double x = number_at(blank, "x");
        const double y = number_at(blank, "y");
        const double length = number_at(blank, "length");
        const double width = number_at(blank, "width");
        if (blank.contains("line")) {
            for (const PlacedPart& part : sheet.placed) {
                if (std::abs(part.x - x) < same && std::abs(part.y - y) < same &&
                    std::abs(part.length - length) < same && std::abs(part.width - width) < same)
                    return "part " + book_.parts[part.part].number;
            }
        }
        const std::string size = bare_size(length, width, book_.length_unit);
        if (!flag_at(blank, "offcut")) return size;
        for (const Offcut& offcut : sheet.offcuts) {
            if (offcut.keep && std::abs(offcut.x - x) < same && std::abs(offcut.y - y) < same)
                return "keep " + size;
        }
        return "offcut " + size;
    }

    void add_cuts(SheetPlan& sheet, const Json& plan) const {
        const Json& blanks = member(plan, "blanks");
        const auto blank_at = [&](const Json& cut, const char* key) -> const Json& {
            const auto index = static_cast<std::int64_t>(number_at(cut, key));
            if (index < 0 || static_cast<std::size_t>(index) >= blanks.size())
                bad_plan(std::string("a cut names a ") + key + " that is not listed");
            return blanks[static_cast<std::size_t>(index)];
        };
        for (const Json& entry : member(plan, "cuts")) {
            PlannedCut cut;
            const Json& blank = blank_at(entry, "blank");
            const double x = number_at(blank, "x");
            const double y = number_at(blank, "y");
            cut.number = static_cast<int>(sheet.cuts.size()) + 1;
            cut.dealer = text_at(entry, "by") == "dealer";
            cut.along = text_at(entry, "direction") == "width";
            cut.blank_length = number_at(blank, "length");
            cut.blank_width = number_at(blank, "width");
            cut.setting = number_at(entry, "position");
            const double room =
                (cut.along ? cut.blank_width : cut.blank_length) - cut.setting; // kerf and rest
            const double middle = cut.setting + std::min(sheet.kerf, room) / 2;
            cut.x1 = cut.along ? x : x + middle;
            cut.x2 = cut.along ? x + cut.blank_length : cut.x1;
            cut.y1 = cut.along ? y + middle : y;
            cut.y2 = cut.along ? cut.y1 : y + cut.blank_width;
            if (!sheet.cuts.empty()) {
                const PlannedCut& last = sheet.cuts.back();
                cut.same_setting =
                    last.dealer == cut.dealer && std::abs(last.setting - cut.setting) < same;
            }
            cut.first = entry.contains("first") ? blank_in_words(sheet, blank_at(entry, "first"))
                                                : bare_length(cut.setting, book_.length_unit);
            cut.rest = entry.contains("second") ? blank_in_words(sheet, blank_at(entry, "second"))
                                                : "nothing but dust";
            sheet.cuts.push_back(std::move(cut));
        }
    }

    void add_board(const Json& plan) {
        const std::string demand = text_at(plan, "demand");
        if (book_.boards.empty() || demand != board_demand_) {
            BoardGroup group;
            const EstimateBound* bound = bound_of(demand);
            group.title = bound != nullptr ? bound->material : text_at(plan, "material");
            if (bound != nullptr) group.quality = quality_of(*bound, "board", "boards");
            book_.boards.push_back(std::move(group));
            board_demand_ = demand;
        }
        const Json& size = member(plan, "board");
        if (!size.is_object()) bad_plan("it has no 'board' with length, width and thickness");
        BoardPlan board;
        board.id = 'B' + std::to_string(++boards_);
        board.source = source_of(plan);
        board.length = number_at(size, "length");
        board.width = number_at(size, "width");
        board.thickness = number_at(size, "thickness");
        if (board.length <= 0 || board.width <= 0) bad_plan("its board has no size");
        board.kerf = number_at(plan, "kerf", 0);
        board.end_trim = number_at(plan, "end_trim", 0);
        board.copies = copies_of(plan);
        for (const Json& entry : member(plan, "placements")) {
            board.ripped = true;
            board.placed.push_back(placed(entry));
        }
        for (const Json& entry : member(plan, "pieces")) {
            PlacedPart piece;
            piece.part = part_at(entry);
            piece.x = number_at(entry, "position");
            piece.length = number_at(entry, "length");
            piece.width = board.width;
            CutPart& part = book_.parts[piece.part];
            part.cut_length = piece.length;
            part.cut_width = piece.width;
            board.placed.push_back(piece);
        }
        const double offcut = number_at(plan, "offcut", 0);
        if (offcut > 0 && !board.placed.empty()) {
            double end = 0;
            for (const PlacedPart& part : board.placed) end = std::max(end, part.x + part.length);
            board.offcuts.push_back({end + board.kerf, 0, offcut, board.width, false});
        }
        for (std::int64_t copy = 1; copy <= board.copies; ++copy) {
            const std::string from = board.copies == 1
                                         ? board.id
                                         : board.id + ", board " + std::to_string(copy) + " of " +
                                               std::to_string(board.copies);
            for (const PlacedPart& part : board.placed) label(part.part, from);
        }
        book_.boards.back().boards.push_back(std::move(board));
    }

    void label(std::size_t part, const std::string& from) {
        book_.labels.push_back({part, ++made_[part], from});
    }

    /// Parts of boards bought by volume have no plan; they get their labels all the same.
    void add_unplanned() {
        for (const EstimateLine& line : estimate_.lines) {
            const auto part = index_.find(Key(line.id, 0));
            if (part == index_.end() || made_.count(part->second) > 0) continue;
            for (std::int64_t i = 0; i < line.count; ++i) label(part->second, "");
        }
    }

    void count_parts() {
        for (const auto& [part, count] : made_) book_.parts[part].count = count;
    }

    const Estimate& estimate_;
    CutBook book_;
    std::map<Key, std::size_t> index_;
    std::map<std::size_t, std::int64_t> made_;
    std::map<std::string, std::int64_t> sheets_of_demand_;
    std::map<std::string, std::int64_t> sheets_seen_;
    std::string board_demand_;
    int boards_ = 0;
};

} // namespace

CutBook cut_book(const Estimate& estimate) {
    return Binder(estimate).bind();
}

std::string bare_length(double mm, const std::string& unit) {
    if (unit != "in") return format_trimmed(mm, 1);
    std::string text = format_length(Length::mm(mm), LengthUnit::inch, 64);
    text.resize(text.size() - 3); // " in"
    return text;
}

std::string bare_size(double length, double width, const std::string& unit) {
    return bare_length(length, unit) + " x " + bare_length(width, unit);
}

std::string size_with_unit(double length, double width, const std::string& unit) {
    return bare_size(length, width, unit) + (unit == "in" ? " in" : " mm");
}

std::string length_with_unit(double mm, const std::string& unit) {
    return bare_length(mm, unit) + (unit == "in" ? " in" : " mm");
}

std::string unit_note(const std::string& unit) {
    return unit == "in" ? "All sizes in inches, to the nearest 1/64." : "All sizes in mm.";
}

std::string edges_in_words(const CutPart& part) {
    const std::string taper = part.taper.empty() ? "" : "tapered: " + part.taper;
    const std::string between = taper.empty() || part.edges.empty() ? "" : "; ";
    std::string words;
    for (const auto& [edge, treatment] : part.edges)
        words += (words.empty() ? "" : ", ") + edge + ' ' + treatment;
    if (part.edges.size() == 4 && std::all_of(part.edges.begin(), part.edges.end(), [&](auto& e) {
            return e.second == part.edges.front().second;
        }))
        words = "all four " + part.edges.front().second;
    return taper + between + words;
}

std::string faces_in_words(const CutPart& part) {
    return part.faces == 0   ? "no face shows"
           : part.faces == 1 ? "one face shows"
           : part.faces == 2 ? "both faces show"
                             : "";
}

std::string percent(double share) {
    return format_number(share * 100, 1) + " %";
}

} // namespace aumbry::print
