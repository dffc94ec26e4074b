// The module `solid_stock`: parts of solid wood from dressed lengths, rough boards and what is on
// the rack.
#pragma once

#include "aumbry/plugin.hpp"

namespace aumbry::solid_stock {

class SolidStockModule : public Module {
  public:
    [[nodiscard]] contract::Description describe() const override;
    [[nodiscard]] contract::DeriveReply derive(const contract::DeriveRequest& request,
                                               const Host& host) const override;
    [[nodiscard]] contract::TakeOffReply take_off(const contract::TakeOffRequest& request,
                                                  const Host& host) const override;
    [[nodiscard]] contract::PlanReply plan(const contract::PlanRequest& request,
                                           const Host& host) const override;
    [[nodiscard]] contract::FollowReply follow(const contract::FollowRequest& request,
                                               const Host& host) const override;
};

} // namespace aumbry::solid_stock
