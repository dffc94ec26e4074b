// The module of sheet goods: panels cut from sheets.
#pragma once

#include "aumbry/plugin.hpp"

namespace aumbry::sheet_goods {

class SheetGoods : public Module {
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

} // namespace aumbry::sheet_goods
