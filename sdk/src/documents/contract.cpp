#include "aumbry/contract.hpp"

#include "documents/contract_members.hpp"

namespace aumbry::contract {

Json schema(std::string_view document) {
    document::SchemaWriter writer;
    if (document == "description") return writer.document<Description>("Reply to describe");
    if (document == "derive_request") return writer.document<DeriveRequest>("Request of derive");
    if (document == "derive_reply") return writer.document<DeriveReply>("Reply to derive");
    if (document == "take_off_request")
        return writer.document<TakeOffRequest>("Request of take_off");
    if (document == "take_off_reply") return writer.document<TakeOffReply>("Reply to take_off");
    if (document == "plan_request") return writer.document<PlanRequest>("Request of plan");
    if (document == "plan_reply") return writer.document<PlanReply>("Reply to plan");
    if (document == "follow_request") return writer.document<FollowRequest>("Request of follow");
    if (document == "follow_reply") return writer.document<FollowReply>("Reply to follow");
    fail("unknown-document", {}, "the contract has no document '" + std::string(document) + "'");
}

} // namespace aumbry::contract
