#include "aumbry/contract.hpp"

#include "documents/contract_members.hpp"

namespace aumbry::contract {

Json to_json(const Description& value) {
    return document::to_json(value);
}
Json to_json(const DeriveRequest& value) {
    return document::to_json(value);
}
Json to_json(const DeriveReply& value) {
    return document::to_json(value);
}
Json to_json(const TakeOffRequest& value) {
    return document::to_json(value);
}
Json to_json(const TakeOffReply& value) {
    return document::to_json(value);
}
Json to_json(const FollowRequest& value) {
    return document::to_json(value);
}
Json to_json(const FollowReply& value) {
    return document::to_json(value);
}
Json to_json(const Field& value) {
    return document::to_json(value);
}
Json to_json(const Finding& value) {
    return document::to_json(value);
}
Json to_json(const Working& value) {
    return document::to_json(value);
}

Description read_description(const Json& in, const std::string& origin) {
    return document::read_document<Description>(in, origin);
}
DeriveRequest read_derive_request(const Json& in, const std::string& origin) {
    return document::read_document<DeriveRequest>(in, origin);
}
DeriveReply read_derive_reply(const Json& in, const std::string& origin) {
    return document::read_document<DeriveReply>(in, origin);
}
TakeOffRequest read_take_off_request(const Json& in, const std::string& origin) {
    return document::read_document<TakeOffRequest>(in, origin);
}
TakeOffReply read_take_off_reply(const Json& in, const std::string& origin) {
    return document::read_document<TakeOffReply>(in, origin);
}
FollowRequest read_follow_request(const Json& in, const std::string& origin) {
    return document::read_document<FollowRequest>(in, origin);
}
FollowReply read_follow_reply(const Json& in, const std::string& origin) {
    return document::read_document<FollowReply>(in, origin);
}

Json schema(std::string_view document) {
    document::SchemaWriter writer;
    if (document == "description") return writer.document<Description>("Reply to describe");
    if (document == "derive_request") return writer.document<DeriveRequest>("Request of derive");
    if (document == "derive_reply") return writer.document<DeriveReply>("Reply to derive");
    if (document == "take_off_request")
        return writer.document<TakeOffRequest>("Request of take_off");
    if (document == "take_off_reply") return writer.document<TakeOffReply>("Reply to take_off");
    if (document == "follow_request") return writer.document<FollowRequest>("Request of follow");
    if (document == "follow_reply") return writer.document<FollowReply>("Reply to follow");
    fail("unknown-document", {}, "the contract has no document '" + std::string(document) + "'");
}

} // namespace aumbry::contract
