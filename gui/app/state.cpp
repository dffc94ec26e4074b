#include "app/state.hpp"

#include "session/text.hpp"

#include "aumbry/plugin.hpp"
#include "aumbry/quantity.hpp"

#include <algorithm>
#include <charconv>

namespace aumbry::gui {

const char* title_of(View view) {
    switch (view) {
    case View::bill:
        return "Bill of materials";
    case View::parameters:
        return "Sizes and materials";
    case View::cutting:
        return "Cutting";
    case View::alternatives:
        return "Alternatives";
    case View::dates:
        return "Dates";
    case View::lift:
        return "Lift";
    case View::findings:
        return "Watch out";
    case View::explain:
        return "Workings";
    case View::lists:
        return "Price lists";
    }
    return "";
}

void State::mark(const std::string& name) const {
    if (places != nullptr || noted) mark(name, ImGui::GetItemRectMin(), ImGui::GetItemRectMax());
}

void State::mark(const std::string& name, ImVec2 min, ImVec2 max) const {
    if (places != nullptr) (*places)[name] = {min.x, min.y, max.x, max.y};
    if (noted) noted(name);
}

const Json* member_of(const Json* object, const std::string& name) {
    if (object == nullptr || !object->is_object()) return nullptr;
    const auto found = object->find(name);
    return found == object->end() ? nullptr : &*found;
}

const EstimateLine* line_of(const Estimate* estimate, const std::string& id) {
    if (estimate == nullptr) return nullptr;
    const auto found = std::find_if(estimate->lines.begin(), estimate->lines.end(),
                                    [&](const EstimateLine& line) { return line.id == id; });
    return found == estimate->lines.end() ? nullptr : &*found;
}

const Fault* fault_at(const Answer& answer, const std::string& pointer) {
    for (const Fault& fault : answer.faults) {
        const std::string& place = fault.place.pointer;
        if (place == pointer || place.starts_with(pointer + "/")) return &fault;
    }
    return nullptr;
}

std::string written(const Json* value) {
    if (value == nullptr || value->is_null()) return "";
    if (value->is_string()) return value->get<std::string>();
    if (value->is_boolean()) return value->get<bool>() ? "yes" : "no";
    if (value->is_array()) {
        std::string text;
        for (const Json& entry : *value) text += (text.empty() ? "" : "; ") + written(&entry);
        return text;
    }
    return value->dump();
}

namespace {

/// A whole text that is a JSON number, as that number.
std::optional<Json> number_of(const std::string& text) {
    const Json value = Json::parse(text, nullptr, false);
    if (value.is_discarded() || !value.is_number()) return std::nullopt;
    return value;
}

} // namespace

std::string unit_of_lengths(const State& state) {
    const std::string unit = written(find_at(state.document, "/length_unit"));
    return unit.empty() ? "mm" : unit;
}

std::optional<Json> read_written(const contract::Field& field, const std::string& text,
                                 const std::string& unit_of_lengths) {
    using contract::FieldType;
    std::string entry = trimmed(text);
    if (field.type == FieldType::quantity && field.unit == "mm" && !unit_of_lengths.empty())
        entry = with_unit(entry, unit_of_lengths);
    if (entry.empty()) return std::nullopt;
    switch (field.type) {
    case FieldType::count:
    case FieldType::number:
    case FieldType::quantity: {
        const auto number = number_of(entry);
        return number ? *number : Json(entry);
    }
    case FieldType::flag:
        if (entry == "yes" || entry == "true") return Json(true);
        if (entry == "no" || entry == "false") return Json(false);
        return Json(entry);
    case FieldType::lines:
    case FieldType::texts: {
        Json list = Json::array();
        for (std::size_t at = 0; at <= entry.size();) {
            const std::size_t end = std::min(entry.find(';', at), entry.size());
            if (std::string each = trimmed(entry.substr(at, end - at)); !each.empty())
                list.push_back(std::move(each));
            at = end + 1;
        }
        return list;
    }
    default:
        return Json(entry);
    }
}

std::string with_unit(const std::string& text, const std::string& unit) {
    std::string number = trimmed(text);
    const std::size_t comma = number.find(',');
    if (comma != std::string::npos && number.find('.') == std::string::npos &&
        number.find_first_not_of("0123456789,") == std::string::npos)
        number[comma] = '.';
    double value = 0;
    const char* end = number.data() + number.size();
    const auto read = std::from_chars(number.data(), end, value, std::chars_format::fixed);
    if (read.ec != std::errc() || read.ptr != end) return text;
    return unit.empty() || value == 0 ? number : number + ' ' + unit;
}

std::string computed(const contract::Field& field, const Json& value, const Estimate& estimate) {
    if (value.is_number() && !field.unit.empty()) {
        try {
            return format_quantity(from_unit(value.get<double>(), field.unit),
                                   estimate.length_unit == "in" ? LengthUnit::inch
                                                                : LengthUnit::mm);
        } catch (const FaultError&) {
            // A module's own unit, which is not ours to convert.
            return format_trimmed(value.get<double>(), 4) + ' ' + field.unit;
        }
    }
    if (value.is_number_float()) return format_trimmed(value.get<double>(), 4);
    return written(&value);
}

} // namespace aumbry::gui
