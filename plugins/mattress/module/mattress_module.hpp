// The module of mattresses: size by region or free, mass, fit in the frame, lying height, and the
// rest a rolled one needs.
#pragma once

#include "aumbry/plugin.hpp"

namespace aumbry::mattress {

class MattressModule : public Module {
  public:
    [[nodiscard]] contract::Description describe() const override;
    [[nodiscard]] contract::DeriveReply derive(const contract::DeriveRequest& request,
                                               const Host& host) const override;
    [[nodiscard]] contract::TakeOffReply take_off(const contract::TakeOffRequest& request,
                                                  const Host& host) const override;
};

} // namespace aumbry::mattress
