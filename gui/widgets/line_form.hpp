// Forms drawn from field records: whatever a module declares can be edited, with what was written
// in the field and what it comes to beneath.
#pragma once

#include "app/state.hpp"

#include <functional>
#include <span>
#include <string>
#include <vector>

namespace aumbry::gui {

/// Texts that may be put into a field, offered in a list beside it.
using Suggestions = std::function<std::vector<std::string>(const contract::Field&)>;

/// What a form edits: one object of the document.
struct FormSubject {
    std::string pointer; ///< of the object: "/lines/bed_side"
    std::string name;    ///< for the names of steps: "Length of Bed side"
    const Json* written = nullptr;
    const Json* values = nullptr;  ///< what its fields come to, by name, in contract units
    const Json* derived = nullptr; ///< what stands in for fields that are left out
    std::string reference;         ///< "bed_side": values can be asked for as "bed_side.length"
    Suggestions suggestions;       ///< may be empty
    std::vector<std::string> leave_out = {}; ///< fields that are not shown
};

/// Draws the fields of the subject; every entry that is taken becomes an edit among the intents.
void draw_form(State& state, Intents& intents, const FormSubject& subject,
               std::span<const contract::Field> fields);

/// A hint on all fields, in room of its own; and beside the field that has the keyboard or whose
/// label is pointed at, what `aumbry fields` says of it.
void draw_form_help(const State& state, float height);

/// The change that puts a member into an object where the order of fields wants it, or takes it
/// away.
[[nodiscard]] Change member_change(const std::string& pointer, const Json* object,
                                   std::span<const contract::Field> fields, const std::string& name,
                                   std::optional<Json> value);

/// "Length of Bed side".
[[nodiscard]] std::string step_name(const contract::Field& field, const std::string& of);

/// The ids of lines that a field may name.
[[nodiscard]] std::vector<std::string> lines_for(const State& state, const contract::Field& field);

} // namespace aumbry::gui
