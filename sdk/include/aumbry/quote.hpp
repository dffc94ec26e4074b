// Quotes: what the client is shown. Prices by piece, without suppliers or costs; rounded as the
// project says; tax on the sum (EN 16931: rounded once a rate). A quote that the client accepted is
// kept as a file, and a change of the project is priced against it.
#pragma once

#include "aumbry/estimate.hpp"

#include <optional>
#include <string>
#include <vector>

namespace aumbry {

/// The version of the quote document.
inline constexpr int quote_version = 1;

struct QuotePart {
    std::string id; ///< of the piece; empty: for all pieces together
    std::string title;
    Money price;                       ///< without tax
    std::vector<std::string> included; ///< titles of its lines
};

struct QuoteStage {
    std::string title;
    Money amount; ///< with tax
};

struct Quote {
    std::string title;
    std::string number;
    std::string alternative; ///< title of the alternative that is quoted; empty: the base
    std::string currency;
    Date on{};
    std::optional<Date> valid_until; ///< the earliest of the project's days, the prices' end
                                     ///< and the last day on which `ready` can still be kept
    Date ready{};
    Party maker;
    Party client;
    bool invented = false; ///< some price is made up for a demonstration
    std::vector<QuotePart> parts;
    Money net;
    std::vector<TaxAtRate> taxes;
    Money total;
    std::vector<QuoteStage> stages;    ///< add up to the total
    std::vector<std::string> included; ///< in the maker's words; empty: as the parts say
    std::vector<std::string> not_included;
    std::vector<std::string> terms;
};

/// What the client is shown of an estimate.
/// @throws FaultError "amount-overflow" of a sum beyond what money holds.
[[nodiscard]] Quote quote_of(const Estimate& estimate);

/// The quote document, `"aumbry_quote": 1`.
[[nodiscard]] Json to_json(const Quote& quote);
/// Reads a quote document. @throws FaultError "no-quote", "newer-version", "bad-json" and what the
/// members' types ask for.
[[nodiscard]] Quote read_quote(const std::string& text, const std::string& file);

/// One part of a change.
struct QuoteDifference {
    std::string title;
    std::optional<Money> before; ///< none: new
    std::optional<Money> after;  ///< none: gone
    Money difference;
};

/// What a change costs the client against what was accepted.
struct QuoteChange {
    Quote accepted;
    Quote now;
    std::vector<QuoteDifference> parts; ///< without tax
    Money net;
    Money tax;
    Money total;
    int days = 0; ///< by which the job is ready later; negative: sooner
};

/// @throws FaultError "currency-clash" when the two are not in one currency.
[[nodiscard]] QuoteChange change_of(const Quote& accepted, const Quote& now);
[[nodiscard]] Json to_json(const QuoteChange& change);

} // namespace aumbry
