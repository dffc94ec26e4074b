#include "aumbry/contract.hpp"

#include "documents/contract_members.hpp"

namespace aumbry::contract {

Json to_json(const DeriveRequest& value) {
    return document::to_json(value);
}
Json to_json(const TakeOffRequest& value) {
    return document::to_json(value);
}
Json to_json(const PlanRequest& value) {
    return document::to_json(value);
}
Json to_json(const FollowRequest& value) {
    return document::to_json(value);
}
DeriveRequest read_derive_request(const Json& in, const std::string& origin) {
    return document::read_document<DeriveRequest>(in, origin);
}
TakeOffRequest read_take_off_request(const Json& in, const std::string& origin) {
    return document::read_document<TakeOffRequest>(in, origin);
}
PlanRequest read_plan_request(const Json& in, const std::string& origin) {
    return document::read_document<PlanRequest>(in, origin);
}
FollowRequest read_follow_request(const Json& in, const std::string& origin) {
    return document::read_document<FollowRequest>(in, origin);
}

} // namespace aumbry::contract
