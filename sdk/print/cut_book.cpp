#include "print/cut_book.hpp"

#include "aumbry/fault.hpp"
#include "aumbry/piece_letters.hpp"
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

std::string text_at(const Json& object, const char* key) {
    const auto found = object.find(key);
    return found != object.end() && found->is_string() ? found->get<std::string>() : "";
}

const Json& member(const Json& object, const char* key) {
    static const Json nothing = Json::array();
    const auto found = object.find(key);
    return found != object.end() ? *found : nothing;
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
        for (const contract::SheetPlan& plan : estimate_.cutting_plans)
            sheets_of_demand_[plan.demand] += plan.copies;
        for (const contract::SheetPlan& plan : estimate_.cutting_plans) add_sheet(plan);
        for (const contract::BoardPlan& plan : estimate_.board_plans) add_board(plan);
        add_unplanned();
        count_parts();
        for (const EstimateFinding& finding : estimate_.findings) {
            if (finding.module == "sheet_goods" || finding.module == "solid_stock") {
                if (finding.severity != contract::Severity::note)
                    book_.cautions.push_back(
                        (finding.severity == contract::Severity::warning ? "Warning: " : "") +
                        finding.text);
            }
        }
        return std::move(book_);
    }

  private:
    using Key = std::pair<std::string, std::int64_t>; ///< line and section

    void number_parts() {
        std::map<std::string, std::set<std::int64_t>> sections; // by line, of those in plans
        const auto see = [&](const std::vector<contract::Placement>& placements) {
            for (const contract::Placement& placement : placements)
                sections[placement.line].insert(placement.section.value_or(0));
        };
        for (const contract::SheetPlan& plan : estimate_.cutting_plans) see(plan.placements);
        for (const contract::BoardPlan& plan : estimate_.board_plans) {
            see(plan.placements);
            for (const contract::BoardPiece& piece : plan.pieces) sections[piece.line].insert(0);
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

    BookPart part_of(const EstimateLine& line, const std::string& number) const {
        BookPart part;
        part.number = number;
        part.line = line.id;
        part.title = line.title.empty() ? line.id : line.title;
        const auto piece = std::find_if(estimate_.by_piece.begin(), estimate_.by_piece.end(),
                                        [&](const Part& p) { return p.id == line.piece; });
        if (!line.piece.empty())
            part.piece = piece == estimate_.by_piece.end() ? line.piece : piece->title;
        part.material = line.material;
        if (line.count > 0) part.mass = line.mass / static_cast<double>(line.count);
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
            part.hand = text_at(line.fields, "hand");
            part.match = text_at(line.fields, "match");
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
    void add_taper(BookPart& part, const Json& fields, const char* field, double size,
                   const char* near, const char* far) const {
        const double other = number_at(fields, field, size);
        if (size <= 0 || std::abs(other - size) < 0.05) return;
        part.taper += std::string(part.taper.empty() ? "" : ", ") + near + ' ' +
                      bare_length(size, book_.length_unit) + ", " + far + ' ' +
                      bare_length(other, book_.length_unit);
    }

    static void set_grain(BookPart& part, const std::string& grain) {
        part.grain_fixed = grain == "length" || grain == "width";
        part.grain = grain == "length"  ? "along its length"
                     : grain == "width" ? "across its length"
                     : grain == "any"   ? "either way"
                                        : "";
    }

    static void set_grain(BookPart& part, contract::PartGrain grain) {
        part.grain_fixed = grain != contract::PartGrain::any;
        part.grain = grain == contract::PartGrain::length  ? "along its length"
                     : grain == contract::PartGrain::width ? "across its length"
                                                           : "either way";
    }

    std::size_t index_of(const std::string& line, std::int64_t section) const {
        const auto found = index_.find(Key(line, section));
        if (found == index_.end()) bad_plan("it names the line '" + line + "', which is none");
        return found->second;
    }

    /// Enters what a placement knows better than the line: a section's own size, its edges.
    std::size_t part_at(const contract::Placement& placement) {
        const std::int64_t section = placement.section.value_or(0);
        const std::size_t index = index_of(placement.line, section);
        BookPart& part = book_.parts[index];
        if (placement.finished) {
            part.length = placement.finished->length;
            part.width = placement.finished->width;
        }
        if (placement.grain) set_grain(part, *placement.grain);
        if (placement.faces) part.faces = *placement.faces;
        if (section > 0) {
            part.edges = said(placement.edges);
            part.joints = said(placement.joints);
            set_taper(part, placement.tapered.value_or(contract::TaperedTo{}));
            const EstimateLine& line = line_of(placement.line);
            const double whole =
                number_at(line.derived, "length", 0) * number_at(line.derived, "width", 0);
            if (line.count > 0 && whole > 0)
                part.mass =
                    line.mass / static_cast<double>(line.count) * part.length * part.width / whole;
        }
        return index;
    }

    /// Edges of which something is said, with what it is.
    static std::vector<std::pair<std::string, std::string>>
    said(const std::optional<contract::PlacedEdges>& edges) {
        std::vector<std::pair<std::string, std::string>> all;
        const contract::PlacedEdges of = edges.value_or(contract::PlacedEdges{});
        for (const auto& [name, what] :
             {std::pair{"front", &of.front}, std::pair{"back", &of.back},
              std::pair{"left", &of.left}, std::pair{"right", &of.right}}) {
            if (!what->empty()) all.emplace_back(name, *what);
        }
        return all;
    }

    /// The taper of a section is its own, not that of the whole panel.
    void set_taper(BookPart& part, const contract::TaperedTo& to) const {
        part.taper.clear();
        const auto sides = [&](const char* one, double first, const char* other, double second) {
            if (std::abs(first - second) < 0.05) return;
            part.taper += std::string(part.taper.empty() ? "" : ", ") + one + ' ' +
                          bare_length(first, book_.length_unit) + ", " + other + ' ' +
                          bare_length(second, book_.length_unit);
        };
        sides("front", to.length_front.value_or(part.length), "back",
              to.length_back.value_or(part.length));
        sides("left", to.width_left.value_or(part.width), "right",
              to.width_right.value_or(part.width));
    }

    const EstimateLine& line_of(const std::string& id) const {
        const auto found = std::find_if(estimate_.lines.begin(), estimate_.lines.end(),
                                        [&](const EstimateLine& line) { return line.id == id; });
        if (found == estimate_.lines.end())
            bad_plan("it names the line '" + id + "', which is none");
        return *found;
    }

    PlacedPart placed(const contract::Placement& placement) {
        PlacedPart out;
        out.part = part_at(placement);
        out.x = placement.x;
        out.y = placement.y;
        out.length = placement.length;
        out.width = placement.width;
        out.rotated = placement.rotated;
        BookPart& part = book_.parts[out.part];
        part.cut_length = out.rotated ? out.width : out.length;
        part.cut_width = out.rotated ? out.length : out.width;
        if (placement.match)
            out.place = std::to_string(placement.match->place) + " of " +
                        std::to_string(placement.match->of);
        return out;
    }

    /// Where a sheet or board comes from: the purchase that its offer became.
    std::string source_of(const std::string& offer, const std::string& sku) const {
        const auto bought =
            std::find_if(estimate_.purchases.begin(), estimate_.purchases.end(),
                         [&](const EstimatePurchase& p) { return p.offer == offer; });
        if (bought == estimate_.purchases.end()) return sku.empty() ? offer : sku;
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
            words += "Fewest possible " + std::to_string(bound.lower_bound) +
                     ", not proven: " + std::to_string(bound.used) + " are used.";
        } else if (bound.used > bound.lower_bound) {
            words += "Proven cheapest: no other choice of these " + many + " costs less.";
        } else {
            words += "Proven fewest: fewer " + many + " cannot do.";
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

    void add_sheet(const contract::SheetPlan& plan) {
        SheetPage sheet;
        sheet.id = 'S' + std::to_string(book_.sheets.size() + 1);
        const EstimateBound* bound = bound_of(plan.demand);
        sheet.title = bound != nullptr ? bound->material : plan.material;
        sheet.source = source_of(plan.offer, plan.sku);
        sheet.copies = plan.copies;
        std::int64_t& before = sheets_seen_[plan.demand];
        sheet.from_which = from_which(before + 1, sheet.copies, sheets_of_demand_[plan.demand]);
        before += sheet.copies;
        sheet.length = plan.sheet.length;
        sheet.width = plan.sheet.width;
        sheet.clean_up = plan.clean_up;
        sheet.kerf = plan.kerf;
        sheet.grain = plan.grain;
        if (bound != nullptr) sheet.quality = quality_of(*bound, "sheet", "sheets");
        double used = 0;
        for (const contract::Placement& placement : plan.placements) {
            sheet.placed.push_back(placed(placement));
            used += placement.length * placement.width;
        }
        sheet.yield = round_to(used / (sheet.length * sheet.width), 4);
        sheet.offcuts = plan.offcuts;
        add_cuts(sheet, plan);
        label_all(sheet, sheet.title, "sheet");
        keep_offcuts(sheet);
        book_.sheets.push_back(std::move(sheet));
    }

    /// What a blank is: a part by its number, an offcut, or a letter and a size still to be
    /// divided; without its size where it is told in short.
    std::string blank_in_words(const SheetPage& sheet, const contract::Blank& blank,
                               const std::string& letter, bool in_short) const {
        if (!blank.line.empty()) {
            for (const PlacedPart& part : sheet.placed) {
                if (std::abs(part.x - blank.x) < same && std::abs(part.y - blank.y) < same &&
                    std::abs(part.length - blank.length) < same &&
                    std::abs(part.width - blank.width) < same)
                    return (in_short ? "" : "part ") + book_.parts[part.part].number;
            }
        }
        const std::string size =
            in_short ? "" : ' ' + bare_size(blank.length, blank.width, book_.length_unit);
        const std::string marked = letter.empty() ? "" : letter + ' ';
        if (!blank.offcut) return letter + size;
        for (const contract::Offcut& offcut : sheet.offcuts) {
            if (offcut.keep && std::abs(offcut.x - blank.x) < same &&
                std::abs(offcut.y - blank.y) < same)
                return marked + "keep" + size;
        }
        return marked + "offcut" + size;
    }

    void add_cuts(SheetPage& sheet, const contract::SheetPlan& plan) const {
        const auto blank_at = [&](int index) -> const contract::Blank& {
            return plan.blanks.at(static_cast<std::size_t>(index));
        };
        const std::vector<std::string> letters = piece_letters(plan);
        const auto letter_of = [&](int index) {
            return letters.at(static_cast<std::size_t>(index));
        };
        const auto told = [&](std::optional<int> index, bool in_short) {
            return index ? blank_in_words(sheet, blank_at(*index), letter_of(*index), in_short)
                         : std::string("waste");
        };
        for (const contract::SheetCut& planned : plan.cuts) {
            PlannedCut cut;
            const contract::Blank& blank = blank_at(planned.blank);
            cut.number = static_cast<int>(sheet.cuts.size()) + 1;
            cut.dealer = planned.by == contract::CutBy::dealer;
            cut.along = planned.direction == contract::CutDirection::width;
            cut.blank_x = blank.x;
            cut.blank_y = blank.y;
            cut.blank_length = blank.length;
            cut.blank_width = blank.width;
            cut.setting = planned.position;
            cut.table_row = planned.setting.value_or(0);
            cut.kerf = kerf_of(plan, planned);
            const double room =
                (cut.along ? cut.blank_width : cut.blank_length) - cut.setting; // kerf and rest
            const double middle = cut.setting + std::min(kerf_of(plan, planned), room) / 2;
            cut.x1 = cut.along ? blank.x : blank.x + middle;
            cut.x2 = cut.along ? blank.x + cut.blank_length : cut.x1;
            cut.y1 = cut.along ? blank.y + middle : blank.y;
            cut.y2 = cut.along ? cut.y1 : blank.y + cut.blank_width;
            // A plan that does not say which: along the longer side of the piece, or across it.
            cut.kind = planned.kind.value_or((cut.along ? blank.length : blank.width) >= cut.setting
                                                 ? contract::CutKind::rip
                                                 : contract::CutKind::crosscut);
            if (!sheet.cuts.empty()) {
                const PlannedCut& last = sheet.cuts.back();
                cut.same_setting = last.dealer == cut.dealer && last.kind == cut.kind &&
                                   std::abs(last.setting - cut.setting) < same;
            }
            if (cut.dealer) sheet.dealer_kerf = kerf_of(plan, planned);
            cut.piece = letter_of(planned.blank);
            cut.first = told(planned.first, false);
            cut.rest = told(planned.second, false);
            cut.first_short = told(planned.first, true);
            cut.rest_short = told(planned.second, true);
            sheet.cuts.push_back(std::move(cut));
        }
        add_pieces(sheet, plan, letters);
    }

    /// Every letter where its piece lies when it gets it; for what a dealer hands over, as he
    /// leaves it.
    static void add_pieces(SheetPage& sheet, const contract::SheetPlan& plan,
                           const std::vector<std::string>& letters) {
        std::vector<bool> left_by_dealer(plan.blanks.size(), false);
        for (const contract::SheetCut& cut : plan.cuts) {
            if (cut.by != contract::CutBy::dealer) continue;
            left_by_dealer[static_cast<std::size_t>(cut.blank)] = false;
            for (const std::optional<int>& left : {cut.first, cut.second}) {
                if (left) left_by_dealer[static_cast<std::size_t>(*left)] = true;
            }
        }
        for (std::size_t i = 0; i < plan.blanks.size(); ++i) {
            if (letters[i].empty()) continue;
            const contract::Blank& blank = plan.blanks[i];
            const LetteredPiece piece{letters[i],   blank.x,     blank.y,
                                      blank.length, blank.width, left_by_dealer[i]};
            const auto known =
                std::find_if(sheet.pieces.begin(), sheet.pieces.end(),
                             [&](const LetteredPiece& each) { return each.letter == letters[i]; });
            if (known == sheet.pieces.end())
                sheet.pieces.push_back(piece);
            else if (piece.handed_over)
                *known = piece;
        }
        std::sort(sheet.pieces.begin(), sheet.pieces.end(),
                  [](const LetteredPiece& a, const LetteredPiece& b) {
                      return std::pair(a.letter.size(), a.letter) <
                             std::pair(b.letter.size(), b.letter);
                  });
    }

    void keep_offcuts(const SheetPage& sheet) {
        for (std::int64_t copy = 1; copy <= sheet.copies; ++copy) {
            for (const contract::Offcut& offcut : sheet.offcuts) {
                if (offcut.keep)
                    book_.kept.push_back({sheet.title, offcut.length, offcut.width, sheet.grain,
                                          copy_in_words(sheet, "sheet", copy), sheet.source});
            }
        }
    }

    /// How a board differs when it is here from what is drawn.
    [[nodiscard]] std::string handed_over(const contract::BoardPlan& plan) const {
        std::string words = plan.at_least ? ", at least this size" : "";
        for (const contract::BoardCut& cut : plan.dealer_cuts)
            words +=
                (&cut == &plan.dealer_cuts.front() ? ", the supplier crosscuts at " : " and at ") +
                length_with_unit(cut.position, book_.length_unit);
        return words;
    }

    void add_board(const contract::BoardPlan& plan) {
        if (book_.boards.empty() || plan.demand != board_demand_) {
            BoardGroup group;
            const EstimateBound* bound = bound_of(plan.demand);
            group.title = bound != nullptr ? bound->material : plan.material;
            if (bound != nullptr) group.quality = quality_of(*bound, "board", "boards");
            book_.boards.push_back(std::move(group));
            board_demand_ = plan.demand;
        }
        BoardPage board;
        board.id = 'B' + std::to_string(++boards_);
        board.source = source_of(plan.offer, plan.sku) + handed_over(plan);
        board.length = plan.board.length;
        board.width = plan.board.width;
        board.thickness = plan.board.thickness;
        board.kerf = plan.kerf;
        board.end_trim = plan.end_trim;
        board.copies = plan.copies;
        board.ripped = !plan.placements.empty();
        for (const contract::Placement& placement : plan.placements)
            board.placed.push_back(placed(placement));
        double end = 0;
        for (const contract::BoardPiece& piece : plan.pieces) {
            PlacedPart made;
            made.part = index_of(piece.line, 0);
            made.x = piece.position;
            made.length = piece.length;
            made.width = board.width;
            BookPart& part = book_.parts[made.part];
            part.cut_length = made.length;
            part.cut_width = made.width;
            board.placed.push_back(made);
            end = std::max(end, made.x + made.length);
        }
        if (const double offcut = plan.offcut.value_or(0); offcut > 0 && !plan.pieces.empty())
            board.offcuts.push_back({end + board.kerf, 0, offcut, board.width, false});
        label_all(board, book_.boards.back().title, "board");
        book_.boards.back().boards.push_back(std::move(board));
    }

    template <class Plan>
    static std::string copy_in_words(const Plan& plan, const std::string& what, std::int64_t copy) {
        return plan.copies == 1 ? plan.id
                                : plan.id + ", " + what + ' ' + std::to_string(copy) + " of " +
                                      std::to_string(plan.copies);
    }

    /// The labels of all parts of a sheet or board, copy by copy; and what each of them is drawn
    /// like, now that it is known which of a pair it is.
    template <class Plan>
    void label_all(Plan& plan, const std::string& stock, const std::string& what) {
        for (std::int64_t copy = 1; copy <= plan.copies; ++copy) {
            for (PlacedPart& placed : plan.placed) {
                label(placed.part, copy_in_words(plan, what, copy), placed.place);
                BookPart& part = book_.parts[placed.part];
                part.stock = stock;
                placed.hand =
                    plan.copies == 1 || part.hand != "pair" ? book_.labels.back().hand : "";
                placed.edges = edge_looks(part, placed.hand);
                if (placed.rotated) {
                    const EdgeLooks lying = placed.edges;
                    placed.edges = {lying.left, lying.top, lying.right, lying.bottom};
                }
            }
        }
    }

    void label(std::size_t part, const std::string& from, const std::string& place) {
        const std::int64_t number = ++made_[part];
        std::string hand = book_.parts[part].hand;
        if (hand == "pair") hand = number % 2 == 1 ? "left" : "right";
        book_.labels.push_back({part, number, from, hand, place});
    }

    /// Parts of boards bought by volume have no plan; they get their labels all the same.
    void add_unplanned() {
        for (const EstimateLine& line : estimate_.lines) {
            const auto part = index_.find(Key(line.id, 0));
            if (part == index_.end() || made_.count(part->second) > 0) continue;
            for (std::int64_t i = 0; i < line.count; ++i) label(part->second, "", "");
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

} // namespace aumbry::print
