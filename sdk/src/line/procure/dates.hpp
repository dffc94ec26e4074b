// Dates in procurement: which ways meet a finish date. The finish is the latest of what each
// arrival alone leads to, so every demand can be judged by itself.
#pragma once

#include "line/procure/model.hpp"

#include <map>

namespace aumbry::procurement {

/// The finish when one demand arrives on a day and all others are in hand; asked once for each.
class FinishOfArrival {
  public:
    explicit FinishOfArrival(const Model& model);
    Date operator()(std::size_t demand, Date arrives);

  private:
    const Model& model_;
    std::vector<std::map<Date, Date>> known_; // by demand
};

/// The model with the ways that let the job be done `by` a day; nothing when some demand has none
/// left.
[[nodiscard]] std::optional<Model> restricted(const Model& model, FinishOfArrival& finish, Date by);

/// The days on which the job can be done, rising, from the earliest that the arrivals allow one by
/// one.
[[nodiscard]] std::vector<Date> finish_dates(const Model& model, FinishOfArrival& finish);

} // namespace aumbry::procurement
