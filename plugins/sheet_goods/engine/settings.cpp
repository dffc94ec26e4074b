#include "sheet_goods/engine/settings.hpp"

#include <algorithm>
#include <tuple>
#include <utility>

namespace aumbry::sheet_goods {

namespace {

/// What stays set at the saw from one cut to the next.
using Setting = std::tuple<CutKind, Steps>;

/// A cut of the workshop that is not made yet.
struct OpenCut {
    std::size_t sheet = 0, index = 0; ///< in its list, as given
    std::size_t setting = 0;          ///< index in SettingUp::settings_
    int blank = 0, first = 0, second = 0;
};

class SettingUp {
  public:
    explicit SettingUp(const std::vector<std::vector<MadeCut>>& sheets) : sheets_(sheets) {
        for (const std::vector<MadeCut>& sheet : sheets)
            for (const MadeCut& cut : sheet)
                if (!cut.dealer) settings_.emplace_back(cut.kind, cut.position);
        std::sort(settings_.begin(), settings_.end());
        settings_.erase(std::unique(settings_.begin(), settings_.end()), settings_.end());
        sorted_.resize(sheets.size());
        numbers_.resize(sheets.size());
        to_come_.resize(sheets.size());
        for (std::size_t sheet = 0; sheet < sheets.size(); ++sheet) {
            for (std::size_t i = 0; i < sheets[sheet].size(); ++i) {
                const MadeCut& cut = sheets[sheet][i];
                if (cut.dealer) {
                    make(sheet, i, 0);
                    continue;
                }
                const auto setting = std::lower_bound(settings_.begin(), settings_.end(),
                                                      Setting(cut.kind, cut.position));
                open_.push_back({sheet, i, static_cast<std::size_t>(setting - settings_.begin()),
                                 cut.blank, cut.first, cut.second});
                for (const int blank : {cut.first, cut.second}) flag(to_come_, sheet, blank) = 1;
            }
        }
    }

    std::pair<std::vector<std::vector<MadeCut>>, Settings> run() {
        for (int number = 1;; ++number) {
            make_trims();
            if (open_.empty()) break;
            const std::size_t chosen = choose();
            made_at(chosen, open_, to_come_,
                    [&](const OpenCut& cut) { make(cut.sheet, cut.index, number); });
        }
        return {std::move(sorted_), std::move(numbers_)};
    }

    int count(int most) {
        for (int made = 0;; ++made) {
            make_trims();
            const int more = settings_left();
            if (more == 0 || made + more > most) return made + more;
            const std::size_t chosen = choose();
            made_at(chosen, open_, to_come_, [](const OpenCut&) {});
        }
    }

  private:
    using ToCome = std::vector<std::vector<char>>; ///< by sheet and blank: an open cut makes it

    /// Of a blank; -1, which no cut divides, has the first place.
    static char& flag(ToCome& to_come, std::size_t sheet, int blank) {
        std::vector<char>& flags = to_come[sheet];
        const auto at = static_cast<std::size_t>(blank + 1);
        if (flags.size() <= at) flags.resize(at + 1, 0);
        return flags[at];
    }

    void make(std::size_t sheet, std::size_t index, int number) {
        sorted_[sheet].push_back(sheets_[sheet][index]);
        numbers_[sheet].push_back(number);
    }

    static bool is_ready(const OpenCut& cut, const ToCome& to_come) {
        const auto at = static_cast<std::size_t>(cut.blank + 1);
        return at >= to_come[cut.sheet].size() || to_come[cut.sheet][at] == 0;
    }

    /// Makes all cuts of a setting that can be made, also those that making the first ones opens
    /// up.
    template <class Made>
    static void made_at(std::size_t setting, std::vector<OpenCut>& open, ToCome& to_come,
                        Made made) {
        for (bool any = true; any;) {
            any = false;
            std::erase_if(open, [&](const OpenCut& cut) {
                if (cut.setting != setting || !is_ready(cut, to_come)) return false;
                for (const int blank : {cut.first, cut.second}) flag(to_come, cut.sheet, blank) = 0;
                made(cut);
                any = true;
                return true;
            });
        }
    }

    void make_trims() {
        for (bool any = true; any;) {
            any = false;
            const std::vector<OpenCut> open = open_;
            for (const OpenCut& cut : open) {
                if (!is_trim(cut.setting) || !is_ready(cut, to_come_)) continue;
                made_at(cut.setting, open_, to_come_,
                        [&](const OpenCut& trim) { make(trim.sheet, trim.index, 0); });
                any = true;
                break;
            }
        }
    }

    /// Each is set once more at least.
    [[nodiscard]] int settings_left() const {
        std::vector<char> left(settings_.size(), 0);
        for (const OpenCut& cut : open_) left[cut.setting] = 1;
        return static_cast<int>(std::count(left.begin(), left.end(), 1));
    }

    [[nodiscard]] bool is_trim(std::size_t setting) const {
        return std::get<CutKind>(settings_[setting]) == CutKind::trim;
    }

    /// Of a setting, open cuts: those that can be made now, and all.
    struct Count {
        int ready = 0, all = 0;
        [[nodiscard]] bool is_complete() const { return ready > 0 && ready == all; }
    };
    [[nodiscard]] std::vector<Count> counts_of(const std::vector<OpenCut>& open,
                                               const ToCome& to_come) const {
        std::vector<Count> counts(settings_.size());
        for (const OpenCut& cut : open) {
            if (is_trim(cut.setting)) continue;
            Count& count = counts[cut.setting];
            ++count.all;
            if (is_ready(cut, to_come)) ++count.ready;
        }
        return counts;
    }

    /// A setting whose cuts can all be made is never set again. Where none is so, the one that
    /// makes most others so.
    [[nodiscard]] std::size_t choose() const {
        const std::vector<Count> counts = counts_of(open_, to_come_);
        const bool any_complete = std::any_of(
            counts.begin(), counts.end(), [](const Count& count) { return count.is_complete(); });
        std::size_t best = settings_.size();
        std::tuple<int, CutKind, Steps> best_rank;
        for (std::size_t setting = 0; setting < settings_.size(); ++setting) {
            if (counts[setting].ready == 0 || counts[setting].is_complete() != any_complete)
                continue;
            const std::tuple rank(any_complete ? 0 : -opened_by(setting),
                                  std::get<CutKind>(settings_[setting]),
                                  -std::get<Steps>(settings_[setting]));
            if (best != settings_.size() && rank >= best_rank) continue;
            best = setting;
            best_rank = rank;
        }
        return best;
    }

    /// How many settings can be made in full once this one is.
    [[nodiscard]] int opened_by(std::size_t setting) const {
        std::vector<OpenCut> open = open_;
        ToCome to_come = to_come_;
        made_at(setting, open, to_come, [](const OpenCut&) {});
        const std::vector<Count> counts = counts_of(open, to_come);
        return static_cast<int>(std::count_if(
            counts.begin(), counts.end(), [](const Count& count) { return count.is_complete(); }));
    }

    const std::vector<std::vector<MadeCut>>& sheets_;
    std::vector<std::vector<MadeCut>> sorted_;
    Settings numbers_;
    std::vector<Setting> settings_; ///< sorted, trims among them
    std::vector<OpenCut> open_;
    ToCome to_come_;
};

} // namespace

Settings sort_by_setting(std::vector<std::vector<MadeCut>>& sheets) {
    auto [sorted, numbers] = SettingUp(sheets).run();
    sheets = std::move(sorted);
    return std::move(numbers);
}

int settings_of(const std::vector<std::vector<MadeCut>>& sheets, int most) {
    return SettingUp(sheets).count(most);
}

int setting_count(const Settings& settings) {
    int most = 0;
    for (const std::vector<int>& sheet : settings)
        for (const int number : sheet) most = std::max(most, number);
    return most;
}

} // namespace aumbry::sheet_goods
