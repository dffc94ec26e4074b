// The parts that mapping documents have in common, read strictly: columns, constants, units, words.
#pragma once

#include "aumbry/catalog_import.hpp"
#include "aumbry/fields.hpp"
#include "aumbry/json.hpp"

#include <array>
#include <functional>
#include <map>
#include <string>
#include <vector>

namespace aumbry {

/// Keys of mappings whose members bear names of fields or columns.
inline constexpr std::array<std::string_view, 5> free_mapping_keys = {"columns", "constants",
                                                                      "units", "words", "remove"};
/// And of mappings of price lists alone.
inline constexpr std::array<std::string_view, 8> free_list_keys = {
    "columns", "constants", "units", "words", "remove", "sections", "spread", "composed"};

class MappingReader {
  public:
    /// `known`: the fields that a mapping may name.
    MappingReader(const Json& json, FaultList& faults, std::vector<std::string> known)
        : json_(json), faults_(faults), known_(std::move(known)) {}

    void check_field(const std::string& name, const std::string& pointer) const;

    using Take =
        std::function<void(const std::string& key, const Json& value, const std::string& pointer)>;
    /// Calls `take` for the members of an object; there may be none.
    void members(const std::string& key, const Json& in, const std::string& base,
                 const Take& take) const;
    bool text(const Json& value, const std::string& pointer, std::string& out) const;
    void field_texts(const std::string& key, std::map<std::string, std::string>& out) const;
    void columns(std::map<std::string, std::string>& out) const;
    void units(std::map<std::string, std::string>& out) const;
    void words(std::map<std::string, std::map<std::string, std::string>>& out) const;
    void remove(std::map<std::string, std::vector<std::string>>& out) const;
    void patterns(const Json& read, std::vector<ColumnPatterns>& out) const;
    void sections(std::optional<MappingSections>& out) const;
    void spread(std::optional<MappingSpread>& out) const;

  private:
    void parse_texts(const std::vector<std::string>& texts, const std::string& pointer,
                     std::vector<TextPattern>& out) const;
    /// The object of a key with its text members `column` or `over`; null with a fault or absent.
    [[nodiscard]] const Json* object(const std::string& key,
                                     std::initializer_list<std::string_view> known) const;

    const Json& json_;
    FaultList& faults_;
    std::vector<std::string> known_;
};

} // namespace aumbry
