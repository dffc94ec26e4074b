// How boards come to the workshop: whole in the vehicle, crosscut by the dealer, or delivered.
#include "solid_stock/module/density.hpp"
#include "solid_stock/module/planner.hpp"

#include "aumbry/plugin.hpp"

#include <set>

namespace aumbry::solid_stock {

namespace {

/// What stays whole, along a board: its pieces, or what its parts span where they lie side by side.
std::vector<Segment> segments_of(const contract::BoardPlan& board) {
    std::vector<Segment> all;
    for (const contract::BoardPiece& piece : board.pieces)
        all.push_back({to_grid(piece.position), to_grid(piece.position + piece.length)});
    for (const contract::Placement& part : board.placements)
        all.push_back({to_grid(part.x), to_grid(part.x + part.length)});
    std::sort(all.begin(), all.end(),
              [](const Segment& a, const Segment& b) { return a.begin < b.begin; });
    std::vector<Segment> joined;
    for (const Segment& segment : all) {
        if (!joined.empty() && segment.begin < joined.back().end)
            joined.back().end = std::max(joined.back().end, segment.end);
        else
            joined.push_back(segment);
    }
    return joined;
}

GridLength dealer_step(const std::string& unit) {
    return to_grid(unit == "in" ? 25.4 / 8 : 1);
}

} // namespace

const contract::CuttingService* Planner::dealer(const std::string& supplier) const {
    const auto found = std::find_if(
        request_.cutting.begin(), request_.cutting.end(),
        [&](const contract::CuttingService& service) { return service.supplier == supplier; });
    return found == request_.cutting.end() ? nullptr : &*found;
}

GridLength Planner::longest_carried(double width, double thickness) const {
    double longest = 0;
    for (const double side :
         {vehicle_->length, vehicle_->width, vehicle_->height.value_or(vehicle_->width)}) {
        if (carried_in(*vehicle_, side, width, thickness) == Carried::yes)
            longest = std::max(longest, side);
    }
    return to_grid(longest);
}

bool Planner::is_too_large(const Offer& offer, const contract::BoardSize& size) const {
    return vehicle_ && !delivered_ && !offer.owned &&
           offer.carriage != contract::Carriage::delivered &&
           carried_in(*vehicle_, size.length, size.width, size.thickness) != Carried::yes;
}

GridLength Planner::room_for_dealer(const std::string& supplier, bool rough) const {
    const contract::CuttingService& service = *dealer(supplier);
    const GridLength end =
        rough ? 0 : std::max(to_grid(number(request_.settings.module, "dealer_end", 4)), kerf_);
    const GridLength taken =
        to_grid(service.kerf + service.accuracy) + 2 * end + dealer_step(unit_);
    return std::max<GridLength>(0, taken - kerf_);
}

std::optional<contract::Way> Planner::crosscut(contract::Way way, const std::string& supplier,
                                               bool rough) const {
    const contract::CuttingService& service = *dealer(supplier);
    std::int64_t cuts = 0;
    for (contract::BoardPlan& board : way.plans.boards) {
        if (board.supplier != supplier) continue;
        if (!crosscut(board, service, rough)) return std::nullopt;
        if (board.dealer_cuts.empty()) continue;
        cuts += static_cast<std::int64_t>(board.dealer_cuts.size()) * board.copies;
        std::string at;
        for (const contract::BoardCut& cut : board.dealer_cuts)
            at += (at.empty() ? "" : " and at ") + length_text(to_grid(cut.position), unit_);
        for (contract::Use& use : way.uses) {
            if (use.offer != board.offer) continue;
            use.wanted += (use.wanted.empty() ? "please crosscut " : "; please crosscut ") +
                          std::to_string(board.copies) + " of them at " + at + " from one end";
            break;
        }
    }
    if (cuts > 0) way.dealer_cuts.push_back({supplier, cuts});
    return way;
}

bool Planner::crosscut(contract::BoardPlan& board, const contract::CuttingService& service,
                       bool rough) const {
    CarryTerms terms;
    // A piece may come out longer by what either of its cuts is off.
    terms.longest =
        longest_carried(board.board.width, board.board.thickness) - to_grid(2 * service.accuracy);
    terms.kerf = to_grid(service.kerf + service.accuracy);
    terms.end =
        rough ? 0 : std::max(to_grid(number(request_.settings.module, "dealer_end", 4)), kerf_);
    terms.step = dealer_step(unit_);
    if (terms.longest <= 0) return false;
    const std::vector<Segment> segments = segments_of(board);
    const GridLength length = to_grid(board.board.length);
    const auto made = cut_to_carry(segments, length, length - to_grid(board.end_trim), terms);
    if (!made) return false;
    const auto shift_of = [&](double position) {
        GridLength shift = 0;
        for (std::size_t i = 0; i < segments.size(); ++i)
            if (to_grid(position) >= segments[i].begin) shift = made->shifted[i];
        return to_mm(shift);
    };
    double end = 0;
    for (contract::BoardPiece& piece : board.pieces) {
        piece.position = told_mm(to_grid(piece.position + shift_of(piece.position)));
        end = std::max(end, piece.position + piece.length);
    }
    for (contract::Placement& part : board.placements)
        part.x = told_mm(to_grid(part.x + shift_of(part.x)));
    double rest = to_mm(length) - board.end_trim;
    for (const GridLength at : made->cuts) {
        board.dealer_cuts.push_back({told_mm(at), service.kerf});
        // What is left over is in pieces too: the first counts.
        if (to_mm(at) >= end && rest > to_mm(at)) {
            const bool directly_after = to_mm(at) - end < 2 * to_mm(terms.end) + to_mm(terms.step);
            if (directly_after)
                end = to_mm(at + terms.kerf);
            else
                rest = to_mm(at);
        }
    }
    if (board.offcut) board.offcut = told_mm(std::max<GridLength>(0, to_grid(rest - end) - kerf_));
    return true;
}

void Planner::add_together(contract::Way way, DemandPlan& plan) const {
    const auto offer_of = [&](const std::string& id) {
        return std::find_if(request_.offers.begin(), request_.offers.end(),
                            [&](const Offer& each) { return each.id == id; });
    };
    for (const contract::BoardPlan& board : way.plans.boards)
        if (is_too_large(*offer_of(board.offer), board.board)) return;
    std::set<std::string> used;
    for (contract::Use& use : way.uses) {
        if (offer_of(use.offer)->owned) continue;
        used.insert(offer_of(use.offer)->supplier);
        if (delivered_) use.must_be_delivered = true;
    }
    if (used.size() > 1) plan.demand.ways.push_back(std::move(way)); // else it is there already
}

void Planner::say_not_carried(const std::string& supplier, const contract::Way& way,
                              DemandPlan& plan) {
    const contract::BoardSize* size = nullptr;
    for (const contract::BoardPlan& board : way.plans.boards)
        if (board.supplier == supplier) size = &board.board;
    if (size == nullptr) return;
    const GridLength longest = longest_carried(size->width, size->thickness);
    for (const LinePart& part : parts_) {
        const bool here =
            std::any_of(plan.demand.shares.begin(), plan.demand.shares.end(),
                        [&](const contract::Share& share) { return share.line == part.line->id; });
        if (!here || part.length <= longest) continue;
        plan.findings.push_back(
            {Severity::problem, "part-not-carried", part.line->id,
             display_name(*part.line) + " (" + length_text(part.length, unit_) +
                 ") is longer than the vehicle takes (" + length_text(longest, unit_) + "), and '" +
                 supplier +
                 "' does not deliver: find a supplier that delivers, or state a longer "
                 "\"vehicle\"."});
        return;
    }
    plan.findings.push_back(
        {Severity::problem, "boards-not-carried", plan.demand.shares.front().line,
         "The boards of " + plan.demand.title + " from '" + supplier + "' (" +
             length_text(to_grid(size->length), unit_) + ") are longer than the vehicle takes (" +
             length_text(longest, unit_) + "), and '" + supplier +
             "' neither crosscuts nor delivers: state \"cutting\" or \"delivery\" in its "
             "supplier.json, or a longer \"vehicle\"."});
}

double Planner::density_of_offer(const Offer& offer) const {
    if (const double stated = number(offer.attributes, "density", 0); stated > 0) return stated;
    std::string source;
    return parts_.empty() ? 0 : density_of(*parts_.front().line, request_.tables, source);
}

} // namespace aumbry::solid_stock
