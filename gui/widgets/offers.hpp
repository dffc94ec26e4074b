// A text field that offers what may be put in while one types: the arrow keys choose, Enter or a
// click takes, and whoever goes on typing is not disturbed.
#pragma once

#include "app/state.hpp"

#include <functional>
#include <string>
#include <string_view>
#include <vector>

namespace aumbry::gui {

/// One text that may be put in.
struct Offer {
    std::string text;
    std::string says; ///< what it is or comes to, in a word or two; may be empty
};

/// Which part of the text an offer takes the place of.
enum class Stem {
    name,  ///< the name in a formula that the cursor stands behind
    entry, ///< the entry of a list, between two ";"
    whole  ///< all of it
};

/// What a field offers.
struct Offers {
    Stem stem = Stem::whole;
    /// For what is written of the part so far; empty: nothing is offered while one types.
    std::function<std::vector<Offer>(const std::string& written)> find;
};

struct OfferedInput {
    std::string hint = {};
    ImGuiInputTextFlags flags = ImGuiInputTextFlags_None;
    bool typed = false;         ///< what stands in it was typed before it had the keyboard
    bool cursor_to_end = false; ///< without a choice of all that is written
};

/// A text field of one line; gives what ImGui::InputText() gives.
bool input_with_offers(State& state, const char* label, std::string& text, const Offers& offers,
                       const OfferedInput& input = {});

/// The names that a formula of the job may use.
[[nodiscard]] Offers names_offered(const State& state);

/// The name that ends at a place of a formula; empty after a number, where a unit stands, and where
/// none has begun.
[[nodiscard]] std::string_view name_before(std::string_view formula, std::size_t end);

/// The texts that hold what is written, those that begin with it first, without regard to case.
[[nodiscard]] std::vector<Offer> offers_among(const std::vector<std::string>& texts,
                                              const std::string& written);

} // namespace aumbry::gui
