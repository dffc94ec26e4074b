#include "session/references.hpp"

#include "app/state.hpp"

#include "aumbry/fields.hpp"
#include "aumbry/plugin.hpp"
#include "aumbry/project.hpp"

#include <algorithm>
#include <span>

namespace aumbry::gui {

using contract::Field;
using contract::FieldType;

namespace {

/// Collects the users of names in one section after the other.
class Finder {
  public:
    void note(const std::string& name, const Reference& user) {
        // "carcase.thickness" uses the carcase.
        std::vector<Reference>& users = references_[name.substr(0, name.find('.'))];
        if (std::find(users.begin(), users.end(), user) == users.end()) users.push_back(user);
    }

    void formulas(const Field& field, const Json& value, const Reference& user) {
        try {
            for (const std::string& name : names_in(field, value)) note(name, user);
        } catch (const FaultError&) {
            // What is no formula names nothing; the estimate says what is wrong with it.
        }
        if (field.type == FieldType::line && value.is_string())
            note(value.get<std::string>(), user);
        if (field.type == FieldType::lines && value.is_array()) {
            for (const Json& each : value) {
                if (each.is_string()) note(each.get<std::string>(), user);
            }
        }
        if (field.type == FieldType::record) members(field.fields, value, user);
        if (field.type == FieldType::records && value.is_array()) {
            for (const Json& each : value) members(field.fields, each, user);
        }
    }

    void members(std::span<const Field> fields, const Json& object, const Reference& user) {
        if (!object.is_object()) return;
        for (const Field& field : fields) {
            if (const Json* value = member_of(&object, field.name)) formulas(field, *value, user);
        }
    }

    References result() { return std::move(references_); }

  private:
    References references_;
};

std::string title_or_id(const Json& object, const std::string& id) {
    const std::string title = written(member_of(&object, "title"));
    return title.empty() ? id : title;
}

} // namespace

References references_to_names(const Json& document, const Knowledge& knowledge) {
    Finder finder;
    const auto each_of = [&](const char* section, const auto& visit) {
        const Json* all = find_at(document, section);
        if (all == nullptr || !all->is_object()) return;
        for (const auto& [id, value] : all->items()) {
            if (!id.starts_with("x-")) visit(id, value);
        }
    };
    const Field any = quantity_field("value", "mm", "", "");
    each_of("/parameters", [&](const std::string& id, const Json& value) {
        finder.formulas(any, value, {"size " + id, ""});
    });
    each_of("/materials", [&](const std::string& id, const Json& value) {
        if (const auto* of = knowledge.catalog_class(written(member_of(&value, "class"))))
            finder.members(of->attributes, value, {"material " + id, ""});
    });
    each_of("/lines", [&](const std::string& id, const Json& value) {
        const Reference user{title_or_id(value, id), id};
        if (const std::string role = written(member_of(&value, "material")); !role.empty())
            finder.note(role, user);
        finder.members(common_line_fields(), value, user);
        if (const auto* kind = knowledge.kind(written(member_of(&value, "kind"))))
            finder.members(kind->fields, value, user);
    });
    each_of("/owned", [&](const std::string& id, const Json& value) {
        if (const auto* of = knowledge.catalog_class(written(member_of(&value, "class"))))
            finder.members(of->attributes, value, {"owned " + title_or_id(value, id), ""});
    });
    each_of("/tasks", [&](const std::string& id, const Json& value) {
        finder.members(task_fields(), value, {"task " + title_or_id(value, id), ""});
    });
    return finder.result();
}

std::string place_in_words(const Json& document, const Knowledge* knowledge,
                           const std::string& pointer) {
    std::vector<std::string> tokens;
    for (std::size_t at = 0; at < pointer.size();) {
        const std::size_t end = std::min(pointer.find('/', at + 1), pointer.size());
        tokens.push_back(pointer.substr(at + 1, end - at - 1));
        at = end;
    }
    if (tokens.empty()) return "";
    std::span<const Field> fields;
    std::string words;
    std::size_t next = 1;
    const Json* thing =
        tokens.size() < 2 ? nullptr : find_at(document, '/' + tokens[0] + '/' + tokens[1]);
    if (tokens[0] == "parameters" && tokens.size() > 1) {
        words = "size " + tokens[1];
        next = 2;
    } else if (thing != nullptr && thing->is_object()) {
        words = title_or_id(*thing, tokens[1]);
        next = 2;
        if (tokens[0] == "lines" && knowledge != nullptr) {
            if (const auto* kind = knowledge->kind(written(member_of(thing, "kind"))))
                fields = kind->fields;
        } else if (knowledge != nullptr) {
            if (const auto* of = knowledge->catalog_class(written(member_of(thing, "class"))))
                fields = of->attributes;
        }
    } else {
        words = tokens[0];
        std::replace(words.begin(), words.end(), '_', ' ');
    }
    for (std::size_t i = next; i < tokens.size(); ++i) {
        const Field* field = find_field(fields, tokens[i]);
        if (field == nullptr && i == next && tokens[0] == "lines")
            field = find_field(common_line_fields(), tokens[i]);
        std::string word = field == nullptr ? tokens[i] : field->title;
        std::replace(word.begin(), word.end(), '_', ' ');
        words += ", " + word;
        if (field != nullptr) fields = field->fields;
    }
    return words;
}

} // namespace aumbry::gui
