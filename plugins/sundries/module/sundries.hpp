// The module of sundries: items bought by count, length, area, volume or mass, and services, so
// that nothing real has to stay outside the total.
#pragma once

#include "aumbry/plugin.hpp"

namespace aumbry::sundries {

class Sundries : public Module {
  public:
    [[nodiscard]] contract::Description describe() const override;
    [[nodiscard]] contract::DeriveReply derive(const contract::DeriveRequest& request,
                                               const Host& host) const override;
    [[nodiscard]] contract::TakeOffReply take_off(const contract::TakeOffRequest& request,
                                                  const Host& host) const override;
};

} // namespace aumbry::sundries
