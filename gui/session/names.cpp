#include "session/names.hpp"

#include "app/state.hpp"
#include "session/text.hpp"

#include "aumbry/project.hpp"

#include <span>

namespace aumbry::gui {

using contract::Field;
using contract::FieldType;

namespace {

bool is_number(const Field& field) {
    return field.type == FieldType::quantity || field.type == FieldType::number ||
           field.type == FieldType::count;
}

/// Gathers names in two heaps: those that begin with what is wanted, and those that hold it.
class Gatherer {
  public:
    explicit Gatherer(std::string wanted) : wanted_(lower(std::move(wanted))) {}

    void add(const std::string& key, std::string text, std::string says) {
        const std::size_t at = lower(key).find(wanted_);
        if (at == 0) {
            first_.push_back({std::move(text), std::move(says)});
        } else if (at != std::string::npos || lower(says).find(wanted_) != std::string::npos) {
            rest_.push_back({std::move(text), std::move(says)});
        }
    }

    std::vector<Name> take() {
        first_.insert(first_.end(), rest_.begin(), rest_.end());
        return std::move(first_);
    }

  private:
    std::string wanted_;
    std::vector<Name> first_;
    std::vector<Name> rest_;
};

/// What a name comes to, as the estimate printed it; else what it is.
std::string result_or(const Estimate* estimate, const std::string& name,
                      const std::string& otherwise) {
    if (estimate == nullptr) return otherwise;
    const auto found = estimate->workings.find(name);
    return found == estimate->workings.end() || found->second.result.empty() ? otherwise
                                                                             : found->second.result;
}

void each_name_of(const Json& document, const char* section, const auto& visit) {
    const Json* all = find_at(document, section);
    if (all == nullptr || !all->is_object()) return;
    for (const auto& [id, value] : all->items()) {
        if (!id.starts_with("x-")) visit(id, value);
    }
}

/// What a value of a line comes to.
std::string value_in(const Json& values, const Field& field, const Estimate& estimate) {
    const Json* value = member_of(&values, field.name);
    return value == nullptr ? "" : computed(field, *value, estimate);
}

void fields_of_owner(Gatherer& names, const std::string& owner, const Json& owned,
                     std::span<const Field> fields, const Estimate* estimate) {
    const EstimateLine* line = line_of(estimate, owner);
    for (const Field& field : fields) {
        // What is not stated has no value that a formula could use.
        if (!is_number(field) || (!owned.contains(field.name) && field.fallback.is_null()))
            continue;
        const std::string text = owner + '.' + field.name;
        std::string says = line == nullptr ? "" : value_in(line->fields, field, *estimate);
        if (says.empty()) says = result_or(estimate, text, field.title);
        names.add(field.name, text, std::move(says));
    }
}

std::vector<Name> names_of_owner(const std::string& owner, const std::string& wanted,
                                 const Json& document, const Knowledge& knowledge,
                                 const Estimate* estimate) {
    Gatherer names(wanted);
    if (const Json* material = find_at(document, pointer_to("/materials", owner))) {
        const auto* of = knowledge.catalog_class(written(member_of(material, "class")));
        if (of != nullptr) fields_of_owner(names, owner, *material, of->attributes, estimate);
        return names.take();
    }
    const Json* line = find_at(document, pointer_to("/lines", owner));
    const auto* kind = line == nullptr ? nullptr : knowledge.kind(written(member_of(line, "kind")));
    if (kind == nullptr) return names.take();
    fields_of_owner(names, owner, *line, kind->fields, estimate);
    const EstimateLine* now = line_of(estimate, owner);
    for (const contract::DerivedValue& value : kind->derived) {
        // Some are derived of lines alone that state what they rest on.
        if (now != nullptr && !now->derived.contains(value.name)) continue;
        Field field;
        field.name = value.name;
        field.type = FieldType::quantity;
        field.unit = value.unit;
        std::string says = now == nullptr ? "" : value_in(now->derived, field, *estimate);
        names.add(value.name, owner + '.' + value.name, says.empty() ? value.title : says);
    }
    names.add("count", owner + ".count", written(member_of(line, "count")));
    return names.take();
}

} // namespace

std::vector<Name> names_for(const std::string& wanted, const Json& document,
                            const Knowledge& knowledge, const Estimate* estimate) {
    const std::size_t point = wanted.find('.');
    if (point != std::string::npos)
        return names_of_owner(wanted.substr(0, point), wanted.substr(point + 1), document,
                              knowledge, estimate);
    Gatherer names(wanted);
    each_name_of(document, "/parameters", [&](const std::string& id, const Json& value) {
        names.add(id, id, result_or(estimate, id, written(&value)));
    });
    each_name_of(document, "/materials", [&](const std::string& id, const Json& material) {
        const std::string title = written(member_of(&material, "title"));
        names.add(id, id + '.', title.empty() ? "material" : title);
    });
    each_name_of(document, "/lines", [&](const std::string& id, const Json& line) {
        const std::string title = written(member_of(&line, "title"));
        names.add(id, id + '.', title.empty() ? "line" : title);
    });
    return names.take();
}

} // namespace aumbry::gui
