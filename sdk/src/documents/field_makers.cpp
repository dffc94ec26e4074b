#include "aumbry/field_makers.hpp"

#include <utility>

namespace aumbry {

namespace {
/// Nothing that is made is larger; catches a slipped decimal point or unit.
double absurd(const std::string& unit) {
    return unit == "mm" ? 50'000 : 1e7;
}
} // namespace

contract::Field field(std::string name, contract::FieldType type, std::string title,
                      std::string help) {
    contract::Field made;
    made.name = std::move(name);
    made.type = type;
    made.title = std::move(title);
    made.help = std::move(help);
    return made;
}

contract::Field text_field(std::string name, std::string title, std::string help) {
    return field(std::move(name), contract::FieldType::text, std::move(title), std::move(help));
}
contract::Field choice_field(std::string name, std::string title, std::vector<std::string> choices,
                             std::string help) {
    contract::Field made =
        field(std::move(name), contract::FieldType::choice, std::move(title), std::move(help));
    made.choices = std::move(choices);
    return made;
}
contract::Field flag_field(std::string name, std::string title, std::string help) {
    return field(std::move(name), contract::FieldType::flag, std::move(title), std::move(help));
}
contract::Field count_field(std::string name, std::string title, std::string help) {
    return at_most(at_least(field(std::move(name), contract::FieldType::count, std::move(title),
                                  std::move(help)),
                            0),
                   1e6);
}
contract::Field number_field(std::string name, std::string title, std::string help) {
    return field(std::move(name), contract::FieldType::number, std::move(title), std::move(help));
}
contract::Field quantity_field(std::string name, std::string unit, std::string title,
                               std::string help) {
    contract::Field made =
        field(std::move(name), contract::FieldType::quantity, std::move(title), std::move(help));
    made.maximum = absurd(unit);
    made.unit = std::move(unit);
    made.minimum = 0;
    made.above_minimum = true;
    return made;
}
contract::Field lines_field(std::string name, std::string title, std::vector<std::string> kinds,
                            std::string help) {
    contract::Field made =
        field(std::move(name), contract::FieldType::lines, std::move(title), std::move(help));
    made.kinds = std::move(kinds);
    return made;
}
contract::Field line_field(std::string name, std::string title, std::vector<std::string> kinds,
                           std::string help) {
    contract::Field made =
        field(std::move(name), contract::FieldType::line, std::move(title), std::move(help));
    made.kinds = std::move(kinds);
    return made;
}
contract::Field money_field(std::string name, std::string title, std::string help) {
    return at_least(
        field(std::move(name), contract::FieldType::money, std::move(title), std::move(help)), 0);
}
contract::Field date_field(std::string name, std::string title, std::string help) {
    return field(std::move(name), contract::FieldType::date, std::move(title), std::move(help));
}
contract::Field texts_field(std::string name, std::string title, std::string help) {
    return field(std::move(name), contract::FieldType::texts, std::move(title), std::move(help));
}
contract::Field record_field(std::string name, std::string title, std::string help,
                             std::vector<contract::Field> fields) {
    contract::Field made =
        field(std::move(name), contract::FieldType::record, std::move(title), std::move(help));
    made.fields = std::move(fields);
    return made;
}
contract::Field records_field(std::string name, std::string title, std::string help,
                              std::vector<contract::Field> fields) {
    contract::Field made =
        field(std::move(name), contract::FieldType::records, std::move(title), std::move(help));
    made.fields = std::move(fields);
    return made;
}
contract::Field required(contract::Field made) {
    made.required = true;
    return made;
}
contract::Field with_default(contract::Field made, Json fallback) {
    made.fallback = std::move(fallback);
    return made;
}
contract::Field at_least(contract::Field made, double minimum) {
    made.minimum = minimum;
    made.above_minimum = false;
    return made;
}
contract::Field at_most(contract::Field made, double maximum) {
    made.maximum = maximum;
    return made;
}

} // namespace aumbry
