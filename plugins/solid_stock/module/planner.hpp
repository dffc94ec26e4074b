// Plans the demands of one material: which ways each has, and what is said of it. One file a way of
// buying: length_ways.cpp, board_ways.cpp, volume_ways.cpp.
#pragma once

#include "solid_stock/engine/boards.hpp"
#include "solid_stock/engine/lumber.hpp"
#include "solid_stock/engine/ripping.hpp"
#include "solid_stock/module/ways.hpp"

#include "aumbry/fault.hpp"
#include "aumbry/plugin.hpp"

#include <algorithm>
#include <map>
#include <optional>

namespace aumbry::solid_stock {

using contract::Offer;
using contract::Severity;

/// An offer with its size.
struct Board {
    const Offer* offer = nullptr;
    std::optional<CrossSection> section;
    GridLength length = 0; ///< 0: random
    bool rough = false;
};

[[nodiscard]] std::string length_text(GridLength length, const std::string& unit);
/// In mm, with the decimals that a plan states.
[[nodiscard]] double told_mm(GridLength length);
/// What one board measures in the offer's price unit; 0 when it is priced by the piece.
[[nodiscard]] double measure_of(const Board& board);
/// Guidance for the search: hundredths of the listed price of one board.
[[nodiscard]] std::int64_t cost_of(const Board& board);

class Planner {
  public:
    Planner(const std::string& material, const std::vector<LinePart>& parts,
            const contract::TakeOffRequest& request, const Stop& stop);

    std::vector<DemandPlan> run();

  private:
    static std::string from(const LinePart& part) { return text(*part.line, "from", "any"); }
    static std::string section_id(const CrossSection& section);

    [[nodiscard]] DemandPlan begin(const std::string& id,
                                   const std::vector<const LinePart*>& list) const;

    /// Every supplier in turn with what is owned; what is owned alone first.
    [[nodiscard]] std::vector<std::string> suppliers(const std::vector<const Board*>& boards) const;

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

    void add_way(DemandPlan& plan, const std::string& supplier,
                 const std::vector<const LinePart*>& list, const std::vector<const Board*>& chosen,
                 const BoardPlan& made);

    /// The plan of a board before anything is cut from it.
    [[nodiscard]] contract::BoardPlan plan_of(const Board& board, std::int64_t copies) const;

    static void add_uses(contract::Way& way, const std::map<std::size_t, std::int64_t>& counts,
                         const std::vector<const Board*>& chosen);

    /// Boards of known length and width, rough or owned, thick enough: crosscut and ripped.
    void known_boards(const std::vector<const LinePart*>& list, DemandPlan& plan);

    void add_ripped(DemandPlan& plan, const std::string& supplier,
                    const std::vector<const LinePart*>& list,
                    const std::vector<const Board*>& chosen, const RipPlan& made);

    /// Rough boards of random width and length, by board foot or cubic metre.
    void volumes(const std::vector<const LinePart*>& list, DemandPlan& plan);

    [[nodiscard]] std::vector<RoughNeed>
    rough_needs_of(const std::vector<LumberPart>& lumber, const Grade& grade,
                   const std::vector<const Board*>& boards) const;
    void volume_way(const std::vector<const LinePart*>& list, const std::string& supplier,
                    const std::vector<const Board*>& boards, DemandPlan& plan);

    /// Cheapest by listed price first; the core takes no more than twelve.
    void order(DemandPlan& plan) const;

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
};

} // namespace aumbry::solid_stock
