#include "solid_stock/engine/carrying.hpp"

#include <algorithm>

namespace aumbry::solid_stock {

namespace {

/// So many ways to spread cuts over the gaps are tried before the fewest are no longer sought.
constexpr int most_spreads = 20'000;

class Carrying {
  public:
    Carrying(const std::vector<Segment>& segments, GridLength board, GridLength sound_end,
             const CarryTerms& terms)
        : segments_(segments), board_(board), sound_end_(sound_end), terms_(terms) {
        terms_.step = std::max<GridLength>(terms.step, 1);
    }

    std::optional<CarryCuts> run() {
        if (board_ <= terms_.longest)
            return CarryCuts{{}, std::vector<GridLength>(segments_.size(), 0)};
        const GridLength piece = terms_.longest + terms_.kerf;
        if (terms_.longest <= 0) return std::nullopt;
        const auto least = static_cast<std::size_t>((board_ + terms_.kerf - 1) / piece);
        // Not more than one before each segment and one for every length beyond the last.
        for (std::size_t cuts = std::max<std::size_t>(least, 1);
             cuts <= least + segments_.size() + 1 && tried_ < most_spreads; ++cuts) {
            gaps_.assign(cuts, 0);
            if (spread(0, segments_.size())) return std::move(made_);
        }
        return piece_by_piece();
    }

  private:
    /// Tries every spread of the cuts that are left over the gaps up to `last`; gap i stands before
    /// segment i, the last one beyond all. Late gaps first: what is left over is cut rather than
    /// moved about.
    bool spread(std::size_t index, std::size_t last) {
        if (index == gaps_.size()) {
            ++tried_;
            std::vector<std::size_t> rising(gaps_.rbegin(), gaps_.rend());
            made_ = placed(rising);
            return made_.has_value();
        }
        for (std::size_t gap = last + 1; gap-- > 0 && tried_ < most_spreads;) {
            gaps_[index] = gap;
            if (spread(index + 1, gap)) return true;
        }
        return false;
    }

    /// A cut wherever the next segment makes the piece too long, and in what is left over.
    std::optional<CarryCuts> piece_by_piece() {
        std::vector<std::size_t> gaps;
        for (std::size_t i = 1; i < segments_.size(); ++i) {
            const GridLength from = gaps.empty() ? 0 : segments_[gaps.back()].begin - terms_.end;
            if (segments_[i].end + 2 * terms_.end + terms_.step - from > terms_.longest)
                gaps.push_back(i);
        }
        for (std::size_t more = 0; more <= segments_.size() + 1; ++more) {
            if (auto made = gaps.empty() ? std::nullopt : placed(gaps)) return made;
            gaps.push_back(segments_.size());
        }
        return std::nullopt;
    }

    /// The earliest positions of cuts and segments with the cuts in these gaps (rising); empty when
    /// there are none. Each only ever has to move on, so the first positions at rest are the
    /// earliest.
    [[nodiscard]] std::optional<CarryCuts> placed(const std::vector<std::size_t>& gaps) const {
        std::vector<GridLength> cuts(gaps.size(), 0);
        std::vector<GridLength> shifts(segments_.size(), 0);
        const auto up = [&](GridLength at) {
            return (at + terms_.step - 1) / terms_.step * terms_.step;
        };
        for (bool moved = true; moved;) {
            moved = false;
            const auto raise = [&](GridLength& value, GridLength least) {
                if (value >= least) return;
                value = least;
                moved = true;
            };
            std::size_t cut = 0;
            for (std::size_t i = 0; i <= segments_.size(); ++i) {
                for (; cut < gaps.size() && gaps[cut] == i; ++cut) {
                    const GridLength before =
                        cut == 0 ? terms_.step : cuts[cut - 1] + terms_.kerf + 1;
                    raise(cuts[cut], up(before));
                    if (i > 0)
                        raise(cuts[cut], up(segments_[i - 1].end + shifts[i - 1] + terms_.end));
                }
                if (i == segments_.size()) break;
                if (i > 0) raise(shifts[i], shifts[i - 1]);
                if (cut > 0)
                    raise(shifts[i], cuts[cut - 1] + terms_.kerf + terms_.end - segments_[i].begin);
            }
            // No piece is longer than the vehicle takes, the last one first.
            GridLength end = board_;
            for (std::size_t i = cuts.size(); i-- > 0;) {
                raise(cuts[i], up(end - terms_.kerf - terms_.longest));
                end = cuts[i];
            }
            if (end > terms_.longest || cuts.back() + terms_.kerf > board_) return std::nullopt;
            if (!segments_.empty() && segments_.back().end + shifts.back() > sound_end_)
                return std::nullopt;
        }
        return CarryCuts{std::move(cuts), std::move(shifts)};
    }

    const std::vector<Segment>& segments_;
    GridLength board_;
    GridLength sound_end_;
    CarryTerms terms_;
    std::vector<std::size_t> gaps_; ///< falling
    std::optional<CarryCuts> made_;
    int tried_ = 0;
};

} // namespace

std::optional<CarryCuts> cut_to_carry(const std::vector<Segment>& segments, GridLength board,
                                      GridLength sound_end, const CarryTerms& terms) {
    return Carrying(segments, board, sound_end, terms).run();
}

} // namespace aumbry::solid_stock
