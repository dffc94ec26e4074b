// The rules of an order written down a second time, in whole numbers, apart from the code under
// test.
#pragma once

#include "aumbry/procure.hpp"

#include <map>
#include <set>

namespace aumbry::test {

class Reference {
  public:
    explicit Reference(const ProcureProblem& problem);

    /// What a count of an offer is listed and counted at, the whole count at the price of `count`.
    struct Amounts {
        std::int64_t listed = 0;
        std::int64_t net = 0;
    };
    [[nodiscard]] Amounts amounts(const OfferTerms& offer, double measure,
                                  std::int64_t count) const;
    /// Net of an amount as the supplier lists it.
    [[nodiscard]] std::int64_t net(std::int64_t listed, const SupplierTerms& terms,
                                   Decimal tax_percent) const;
    /// A trip, the maker's time included.
    [[nodiscard]] std::int64_t collecting(const SupplierTerms& terms) const;
    [[nodiscard]] Decimal tax_percent(const OfferTerms& offer) const;
    /// The counts that may be bought for a need: the least, and each quantity break above it that
    /// costs less.
    [[nodiscard]] std::vector<std::int64_t> counts(const OfferTerms& offer, double measure,
                                                   std::int64_t needed) const;

    [[nodiscard]] const OfferTerms& offer(const std::string& id) const { return *offers_.at(id); }
    [[nodiscard]] const SupplierTerms& supplier(const std::string& id) const {
        return *suppliers_.at(id);
    }
    /// The measure in which an offer is used, the same in all of the problem.
    [[nodiscard]] double measure(const std::string& offer) const;

    /// A choice of counts by offer, and cuts by supplier.
    struct Choice {
        std::map<std::string, std::int64_t> counts;
        std::map<std::string, std::int64_t> cuts;
        std::set<std::string> delivered =
            {}; ///< suppliers of whose goods some do not fit the vehicle
    };
    /// All choices for a demand.
    [[nodiscard]] std::vector<Choice> choices(const DemandTerms& demand) const;
    /// The least cost of exactly these needs over all counts and kinds of delivery; -1 when stock
    /// does not suffice.
    [[nodiscard]] std::int64_t cost(const Choice& needs) const;

  private:
    void add_fills(const contract::Amount& amount, std::size_t at, std::int64_t missing,
                   std::vector<std::int64_t>& counts, std::vector<Choice>& result) const;
    [[nodiscard]] static std::int64_t by_mass(const DeliveryConditions& terms, double mass);
    [[nodiscard]] std::int64_t order_cost(const std::string& supplier, const Choice& needs) const;

    const ProcureProblem& problem_;
    std::map<std::string, const OfferTerms*> offers_;
    std::map<std::string, const SupplierTerms*> suppliers_;
    std::map<std::string, double> measures_;
};

} // namespace aumbry::test
