#include "finish/cautions.hpp"

#include <algorithm>

namespace aumbry::finish {

const std::vector<std::string>& product_classes() {
    static const std::vector<std::string> classes{"waterborne",    "solvent", "oil",
                                                  "two-component", "wax",     "shellac"};
    return classes;
}

std::vector<contract::Finding> cautions_for(std::string_view product_class, bool sprayed,
                                            bool sanded) {
    std::vector<contract::Finding> list;
    const auto add = [&](const char* code, const char* text) {
        list.push_back({contract::Severity::caution, code, "", text});
    };
    if (product_class == "oil") {
        add("oily-rags", "Rags, pads and dust with drying oil can set themselves alight: spread "
                         "them out to dry outdoors or keep them under water in a "
                         "closed metal tin. Follow the product's safety data sheet.");
    }
    if (product_class == "solvent" || product_class == "shellac" || product_class == "oil") {
        add("solvent-vapour", "Solvent vapour burns and harms: air the room well, keep flames, "
                              "sparks and heaters away, and wear what the product's "
                              "safety data sheet asks for.");
    }
    if (product_class == "two-component") {
        add("hardener", "Hardeners can sensitise skin and lungs for good: gloves, eye protection "
                        "and the respirator that the product's safety data "
                        "sheet names.");
    }
    if (product_class == "waterborne")
        add("ventilation",
            "Air the room while varnish dries; follow the product's safety data sheet.");
    if (sprayed)
        add("spraying",
            "Spraying needs a respirator for mist and vapour, extraction, and no source of "
            "ignition; follow the product's safety data sheet and local rules.");
    if (sanded)
        add("sanding-dust", "Dust from sanding wood and varnish harms lungs and can burn: extract "
                            "it, wear a dust mask (P2 or better), and empty the bag outdoors.");
    return list;
}

} // namespace aumbry::finish
