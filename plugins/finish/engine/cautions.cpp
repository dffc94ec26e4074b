#include "finish/engine/cautions.hpp"

#include "aumbry/fault.hpp"

#include <fmt/core.h>

namespace aumbry::finish {

using contract::Severity;

ProductClass product_class_named(std::string_view name) {
    if (name == "waterborne") return ProductClass::waterborne;
    if (name == "oil") return ProductClass::oil;
    if (name == "solvent") return ProductClass::solvent;
    fail("unknown-product-class", {}, "unknown product class '" + std::string(name) + "'",
         "use waterborne, oil or solvent");
}

std::vector<Caution> cautions(ProductClass product_class, Application application, bool rubbed_down,
                              bool coated_before) {
    std::vector<Caution> list;
    switch (product_class) {
    case ProductClass::waterborne:
        list.push_back(
            {"ventilation", Severity::caution,
             "Air the room while the finish is applied and dries, also a waterborne one; the "
             "product's safety data sheet says what it gives off."});
        break;
    case ProductClass::oil:
        list.push_back(
            {"ventilation", Severity::caution,
             "Air the room while the oil is applied and dries; follow the product's safety data "
             "sheet."});
        list.push_back({"self-igniting-rags", Severity::warning,
                        "Rags, pads and dust soaked with drying oil can "
                        "catch fire by themselves. Spread them flat outdoors "
                        "to dry, or keep them in water in a closed metal "
                        "bin, until they are disposed of as the product's "
                        "safety data sheet says."});
        break;
    case ProductClass::solvent:
        list.push_back(
            {"ventilation", Severity::warning,
             "Solvent vapour harms and can explode: air the room well, keep flames, sparks and "
             "heaters away, and follow the product's safety data sheet."});
        list.push_back(
            {"skin-and-eyes", Severity::caution,
             "Wear the gloves and eye protection that the product's safety data sheet names."});
        break;
    }
    if (application == Application::spray)
        list.push_back(
            {"respirator", Severity::warning,
             "Spraying makes a mist that reaches the lungs: wear the respirator and use the "
             "extraction that the product's safety data sheet asks for, and keep others out."});
    if (rubbed_down) {
        list.push_back({"dust", Severity::caution,
                        "Rubbing down makes fine dust: use extraction and a dust mask; the "
                        "product's safety data sheet says when more is needed."});
    }
    if (rubbed_down && coated_before)
        list.push_back({"old-coatings", Severity::warning,
                        "Dust of old coatings may hold lead, which poisons whoever breathes it and "
                        "children above all: have them tested before you rub any down."});
    return list;
}

Caution care(ProductClass product_class) {
    switch (product_class) {
    case ProductClass::waterborne:
        return {"care-varnish", Severity::note,
                "Varnished faces: wipe with a soft damp cloth and dry them, scour nothing and use "
                "no solvents; treat them gently for the first month, in which they go on "
                "hardening."};
    case ProductClass::oil:
        return {"care-oil", Severity::note,
                "Oiled faces: wipe up water at once, clean with a damp cloth, and oil them again "
                "thinly when they look dry, once a year or so. Rags with oil can catch fire by "
                "themselves: spread them flat outdoors to dry."};
    case ProductClass::solvent:
        break;
    }
    return {
        "care-lacquer", Severity::note,
        "Lacquered faces: wipe with a soft damp cloth and dry them, scour nothing; air the room "
        "for the first weeks, in which they go on hardening."};
}

Caution shelf_life_caution(std::string_view product, double litres_left) {
    return {"shelf-life", Severity::note,
            fmt::format("About {:.2f} L of {} will be left in an opened tin: close "
                        "it well, date it, and use it within the time "
                        "that its data sheet gives.",
                        litres_left, product)};
}

} // namespace aumbry::finish
