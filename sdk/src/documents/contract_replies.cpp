#include "aumbry/contract.hpp"

#include "documents/contract_members.hpp"

#include <algorithm>

namespace aumbry::contract {

Json to_json(const DeriveReply& value) {
    return document::to_json(value);
}
Json to_json(const TakeOffReply& value) {
    return document::to_json(value);
}
Json to_json(const PlanReply& value) {
    return document::to_json(value);
}
Json to_json(const FollowReply& value) {
    return document::to_json(value);
}
Json to_json(const Finding& value) {
    return document::to_json(value);
}
Json to_json(const Working& value) {
    return document::to_json(value);
}
DeriveReply read_derive_reply(const Json& in, const std::string& origin) {
    return document::read_document<DeriveReply>(in, origin);
}
TakeOffReply read_take_off_reply(const Json& in, const std::string& origin) {
    return document::read_document<TakeOffReply>(in, origin);
}
PlanReply read_plan_reply(const Json& in, const std::string& origin) {
    return document::read_document<PlanReply>(in, origin);
}
FollowReply read_follow_reply(const Json& in, const std::string& origin) {
    return document::read_document<FollowReply>(in, origin);
}

std::span<const std::string_view> phase_words() {
    return phase_names;
}

Phase phase_called(std::string_view name, Phase otherwise) {
    const auto found = std::find(phase_names.begin(), phase_names.end(), name);
    return found == phase_names.end() ? otherwise : static_cast<Phase>(found - phase_names.begin());
}

} // namespace aumbry::contract
