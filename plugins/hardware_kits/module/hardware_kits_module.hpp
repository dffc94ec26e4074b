// The module of hardware kits: kits, fasteners, lifts and fixings to the building.
#pragma once

#include "aumbry/plugin.hpp"

namespace aumbry::hardware_kits {

class HardwareKits : public Module {
  public:
    [[nodiscard]] contract::Description describe() const override;
    [[nodiscard]] contract::DeriveReply derive(const contract::DeriveRequest& request,
                                               const Host& host) const override;
    [[nodiscard]] contract::TakeOffReply take_off(const contract::TakeOffRequest& request,
                                                  const Host& host) const override;
    /// Cautions, each once for all lines, and what only shows when all lines are seen together.
    [[nodiscard]] contract::FollowReply follow(const contract::FollowRequest& request,
                                               const Host& host) const override;
};

} // namespace aumbry::hardware_kits
