// Makers of fields, to keep descriptions readable: required(quantity_field("length", "mm", ...)).
#pragma once

#include "aumbry/contract.hpp"

#include <string>
#include <vector>

namespace aumbry {

/// Of any type, without limits and not required.
[[nodiscard]] contract::Field field(std::string name, contract::FieldType type, std::string title,
                                    std::string help);
[[nodiscard]] contract::Field text_field(std::string name, std::string title, std::string help);
[[nodiscard]] contract::Field choice_field(std::string name, std::string title,
                                           std::vector<std::string> choices, std::string help);
[[nodiscard]] contract::Field flag_field(std::string name, std::string title, std::string help);
[[nodiscard]] contract::Field count_field(std::string name, std::string title, std::string help);
[[nodiscard]] contract::Field number_field(std::string name, std::string title, std::string help);
/// A quantity that must be above zero and below an absurd size.
[[nodiscard]] contract::Field quantity_field(std::string name, std::string unit, std::string title,
                                             std::string help);
[[nodiscard]] contract::Field lines_field(std::string name, std::string title,
                                          std::vector<std::string> kinds, std::string help);
[[nodiscard]] contract::Field line_field(std::string name, std::string title,
                                         std::vector<std::string> kinds, std::string help);
/// A decimal string in the project's currency, at least zero.
[[nodiscard]] contract::Field money_field(std::string name, std::string title, std::string help);
[[nodiscard]] contract::Field date_field(std::string name, std::string title, std::string help);
[[nodiscard]] contract::Field texts_field(std::string name, std::string title, std::string help);
[[nodiscard]] contract::Field record_field(std::string name, std::string title, std::string help,
                                           std::vector<contract::Field> fields);
[[nodiscard]] contract::Field records_field(std::string name, std::string title, std::string help,
                                            std::vector<contract::Field> fields);
[[nodiscard]] contract::Field required(contract::Field field);
[[nodiscard]] contract::Field with_default(contract::Field field, Json fallback);
[[nodiscard]] contract::Field at_least(contract::Field field, double minimum);
[[nodiscard]] contract::Field at_most(contract::Field field, double maximum);

} // namespace aumbry
