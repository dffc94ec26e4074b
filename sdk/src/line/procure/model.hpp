// The procurement problem as plain numbers: what search and pricing work on.
#pragma once

#include "aumbry/procure.hpp"

#include <cstdint>
#include <limits>
#include <optional>
#include <string>
#include <vector>

namespace aumbry::procurement {

inline constexpr std::int64_t no_limit = std::numeric_limits<std::int64_t>::max() / 4;

/// Owned stock is supplier 0, without terms.
inline constexpr std::size_t owned = 0;

struct Seller {
    const Supplier* supplier = nullptr; ///< null for owned stock
    Decimal rate{1};                    ///< project currency for one of the supplier's
    bool preferred = false;
    bool delivers = false;
    bool collected = false; ///< whether goods can be fetched there
    Date ordered{};         ///< the day on which its order goes out
};

/// What a way states of one count of an offer.
struct Measured {
    Decimal measure{1}; ///< units of its price that are charged
    double mass_kg = 0; ///< 0: not known
    bool must_be_delivered = false;
};

/// One count of an offer is charged by `quantities[k]`; ways may differ in what they state.
struct Offer {
    const OfferTerms* terms = nullptr;
    std::size_t supplier = owned;
    std::vector<OfferTerms::Break> tiers; ///< by rising `from`, the first from 1
    std::int64_t min_count = 1;
    std::int64_t limit = no_limit;
    Decimal tax_percent;
    bool by_measure = false;
    std::vector<Measured> quantities;
    Date arrives{};
    bool oversize = false;
};

struct Use {
    std::size_t offer = 0;
    std::size_t quantity = 0; ///< index into the offer's quantities
    std::int64_t count = 0;
    const contract::Use* stated = nullptr; ///< as a module wrote it
};

struct Cuts {
    std::size_t supplier = 0;
    std::int64_t count = 0;
};

/// A way to meet a demand: one that a module offers, or a choice of counts for an amount.
struct Way {
    const contract::Way* plan = nullptr;
    std::vector<Use> uses;
    std::vector<Cuts> cuts;
    std::vector<std::size_t> suppliers; ///< rising, without owned stock
};

struct Demand {
    const DemandTerms* terms = nullptr;
    std::vector<Way> ways;
    bool all_ways = true; ///< false: more choices of counts exist than are weighed
};

struct Model {
    const ProcureProblem* problem = nullptr;
    std::vector<Seller> suppliers;
    std::vector<Offer> offers;
    std::vector<Demand> demands; ///< those that somebody can fill
    std::vector<Unmet> unmet;
    std::vector<contract::Finding> findings;
};

/// Reads the problem. With `mix`, an amount may always be bought of several suppliers at once.
[[nodiscard]] Model build_model(const ProcureProblem& problem, bool mix);

/// When everything that a way buys is in hand; owned stock is from the order date.
[[nodiscard]] Date arrival(const Model& model, const Way& way);

/// The choices of counts of `offers` (content of one count, limit) that reach `need`, none of which
/// could be left out; at most `most`. Sets `complete` to false when there are more.
struct Content {
    std::int64_t content = 0;
    std::int64_t limit = no_limit;
};
[[nodiscard]] std::vector<std::vector<std::int64_t>>
minimal_pack_counts(const std::vector<Content>& offers, std::int64_t need, std::size_t most,
                    bool& complete);

} // namespace aumbry::procurement
