#include "aumbry/contract.hpp"

#include "documents/contract_members.hpp"

namespace aumbry::contract {

Json to_json(const Description& value) {
    return document::to_json(value);
}
Json to_json(const Field& value) {
    return document::to_json(value);
}
Description read_description(const Json& in, const std::string& origin) {
    return document::read_document<Description>(in, origin);
}

} // namespace aumbry::contract
