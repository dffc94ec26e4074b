#include "sheet_goods/module/work.hpp"

#include "sheet_goods/module/edging.hpp"
#include "sheet_goods/module/text.hpp"

#include "aumbry/rounding.hpp"

#include <algorithm>

namespace aumbry::sheet_goods {

namespace {

struct PieceWork {
    std::string piece;
    std::vector<std::string> lines;
    std::int64_t parts = 0;
    std::int64_t seams = 0;
    double banded = 0, lipped = 0, rounded = 0, scribed = 0; ///< m
};

std::vector<PieceWork> by_piece(const std::vector<Panel>& panels) {
    std::vector<PieceWork> pieces;
    for (const Panel& panel : panels) {
        auto piece = std::find_if(pieces.begin(), pieces.end(),
                                  [&](const PieceWork& p) { return p.piece == panel.line->piece; });
        if (piece == pieces.end()) piece = pieces.insert(pieces.end(), {panel.line->piece, {}});
        const auto count = static_cast<double>(panel.line->count);
        piece->lines.push_back(panel.line->id);
        piece->parts += panel.line->count * static_cast<std::int64_t>(sections_of(panel).size());
        piece->seams += panel.line->count * static_cast<std::int64_t>(panel.seams.size());
        piece->banded += treated_length(panel, Treatment::banded) * count;
        piece->lipped += treated_length(panel, Treatment::lipped) * count;
        piece->rounded += treated_length(panel, Treatment::rounded) * count;
        piece->scribed += treated_length(panel, Treatment::scribed) * count;
    }
    return pieces;
}

} // namespace

std::string step_id(const char* what, const std::string& group, const std::string& piece) {
    return std::string(what) + '.' + group + (piece.empty() ? "" : '.' + piece);
}

void add_work(const std::vector<Panel>& panels, const SheetMaterial& material, const Terms& terms,
              const std::string& group, bool cut, contract::TakeOffReply& reply) {
    const std::string name = material_text(material, terms.shop.unit);
    std::vector<std::string> sheets;
    std::vector<std::string> edging;
    for (const contract::Demand& demand : reply.demands) {
        if (demand.id == group + ".sheets") sheets.push_back(demand.id);
        if (demand.amount) edging.push_back(demand.id);
    }
    for (const PieceWork& piece : by_piece(panels)) {
        const auto step = [&](const char* what, std::string title, contract::Phase phase,
                              double minutes, const std::vector<std::string>& needs) {
            if (minutes <= 0) return;
            contract::Step made;
            made.id = step_id(what, group, piece.piece);
            made.title = std::move(title);
            made.lines = piece.lines;
            made.phase = phase;
            made.operation = what;
            made.minutes = round_to(minutes, 4);
            made.needs = needs;
            reply.steps.push_back(std::move(made));
        };
        const Shop& shop = terms.shop;
        if (cut) {
            step("cut", "Cut " + count_text(piece.parts, "part", "parts") + " of " + name,
                 contract::Phase::cut, static_cast<double>(piece.parts) * shop.minutes_a_part,
                 sheets);
        }
        // A panel is whole before its edges are treated: banding runs over the seam.
        step("join", "Join " + count_text(piece.seams, "seam", "seams") + " of " + name,
             contract::Phase::join, static_cast<double>(piece.seams) * shop.minutes_a_seam, sheets);
        step("edge", "Edges of " + name, contract::Phase::edge,
             piece.banded * shop.minutes_a_metre_banded +
                 piece.lipped * shop.minutes_a_metre_lipped +
                 piece.rounded * shop.minutes_a_metre_rounded,
             edging);
        step("mark",
             "Mark " + count_text(piece.parts, "part", "parts") + " of " + name +
                 " and their joints",
             contract::Phase::machine, static_cast<double>(piece.parts) * shop.minutes_a_mark, {});
        step("scribe", "Scribe " + name + " to the wall", contract::Phase::scribe,
             piece.scribed * shop.minutes_a_metre_scribed, {});
    }
}

} // namespace aumbry::sheet_goods
