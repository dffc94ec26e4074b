#include "modules/check/contract_keys.hpp"

#include "values/excerpt.hpp"

#include "aumbry/contract.hpp"

#include <vector>

namespace aumbry {
namespace {

/// Walks a document along its schema.
class Walk {
  public:
    explicit Walk(const Json& schema) : root_(schema) {}

    [[nodiscard]] std::string first(const Json& value, const Json& stated,
                                    const std::string& pointer) const {
        const Json& schema = followed(stated);
        if (value.is_array()) {
            const auto items = schema.find("items");
            if (items == schema.end()) return {};
            for (std::size_t i = 0; i < value.size(); ++i) {
                std::string found = first(value[i], *items, pointer + '/' + std::to_string(i));
                if (!found.empty()) return found;
            }
            return {};
        }
        if (!value.is_object()) return {};
        return first_member(value, schema, pointer);
    }

  private:
    [[nodiscard]] std::string first_member(const Json& value, const Json& schema,
                                           const std::string& pointer) const {
        const auto properties = schema.find("properties");
        const auto others = schema.find("additionalProperties");
        for (const auto& [key, member] : value.items()) {
            const std::string here = pointer_to(pointer, key);
            std::string found;
            if (properties != schema.end() && properties->contains(key))
                found = first(member, (*properties)[key], here);
            else if (others != schema.end() && others->is_object())
                found = first(member, *others, here); // an object by names of the project
            else if (properties != schema.end() && !key.starts_with("x-"))
                found = at_fault(key, here, *properties);
            if (!found.empty()) return found;
        }
        return {};
    }

    static std::string at_fault(const std::string& key, const std::string& pointer,
                                const Json& properties) {
        std::vector<std::string> known;
        for (const auto& [name, schema] : properties.items()) known.push_back(name);
        const std::string near = nearest_name(key, known);
        return pointer + ": the contract has no key " + in_quotes(key) + " there" +
               (near.empty() ? "" : "; did you mean " + in_quotes(near) + "?");
    }

    [[nodiscard]] const Json& followed(const Json& schema) const {
        const auto reference = schema.find("$ref");
        if (reference == schema.end()) return schema;
        const auto text = reference->get<std::string>();
        const Json* found = find_at(root_, text.substr(text.find('/')));
        return found == nullptr ? schema : followed(*found);
    }

    const Json& root_;
};

} // namespace

std::string unknown_key(const Json& document, std::string_view schema) {
    const Json root = contract::schema(schema);
    return Walk(root).first(document, root, "");
}

} // namespace aumbry
