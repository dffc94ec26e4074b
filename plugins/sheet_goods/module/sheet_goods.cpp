#include "sheet_goods/module/sheet_goods.hpp"

#include "sheet_goods/module/derive.hpp"
#include "sheet_goods/module/describe.hpp"
#include "sheet_goods/module/follow.hpp"
#include "sheet_goods/module/take_off.hpp"

namespace aumbry::sheet_goods {

contract::Description SheetGoods::describe() const {
    return describe_module();
}

contract::DeriveReply SheetGoods::derive(const contract::DeriveRequest& request,
                                         const Host&) const {
    return derive_panels(request);
}

contract::TakeOffReply SheetGoods::take_off(const contract::TakeOffRequest& request,
                                            const Host& host) const {
    return take_off_panels(request, host.stop());
}

contract::PlanReply SheetGoods::plan(const contract::PlanRequest& request, const Host& host) const {
    return plan_panels(request, host.stop());
}

contract::FollowReply SheetGoods::follow(const contract::FollowRequest& request,
                                         const Host&) const {
    return follow_panels(request);
}

} // namespace aumbry::sheet_goods
