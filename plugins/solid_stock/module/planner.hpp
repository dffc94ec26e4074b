// Plans the demands of one material: which ways each has, and what is said of it. One file a way of
// buying: length_ways.cpp, board_ways.cpp, volume_ways.cpp.
#pragma once

#include "solid_stock/engine/asking.hpp"
#include "solid_stock/engine/boards.hpp"
#include "solid_stock/engine/carrying.hpp"
#include "solid_stock/engine/lumber.hpp"
#include "solid_stock/engine/ripping.hpp"
#include "solid_stock/module/ways.hpp"

#include "aumbry/fault.hpp"
#include "aumbry/plugin.hpp"
#include "aumbry/vehicle.hpp"

#include <algorithm>
#include <map>
#include <optional>

namespace aumbry::solid_stock {

using contract::Offer;
using contract::Severity;

/// A bound where there is no way at all.
inline constexpr double no_way = 1e10;

/// An offer with its size.
struct Board {
    const Offer* offer = nullptr;
    std::optional<CrossSection> section;
    GridLength length = 0; ///< 0: random
    bool rough = false;
};

/// "north+south"
[[nodiscard]] std::string joined(const std::vector<std::string>& suppliers);
[[nodiscard]] std::string length_text(GridLength length, const std::string& unit);
/// In mm, with the decimals that a plan states.
[[nodiscard]] double told_mm(GridLength length);
/// What one board measures in the offer's price unit; 0 when it is priced by the piece.
[[nodiscard]] double measure_of(const Board& board);
/// kg of one board; 0 when the density is not known.
[[nodiscard]] double mass_of(const Board& board, double density);
/// What one unit of an offer's price adds to the cost of the job.
[[nodiscard]] double cost_of_unit(const Offer& offer);
/// What one board adds, in whole hundredths: for the search, and for a bound.
[[nodiscard]] std::int64_t cost_of(const Board& board);

/// Parts from rough boards of one thickness, bought by volume.
struct RandomWood {
    const Board* board = nullptr;
    std::vector<const LinePart*> parts;
    double yield = 1; ///< of all of them together
    GridLength thickness = 0;
    GridLength least_width = 0, least_length = 0;
};

/// What is asked of a yard, over all thicknesses.
struct RoughBill {
    contract::Way way;
    double volume = 0; ///< m3 bought
    double least_cost = 0;
    std::int64_t boards = 0;
    std::int64_t bound = 0;
    bool proven = true;
    std::vector<contract::Input> asked;
};

class Planner {
  public:
    Planner(const std::string& material, const std::vector<LinePart>& parts,
            const contract::TakeOffRequest& request, const Stop& stop);

    std::vector<DemandPlan> run();
    /// One of those demands once more, of all the parts: its ways with the offers there are now.
    DemandPlan again(const std::string& id);

  private:
    static std::string from(const LinePart& part) { return text(*part.line, "from", "any"); }
    static std::string size_id(GridLength size);
    static std::string section_id(const CrossSection& section);

    [[nodiscard]] DemandPlan begin(const std::string& id,
                                   const std::vector<const LinePart*>& list) const;

    /// Every supplier in turn with what is owned; what is owned alone first.
    [[nodiscard]] std::vector<std::string> suppliers(const std::vector<const Board*>& boards) const;
    /// The boards of one supplier, or of all, with those that are owned.
    [[nodiscard]] static std::vector<const Board*> of(const std::vector<const Board*>& boards,
                                                      const std::optional<std::string>& supplier);

    [[nodiscard]] GridLength bad_ends(const Offer& offer) const;

    [[nodiscard]] std::int64_t effort() const { return effort_steps(request_.settings.effort); }

    /// What the engine plans, when it covers every piece. What it refuses is told with the plan.
    template <class Make>
    [[nodiscard]] static auto whole_plan(const Make& make, const std::vector<const LinePart*>& list,
                                         DemandPlan& plan) -> std::optional<decltype(make())> {
        try {
            auto made = make();
            const bool whole = std::none_of(made.unmet.begin(), made.unmet.end(),
                                            [](std::int64_t pieces) { return pieces > 0; });
            return whole ? std::optional(std::move(made)) : std::nullopt;
        } catch (const FaultError& error) {
            for (const Fault& fault : error.faults())
                plan.findings.push_back({Severity::problem, fault.code, list.front()->line->id,
                                         fault.sentence() + "."});
            return std::nullopt;
        }
    }

    /// Lengths of the same section: cut to length only.
    void lengths(const std::vector<const LinePart*>& list, DemandPlan& plan);

    [[nodiscard]] BoardOrder length_order(const std::vector<const LinePart*>& list,
                                          const std::vector<const Board*>& chosen) const;
    [[nodiscard]] contract::Way length_way(const std::string& supplier,
                                           const std::vector<const LinePart*>& list,
                                           const std::vector<const Board*>& chosen,
                                           const BoardPlan& made) const;

    /// The plan of a board before anything is cut from it.
    [[nodiscard]] contract::BoardPlan plan_of(const Board& board, std::int64_t copies) const;

    void add_uses(contract::Way& way, const std::map<std::size_t, std::int64_t>& counts,
                  const std::vector<const Board*>& chosen) const;

    /// Boards of known length and width, rough or owned, thick enough: crosscut and ripped.
    void known_boards(const std::vector<const LinePart*>& list, DemandPlan& plan);

    [[nodiscard]] RipOrder rip_order() const;
    [[nodiscard]] RipOrder rip_order(const std::vector<const LinePart*>& list,
                                     const std::vector<const Board*>& chosen) const;
    /// The parts of a board as a plan tells them.
    void add_placements(const RippedBoard& board, const std::vector<const LinePart*>& list,
                        contract::BoardPlan& told) const;

    [[nodiscard]] contract::Way ripped_way(const std::string& supplier,
                                           const std::vector<const LinePart*>& list,
                                           const std::vector<const Board*>& chosen,
                                           const RipPlan& made, DemandPlan& plan) const;

    /// Rough boards of random width and length, by board foot or cubic metre.
    void volumes(const std::vector<const LinePart*>& list, DemandPlan& plan);

    /// Parts that any supplier cuts from boards of one thickness stand together.
    [[nodiscard]] std::vector<std::vector<const LinePart*>>
    by_rough_thickness(const std::vector<const LinePart*>& list) const;
    [[nodiscard]] std::map<std::string, std::vector<const Board*>> random_boards() const;

    [[nodiscard]] std::vector<RoughNeed>
    rough_needs_of(const std::vector<LumberPart>& lumber, const Grade& grade,
                   const std::vector<const Board*>& boards) const;
    void volume_way(const std::vector<const LinePart*>& list, const std::string& supplier,
                    const std::vector<const Board*>& boards, DemandPlan& plan);
    /// The boards of one thickness to ask for, added to the way; false when there is no plan.
    bool ask_for(const RandomWood& wood, GridLength extra, RoughBill& bill, DemandPlan& plan) const;

    // Carriage.
    [[nodiscard]] const contract::CuttingService* dealer(const std::string& supplier) const;
    /// The longest board of a section that lies in the vehicle; 0 when none does.
    [[nodiscard]] GridLength longest_carried(double width, double thickness) const;
    /// Whether a board is fetched, and is too long or too wide for that as it is bought.
    [[nodiscard]] bool is_too_large(const Offer& offer, const contract::BoardSize& size) const;
    /// What stands between neighbours where the dealer might cut, beyond the workshop's kerf.
    [[nodiscard]] GridLength room_for_dealer(const std::string& supplier, bool rough) const;
    /// The way with the crosscuts that make its boards lie in the vehicle.
    [[nodiscard]] std::optional<contract::Way>
    crosscut(contract::Way way, const std::string& supplier, bool rough) const;
    [[nodiscard]] bool crosscut(contract::BoardPlan& board, const contract::CuttingService& service,
                                bool rough) const;
    /// Adds what `make` plans in the ways in which it can come: as it is, crosscut, delivered.
    /// `make` takes what stands between neighbours beyond the kerf; its way is empty without plan.
    template <class Make>
    void add_carried(const std::string& supplier, bool rough, DemandPlan& plan, const Make& make);
    /// Adds a way with boards of several suppliers, when all of them come as they are.
    void add_together(contract::Way way, DemandPlan& plan) const;
    void say_not_carried(const std::string& supplier, const contract::Way& way, DemandPlan& plan);
    [[nodiscard]] double density_of_offer(const Offer& offer) const;

    /// Cheapest by listed price first; the core takes no more than twelve.
    void order(DemandPlan& plan) const;
    /// Keeps the least cost of one way of having the wood beside those of the others.
    static void bound(DemandPlan& plan, double cost) {
        plan.least_cost = std::min(cost, plan.least_cost.value_or(cost));
    }

    const std::string& material_;
    const std::vector<LinePart>& parts_;
    const contract::TakeOffRequest& request_;
    const std::string& unit_;
    Stop stop_;
    std::vector<Board> boards_;
    std::vector<contract::Finding> common_;
    std::vector<contract::Finding> missed_;
    GridLength kerf_ = 0;
    GridLength trim_ = 0;
    std::optional<Vehicle> vehicle_;
    bool delivered_ = false; ///< the project wants the wood brought
};

template <class Make>
void Planner::add_carried(const std::string& supplier, bool rough, DemandPlan& plan,
                          const Make& make) {
    std::optional<contract::Way> whole = make(GridLength{0});
    if (!whole) return;
    bool too_large = false;
    for (contract::Use& use : whole->uses) {
        const auto offer = std::find_if(request_.offers.begin(), request_.offers.end(),
                                        [&](const Offer& each) { return each.id == use.offer; });
        if (delivered_ && !offer->owned) use.must_be_delivered = true;
    }
    for (const contract::BoardPlan& board : whole->plans.boards) {
        const auto offer = std::find_if(request_.offers.begin(), request_.offers.end(),
                                        [&](const Offer& each) { return each.id == board.offer; });
        if (!is_too_large(*offer, board.board)) continue;
        too_large = true;
        for (contract::Use& use : whole->uses)
            if (use.offer == board.offer) use.must_be_delivered = true;
    }
    if (!too_large) {
        plan.demand.ways.push_back(std::move(*whole));
        return;
    }
    std::optional<contract::Way> cut;
    if (dealer(supplier) != nullptr) {
        contract::Way fetched = *whole;
        for (contract::Use& use : fetched.uses) use.must_be_delivered = false;
        cut = crosscut(std::move(fetched), supplier, rough);
        if (!cut) {
            // Room for his cuts between all parts.
            if (std::optional<contract::Way> wider = make(room_for_dealer(supplier, rough)))
                cut = crosscut(std::move(*wider), supplier, rough);
        }
    }
    const bool delivers =
        std::any_of(request_.offers.begin(), request_.offers.end(), [&](const Offer& offer) {
            return offer.supplier == supplier && offer.carriage != contract::Carriage::vehicle;
        });
    if (!cut && !delivers) say_not_carried(supplier, *whole, plan);
    if (delivers) {
        if (cut) {
            whole->id += "_delivered";
            whole->title += ", delivered";
        }
        plan.demand.ways.push_back(std::move(*whole));
    }
    if (cut) plan.demand.ways.push_back(std::move(*cut));
}

} // namespace aumbry::solid_stock
