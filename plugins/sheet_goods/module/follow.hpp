// What follows from the sheets that were chosen.
#pragma once

#include "aumbry/contract.hpp"

namespace aumbry::sheet_goods {

/// Sheets, waste, offcuts worth keeping, dealer's cuts and fence settings of each group as chosen,
/// with workings that say the bound; sheets too heavy for one person; and grooves, which wait for
/// the sheets that they are cut for.
[[nodiscard]] contract::FollowReply follow_panels(const contract::FollowRequest& request);

} // namespace aumbry::sheet_goods
