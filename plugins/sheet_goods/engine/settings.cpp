#include "sheet_goods/engine/settings.hpp"

#include <algorithm>
#include <map>
#include <tuple>
#include <utility>

namespace aumbry::sheet_goods {

namespace {

/// What stays set at the saw from one cut to the next.
using Setting = std::tuple<CutKind, Steps>;

/// A cut of the workshop that is not made yet.
struct OpenCut {
    std::size_t sheet = 0, index = 0; ///< in its list, as given
    Setting setting;
    int blank = 0, first = 0, second = 0;
};

class SettingUp {
  public:
    explicit SettingUp(std::vector<std::vector<MadeCut>>& sheets) : sheets_(sheets) {
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
                open_.push_back(
                    {sheet, i, {cut.kind, cut.position}, cut.blank, cut.first, cut.second});
                for (const int blank : {cut.first, cut.second}) flag(to_come_, sheet, blank) = 1;
            }
        }
    }

    Settings run() {
        for (int number = 1;; ++number) {
            make_trims();
            if (open_.empty()) break;
            const Setting chosen = choose();
            made_at(chosen, open_, to_come_,
                    [&](const OpenCut& cut) { make(cut.sheet, cut.index, number); });
        }
        sheets_ = std::move(sorted_);
        return std::move(numbers_);
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
    static void made_at(const Setting& setting, std::vector<OpenCut>& open, ToCome& to_come,
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
                if (std::get<CutKind>(cut.setting) != CutKind::trim || !is_ready(cut, to_come_))
                    continue;
                made_at(cut.setting, open_, to_come_,
                        [&](const OpenCut& trim) { make(trim.sheet, trim.index, 0); });
                any = true;
                break;
            }
        }
    }

    /// For each setting with a cut that can be made, whether all of its open cuts can.
    static std::map<Setting, bool> ready_settings(const std::vector<OpenCut>& open,
                                                  const ToCome& to_come) {
        std::map<Setting, std::pair<std::size_t, std::size_t>> counts; // ready, all
        for (const OpenCut& cut : open) {
            auto& [ready, all] = counts[cut.setting];
            ++all;
            if (is_ready(cut, to_come)) ++ready;
        }
        std::map<Setting, bool> settings;
        for (const auto& [setting, count] : counts)
            if (count.first > 0 && std::get<CutKind>(setting) != CutKind::trim)
                settings[setting] = count.first == count.second;
        return settings;
    }

    /// A setting whose cuts can all be made is never set again. Where none is so, the one that
    /// makes most others so.
    [[nodiscard]] Setting choose() const {
        const std::map<Setting, bool> settings = ready_settings(open_, to_come_);
        const bool any_complete = std::any_of(settings.begin(), settings.end(),
                                              [](const auto& entry) { return entry.second; });
        const Setting* best = nullptr;
        std::tuple<int, CutKind, Steps> best_rank;
        for (const auto& [setting, complete] : settings) {
            if (complete != any_complete) continue;
            const std::tuple rank(complete ? 0 : -opened_by(setting), std::get<CutKind>(setting),
                                  -std::get<Steps>(setting));
            if (best != nullptr && rank >= best_rank) continue;
            best = &setting;
            best_rank = rank;
        }
        return *best;
    }

    /// How many settings can be made in full once this one is.
    [[nodiscard]] int opened_by(const Setting& setting) const {
        std::vector<OpenCut> open = open_;
        ToCome to_come = to_come_;
        made_at(setting, open, to_come, [](const OpenCut&) {});
        int opened = 0;
        for (const auto& [ready, complete] : ready_settings(open, to_come))
            if (complete) ++opened;
        return opened;
    }

    std::vector<std::vector<MadeCut>>& sheets_;
    std::vector<std::vector<MadeCut>> sorted_;
    Settings numbers_;
    std::vector<OpenCut> open_;
    ToCome to_come_;
};

} // namespace

Settings sort_by_setting(std::vector<std::vector<MadeCut>>& sheets) {
    return SettingUp(sheets).run();
}

int setting_count(const Settings& settings) {
    int most = 0;
    for (const std::vector<int>& sheet : settings)
        for (const int number : sheet) most = std::max(most, number);
    return most;
}

} // namespace aumbry::sheet_goods
