#include "modules/plan_check.hpp"

#include "values/excerpt.hpp"

#include "aumbry/rounding.hpp"

#include <algorithm>
#include <map>
#include <set>

namespace aumbry {

namespace {

using contract::BoardPlan;
using contract::LiftPlan;
using contract::SheetPlan;

constexpr std::int64_t max_copies = 1'000'000;
constexpr double tolerance = 1e-3; ///< mm; plans are rounded to four decimals

struct Box {
    double x = 0, y = 0, length = 0, width = 0;
};

template <class Rectangle>
Box box_of(const Rectangle& of) {
    return {of.x, of.y, of.length, of.width};
}

bool inside(const Box& box, double length, double width) {
    return box.length > 0 && box.width > 0 && box.x >= -tolerance && box.y >= -tolerance &&
           box.x + box.length <= length + tolerance && box.y + box.width <= width + tolerance;
}

bool overlap(const Box& a, const Box& b) {
    return a.x + a.length > b.x + tolerance && b.x + b.length > a.x + tolerance &&
           a.y + a.width > b.y + tolerance && b.y + b.width > a.y + tolerance;
}

std::string size_text(double length, double width) {
    return format_trimmed(length, 1) + " x " + format_trimmed(width, 1) + " mm";
}

class PlanCheck {
  public:
    PlanCheck(const std::function<bool(const std::string&)>& is_line,
              const std::function<void(const PlanFault&)>& found)
        : is_line_(is_line), found_(found) {}

    void sheet(const SheetPlan& plan) {
        if (!(plan.sheet.length > 0 && plan.sheet.width > 0))
            fault("/sheet", "its sheet has no area");
        copies(plan.copies);
        not_negative(plan.kerf, "kerf", "/kerf");
        not_negative(plan.clean_up, "clean-up", "/clean_up");
        placements(plan.placements, plan.sheet.length, plan.sheet.width, "sheet");
        for (std::size_t i = 0; i < plan.blanks.size(); ++i)
            lies_inside(box_of(plan.blanks[i]), plan.sheet.length, plan.sheet.width,
                        "blank " + std::to_string(i), "sheet", "/blanks/" + std::to_string(i));
        for (std::size_t i = 0; i < plan.offcuts.size(); ++i)
            lies_inside(box_of(plan.offcuts[i]), plan.sheet.length, plan.sheet.width,
                        "offcut " + std::to_string(i + 1), "sheet",
                        "/offcuts/" + std::to_string(i));
        for (std::size_t i = 0; i < plan.placements.size(); ++i) {
            const auto& blank = plan.placements[i].blank;
            if (blank && !is_blank(plan, *blank))
                no_blank("part " + std::to_string(i + 1), *blank, plan,
                         "/placements/" + std::to_string(i) + "/blank");
        }
        cuts(plan);
    }

    void board(const BoardPlan& plan) {
        const contract::BoardSize& size = plan.board;
        if (!(size.length > 0 && size.width > 0 && size.thickness > 0))
            fault("/board", "its board has no size");
        copies(plan.copies);
        not_negative(plan.kerf, "kerf", "/kerf");
        not_negative(plan.end_trim, "end trim", "/end_trim");
        if (plan.offcut) not_negative(*plan.offcut, "offcut", "/offcut");
        placements(plan.placements, size.length, size.width, "board");
        dealer_cuts(plan);
        double end = 0;
        for (std::size_t i = 0; i < plan.pieces.size(); ++i) {
            const contract::BoardPiece& piece = plan.pieces[i];
            const std::string at = "/pieces/" + std::to_string(i);
            const std::string name = "piece " + std::to_string(i + 1);
            line(piece.line, name, at + "/line");
            if (!inside({piece.position, 0, piece.length, 1}, size.length, 1))
                fault(at, name + " lies outside its board of " + format_trimmed(size.length, 1) +
                              " mm");
            else if (piece.position < end - tolerance)
                fault(at, name + " begins before the one before it ends");
            end = std::max(end, piece.position + piece.length);
        }
    }

    /// The dealer cuts between parts, from one end to the other.
    void dealer_cuts(const BoardPlan& plan) {
        double end = 0;
        for (std::size_t i = 0; i < plan.dealer_cuts.size(); ++i) {
            const contract::BoardCut& cut = plan.dealer_cuts[i];
            const std::string at = "/dealer_cuts/" + std::to_string(i);
            const std::string name = "cut " + std::to_string(i + 1) + " of the dealer";
            not_negative(cut.kerf, "dealer's kerf", at + "/kerf");
            if (!(cut.position > end - tolerance) ||
                cut.position + cut.kerf > plan.board.length + tolerance)
                fault(at + "/position", name + " is set to " + format_trimmed(cut.position, 1) +
                                            " mm, and what is left of its board begins at " +
                                            format_trimmed(end, 1) + " mm and ends at " +
                                            format_trimmed(plan.board.length, 1) + " mm");
            const auto divides = [&](double begin, double length) {
                return begin < cut.position + cut.kerf - tolerance &&
                       begin + length > cut.position + tolerance;
            };
            for (const contract::BoardPiece& piece : plan.pieces)
                if (divides(piece.position, piece.length))
                    fault(at, name + " divides the part of '" + piece.line + "'");
            for (const contract::Placement& part : plan.placements)
                if (divides(part.x, part.length))
                    fault(at, name + " divides the part of '" + part.line + "'");
            end = cut.position + cut.kerf;
        }
    }

    void lift(const LiftPlan& plan) {
        line(plan.line, "it", "/line");
        if (plan.curve.size() < 2) fault("/curve", "its swing has fewer than two steps");
        if (plan.side_view.size() != plan.curve.size())
            fault("/side_view", "it has " + std::to_string(plan.side_view.size()) +
                                    " side views for " + std::to_string(plan.curve.size()) +
                                    " steps");
        for (std::size_t i = 0; i < plan.side_view.size(); ++i) {
            const contract::LiftView& view = plan.side_view[i];
            const std::string at = "/side_view/" + std::to_string(i);
            if (view.masses.size() != plan.masses.size())
                fault(at + "/masses", "side view " + std::to_string(i + 1) + " shows " +
                                          std::to_string(view.masses.size()) + " masses of " +
                                          std::to_string(plan.masses.size()));
            if (view.fixed.size() != view.moving.size())
                fault(at,
                      "side view " + std::to_string(i + 1) + " has a spring with one mount only");
        }
        for (std::size_t i = 0; i < plan.springs.size(); ++i) {
            if (plan.springs[i].count < 1)
                fault("/springs/" + std::to_string(i) + "/count",
                      "its springs '" + plan.springs[i].model + "' are fewer than one");
        }
    }

    void at(std::size_t index) { pointer_ = '/' + std::to_string(index); }

  private:
    void fault(const std::string& pointer, std::string wrong) {
        found_({pointer_ + pointer, std::move(wrong)});
    }
    void copies(std::int64_t count) {
        if (count < 1 || count > max_copies)
            fault("/copies", "it is cut " + std::to_string(count) + " times");
    }
    void not_negative(double value, const std::string& what, const std::string& pointer) {
        if (!(value >= 0)) fault(pointer, "its " + what + " is negative");
    }
    void line(const std::string& id, const std::string& what, const std::string& pointer) {
        if (is_line_ && !is_line_(id))
            fault(pointer, what + " names the line '" + id + "', which is none");
    }
    void lies_inside(const Box& box, double length, double width, const std::string& what,
                     const std::string& of, const std::string& pointer) {
        if (!inside(box, length, width))
            fault(pointer, what + " lies outside its " + of + " of " + size_text(length, width));
    }

    void placements(const std::vector<contract::Placement>& parts, double length, double width,
                    const std::string& of) {
        for (std::size_t i = 0; i < parts.size(); ++i) {
            const std::string at = "/placements/" + std::to_string(i);
            const std::string name = "part " + std::to_string(i + 1);
            line(parts[i].line, name, at + "/line");
            lies_inside(box_of(parts[i]), length, width, name, of, at);
            for (std::size_t j = 0; j < i; ++j) {
                if (overlap(box_of(parts[i]), box_of(parts[j])))
                    fault(at, "parts " + std::to_string(j + 1) + " and " + std::to_string(i + 1) +
                                  " lie on each other");
            }
        }
    }

    static bool is_blank(const SheetPlan& plan, int index) {
        return index >= 0 && static_cast<std::size_t>(index) < plan.blanks.size();
    }
    void no_blank(const std::string& what, int index, const SheetPlan& plan,
                  const std::string& pointer) {
        fault(pointer, what + " names blank " + std::to_string(index) + ", and the plan has " +
                           std::to_string(plan.blanks.size()) + " blanks");
    }

    /// A cut divides a blank that is there; what it leaves is there from then on, and no other cut
    /// has left it.
    void cuts(const SheetPlan& plan) {
        std::set<int> there{0};
        std::set<int> made{0};
        for (std::size_t i = 0; i < plan.cuts.size(); ++i) {
            const contract::SheetCut& cut = plan.cuts[i];
            const std::string at = "/cuts/" + std::to_string(i);
            const std::string name = "cut " + std::to_string(i + 1);
            const auto leaves = [&](int index, const char* key) {
                if (!is_blank(plan, index)) return no_blank(name, index, plan, at + '/' + key);
                if (!made.insert(index).second)
                    return fault(at + '/' + key, name + " leaves blank " + std::to_string(index) +
                                                     ", which is there already");
                there.insert(index);
            };
            if (!is_blank(plan, cut.blank)) {
                no_blank(name, cut.blank, plan, at + "/blank");
            } else if (there.erase(cut.blank) == 0) {
                fault(at + "/blank", name + " divides blank " + std::to_string(cut.blank) +
                                         ", which is not there by then");
            } else {
                const contract::Blank& blank = plan.blanks[static_cast<std::size_t>(cut.blank)];
                const double room =
                    cut.direction == contract::CutDirection::length ? blank.length : blank.width;
                const bool trim = cut.kind == contract::CutKind::trim;
                if (!(cut.position > 0 || (trim && cut.position == 0)) ||
                    cut.position > room + tolerance)
                    fault(at + "/position", name + " is set to " + format_trimmed(cut.position, 1) +
                                                " mm, and its blank measures " +
                                                format_trimmed(room, 1) + " mm there");
            }
            if (cut.first) leaves(*cut.first, "first");
            if (cut.second) leaves(*cut.second, "second");
        }
    }

    const std::function<bool(const std::string&)>& is_line_;
    const std::function<void(const PlanFault&)>& found_;
    std::string pointer_;
};

} // namespace

void check_plans(const contract::Plans& plans,
                 const std::function<bool(const std::string&)>& is_line,
                 const std::function<void(const PlanFault&)>& found) {
    PlanCheck check(is_line, found);
    std::size_t index = 0; // in a document, plans of one type follow those of another
    for (const SheetPlan& plan : plans.sheets) {
        check.at(index++);
        check.sheet(plan);
    }
    for (const BoardPlan& plan : plans.boards) {
        check.at(index++);
        check.board(plan);
    }
    for (const LiftPlan& plan : plans.lifts) {
        check.at(index++);
        check.lift(plan);
    }
}

namespace {

/// What a plan of no known type lacks to be one.
const char* lacks(const std::string& plan_type) {
    return plan_type == "sheet"   ? "has no 'sheet'"
           : plan_type == "board" ? "has no 'board'"
                                  : "has no type 'lift'";
}

std::string wrong_type(const contract::Demand& demand, const contract::Way& way) {
    const contract::Plans& plans = way.plans;
    const std::string of = " of way " + in_quotes(way.id) + " of demand " + in_quotes(demand.id);
    const std::map<std::string, std::size_t> counts{{"sheet", plans.sheets.size()},
                                                    {"board", plans.boards.size()},
                                                    {"lift", plans.lifts.size()}};
    if (counts.contains(demand.plan_type) && !plans.others.empty())
        return "a plan" + of + ' ' + lacks(demand.plan_type);
    for (const auto& [type, count] : counts) {
        if (count > 0 && type != demand.plan_type)
            return "a plan" + of + " is of a " + type + ", and the plan type of the demand is " +
                   (demand.plan_type.empty() ? "not said" : in_quotes(demand.plan_type));
    }
    return "";
}

} // namespace

std::string type_of_plans(const contract::Plans& plans) {
    if (!plans.lifts.empty()) return "lift";
    if (!plans.sheets.empty()) return "sheet";
    return plans.boards.empty() ? "" : "board";
}

std::string fault_of_plans(const contract::Demand& demand,
                           const contract::TakeOffRequest& request) {
    std::set<std::string> lines, offers;
    for (const contract::Line& line : request.lines) lines.insert(line.id);
    for (const contract::Offer& offer : request.offers) offers.insert(offer.id);
    const auto is_line = [&](const std::string& id) { return lines.contains(id); };
    const auto is_offer = [&](const std::string& id) { return offers.contains(id); };
    for (const contract::Way& way : demand.ways) {
        if (std::string wrong = wrong_type(demand, way); !wrong.empty()) return wrong;
        std::string wrong;
        check_plans(way.plans, is_line, [&](const PlanFault& fault) {
            if (wrong.empty())
                wrong = "a plan of way " + in_quotes(way.id) + " of demand " +
                        in_quotes(demand.id) + " cannot be cut by (" + fault.pointer +
                        "): " + fault.wrong;
        });
        const auto offered = [&](const auto& plan) {
            if (wrong.empty() && !is_offer(plan.offer))
                wrong = "a plan of way " + in_quotes(way.id) + " of demand " +
                        in_quotes(demand.id) + " cuts the offer " + in_quotes(plan.offer) +
                        ", which the module was not given";
        };
        for (const SheetPlan& plan : way.plans.sheets) offered(plan);
        for (const BoardPlan& plan : way.plans.boards) offered(plan);
        if (!wrong.empty()) return wrong;
    }
    return "";
}

} // namespace aumbry
